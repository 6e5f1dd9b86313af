//! What operations on layers keep: dry matter, water and enthalpy to rounding, the worst of what is judged, and the
//! column itself when they are refused.

mod common;

use bed::operations::OperationError;
use bed::{Block, Parcel};
use common::*;
use proptest::prelude::*;

const LANE: usize = 2;
const SLOTS: usize = 12;
const FULL: f64 = 100.0;

#[derive(Debug, Clone, Copy)]
enum Step {
    Add { mass: f64, moisture: f64, temperature: f64, life: f64 },
    Mix(usize, usize),
    DrawBottom(f64),
    Remove(f64),
    Split(usize, f64),
    Merge(usize),
    Blow { temperature: f64, humidity: f64 },
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        4 => (1.0..350.0f64, 0.1..0.4f64, -10.0..40.0f64, 0.0..0.5f64)
            .prop_map(|(mass, moisture, temperature, life)| Step::Add { mass, moisture, temperature, life }),
        1 => (0..SLOTS + 2, 0..SLOTS + 2).prop_map(|(a, b)| Step::Mix(a, b)),
        1 => (1.0..400.0f64).prop_map(Step::DrawBottom),
        1 => (1.0..400.0f64).prop_map(Step::Remove),
        1 => (0..SLOTS + 2, 0.01..0.99f64).prop_map(|(i, s)| Step::Split(i, s)),
        1 => (0..SLOTS + 2).prop_map(Step::Merge),
        1 => (-5.0..35.0f64, 0.2..0.95f64).prop_map(|(temperature, humidity)| Step::Blow { temperature, humidity }),
    ]
}

fn column() -> Block {
    Block::new(full_group(SLOTS), &full_corn())
}

fn held(block: &Block) -> f64 {
    block.layers(LANE).map(|l| l.dry_matter).sum()
}

/// Worst of life used, by both readings, and of equivalent time.
fn worst(block: &Block) -> [f64; 3] {
    block
        .layers(LANE)
        .fold([0.0; 3], |w, l| [w[0].max(l.life_published), w[1].max(l.life_strict), w[2].max(l.equivalent_time)])
}

/// Layers and tallies of the lane, as they compare.
fn picture(block: &Block) -> (Vec<bed::LayerState>, bed::Balance) {
    ((0..SLOTS).map(|i| block.layer(LANE, i)).collect(), block.balance(LANE))
}

fn close(a: f64, b: f64, size: f64) -> bool {
    (a - b).abs() <= 1e-12 * size.abs().max(1e-9)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_programme_keeps_what_is_conserved(programme in prop::collection::vec(step(), 1..40)) {
        let mut block = column();
        let mut size = (0.0f64, 0.0f64);
        let mut taken_in = 0.0;
        for step in programme {
            let before = picture(&block);
            let (dry, stored, judged) = (held(&block), block.stored(LANE), worst(&block));
            let outcome: Result<Option<Parcel>, OperationError> = match step {
                Step::Add { mass, moisture, temperature, life } => {
                    let mut parcel = block.parcel(LANE, mass, moisture, temperature);
                    parcel.core *= 1.1;
                    (parcel.life_published, parcel.life_strict) = (life, life * 1.5);
                    parcel.equivalent_time = life * 1e6;
                    let m = CORN_KERNEL.shell_share;
                    let water = mass * (m * parcel.shell + (1.0 - m) * parcel.core);
                    let outcome = block.add(LANE, &parcel, FULL);
                    if outcome.is_ok() {
                        taken_in += mass;
                        size = (size.0 + water, size.1 + (mass * parcel.enthalpy).abs());
                        let now = block.stored(LANE);
                        prop_assert!(close(held(&block), dry + mass, taken_in));
                        prop_assert!(close(now.0, stored.0 + water, size.0), "{} {}", now.0, stored.0 + water);
                        prop_assert!(close(now.1, stored.1 + mass * parcel.enthalpy, size.1));
                        let now = worst(&block);
                        prop_assert_eq!(now[0], judged[0].max(parcel.life_published));
                        prop_assert_eq!(now[1], judged[1].max(parcel.life_strict));
                        prop_assert_eq!(now[2], judged[2].max(parcel.equivalent_time));
                    }
                    outcome.map(|()| None)
                }
                Step::Mix(from, to) => block.mix(LANE, from, to).map(|()| None),
                Step::DrawBottom(mass) => block.draw_bottom(LANE, mass).map(Some),
                Step::Remove(mass) => block.remove(LANE, mass).map(Some),
                Step::Split(layer, share) => block.split(LANE, layer, share).map(|()| None),
                Step::Merge(layer) => block.merge(LANE, layer).map(|()| None),
                Step::Blow { temperature, humidity } => {
                    let air = air(LANE, temperature, humidity_ratio(temperature, humidity), 0.07, 3600.0);
                    block.advance(&air);
                    prop_assert_eq!(held(&block), dry);
                    continue;
                }
            };
            match (step, outcome) {
                (_, Err(_)) => prop_assert_eq!(&picture(&block), &before, "a refused operation left its mark"),
                (Step::DrawBottom(mass) | Step::Remove(mass), Ok(Some(parcel))) => {
                    prop_assert!(close(parcel.dry_matter, mass, taken_in));
                    prop_assert!(close(held(&block) + parcel.dry_matter, dry, taken_in));
                    let now = block.stored(LANE);
                    let s = CORN_KERNEL.shell_share;
                    let water = parcel.dry_matter * (s * parcel.shell + (1.0 - s) * parcel.core);
                    prop_assert!(close(now.0 + water, stored.0, size.0));
                    prop_assert!(close(now.1 + parcel.dry_matter * parcel.enthalpy, stored.1, size.1));
                    let left = worst(&block);
                    prop_assert_eq!(left[0].max(parcel.life_published), judged[0]);
                    prop_assert_eq!(left[1].max(parcel.life_strict), judged[1]);
                    prop_assert_eq!(left[2].max(parcel.equivalent_time), judged[2]);
                }
                (Step::Mix(..) | Step::Split(..) | Step::Merge(_), Ok(_)) => {
                    let now = block.stored(LANE);
                    prop_assert!(close(held(&block), dry, taken_in));
                    prop_assert!(close(now.0, stored.0, size.0));
                    prop_assert!(close(now.1, stored.1, size.1));
                    prop_assert_eq!(worst(&block), judged);
                }
                _ => {}
            }
            // Grain lies without gaps from the floor.
            let top = block.top(LANE).map_or(0, |i| i + 1);
            prop_assert_eq!(block.layers(LANE).count(), top);
            let residual = block.residual(LANE);
            prop_assert!(residual.water < 1e-11 && residual.energy < 1e-11, "{:?}", residual);
        }
    }

    #[test]
    fn mixing_takes_the_mean_for_heat_and_the_worst_for_what_is_judged(
        layers in prop::collection::vec((20.0..100.0f64, 0.12..0.35f64, -5.0..35.0f64, 0.0..0.9f64), 2..SLOTS),
    ) {
        let mut block = column();
        for &(mass, moisture, temperature, life) in &layers {
            let mut parcel = block.parcel(LANE, mass, moisture, temperature);
            parcel.life_published = life;
            parcel.life_strict = 0.9 - life;
            // `full` equal to the mass makes every parcel a layer of its own.
            let on_top = block.top(LANE).map_or(0.0, |i| block.layer(LANE, i).dry_matter);
            block.add(LANE, &parcel, mass.max(on_top)).expect("a slot is free");
        }
        let judged = worst(&block);
        let (dry, mean) = (held(&block), block.mean_moisture(LANE).0);
        let top = block.top(LANE).expect("grain lies there") + 1;
        block.mix(LANE, 0, top).expect("layers are there");
        for layer in block.layers(LANE) {
            prop_assert!((layer.moisture - mean).abs() < 1e-14);
            prop_assert_eq!([layer.life_published, layer.life_strict, layer.equivalent_time], judged);
        }
        prop_assert!(close(held(&block), dry, dry));
    }
}

#[test]
fn new_grain_does_not_inherit_the_age_of_what_lay_there() {
    let mut block = column();
    let mut old = block.parcel(LANE, 3.0 * FULL, 0.25, 20.0);
    (old.life_published, old.life_strict, old.equivalent_time) = (0.7, 0.9, 1e6);
    block.add(LANE, &old, FULL).expect("slots are free");
    block.remove(LANE, 2.0 * FULL).expect("that much is there");
    let fresh = block.parcel(LANE, 2.0 * FULL, 0.25, 20.0);
    block.add(LANE, &fresh, FULL).expect("slots are free");
    assert_eq!(block.layer(LANE, 0).life_strict, 0.9);
    for layer in [1, 2] {
        let l = block.layer(LANE, layer);
        assert_eq!((l.life_published, l.life_strict, l.equivalent_time), (0.0, 0.0, 0.0), "layer {layer}");
    }
}

#[test]
fn nonsense_is_refused() {
    let mut block = column();
    let parcel = block.parcel(LANE, 3.0 * FULL, 0.25, 20.0);
    block.add(LANE, &parcel, FULL).expect("slots are free");
    let before = picture(&block);
    for mass in [f64::NAN, -1.0, 0.0, f64::INFINITY, 4.0 * FULL] {
        assert!(block.draw_bottom(LANE, mass).is_err(), "{mass}");
        assert!(block.remove(LANE, mass).is_err(), "{mass}");
    }
    for mass in [f64::NAN, f64::INFINITY, 1e9, -1.0] {
        assert!(block.add(LANE, &parcel.of_mass(mass), FULL).is_err(), "{mass}");
    }
    assert!(block.add(LANE, &parcel, f64::NAN).is_err());
    for (from, to) in [(2, 2), (3, 2), (0, SLOTS + 1), (5, 7)] {
        assert!(block.mix(LANE, from, to).is_err(), "{from}..{to}");
    }
    assert!(block.split(LANE, 3, 0.5).is_err());
    for share in [f64::NAN, 0.0, 1.0, -0.2] {
        assert!(block.split(LANE, 0, share).is_err(), "{share}");
    }
    assert!(block.merge(LANE, 2).is_err());
    assert_eq!(picture(&block), before);
}
