//! The compiled map against the solver it stands for, stall and held first points included.

mod common;
use common::*;
use equipment::*;
use numerics::random::Stream;

/// What was met over random conditions.
#[derive(Default, Debug)]
struct Met {
    works: usize,
    held: usize,
    unstable: usize,
    beyond: usize,
    worst_flow: f64,
    /// Against 1.5 Pa + 0.2 %: near free air a small error of airflow is a large fraction of a small pressure.
    worst_pressure: f64,
    worst_power: f64,
    worst_fan_heat: f64,
    flags_off: usize,
}

/// Solves and looks up at random air, heat and depth; asserts agreement and counts what was met.
fn compare(system: &AirSystem, fans: usize, deepest: f64, seed: u64) -> Met {
    let map = AirMap::new(system, CORN, None);
    let mut random = Stream::new(seed);
    let mut met = Met::default();
    for _ in 0..20_000 {
        let mut between = |low: f64, high: f64| low + (high - low) * random.uniform();
        let (t, h, pressure) = (between(-30.0, 40.0), between(0.1, 1.0), between(80e3, 104e3));
        let w = AirReading { temperature: t, relative_humidity: h }.humidity_ratio(pressure);
        let rise = if between(0.0, 1.0) < 0.5 { 0.0 } else { between(0.0, 40.0) };
        let side = if between(0.0, 1.0) < 0.5 { BurnerSide::Inlet } else { BurnerSide::Discharge };
        let depth = between(0.0, deepest);
        let heat = Heat { amount: HeatAmount::Rise(rise), side, water_per_joule: 3.5e-8 };
        let conditions =
            AirConditions { temperature: t, humidity_ratio: w, pressure, heat, grain_exit: None, fans_running: fans };
        let solved = system.solve(&conditions, &corn(depth));
        let found = map.at(&MapQuery::new(t, w, pressure, rise, &heat, depth, fans));
        match solved.outcome {
            Outcome::Works => met.works += 1,
            Outcome::HeldBelowFirst => met.held += 1,
            Outcome::Unstable => met.unstable += 1,
            _ => met.beyond += 1,
        }
        if found.outcome != solved.outcome {
            // Only where 0.1 % of depth decides it.
            let near = |d: f64| system.solve(&conditions, &corn(depth * d)).outcome;
            assert!(near(0.999) != near(1.001), "{found:?}\n{solved:?}\n{conditions:?} {depth}");
            met.flags_off += 1;
            continue;
        }
        if solved.dry_air_flow == 0.0 {
            assert_eq!(found.dry_air_flow, 0.0);
            continue;
        }
        let off = |a: f64, b: f64| (a / b - 1.0).abs();
        // In stall two branches may lie side by side; a jump between them within 0.1 % of depth is the curve's own.
        if solved.outcome == Outcome::Unstable && off(found.dry_air_flow, solved.dry_air_flow) > 2e-3 {
            let near = |d: f64| system.solve(&conditions, &corn(depth * d)).dry_air_flow;
            assert!(off(near(0.999), near(1.001)) > 1e-2, "{found:?}\n{solved:?}");
            continue;
        }
        met.worst_flow = met.worst_flow.max(off(found.dry_air_flow, solved.dry_air_flow));
        met.worst_pressure = met
            .worst_pressure
            .max((found.plenum_pressure - solved.plenum_pressure).abs() / (1.5 + 2e-3 * solved.plenum_pressure));
        met.worst_power = met.worst_power.max(off(found.input_power, solved.input_power));
        met.worst_fan_heat = met.worst_fan_heat.max((found.fan_heat - solved.fan_heat).abs());
    }
    println!("{met:?}");
    assert!(met.worst_flow < 2e-3 && met.worst_power < 2e-3, "{met:?}");
    assert!(met.worst_pressure < 1.0 && met.worst_fan_heat < 0.02, "{met:?}");
    met
}

#[test]
fn a_centrifugal_alone_and_in_company() {
    let two = system(&["demo-centrifugal-10hp"; 2], Arrangement::Parallel, 33.0);
    assert!(compare(&two, 1, 30.0, 1).works > 10_000);
    assert!(compare(&two, 2, 20.0, 2).works > 10_000);
}

#[test]
fn an_axial_into_stall() {
    let met = compare(&system(&["demo-axial-10hp"], Arrangement::Parallel, 27.0), 1, 16.0, 3);
    assert!(met.unstable > 1000 && met.works > 1000, "{met:?}");
}

#[test]
fn fans_in_series() {
    compare(&system(&["demo-inline-10hp"; 2], Arrangement::Series, 27.0), 2, 60.0, 4);
}

#[test]
fn unlike_fans_in_parallel() {
    let met = compare(&system(&["demo-centrifugal-15hp", "demo-inline-10hp"], Arrangement::Parallel, 33.0), 2, 50.0, 5);
    assert!(met.works > 5000, "{met:?}");
}

/// A trade table from 1 to 5 in.: first point held, then stable, then beyond.
#[test]
fn a_short_table() {
    let points: Vec<CurvePoint> = [(1.0, 12e3), (2.0, 10.7e3), (3.0, 9e3), (4.0, 6.8e3), (5.0, 3.9e3)]
        .into_iter()
        .map(|(p, q)| point(p, q))
        .collect();
    let kind = FanKind::CentrifugalLowSpeed;
    let curve = FanCurve::new(&points, STANDARD_DENSITY, kind).unwrap();
    let fan = Fan::new("table", kind, Origin::Published, curve, 7457.0, 29.0).unwrap();
    let area = bin_area(27.0);
    for direction in [Direction::Pressure, Direction::Suction] {
        let outfit = Outfit::new(vec![fan.clone()], Arrangement::Parallel).unwrap();
        let system = AirSystem::new(outfit, usual_budget(area), area, direction).unwrap();
        if direction == Direction::Pressure {
            let met = compare(&system, 1, 40.0, 6);
            assert!(met.held > 300 && met.beyond > 1000 && met.works > 1000, "{met:?}");
        } else {
            suction(&system);
        }
    }
}

fn suction(system: &AirSystem) {
    let map = AirMap::new(system, CORN, None);
    let mut random = Stream::new(7);
    for _ in 0..5000 {
        let mut between = |low: f64, high: f64| low + (high - low) * random.uniform();
        let (t, exit, depth) = (between(-20.0, 30.0), (between(0.0, 25.0), 0.006), between(2.0, 7.0));
        let mut conditions = AirConditions::ambient(t, 0.002, 101_325.0, 1);
        conditions.grain_exit = Some(exit);
        let solved = system.solve(&conditions, &corn(depth));
        let found = map.at(&MapQuery::suction(t, 0.002, 101_325.0, exit, depth, 1));
        assert_eq!(found.outcome, solved.outcome);
        assert!((found.dry_air_flow / solved.dry_air_flow - 1.0).abs() < 2e-3);
        assert_eq!(found.fan_heat, 0.0);
    }
}

#[test]
fn the_map_is_monotone_in_depth() {
    let map = AirMap::new(&system(&["demo-centrifugal-10hp"], Arrangement::Parallel, 30.0), CORN, None);
    let mut before = f64::INFINITY;
    for i in 0..5000 {
        let depth = 0.002 * f64::from(i);
        let p = map.at(&MapQuery::new(8.0, 0.005, 99e3, 6.0, &Heat::NONE, depth, 1));
        assert!(p.dry_air_flow <= before * (1.0 + 1e-4), "at {depth}: {} after {before}", p.dry_air_flow);
        before = p.dry_air_flow;
    }
}
