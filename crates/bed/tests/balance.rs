//! Water and energy through a cycle of drying, wetting and drying again, and while the fan rests.

mod common;

use bed::{Air, Block, ColumnParams, Respiration};
use common::*;
use numerics::WIDTH;
use physics::sorption::SorptionHeat;

const HOUR: f64 = 3600.0;

/// Blows for some hours with air of a temperature and relative humidity.
fn blow(block: &mut Block, lane: usize, t: f64, humidity: f64, hours: usize) {
    let air = air(lane, t, humidity_ratio(t, humidity), 0.0725, HOUR);
    for _ in 0..hours {
        block.advance(&air);
    }
}

fn rest(block: &mut Block, lane: usize, outside: f64, hours: usize) {
    let mut air = air(lane, outside, 0.004, 0.0, HOUR);
    air.outside[lane] = outside;
    for _ in 0..hours {
        block.advance(&air);
    }
}

/// Cold dry air, warm humid air, cold dry air, with rests between: every process of the layer works both ways.
#[test]
fn a_cycle_of_drying_and_wetting_closes() {
    let lane = 3;
    let mut block = Block::new(full_group(20), &full_corn());
    fill(&mut block, lane, 4.5, 580.0, 0.25, 20.0);
    let mut means = vec![block.mean_moisture(lane).0];
    for (t, humidity, hours) in [(2.0, 0.35, 600), (28.0, 0.93, 600), (-4.0, 0.40, 600)] {
        blow(&mut block, lane, t, humidity, hours);
        means.push(block.mean_moisture(lane).0);
        rest(&mut block, lane, -8.0, 100);
        let residual = block.residual(lane);
        println!("after {t} °C, {humidity}: {:.4} d.b., {residual:?}", means[means.len() - 1]);
        assert!(residual.water < 1e-9 && residual.energy < 1e-9, "{residual:?}");
    }
    assert!(means[1] < means[0] - 0.03 && means[2] > means[1] + 0.02 && means[3] < means[2] - 0.01, "{means:?}");
    let b = block.balance(lane);
    assert!(b.water_moved > b.water_to_air.abs() + 100.0, "the cycle moved water both ways: {b:?}");
    assert!(b.energy_to_wall > 0.0 && b.water_in > 0.25 * 4.5 * 580.0, "respiration and wall took part: {b:?}");
}

/// Warm kernels kept in equilibrium with their air, driven through a loop and back to the first air: water and energy
/// given over the loop are zero, for enthalpy depends on moisture and temperature alone.
#[test]
fn enthalpy_is_a_state_function() {
    for kinetics in [None, Some(CORN_KERNEL)] {
        let column = ColumnParams { kinetics, adsorption_gap: 0.0, wall_conductance: 0.0, ..full_corn() };
        let mut group = full_group(4);
        group.respiration = Respiration::None;
        let mut block = Block::new(group, &column);
        fill(&mut block, 0, 0.2, 580.0, 0.18, 20.0);
        blow(&mut block, 0, 20.0, 0.60, 6000);
        let (first, stored, given) = (block.layer(0, 3), block.stored(0), block.balance(0));
        blow(&mut block, 0, 3.0, 0.30, 300);
        let cold = block.layer(0, 3);
        blow(&mut block, 0, 35.0, 0.85, 300);
        let humid = block.layer(0, 3);
        blow(&mut block, 0, 20.0, 0.60, 6000);
        let last = block.layer(0, 3);
        assert!((cold.moisture - humid.moisture).abs() > 0.02, "the loop is wide: {cold:?} {humid:?}");
        assert!((first.moisture - last.moisture).abs() < 1e-6, "{first:?} {last:?}");
        assert!((first.temperature - last.temperature).abs() < 1e-5);
        let now = block.balance(0);
        let moved = now.energy_moved - given.energy_moved;
        let net = now.energy_to_air - given.energy_to_air;
        println!("net {net:.3} of {moved:.0} J/m² moved");
        assert!(net.abs() < 1e-5 * moved, "net {net} of {moved} J/m²");
        assert!((block.stored(0).1 - stored.1).abs() < 1e-5 * moved);
        // To rounding where the state is the same to rounding: enthalpy is that of moisture and temperature.
        for layer in block.layers(0) {
            let expected = block.enthalpy_of(0, layer.moisture, layer.temperature);
            let mass = layer.dry_matter;
            let parcel = block.parcel(0, mass, layer.moisture, layer.temperature);
            assert_eq!(parcel.enthalpy, expected);
        }
        let held: f64 = block.layers(0).map(|l| l.dry_matter * block.enthalpy_of(0, l.moisture, l.temperature)).sum();
        assert!((held - block.stored(0).1).abs() < 1e-12 * held.abs().max(moved));
    }
}

/// Columns of dry matter alone, so that closed forms apply.
fn conducting(wall: f64) -> ColumnParams {
    ColumnParams { sorption: SorptionHeat::NONE, wall_conductance: wall, ..bare(CORN) }
}

const DEPTH: f64 = 3.0;
const MOISTURE: f64 = 0.18;

/// Volumetric heat capacity of [`conducting`] at [`MOISTURE`], J/(m³ K).
fn capacity() -> f64 {
    580.0 * (1300.0 + 4187.0 * MOISTURE)
}

/// A cosine across an insulated slab decays with the rate α (π/L)²; each step divides by one plus the discrete rate.
#[test]
fn conduction_decays_as_a_slab_does() {
    let mut errors = Vec::new();
    for (layers, step) in [(10usize, 24.0 * HOUR), (20, 6.0 * HOUR), (40, 1.5 * HOUR)] {
        let column = conducting(0.0);
        let mut block = Block::new(group(layers, &column), &column);
        let full = DEPTH * 580.0 / layers as f64;
        let shape = |i: usize| (std::f64::consts::PI * (i as f64 + 0.5) / layers as f64).cos();
        for i in 0..layers {
            let parcel = block.parcel(0, full, MOISTURE, 10.0 + 8.0 * shape(i));
            block.add(0, &parcel, full).expect("a slot is free");
        }
        let mut still = air(0, 10.0, 0.004, 0.0, step);
        still.outside[0] = -20.0;
        let days = 60.0;
        let steps = (days * 24.0 * HOUR / step).round() as i32;
        let stored = block.stored(0);
        (0..steps).for_each(|_| {
            block.advance(&still);
        });
        let diffusivity = column.conductivity / capacity();
        let spacing = DEPTH / layers as f64;
        let half = (std::f64::consts::PI / (2.0 * layers as f64)).sin();
        let discrete = 4.0 * diffusivity / (spacing * spacing) * half * half;
        let expected = (1.0 + discrete * step).powi(-steps);
        let exact = (-diffusivity * (std::f64::consts::PI / DEPTH).powi(2) * days * 24.0 * HOUR).exp();
        for i in 0..layers {
            let t = block.layer(0, i).temperature;
            assert!((t - 10.0 - 8.0 * shape(i) * expected).abs() < 1e-9, "layer {i}: {t}");
        }
        let seen = (block.layer(0, 0).temperature - 10.0) / (8.0 * shape(0));
        println!("{layers} layers, steps of {} h: {seen:.6} of the swing left, closed form {exact:.6}", step / HOUR);
        errors.push((seen - exact).abs());
        let residual = block.residual(0);
        assert!(residual.energy < 1e-12 && residual.water < 1e-12, "{residual:?}");
        assert!((block.stored(0).1 - stored.1).abs() < 1e-10 * stored.1.abs(), "an insulated slab keeps its heat");
    }
    // Halving the spacing and quartering the step divides the error by four.
    assert!(errors[1] < 0.3 * errors[0] && errors[2] < 0.3 * errors[1], "{errors:?}");
    assert!(errors[2] < 1e-3, "{errors:?}");
}

/// An even column loses its excess over the outside to the wall as exp(−U t/C); each step divides by 1 + U Δt/C.
#[test]
fn the_wall_node_decays_exponentially() {
    let wall = 0.4;
    let column = conducting(wall);
    for step in [HOUR, 12.0 * HOUR] {
        let mut block = Block::new(group(8, &column), &column);
        fill(&mut block, 0, DEPTH, 580.0, MOISTURE, 25.0);
        let mut still = air(0, 5.0, 0.004, 0.0, step);
        still.outside[0] = 5.0;
        let days = 20.0;
        let steps = (days * 24.0 * HOUR / step).round() as i32;
        (0..steps).for_each(|_| {
            block.advance(&still);
        });
        let rate = wall / capacity();
        let exact = 20.0 * (-rate * days * 24.0 * HOUR).exp();
        let implicit = 20.0 * (1.0 + rate * step).powi(-steps);
        for layer in block.layers(0) {
            assert!((layer.temperature - 5.0 - implicit).abs() < 1e-9, "{layer:?}, {implicit}");
        }
        println!("steps of {} h: {implicit:.4} K left, closed form {exact:.4} K", step / HOUR);
        // First order: 1 + x against e^x over n steps is n x²/2 of the value.
        assert!((implicit - exact).abs() < 0.6 * exact * f64::from(steps) * (rate * step).powi(2));
        let lost = capacity() * DEPTH * (20.0 - implicit);
        assert!((block.balance(0).energy_to_wall - lost).abs() < 1e-9 * lost);
        assert!(block.residual(0).energy < 1e-12);
    }
}

/// While some lanes rest with the fan off, lanes without time keep their bits, and so do lanes that blow.
#[test]
fn lanes_do_not_touch_each_other() {
    let mut block = Block::new(full_group(10), &full_corn());
    for lane in 0..WIDTH - 1 {
        fill(&mut block, lane, 3.0, 580.0, 0.20 + 0.01 * lane as f64, 15.0);
    }
    let before = block.clone();
    let mut still = Air::default();
    for lane in [1, 4] {
        still.seconds[lane] = HOUR;
        still.outside[lane] = -5.0;
    }
    block.advance(&still);
    for lane in 0..WIDTH {
        let same = (0..10).all(|i| block.layer(lane, i) == before.layer(lane, i));
        assert_eq!(same, lane != 1 && lane != 4, "lane {lane}");
        if same {
            assert_eq!(block.balance(lane), before.balance(lane));
        } else {
            assert!(block.residual(lane).energy < 1e-12);
        }
    }
}

/// Respiration of corn that lies still warms and wets it by what the loss law says, and the balance knows.
#[test]
fn respiration_is_on_the_books() {
    let column = ColumnParams { wall_conductance: 0.0, ..full_corn() };
    let mut block = Block::new(full_group(5), &column);
    fill(&mut block, 0, 2.0, 580.0, 0.30, 25.0);
    let (stored, dry) = (block.stored(0), block.mean_moisture(0).1);
    rest(&mut block, 0, 25.0, 48);
    let now = block.stored(0);
    let (water, heat) = (now.0 - stored.0, now.1 - stored.1);
    assert!(water > 0.0 && block.temperatures(0).1 > 25.1, "{water} {:?}", block.temperatures(0));
    // Glucose: 15.7 MJ and 0.6 kg of water a kilogram lost. The water also binds to the grain, which releases heat that stays.
    let lost = heat / 15.7e6;
    assert!((water - 0.6 * lost).abs() < 1e-9 * lost, "{water} of {lost}");
    // Loss by the law at the equivalent time reached, within the first-order error of hourly steps.
    let law = dry * physics::storability::corn_loss(block.layer(0, 2).equivalent_time);
    assert!((lost / law - 1.0).abs() < 0.01, "{lost} against {law}");
    assert!(block.residual(0).energy < 1e-12 && block.residual(0).water < 1e-12);
}

/// Warm wet corn left alone heats itself; it must come to rest at what its fungi bear, and the books stay closed.
#[test]
fn self_heating_ends() {
    let column = ColumnParams { wall_conductance: 0.0, ..full_corn() };
    let mut block = Block::new(full_group(5), &column);
    fill(&mut block, 0, 2.0, 580.0, 0.33, 30.0);
    rest(&mut block, 0, 25.0, 24 * 120);
    let (mean, _, high) = block.temperatures(0);
    assert!(mean > 50.0 && high < 60.5, "{mean} {high}");
    assert!(block.mean_moisture(0).0 < 0.40, "{}", block.mean_moisture(0).0);
    assert!(block.residual(0).energy < 1e-12 && block.residual(0).water < 1e-12);
}
