//! The demonstration rows of burner before and after the fan, and what the trade says of it.

mod common;
use common::*;
use equipment::*;

/// Grain of the demonstration: 3.0 in. at 13,333.33 cfm through 1 m², exponent 1.5, stated for 70 °F.
struct PowerLaw;

impl GrainLaw for PowerLaw {
    fn gradient(&self, velocity: f64) -> f64 {
        3.0 * INCH_OF_WATER * (velocity / (13_333.33 * CFM)).powf(1.5)
    }
    fn exponent(&self, _: f64) -> f64 {
        1.5
    }
}

fn demonstration(side: BurnerSide, rise_f: f64) -> AirPoint {
    // Powerless fan: the demonstration knows no fan heat.
    let at =
        |q: f64| CurvePoint { pressure: (7.0 - 3.0e-4 * q) * INCH_OF_WATER, airflow: q * CFM, shaft_power: Some(0.0) };
    let points: Vec<CurvePoint> = (0..=7).map(|i| at(21_000.0 - 3_000.0 * f64::from(i))).collect();
    let curve = FanCurve::new(&points, 0.075 * 16.018463, FanKind::Other).unwrap();
    let fan = Fan::new("straight", FanKind::Other, Origin::Invented, curve, 10_000.0, 29.0).unwrap();
    let outfit = Outfit::new(vec![fan], Arrangement::Parallel).unwrap();
    let system = AirSystem::new(outfit, PressureBudget::default(), 1.0, Direction::Pressure).unwrap();
    let grain = GrainTerms { law: PowerLaw, effective_depth: 1.0, velocity_range: None };
    // Barometer at which dry air of 70 °F has 0.075 lb/ft³.
    let pressure = 0.075 * 16.018463 * physics::air::GAS_CONSTANT_DRY_AIR * 529.67 / 1.8;
    let heat = Heat { amount: HeatAmount::Rise(rise_f / 1.8), side, water_per_joule: 0.0 };
    let mut air = AirConditions::ambient((40.0 - 32.0) / 1.8, 0.0, pressure, 1);
    air.heat = heat;
    system.solve(&air, &grain)
}

/// Within 0.3 %: the rows are printed to four digits, and our viscosity follows Sutherland from 20 °C where theirs is T^0.7
/// from 70 °F. The issue asks for 1 %.
#[test]
fn the_demonstration_rows() {
    for row in include_str!("tables/burner-place.csv").lines().filter(|l| !l.starts_with('#')).skip(1) {
        let cell: Vec<&str> = row.split(',').collect();
        let n = |i: usize| cell[i].parse::<f64>().unwrap();
        let side = if cell[1] == "inlet" { BurnerSide::Inlet } else { BurnerSide::Discharge };
        let p = demonstration(side, n(2));
        let found = [p.fan_airflow / CFM, p.fan_static_pressure / INCH_OF_WATER, p.dry_air_flow * 60.0 / 0.45359237];
        for (found, stated) in found.into_iter().zip([n(3), n(4), n(5)]) {
            println!("{row}: {:+.3} %", 100.0 * (found / stated - 1.0));
            assert!((found / stated - 1.0).abs() < 3e-3, "{row}: {found} against {stated}");
        }
    }
}

/// Common practice, no source beyond the demonstration: a burner after the fan gives more drying capacity (dry air at equal
/// rise) than one before it, by about 2 % at 10 °F of rise, 10 % at 60, a fifth at the largest.
#[test]
fn a_discharge_burner_gives_more_capacity_than_an_inlet_burner() {
    let gain = |rise: f64| {
        demonstration(BurnerSide::Discharge, rise).dry_air_flow / demonstration(BurnerSide::Inlet, rise).dry_air_flow
            - 1.0
    };
    assert!((gain(10.0) - 0.02).abs() < 0.005, "{}", gain(10.0));
    assert!((gain(60.0) - 0.10).abs() < 0.01, "{}", gain(60.0));
    assert!((gain(140.0) - 0.20).abs() < 0.04, "{}", gain(140.0));
}

/// The same with a demo fan on corn, fan heat and budget included.
#[test]
fn so_it_does_with_a_real_outfit() {
    let system = system(&["demo-centrifugal-25hp"], Arrangement::Parallel, 30.0);
    let flow = |side: BurnerSide, rise: f64| {
        let mut c = air(4.4, 1);
        c.heat = Heat { amount: HeatAmount::Rise(rise / 1.8), side, water_per_joule: 0.0 };
        let p = system.solve(&c, &corn(5.0 * 1.5));
        assert_eq!(p.outcome, Outcome::Works);
        p.dry_air_flow
    };
    let gain = |rise: f64| flow(BurnerSide::Discharge, rise) / flow(BurnerSide::Inlet, rise) - 1.0;
    assert!((0.012..0.028).contains(&gain(10.0)), "{}", gain(10.0));
    assert!((0.07..0.13).contains(&gain(60.0)), "{}", gain(60.0));
    assert!(gain(140.0) > gain(60.0));
}

/// A heat flow and the rise it makes are the same working point, on either side.
#[test]
fn watts_and_rise_agree() {
    let system = system(&["demo-centrifugal-10hp"], Arrangement::Parallel, 30.0);
    for side in [BurnerSide::Discharge, BurnerSide::Inlet] {
        let mut c = air(5.0, 1);
        c.heat = Heat { amount: HeatAmount::Rise(25.0), side, water_per_joule: 3.5e-8 };
        let by_rise = system.solve(&c, &corn(6.0));
        c.heat.amount = HeatAmount::Watts(by_rise.burner_heat);
        let by_watts = system.solve(&c, &corn(6.0));
        assert!((by_watts.burner_rise - 25.0).abs() < 1e-5, "{side:?} {}", by_watts.burner_rise);
        assert!((by_watts.dry_air_flow / by_rise.dry_air_flow - 1.0).abs() < 1e-7);
    }
}

/// The heat reference, rows H04 and H05: 20,000 cfm at 40 °F, 70 %, 20 °F of rise take 457,700 Btu/h and 5.43 gal/h of
/// propane burned directly (0.5 % and 1 % there).
#[test]
fn heat_and_fuel_of_a_stated_airflow() {
    let (t, p) = ((40.0 - 32.0) / 1.8, 101_325.0);
    let w = AirReading { temperature: t, relative_humidity: 0.70 }.humidity_ratio(p);
    let dry_air = 20_000.0 * CFM / physics::air::specific_volume(t, w, p);
    let burner = demo::demo_burners().into_iter().find(|b| b.fuel == Fuel::Propane && b.firing == Firing::Modulating);
    let fired = burner.unwrap().fire(BurnerCommand::Rise(20.0 / 1.8), t, w, p, dry_air);
    assert!((fired.heat / 0.29307107 / 457_700.0 - 1.0).abs() < 5e-3);
    // 91,502 Btu and 21,548 Btu/lb make a gallon of 4.246 lb.
    let gallons = fired.fuel * 3600.0 / 0.45359237 / (91_502.0 / 21_548.0);
    assert!((gallons / 5.43 - 1.0).abs() < 1e-2, "{gallons}");
    // Row H06: plenum humidity 41.6 % from 40 °F, 80 % (0.3 points there).
    let w = AirReading { temperature: t, relative_humidity: 0.80 }.humidity_ratio(p);
    let burners = demo::demo_burners();
    for (fuel, stated) in [(Fuel::Propane, 0.416), (Fuel::NaturalGas, 0.426), (Fuel::Electric, 0.380)] {
        let b = Burner { capacity: 1e6, firing: Firing::Modulating, minimum_fire: 0.1, fuel, ..burners[0].clone() };
        let fired = b.fire(BurnerCommand::Rise(20.0 / 1.8), t, w, p, dry_air);
        let plenum = AirReading::of(t + fired.rise, w + fired.water_added, p);
        assert!((plenum.relative_humidity - stated).abs() < 0.003, "{fuel:?}: {}", plenum.relative_humidity);
    }
}
