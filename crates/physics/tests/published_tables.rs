//! Published and reference tables, one test a table; the failing row is named. Run with `--nocapture` to read how close.

mod common;

use common::{Worst, celsius, table};
use notice::{quantity as unit, quantity};
use physics::{
    combustion,
    isotherm::IsothermForm,
    resistance::{BedResistance, LogLaw},
    states::{Known, MoistAirState},
    storability::{StorageLaw, allowable_days},
    thin_layer::{DryingConditions, ThinLayer},
};
use std::collections::HashMap;

#[test]
fn psychrometrics() {
    let mut worst = Worst::default();
    let mut failures = Vec::new();
    for row in table("psychrometrics") {
        let known = Known::RelativeHumidity(row.number("rh_pct") / 100.0);
        let air = MoistAirState::new(row.number("dry_bulb_c"), known, row.number("pressure_pa")).unwrap();
        let line = row.1;
        let mut check = |kind: &'static str, deviation: f64, tolerance: f64| {
            worst.see(kind, deviation, line);
            if deviation > tolerance {
                failures.push(format!("line {line}: {kind} off by {deviation}, allowed {tolerance}"));
            }
        };
        // Columns print seven decimals of W, five of v: half the last digit counts where it is the coarser measure.
        let w = row.number("ash_humidity_ratio_kg_kg");
        check("W (ash, kg/kg beyond 1e-4)", ((air.humidity_ratio - w).abs() - 1e-4 * w).max(0.0), 5.1e-8);
        let v = row.number("ash_specific_volume_m3_kgda");
        check("v (ash, relative)", (air.specific_volume / v - 1.0).abs(), 1e-4);
        check("dew point (ash, K)", (air.dew_point - row.number("ash_dew_or_frost_point_c")).abs(), 0.005);
        check("wet bulb (ash, K)", (air.wet_bulb - row.number("ash_wet_bulb_c")).abs(), 0.005);
        let h = row.number("ash_enthalpy_kj_kgda");
        check("enthalpy (ash, kJ/kg)", (air.enthalpy / 1000.0 - h).abs(), 0.01);
        check(
            "saturation pressure (ash, Pa)",
            (air.saturation_pressure - row.number("ash_sat_vapour_pressure_pa")).abs(),
            0.0051,
        );
        let w = row.number("ref_humidity_ratio_kg_kg");
        // Half of the last printed digit, which is 0.1 % of the driest row.
        check("W (ref, relative)", (air.humidity_ratio / w - 1.0).abs(), 0.008 + 5e-8 / w);
        let v = row.number("ref_specific_volume_m3_kgda");
        check("v (ref, relative)", (air.specific_volume / v - 1.0).abs(), 0.002);
        check("dew point (ref, K)", (air.dew_point - row.number("ref_dew_or_frost_point_c")).abs(), 0.2);
        let reference = row.number("ref_wet_bulb_c");
        let either = |t: f64| (t - reference).abs();
        // Within 0.4 K above freezing either wet bulb is valid.
        let off = air.iced_wet_bulb.map_or(either(air.wet_bulb), |t| either(air.wet_bulb).min(either(t)));
        check("wet bulb (ref, K)", off, 0.2);
        check("enthalpy (ref, kJ/kg)", (air.enthalpy / 1000.0 - row.number("ref_enthalpy_kj_kgda")).abs(), 3.0);
    }
    worst.say("psychrometrics");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Shelled corn of ASAE D272.3 with a packing factor of 1.5 (inferred, not printed) against the Nebraska table.
#[test]
fn corn_pressures() {
    let bed = BedResistance { law: LogLaw { a: 2.07e4, b: 30.4 }, multiplier: 1.5, fines: 0.0 };
    let (mut exact, mut rows, mut worst) = (0, 0, Worst::default());
    for row in table("corn-pressures") {
        let depth = row.number("depth_ft") * 0.3048;
        let specific = row.number("airflow_cfm_per_bu") * unit::CFM_M3_S / unit::BUSHEL_M3;
        let ours = bed.static_pressure(specific, depth) / quantity::INCH_WATER_PA;
        let published = row.number("published_static_inwc");
        let off = (ours - published).abs();
        worst.see("pressure (in. water)", off, row.1);
        exact += usize::from(((ours * 10.0).round() / 10.0 - published).abs() < 1e-9);
        rows += 1;
        assert!(off < row.number("tolerance_inwc"), "line {}: {ours} against {published}", row.1);
    }
    worst.say("corn pressures");
    println!("corn pressures: {exact} of {rows} exact after rounding to 0.1 in.");
    assert_eq!(rows, 42);
}

#[test]
fn storage_times() {
    let corn = StorageLaw::CornDryMatterLoss { loss: 0.005, damage: 0.30 };
    let cereal = StorageLaw::CerealTable { moisture_shift: 0.0 };
    let sunflower = StorageLaw::CerealTable { moisture_shift: 0.05 };
    let wheat = StorageLaw::WheatGermination { divide: 1.0 };
    // Barley of Ellis and Roberts 1980 (memory), the set the reference compares.
    let barley = StorageLaw::Viability { k_e: 9.983, c_w: 5.896, c_h: 0.040, c_q: 0.000428, probits: 1.0 };
    let mut worst = Worst::default();
    let (mut exact, mut bounds) = (0, 0);
    for row in table("storage-times") {
        let moisture = row.number("moisture_pct_wb");
        let m = moisture / (100.0 - moisture);
        let t = celsius(row.number("temp_f"));
        let days = |law: &StorageLaw| allowable_days(law, m, t).unwrap();
        let published = row.number("published_days");
        let line = row.1;
        match row.text("table") {
            "A" => {
                let off = (days(&corn) - published).abs();
                worst.see("corn, table A (d)", off, line);
                assert!(off <= (0.01 * published).max(1.0), "line {line}: {} against {published}", days(&corn));
            }
            // The rows below 16 % of that table come from elsewhere; shown only.
            "A2" => println!("corn below 16 %: {moisture} % {t:.1} °C: {:.0} d, printed {published}", days(&corn)),
            "B" if row.text("operator") == "=" => {
                exact += 1;
                // Nodes of the grid: exact but for the rounding of a moisture converted to dry basis and back.
                let off = (days(&cereal) / published - 1.0).abs();
                assert!(off < 1e-11, "line {line}: {} against {published}", days(&cereal));
            }
            "B" => {
                bounds += 1;
                assert!(days(&cereal) >= published * (1.0 - 1e-11), "line {line}: {} below {published}", days(&cereal));
            }
            // Measurements: the law is optimistic by up to 1.7; our numbers must be the reference's, digits as printed there.
            "C" if row.text("operator") == "=" => {
                let ours = days(&wheat);
                println!(
                    "wheat {moisture} % {t:.0} °C: {ours:.1} d, measured {published}, ratio {:.2}",
                    ours / published
                );
                assert!((ours - row.number("reference_model_days")).abs() < 0.0501, "line {line}: {ours}");
            }
            "D" => {
                let ours = days(&barley);
                println!("malting barley {t:.1} °C: {ours:.0} d, printed {published}, ratio {:.2}", ours / published);
                assert!((ours - row.number("reference_model_days")).abs() < 0.501, "line {line}: {ours}");
            }
            // Published for sunflower; the source's interpolation is not known. Ours is logarithmic between 24 and 26 %.
            "E" => {
                let ours = days(&sunflower);
                println!("oil sunflower {moisture} % {t:.1} °C: {ours:.1} d, printed {published}");
                assert!((ours / published - 1.0).abs() < 0.05, "line {line}: {ours} against {published}");
            }
            _ => println!(
                "{}: {moisture} % {t:.1} °C: wheat {:.0} d, corn {:.0} d, printed {} {published}",
                row.text("crop"),
                days(&wheat),
                days(&corn),
                row.text("operator")
            ),
        }
    }
    worst.say("storage times");
    println!("storage times: {exact} cells of table B exact, {bounds} printed as more than 300 d");
    assert_eq!(exact + bounds, 72);
}

#[test]
fn thin_layers() {
    let mut worst = Worst::default();
    let mut failures = Vec::new();
    for row in table("thin-layer") {
        let law = ThinLayer::from_id(row.text("law")).unwrap();
        let at = DryingConditions {
            temperature: row.number("temperature_c"),
            relative_humidity: row.optional("relative_humidity").unwrap_or(0.5),
            initial_moisture: row.optional("initial_moisture_db").unwrap_or(0.3),
            velocity: row.optional("velocity_m_s").unwrap_or(0.1),
        };
        let ours = match row.text("quantity") {
            "MR" => {
                let seconds = row.number("hours") * 3600.0;
                let ratio = law.moisture_ratio(at, seconds);
                let back = law.equivalent_time(at, ratio);
                assert!((back / seconds - 1.0).abs() < 1e-9, "line {}: equivalent time {back}", row.1);
                ratio
            }
            "half time h" => law.equivalent_time(at, 0.5) / 3600.0,
            other => panic!("line {}: {other}", row.1),
        };
        let off = (ours - row.number("value")).abs();
        worst.see(if row.text("quantity") == "MR" { "moisture ratio" } else { "half time (h)" }, off, row.1);
        if off > row.number("tolerance") {
            failures.push(format!("line {} ({}): {ours} against {}", row.1, row.text("id"), row.text("value")));
        }
    }
    worst.say("thin layers");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Equivalent time across changing air, with the equilibrium of the isotherm the reference used.
#[test]
fn thin_layer_in_changing_air() {
    let isotherm = IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 };
    let (mut m, mut m0) = (0.0, 0.0);
    for row in table("thin-layer-changing-air") {
        if let Some(start) = row.optional("initial_moisture_pct_db") {
            (m, m0) = (start / 100.0, start / 100.0);
        }
        let at = DryingConditions {
            temperature: row.number("temperature_c"),
            relative_humidity: row.number("relative_humidity_pct") / 100.0,
            initial_moisture: m0,
            velocity: 0.5,
        };
        let me = isotherm.equilibrium(at.relative_humidity, at.temperature).moisture;
        assert!((me * 100.0 - row.number("equilibrium_pct_db")).abs() < 6e-4, "line {}: Me {me}", row.1);
        if let Some(hours) = row.optional("equivalent_hours") {
            let ours = ThinLayer::CornPage.equivalent_time(at, (m - me) / (m0 - me)) / 3600.0;
            assert!((ours - hours).abs() < 6e-5, "line {}: equivalent time {ours} h", row.1);
        }
        m = ThinLayer::CornPage.advance(m, me, at, row.number("hours") * 3600.0);
        let off = (m * 100.0 - row.number("moisture_pct_db")).abs();
        assert!(off < row.number("tolerance_pct"), "line {}: {} % d.b.", row.1, m * 100.0);
    }
}

#[test]
fn equilibrium_moistures() {
    let mut counts: HashMap<String, (usize, usize, f64)> = HashMap::new();
    for row in table("equilibrium") {
        let (a, b, c) = (row.number("a"), row.number("b"), row.number("c"));
        let form = match row.text("form") {
            "modified_henderson" => IsothermForm::ModifiedHenderson { a, b, c },
            "modified_chung_pfost" => IsothermForm::ModifiedChungPfost { a, b, c },
            "modified_halsey" => IsothermForm::ModifiedHalsey { a, b, c },
            "modified_oswin" => IsothermForm::ModifiedOswin { a, b, c },
            other => panic!("line {}: {other}", row.1),
        };
        let t = row.optional("temp_f").map_or_else(|| row.number("temp_c"), celsius);
        let moisture = form.equilibrium(row.number("rh_pct") / 100.0, t).moisture;
        let ours = 100.0 * moisture / (1.0 + moisture);
        let off = (ours - row.number("emc_pct_wb")).abs();
        let seen = row.text("status") == "seen";
        let count = counts.entry(format!("{} with {}", row.text("case"), row.text("coefficients"))).or_default();
        count.0 += 1;
        count.1 += usize::from(off <= 0.05 + 1e-9);
        count.2 = count.2.max(off);
        // Rows from memory are no check; they are counted and shown only.
        if seen {
            let allowed = row.number("tolerance_pct_wb");
            assert!(off <= allowed, "line {}: {ours:.3} against {}", row.1, row.text("emc_pct_wb"));
        }
    }
    let mut lines: Vec<_> = counts.into_iter().collect();
    lines.sort_by(|a, b| a.0.cmp(&b.0));
    for (name, (rows, exact, worst)) in lines {
        println!("equilibrium: {name}: {exact} of {rows} within half a printed digit, largest deviation {worst:.3}");
        if name.starts_with("corn table") || name.starts_with("five-crop") {
            // Verified tables: every row comes out as printed (a row at exactly half a digit may round either way).
            assert_eq!(rows, exact, "{name}, largest deviation {worst}");
        }
    }
}

#[test]
fn worked_heat() {
    let btu_per_hour = unit::BTU_J / 3600.0;
    for row in table("heat") {
        let id = row.text("id");
        let expected = row.number("expected");
        let elevation = row.number("elevation_ft") * 0.3048;
        let known = Known::RelativeHumidity(row.number("relative_humidity"));
        let air = MoistAirState::at_elevation(celsius(row.number("inlet_f")), known, elevation).unwrap();
        let w = air.humidity_ratio;
        let rise = row.optional("rise_f").unwrap_or(1.0) / 1.8;
        // H04 and H05 are stated for 20,000 cfm at the fan inlet.
        let dry_air = |cfm: f64| cfm * unit::CFM_M3_S / air.specific_volume;
        let fuel = combustion::Fuel::by_name(row.text("fuel"));
        let (ours, allowed) = match (id, fuel) {
            ("H01" | "H02" | "H03", _) => {
                (combustion::heat_to_air(dry_air(1.0), w, 1.0 / 1.8) / btu_per_hour, 0.005 * expected)
            }
            ("H04", _) => (combustion::heat_to_air(dry_air(20_000.0), w, rise) / btu_per_hour, 0.005 * expected),
            ("H05", Some(fuel)) => {
                let burned = fuel.direct_use(combustion::heat_to_air(dry_air(20_000.0), w, rise));
                let gallons = burned / fuel.liquid_density.unwrap() / 3.785411784e-3 * 3600.0;
                (gallons, 0.01 * expected)
            }
            ("H06" | "H07", Some(fuel)) => {
                let humid = Known::HumidityRatio(w + fuel.humidity_added(w, rise));
                let warm = MoistAirState::new(air.dry_bulb + rise, humid, air.pressure).unwrap();
                (warm.relative_humidity * 100.0, 0.3)
            }
            ("H08", Some(fuel)) => (fuel.carbon_dioxide_added(w, rise) * 1e6, 0.02 * expected),
            _ => panic!("{id} is not known"),
        };
        println!("heat {id}: {ours:.4} {}, expected {expected}", row.text("unit"));
        assert!((ours - expected).abs() <= allowed, "{id}: {ours} against {expected}");
    }
}
