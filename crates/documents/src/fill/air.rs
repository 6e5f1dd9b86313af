//! Working points, budget and curves.

use crate::report::{AirReport, BudgetItem, FanCurve, OperatingPoint, SystemCurve};
use advice::air::BinAir;
use equipment::{AirConditions, Arrangement, GrainTerms, Outcome};
use job::BinJob;

/// Points on a drawn curve.
const STEPS: usize = 60;

pub fn report(bin: &BinJob, air: &BinAir) -> AirReport {
    let points = air
        .fills
        .iter()
        .map(|f| OperatingPoint {
            fill: format!("{:.0} %", 100.0 * f.fill),
            grain_depth_m: f.depth,
            airflow_m3_s: f.point.fan_airflow,
            static_pressure_pa: f.point.fan_static_pressure,
            specific_airflow_per_s: f.point.fan_airflow / f.volume,
            power_w: f.point.input_power,
            note: note(f.point.outcome, f.point.flags.overload, f.motor_load),
        })
        .collect();
    let budget = air.fills.last().map_or(Vec::new(), |f| {
        let b = f.point.budget;
        let item =
            |what: &str, pressure_pa: f64, note: &str| BudgetItem { what: what.into(), pressure_pa, note: note.into() };
        vec![
            item("grain", b.grain, &format!("packing factor {:.2}", bin.packing)),
            item("perforated floor", b.floor, ""),
            item("transition and duct", b.transition, ""),
            item("roof vents", b.vents, ""),
        ]
    });
    let density = air.fills.last().map_or(1.2, |f| f.point.inlet_density);
    AirReport {
        points,
        budget,
        budget_at: "all lots in".into(),
        fans: vec![fan_curve(bin, density, air.pressure)],
        systems: air.fills.iter().map(|f| system(bin, air, f.fill, f.depth)).collect(),
        air_density_kg_m3: density,
    }
}

fn note(outcome: Outcome, overload: bool, load: f64) -> String {
    let state = match outcome {
        Outcome::Works => "stable",
        Outcome::HeldBelowFirst => "below the first point of the fan table: airflow held",
        Outcome::Unstable => "unstable: left of the peak of the fan curve",
        Outcome::BeyondCurve => "beyond the fan curve: no airflow",
        Outcome::Off => "off",
    };
    let motor = if overload { ", MOTOR OVERLOADED" } else { "" };
    format!("{state}; motor at {:.0} % of rating{motor}", 100.0 * load)
}

/// The outfit's own curve at the density of the points: the stable side, and the tabulated points left of the peak.
fn fan_curve(bin: &BinJob, density: f64, barometer: f64) -> FanCurve {
    let outfit = &bin.template.system.outfit;
    let fans = outfit.fans();
    let stable = outfit.curve(fans.len(), density, barometer, STEPS).iter().map(|&(q, p, _)| (q, p)).collect();
    let count = fans.len() as f64;
    let (wider, higher) = match outfit.arrangement() {
        Arrangement::Parallel => (count, 1.0),
        Arrangement::Series => (1.0, count),
    };
    let scale = higher * density / equipment::STANDARD_DENSITY;
    let alike = fans.windows(2).all(|w| w[0].id == w[1].id);
    let unstable = match fans.first() {
        Some(fan) if alike => fan
            .curve
            .points()
            .filter(|(p, _)| p.airflow <= fan.curve.peak_airflow())
            .map(|(p, _)| (p.airflow * wider, p.pressure * scale))
            .collect(),
        _ => Vec::new(),
    };
    let how = match outfit.arrangement() {
        Arrangement::Parallel => "in parallel",
        Arrangement::Series => "in series",
    };
    let label = match fans {
        [one] => one.id.clone(),
        many => format!("{} fans {how}", many.len()),
    };
    FanCurve { label, stable, unstable }
}

/// What bin and grain ask at rising airflow.
fn system(bin: &BinJob, air: &BinAir, fill: f64, depth: f64) -> SystemCurve {
    let vapour = air.relative_humidity * physics::air::saturation_pressure(air.temperature);
    let w = physics::air::humidity_ratio(air.pressure, vapour);
    let conditions = AirConditions::ambient(air.temperature, w, air.pressure, bin.template.system.outfit.fans().len());
    let grain =
        GrainTerms { law: bin.template.grain.resistance, effective_depth: depth, velocity_range: bin.velocity_range };
    let most = air.fills.iter().map(|f| f.point.fan_airflow).fold(0.0, f64::max) * 1.3;
    let points = (0..=STEPS)
        .map(|i| {
            let airflow = most * i as f64 / STEPS as f64;
            let volume = physics::air::specific_volume(air.temperature, w, air.pressure);
            let through = airflow / volume * (1.0 - bin.template.system.budget.leakage);
            (airflow, bin.template.system.losses(&conditions, &grain, through).total())
        })
        .collect();
    SystemCurve { label: format!("{:.0} % full", 100.0 * fill), points }
}
