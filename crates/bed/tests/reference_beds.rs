//! The computed reference beds V1 to V6: constant air through an even column, solved elsewhere on three grids by
//! bisection. They verify the implementation; they do not validate the physics. Values, tolerances and the mark "a front
//! lies here: do not compare point by point" are those of the table.

mod common;

use bed::literal::{Asked, Inlet, LiteralColumn, LiteralParams};
use bed::{Block, ColumnParams, profile};
use common::*;
use physics::kinetics::{Arrhenius, TwoCompartment};
use physics::sorption::SorptionHeat;
use std::collections::BTreeMap;

struct Row {
    place: String,
    hour: f64,
    quantity: String,
    value: f64,
    tolerance: f64,
    front: bool,
}

fn rows(case: &str) -> Vec<Row> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tables/reference-beds.csv");
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader
        .records()
        .map(Result::unwrap)
        .filter(|r| &r[0] == case && &r[1] == "result" && !r[8].is_empty())
        .map(|r| Row {
            place: r[3].to_string(),
            hour: r[4].parse().unwrap(),
            quantity: r[5].to_string(),
            value: r[6].parse().unwrap(),
            tolerance: r[8].parse().unwrap(),
            front: r[9].contains("front lies here"),
        })
        .collect()
}

/// What a run shows at one hour.
struct Shown {
    moisture: Vec<f64>,
    temperature: Vec<f64>,
    exhaust: (f64, f64),
}

fn compare(case: &str, depth: f64, shown: &BTreeMap<u64, Shown>) {
    let mut wrong = Vec::new();
    let mut compared = 0;
    for row in rows(case) {
        if row.front {
            continue;
        }
        let at =
            shown.get(&((row.hour * 3600.0).round() as u64)).unwrap_or_else(|| panic!("{case}: no hour {}", row.hour));
        let centres = centres(at.moisture.len(), depth);
        let mean = at.moisture.iter().sum::<f64>() / at.moisture.len() as f64;
        let value = match (row.place.as_str(), row.quantity.as_str()) {
            ("mean", _) => 100.0 * wet_basis(mean),
            ("outlet", "exhaust temperature") => at.exhaust.0,
            ("outlet", "exhaust humidity ratio") => at.exhaust.1,
            ("front", _) => profile::front_depth(&centres, &at.moisture).unwrap_or(f64::NAN),
            (place, quantity) => {
                let z: f64 = place.parse().unwrap_or_else(|_| panic!("{case}: place {place}"));
                if quantity.starts_with("moisture") {
                    100.0 * wet_basis(profile::at_depth(&centres, &at.moisture, z))
                } else {
                    profile::at_depth(&centres, &at.temperature, z)
                }
            }
        };
        compared += 1;
        let off = (value - row.value).abs();
        if off.is_nan() || off > row.tolerance {
            wrong.push(format!(
                "{case} {} {} h {}: {value} against {} ± {}",
                row.place, row.hour, row.quantity, row.value, row.tolerance
            ));
        }
    }
    assert!(compared > 20, "{case}: only {compared} values compared");
    assert!(wrong.is_empty(), "{} of {compared}:\n{}", wrong.len(), wrong.join("\n"));
}

#[allow(clippy::too_many_arguments)]
fn run_kernel(
    column: ColumnParams,
    layers: usize,
    depth: f64,
    density: f64,
    moisture: f64,
    temperature: f64,
    inlet: (f64, f64, f64),
    step: f64,
    hours: &[f64],
) -> BTreeMap<u64, Shown> {
    let mut block = Block::new(group(layers, &column), &column);
    fill(&mut block, 0, depth, density, moisture, temperature);
    let air = air(0, inlet.0, inlet.1, inlet.2, step);
    let mut shown = BTreeMap::new();
    let mut second = 0u64;
    for hour in hours {
        let until = (hour * 3600.0).round() as u64;
        let mut exhaust = (0.0, 0.0);
        while second < until {
            let out = block.advance(&air);
            exhaust = (out.temperature[0], out.humidity_ratio[0]);
            second += step as u64;
        }
        let states: Vec<_> = block.layers(0).collect();
        shown.insert(
            until,
            Shown {
                moisture: states.iter().map(|l| l.moisture).collect(),
                temperature: states.iter().map(|l| l.temperature).collect(),
                exhaust,
            },
        );
    }
    let residual = block.residual(0);
    assert!(residual.water < 1e-9 && residual.energy < 1e-9, "{residual:?}");
    shown
}

fn hours_of(case: &str) -> Vec<f64> {
    let mut hours: Vec<f64> = rows(case).iter().map(|r| r.hour).collect();
    hours.sort_by(f64::total_cmp);
    hours.dedup();
    hours
}

#[test]
fn v1_corn_natural_air() {
    let shown = run_kernel(bare(CORN), 400, 4.5, 580.0, 0.25, 15.0, (10.56, 0.003937, 0.0725), 300.0, &hours_of("V1"));
    compare("V1", 4.5, &shown);
}

#[test]
fn v2_wheat_natural_air() {
    let shown =
        run_kernel(bare(WHEAT), 400, 5.0, 640.0, 0.219512, 20.0, (16.67, 0.006592, 0.0603), 300.0, &hours_of("V2"));
    compare("V2", 5.0, &shown);
}

#[test]
fn v3_corn_cooling() {
    let shown =
        run_kernel(bare(CORN), 400, 6.0, 620.0, 0.183432, 30.0, (10.0, 0.004938, 0.0097), 300.0, &hours_of("V3"));
    compare("V3", 6.0, &shown);
}

fn newton(ln_a: f64, b: f64) -> Option<TwoCompartment> {
    let rate = Arrhenius { ln_a, b };
    Some(TwoCompartment { shell_share: 1.0, shell: rate, core: rate })
}

#[test]
fn v4_barley_heated() {
    let column = ColumnParams { kinetics: newton(139.3f64.ln(), 4426.0), ..bare(BARLEY) };
    let shown = run_kernel(column, 400, 0.3, 500.0, 0.30, 15.0, (60.0, 0.00995, 0.25), 15.0, &hours_of("V4"));
    compare("V4", 0.3, &shown);
}

#[test]
fn v5_wheat_warm_air() {
    let column = ColumnParams { kinetics: newton(2000f64.ln(), 5094.0), ..bare(WHEAT) };
    let shown = run_kernel(column, 400, 0.6, 640.0, 0.25, 20.0, (40.0, 0.01154, 0.15), 60.0, &hours_of("V5"));
    compare("V5", 0.6, &shown);
}

/// V6 takes the Page law literally, by equivalent time at the leaving state; dry or wetted grain rests.
#[test]
fn v6_corn_hot_air_page() {
    let (layers, depth, m0, step) = (400, 1.0, 1.0 / 3.0, 15.0);
    let params = LiteralParams {
        isotherm: CORN,
        sorption: SorptionHeat::NONE,
        dry_specific_heat: 1300.0,
        water_specific_heat: 4187.0,
        humidity_cap: 0.98,
        layer: 560.0 * depth / layers as f64,
    };
    let law = |a: &Asked| {
        if a.moisture <= a.equilibrium {
            return a.moisture;
        }
        let k = (-7.1735 + 1.2793 * (1.8 * a.temperature + 32.0).ln() + 0.1378 * 0.15).exp();
        let n = 0.0811 * (100.0 * a.humidity).ln() + 0.0078 * 100.0 * m0;
        let ratio = ((a.moisture - a.equilibrium) / (m0 - a.equilibrium)).clamp(1e-12, 1.0);
        let before = (-ratio.ln() / k).powf(1.0 / n);
        // Moisture above the start counts as a ratio of 1: the law starts afresh.
        a.equilibrium + (m0 - a.equilibrium) * (-k * (before + a.seconds / 3600.0).powf(n)).exp()
    };
    let mut column = LiteralColumn::even(layers, m0, 15.0);
    let inlet = Inlet { temperature: 60.0, humidity_ratio: 0.007433, flux: 0.15, pressure: 101_325.0, seconds: step };
    let mut shown = BTreeMap::new();
    let mut second = 0u64;
    for hour in hours_of("V6") {
        let until = (hour * 3600.0).round() as u64;
        let mut exhaust = (0.0, 0.0);
        while second < until {
            exhaust = column.advance(&params, &inlet, &law);
            second += step as u64;
        }
        shown.insert(
            until,
            Shown { moisture: column.moisture.clone(), temperature: column.temperature.clone(), exhaust },
        );
    }
    compare("V6", depth, &shown);
}
