//! Columns on the kernel's own grid against a stiff solver of general use: same equations and layers, another method in
//! time (`validation/stiff`). It tests numerics, not physics. Bounds: 0.05 points of moisture, 0.1 K.

mod common;

use bed::{Air, Block, ColumnParams};
use common::*;
use physics::isotherm::IsothermForm;
use physics::kinetics::{Arrhenius, TwoCompartment};
use physics::sorption::SorptionHeat;
use std::collections::BTreeMap;
use std::path::PathBuf;
use toml::Table;

fn folder() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation"))
}

fn table(path: &str) -> Table {
    std::fs::read_to_string(folder().join(path)).expect(path).parse().expect(path)
}

fn rows(path: &str) -> Vec<BTreeMap<String, f64>> {
    let text = std::fs::read_to_string(folder().join(path)).expect(path);
    let text: String = text.lines().filter(|l| !l.starts_with('#')).map(|l| format!("{l}\n")).collect();
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row: Result<BTreeMap<String, f64>, _>| row.expect(path))
        .collect()
}

/// A number with its unit, as the case files write it, in SI.
fn number(case: &Table, key: &str) -> f64 {
    let text = case[key].as_str().expect(key);
    let (value, unit) = text.split_once(' ').expect(text);
    let scale = match unit {
        "m" | "kg/m3" | "kg/s/m2" | "C" | "s" => 1.0,
        "kJ/kg/K" | "kPa" => 1000.0,
        "%" => 0.01,
        other => panic!("{key} in {other}"),
    };
    value.parse::<f64>().expect(text) * scale
}

fn real(table: &Table, key: &str) -> f64 {
    table[key].as_float().expect(key)
}

fn compare(name: &str, sees: &str) {
    let case = table(&format!("stiff/cases/{name}.toml"));
    let constants = table("stiff/constants.toml");
    let crop = case["crop"].as_str().expect("crop");
    let fit = table("kinetics/fit.toml");
    let kernel = fit[constants["kernel"][crop].as_str().expect("kernel")].as_table().expect("kernel");
    let relation = constants["relation"][case["relation"].as_str().expect("relation")].as_table().expect("relation");
    let isotherm =
        IsothermForm::ModifiedHenderson { a: real(relation, "a"), b: real(relation, "b"), c: real(relation, "c") };
    assert!(case["sorption_heat"].as_bool().expect("sorption_heat") && !case["respiration"].as_bool().expect("off"));
    let column = ColumnParams {
        sorption: SorptionHeat::of(&isotherm, real(&constants, "sorption_temperature_c")),
        kinetics: Some(TwoCompartment {
            shell_share: real(kernel, "shell_share"),
            shell: Arrhenius { ln_a: real(kernel, "shell_ln_a"), b: real(kernel, "shell_b_k") },
            core: Arrhenius { ln_a: real(kernel, "core_ln_a"), b: real(kernel, "core_b_k") },
        }),
        dry_specific_heat: number(&case, "dry_matter_specific_heat"),
        water_specific_heat: number(&case, "water_specific_heat"),
        humidity_cap: real(&case, "humidity_cap"),
        air_sees: sees.parse().expect("a share"),
        ..bare(isotherm)
    };
    let layers = usize::try_from(case["layers"].as_integer().expect("layers")).expect("layers");
    let (depth, density) = (number(&case, "depth"), number(&case, "dry_matter_density"));
    let wet = number(&case, "moisture");
    let mut block = Block::new(group(layers, &column), &column);
    fill(&mut block, 0, depth, density, wet / (1.0 - wet), number(&case, "grain_temperature"));

    let inlet = case["inlet"].as_table().expect("inlet");
    let hourly = inlet.get("table").map(|t| rows(&format!("stiff/cases/{}", t.as_str().expect("a file"))));
    let constant = hourly.is_none().then(|| {
        let t = number(inlet, "air");
        (t, humidity_ratio(t, number(inlet, "relative_humidity")))
    });
    let step = number(&case, "step");
    let (flux, pressure) = (number(&case, "dry_air_flux"), number(&case, "pressure"));
    let profile = rows(&format!("stiff/expected/{name}.sees-{sees}.profile.csv"));
    let exhausts = rows(&format!("stiff/expected/{name}.sees-{sees}.exhaust.csv"));

    let (mut second, mut worst) = (0.0f64, [0.0f64; 5]);
    for expected in &exhausts {
        let mut exhaust = (0.0, 0.0);
        while second < expected["hour"] * 3600.0 - 0.5 * step {
            let (t, w) = constant.unwrap_or_else(|| {
                let hourly = hourly.as_ref().expect("a table of the inlet");
                let row = hourly.iter().rev().find(|r| r["hour"] * 3600.0 <= second + 1e-6).expect("from hour 0");
                (row["air_c"], row["humidity_ratio"])
            });
            let mut air: Air = air(0, t, w, flux, step);
            air.pressure[0] = pressure;
            let out = block.advance(&air);
            exhaust = (out.temperature[0], out.humidity_ratio[0]);
            second += step;
        }
        let mut off = [0.0f64; 5];
        off[0] = (100.0 * wet_basis(block.mean_moisture(0).0) - expected["mean_moisture_wb_percent"]).abs();
        off[3] = (exhaust.0 - expected["exhaust_temperature_c"]).abs();
        off[4] = (exhaust.1 - expected["exhaust_humidity_ratio"]).abs();
        let mut compared = 0;
        for row in profile.iter().filter(|r| r["hour"] == expected["hour"]) {
            let layer = block.layer(0, row["layer"] as usize);
            off[1] = off[1].max((100.0 * wet_basis(layer.moisture) - row["moisture_wb_percent"]).abs());
            off[2] = off[2].max((layer.temperature - row["temperature_c"]).abs());
            compared += 1;
        }
        assert_eq!(compared, layers, "{name} hour {}", expected["hour"]);
        worst = std::array::from_fn(|i| worst[i].max(off[i]));
    }
    println!(
        "{name}, sees {sees}: mean {:.4} points, layers {:.4} points and {:.4} K, exhaust {:.4} K and {:.4} g/kg",
        worst[0],
        worst[1],
        worst[2],
        worst[3],
        1000.0 * worst[4]
    );
    assert!(worst[0] < 0.05 && worst[1] < 0.05 && worst[2] < 0.1 && worst[3] < 0.1 && worst[4] < 1e-4, "{worst:?}");
}

#[test]
fn corn_natural_air() {
    compare("corn-natural-air", "1");
    compare("corn-natural-air", "0.6");
}

#[test]
fn wheat_swinging_inlet() {
    compare("wheat-swinging-inlet", "1");
    compare("wheat-swinging-inlet", "0.6");
}

#[test]
fn corn_warm_bed() {
    compare("corn-warm-bed", "1");
}

#[test]
fn corn_cold_bed() {
    compare("corn-cold-bed", "1");
}
