//! Tables of gas, propane, ducts, sound and combustion, one test a table; the failing row is named.

mod common;

use common::{Worst, celsius, table};
use notice::quantity::{BTU_J, INCH_WATER_PA, POUND_KG};
use physics::{
    air::{STANDARD_PRESSURE, standard_density_ratio},
    combustion::{Fuel, PROPANE},
    duct, fan_sound,
    gas_pipe::{self, Line, PipeGas, SCHEDULE_40},
    orifice,
    perforated_duct::PerforatedDuct,
    propane,
    propane_tank::{self, CUSTOMARY_LIQUID, Tank},
    sound,
    spreading::{TwoTerm, duct_row},
};

const CUBIC_FOOT_PER_HOUR: f64 = 0.028316846592 / 3600.0;
const BTU_PER_HOUR: f64 = BTU_J / 3600.0;
const PSI: f64 = 6_894.757_293_168_361;

#[test]
fn orifices() {
    let mut worst = Worst::default();
    let rows = table("orifices");
    assert_eq!(rows.len(), 144);
    for row in rows {
        let pressure = row.number("pressure_inwc") * INCH_WATER_PA;
        let diameter = row.number("diameter_in") * 0.0254;
        let ours = orifice::low_pressure_flow(diameter, 0.90, pressure, row.number("specific_gravity"));
        let (ours, printed) = (ours / CUBIC_FOOT_PER_HOUR, row.number("flow_ft3_h"));
        worst.see("flow, relative", (ours / printed - 1.0).abs(), row.1);
        let allowed = 5e-4 + row.number("tolerance") * printed;
        assert!((ours - printed).abs() <= allowed, "line {}: {ours:.4} against {printed}", row.1);
    }
    worst.say("orifices");
}

#[test]
fn gas_pipes() {
    let mut worst = Worst::default();
    for row in table("gas-pipes") {
        let inside = SCHEDULE_40.iter().find(|(name, _)| *name == row.text("nominal_in")).unwrap().1;
        let fuel = Fuel::by_name(row.text("gas")).unwrap();
        let length = row.number("length_ft") * 0.3048;
        let line = match (row.optional("drop_inwc"), row.optional("from_psig")) {
            (Some(drop), _) => Line::Low { drop: drop * INCH_WATER_PA },
            (None, from) => {
                let from = from.unwrap() * PSI + STANDARD_PRESSURE;
                Line::High { from, to: from - row.number("drop_psi") * PSI }
            }
        };
        let flow = gas_pipe::flow(inside, length, line, PipeGas::of(&fuel));
        let ours = match row.text("unit") {
            "ft3/h" => flow / CUBIC_FOOT_PER_HOUR,
            _ => flow * fuel.gas_heating_value / BTU_PER_HOUR / 1000.0,
        };
        let off = ours / row.number("value") - 1.0;
        worst.see("capacity, relative", off.abs(), row.1);
        assert!((0.0..=row.number("tolerance")).contains(&off), "line {}: {ours:.0}, {off:+.4}", row.1);
    }
    worst.say("gas pipes");
}

#[test]
fn tanks() {
    let mut worst = Worst::default();
    // The factor is free of the size; any tank shows it.
    let tank = Tank { diameter: 40.0 * 0.0254, length: 190.0 * 0.0254 };
    for row in table("tanks") {
        let ours = match row.text("quantity") {
            "factor" => {
                let draw = tank.vapour(row.number("fill_pct") / 100.0, celsius(row.number("air_f")), CUSTOMARY_LIQUID);
                draw * PROPANE.higher_heating_value / BTU_PER_HOUR / (40.0 * 190.0)
            }
            _ => 100.0 * propane_tank::permitted_fill(0.42, 0.510, 1.031),
        };
        let off = (ours - row.number("value")).abs();
        worst.see("tank, relative", off / row.number("value"), row.1);
        assert!(off <= row.number("tolerance"), "line {}: {ours:.2} against {}", row.1, row.text("value"));
    }
    worst.say("tanks");
}

#[test]
fn propane_properties() {
    let mut worst = Worst::default();
    let mut missed = Vec::new();
    for row in table("propane") {
        let t = celsius(row.number("temperature_f"));
        let (kind, ours) = match row.text("quantity") {
            "gauge pressure" => ("pressure (psi)", (propane::saturation_pressure(t) - STANDARD_PRESSURE) / PSI),
            "latent heat" => ("latent heat (Btu/lb)", propane::latent_heat(t) / 2326.0),
            _ => ("density (lb/gal)", propane::liquid_density(t) / POUND_KG * 3.785411784e-3),
        };
        let off = (ours - row.number("value")).abs();
        worst.see(kind, off, row.1);
        if off > row.number("tolerance") {
            missed.push(format!(
                "{} at {} F: {ours:.1} against {}",
                kind,
                row.text("temperature_f"),
                row.text("value")
            ));
        }
    }
    worst.say("propane");
    // FIXME: three points of a chart read to 1 psi. 34 at 10 °F lies off any smooth line (24.5 and 42 beside it; the label of 0 °F is
    // lost in the copy); at 80 °F it reads 1 % low, at 110 °F 2 % high against the equation of state.
    let known = ["10 F: 31.8 against 34", "80 F: 129.4 against 128", "110 F: 199.3 against 204"];
    assert_eq!(missed, known.map(|k| format!("pressure (psi) at {k}")));
}

#[test]
fn high_pressure_orifice_and_vaporiser() {
    for row in table("high-pressure") {
        let gauge = row.number("gauge_psi") * PSI;
        let gas = celsius(row.number("gas_f"));
        let ours = match row.optional("liquid_f") {
            Some(liquid) => propane::vaporiser_heat(celsius(liquid), gas, gauge + STANDARD_PRESSURE) / 2326.0,
            None => {
                let mass = orifice::mass_flow(0.125 * 0.0254, 0.90, gauge, STANDARD_PRESSURE, gas, &PROPANE);
                mass * PROPANE.higher_heating_value / BTU_PER_HOUR / 1000.0
            }
        };
        println!(
            "{} at {} psi: {ours:.1}, expected {}",
            row.text("quantity"),
            row.text("gauge_psi"),
            row.text("value")
        );
        let off = (ours / row.number("value") - 1.0).abs();
        assert!(off <= row.number("tolerance"), "line {}: {ours:.2} against {}", row.1, row.text("value"));
    }
}

#[test]
fn sound_tables() {
    for row in table("sound") {
        let input = row.number("input");
        let ours = match row.text("quantity") {
            "permitted exposure" => sound::permitted_exposure(input) / 3600.0,
            "off-peak correction" => fan_sound::off_peak(input),
            other => panic!("line {}: {other}", row.1),
        };
        let off = (ours - row.number("value")).abs();
        assert!(off <= row.number("tolerance"), "line {}: {ours:.3} against {}", row.1, row.text("value"));
    }
}

/// The ducts of the textbook example: Fanning's 0.008 is Darcy's 0.032.
fn textbook(quantity: &str) -> f64 {
    let round = |d: f64| 0.25 * std::f64::consts::PI * d * d;
    let (inlet, outlet) = (0.2 / round(0.15), 0.8 / round(0.3));
    assert!((inlet - outlet).abs() < 1e-12);
    let pressure = duct::velocity_pressure(inlet, 1.2);
    let before = (4.0 + duct::straight(0.032, 10.0, 0.15)) * pressure;
    let after = duct::straight(0.032, 20.0 + 20.0 * 0.3, 0.3) * pressure;
    match quantity {
        "velocity in both ducts" => inlet,
        "inlet side loss" => before,
        "outlet side loss" => after,
        _ => before + after,
    }
}

#[test]
fn ducts() {
    for row in table("ducts") {
        let a = row.optional("a").unwrap_or(f64::NAN);
        let law = TwoTerm { linear: 700.0, quadratic: 9000.0 };
        let ours = match (row.text("id"), row.text("quantity")) {
            ("douglas-14.6", quantity) => textbook(quantity),
            ("cyl-Forch-1", _) => law.cylinder(0.2, 0.3, 3.0),
            ("sph-Forch-1", _) => law.sphere(0.5, 0.3, 3.0),
            (_, "friction factor") => duct::friction_factor(a, row.number("b")),
            (_, "manning factor") => duct::manning_factor(a, row.number("b")),
            (_, "row of ducts") => duct_row(a, row.number("b"), row.number("c")),
            (_, "density ratio") => standard_density_ratio(a * 0.3048),
            (_, "pressure rise") => {
                let duct = PerforatedDuct { diameter: 0.3, length: 20.0, friction_factor: a, regain: 1.0 };
                duct.pressure_rise(10.0, 1.2)
            }
            other => panic!("line {}: {other:?}", row.1),
        };
        let off = (ours - row.number("value")).abs();
        assert!(
            off <= row.number("tolerance"),
            "line {} ({}): {ours} against {}",
            row.1,
            row.text("id"),
            row.text("value")
        );
    }
}

#[test]
fn combustion() {
    let million = 1e6 * BTU_J;
    for row in table("combustion") {
        let fuel = Fuel::by_name(row.text("fuel")).unwrap();
        let ours = match row.text("quantity") {
            "carbon dioxide per heat" => fuel.carbon_dioxide / fuel.higher_heating_value * million,
            "air" => fuel.stoichiometric_air * fuel.molar_mass / 28.9645,
            "gas heating value against mass" => fuel.higher_heating_value / 2326.0 / 8.66,
            // 42 gallons in a barrel.
            "heating value per gallon" => {
                fuel.liquid_density.unwrap() * 3.785411784e-3 * 42.0 * fuel.higher_heating_value / million
            }
            "water per heat" => fuel.water / fuel.higher_heating_value * 0.1 * million / POUND_KG,
            other => panic!("line {}: {other}", row.1),
        };
        let off = ours / row.number("value") - 1.0;
        println!("{} {}: {ours:.4}, {off:+.4}", row.text("fuel"), row.text("quantity"));
        assert!(off.abs() <= row.number("tolerance"), "line {}: {ours} against {}", row.1, row.text("value"));
    }
}
