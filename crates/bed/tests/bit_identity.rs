//! A column's bits do not depend on its company, its slot or the processor.

mod common;

use bed::{Air, Block, ColumnParams, Direction, GroupParams, Respiration};
use common::*;
use numerics::random::Stream;
use numerics::{InstructionSet, WIDTH};
use physics::isotherm::IsothermForm;
use physics::kinetics::{Arrhenius, TwoCompartment};
use physics::sorption::SorptionHeat;

const STRETCHES: usize = 60;

/// What happens to one column in one stretch of time.
#[derive(Clone, Copy)]
struct Hour {
    temperature: f64,
    humidity_ratio: f64,
    flux: f64,
    seconds: f64,
    outside: f64,
}

/// One column with its own constants, filling and air.
struct Scenario {
    column: ColumnParams,
    filling: Vec<(f64, f64, f64)>,
    hours: Vec<Hour>,
}

fn between(stream: &mut Stream, low: f64, high: f64) -> f64 {
    low + (high - low) * stream.uniform()
}

fn scenario(number: u64, isotherm: IsothermForm, layers: usize) -> Scenario {
    let mut s = Stream::new(1000 + number);
    let kinetics = (!number.is_multiple_of(3)).then(|| TwoCompartment {
        shell_share: between(&mut s, 0.2, 0.9),
        shell: Arrhenius { ln_a: between(&mut s, 8.0, 9.0), b: 5300.0 },
        core: Arrhenius { ln_a: between(&mut s, -8.0, -7.0), b: 1467.0 },
    });
    let column = ColumnParams {
        sorption: if number % 4 == 1 { SorptionHeat::NONE } else { SorptionHeat::of(&isotherm, 20.0) },
        kinetics,
        adsorption_gap: if number.is_multiple_of(2) { 0.0 } else { 0.01 },
        rewetting: between(&mut s, 0.3, 1.0),
        dry_specific_heat: between(&mut s, 1200.0, 1500.0),
        air_sees: between(&mut s, 0.6, 1.0),
        humidity_cap: 0.98,
        wall_conductance: between(&mut s, 0.0, 0.1),
        dry_density: between(&mut s, 500.0, 650.0),
        ..bare(isotherm)
    };
    let used = if number % 5 == 4 { layers / 2 } else { layers };
    let filling = (0..used)
        .map(|_| (between(&mut s, 40.0, 150.0), between(&mut s, 0.16, 0.32), between(&mut s, -5.0, 30.0)))
        .collect();
    let hours = (0..STRETCHES)
        .map(|_| {
            let t = between(&mut s, -10.0, 35.0);
            let kind = s.uniform();
            Hour {
                temperature: t,
                humidity_ratio: humidity_ratio(t, between(&mut s, 0.15, 1.0)),
                flux: if kind < 0.3 { 0.0 } else { between(&mut s, 0.005, 0.2) },
                seconds: if kind > 0.9 { 0.0 } else { between(&mut s, 300.0, 7200.0) },
                outside: between(&mut s, -15.0, 30.0),
            }
        })
        .collect();
    Scenario { column, filling, hours }
}

fn pour(block: &mut Block, lane: usize, scenario: &Scenario) {
    block.empty(lane, &scenario.column);
    for &(mass, moisture, temperature) in &scenario.filling {
        let parcel = block.parcel(lane, mass, moisture, temperature);
        block.add(lane, &parcel, mass).expect("a slot is free");
    }
}

fn set_air(air: &mut Air, lane: usize, hour: &Hour) {
    air.temperature[lane] = hour.temperature;
    air.humidity_ratio[lane] = hour.humidity_ratio;
    air.flux[lane] = hour.flux;
    air.seconds[lane] = hour.seconds;
    air.outside[lane] = hour.outside;
}

/// Everything a lane shows, in bits.
fn bits(block: &Block, lane: usize) -> Vec<u64> {
    let mut shown = Vec::new();
    for i in 0..block.slots() {
        let l = block.layer(lane, i);
        if l.dry_matter > 0.0 {
            shown.extend([l.dry_matter, l.shell, l.core, l.moisture, l.temperature]);
            shown.extend([l.life_published, l.life_strict, l.equivalent_time]);
        }
    }
    let (b, e, stored) = (block.balance(lane), block.extremes(lane), block.stored(lane));
    shown.extend([b.water_in, b.water_out, b.water_to_air, b.water_moved]);
    shown.extend([b.energy_in, b.energy_out, b.energy_to_air, b.energy_moved, b.energy_to_wall]);
    shown.extend([e.temperature.0, e.temperature.1, e.humidity.0, e.humidity.1, e.moisture.0, e.moisture.1]);
    shown.extend([stored.0, stored.1]);
    shown.into_iter().map(f64::to_bits).collect()
}

/// The trace of one scenario in one slot while `company` fills the other slots (`None`: empty and at rest).
fn trace(
    set: InstructionSet,
    group: &GroupParams,
    scenario: &Scenario,
    slot: usize,
    company: &[Option<&Scenario>; WIDTH],
) -> Vec<Vec<u64>> {
    let mut block = Block::on(set, group.clone(), &scenario.column);
    pour(&mut block, slot, scenario);
    for (lane, other) in company.iter().enumerate().filter(|(lane, _)| *lane != slot) {
        if let Some(other) = other {
            pour(&mut block, lane, other);
        }
    }
    let mut seen = Vec::new();
    for stretch in 0..STRETCHES {
        let mut air = Air::default();
        set_air(&mut air, slot, &scenario.hours[stretch]);
        for (lane, other) in company.iter().enumerate().filter(|(lane, _)| *lane != slot) {
            // Some of the company is done before the end.
            if let Some(other) = other.filter(|_| lane % 3 != 2 || stretch < STRETCHES / 2) {
                set_air(&mut air, lane, &other.hours[stretch]);
            }
        }
        let exhaust = block.advance(&air);
        let mut now = bits(&block, slot);
        now.push(exhaust.temperature[slot].to_bits());
        now.push(exhaust.humidity_ratio[slot].to_bits());
        seen.push(now);
        if stretch == STRETCHES / 2 {
            // A finished neighbour is written out and its slot refilled.
            let lane = (slot + 2) % WIDTH;
            if let Some(other) = company[lane] {
                pour(&mut block, lane, other);
            }
        }
    }
    seen
}

fn identical(isotherm: IsothermForm, direction: Direction, respiration: bool) {
    let layers = 9;
    let scenarios: Vec<Scenario> = (0..WIDTH as u64).map(|n| scenario(n, isotherm, layers)).collect();
    let mut group = full_group(layers);
    group.family = bed::IsothermFamily::of(&isotherm).0;
    group.direction = direction;
    if !respiration {
        group.respiration = Respiration::None;
    }
    let nobody = [None; WIDTH];
    for (number, alone) in scenarios.iter().enumerate() {
        let expected = trace(InstructionSet::Baseline, &group, alone, 0, &nobody);
        let last = expected.last().expect("there are stretches");
        assert!(last.iter().all(|b| f64::from_bits(*b).is_finite()), "scenario {number} leaves the numbers");
        for set in InstructionSet::available() {
            assert!(trace(set, &group, alone, 5, &nobody) == expected, "{set:?}: scenario {number} alone in slot 5");
            for slot in [0, 3, 7] {
                let company = std::array::from_fn(|lane| {
                    (lane != (slot + 1) % WIDTH).then(|| &scenarios[(number + lane + WIDTH - slot) % WIDTH])
                });
                let seen = trace(set, &group, alone, slot, &company);
                let first = seen.iter().zip(&expected).position(|(a, b)| a != b);
                assert!(first.is_none(), "{set:?}: scenario {number} in slot {slot} in company differs at {first:?}");
            }
        }
    }
}

#[test]
fn henderson_with_respiration() {
    identical(CORN, Direction::Up, true);
}

#[test]
fn henderson_downwards() {
    identical(CORN, Direction::Down, true);
}

#[test]
fn chung_pfost() {
    identical(WHEAT, Direction::Up, false);
}

#[test]
fn halsey() {
    identical(IsothermForm::ModifiedHalsey { a: 2.87, b: -0.0054, c: 1.38 }, Direction::Up, false);
}

#[test]
fn oswin() {
    identical(IsothermForm::ModifiedOswin { a: 15.303, b: -0.10164, c: 3.0358 }, Direction::Down, false);
}

#[test]
fn cromarty() {
    identical(IsothermForm::Cromarty { oil: 0.2 }, Direction::Up, false);
}

/// A copy taken half-way and carried on ends where the original ends: no state hides outside the block.
#[test]
fn a_copy_carries_on_alike() {
    let group = full_group(9);
    let scenarios: Vec<Scenario> = (0..WIDTH as u64).map(|n| scenario(n, CORN, 9)).collect();
    for set in InstructionSet::available() {
        let mut block = Block::on(set, group.clone(), &scenarios[0].column);
        for (lane, scenario) in scenarios.iter().enumerate() {
            pour(&mut block, lane, scenario);
        }
        let run = |block: &mut Block, stretches: std::ops::Range<usize>| {
            for stretch in stretches {
                let mut air = Air::default();
                for (lane, scenario) in scenarios.iter().enumerate() {
                    set_air(&mut air, lane, &scenario.hours[stretch]);
                }
                block.advance(&air);
            }
        };
        run(&mut block, 0..STRETCHES / 2);
        let mut copy = block.clone();
        run(&mut block, STRETCHES / 2..STRETCHES);
        // The original ran on in between; the copy must not have noticed.
        run(&mut copy, STRETCHES / 2..STRETCHES);
        for lane in 0..WIDTH {
            assert_eq!(bits(&block, lane), bits(&copy, lane), "{set:?} lane {lane}");
        }
    }
}
