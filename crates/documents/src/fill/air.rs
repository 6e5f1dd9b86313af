//! Working points, budget and curves.

use crate::report::{AirReport, BudgetItem, FanCurve, OperatingPoint, SystemCurve};
use advice::air::BinAir;
use advice::curves;
use equipment::Outcome;
use job::BinJob;

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
        if bin.way.drawn() {
            let named = |i: advice::way::BudgetItem| item(i.name, i.pressure, "");
            return advice::way::budget(bin, &f.point).into_iter().map(named).collect();
        }
        vec![
            item("grain", b.grain, &format!("packing factor {:.2}", bin.packing)),
            item("perforated floor", b.floor, ""),
            item("transition and duct", b.transition, ""),
            item("roof vents", b.vents, ""),
        ]
    });
    let fan = curves::outfit(bin, air);
    let system =
        |s: curves::SystemCurve| SystemCurve { label: format!("{:.0} % full", 100.0 * s.fill), points: s.points };
    AirReport {
        points,
        budget,
        budget_at: "all lots in".into(),
        fans: vec![FanCurve { label: fan.label, stable: fan.stable, unstable: fan.unstable }],
        systems: curves::systems(bin, air).into_iter().map(system).collect(),
        air_density_kg_m3: curves::density(air),
    }
}

fn note(outcome: Outcome, overload: bool, load: f64) -> String {
    let state = advice::air::outcome_says(outcome);
    let motor = if overload { ", MOTOR OVERLOADED" } else { "" };
    format!("{state}; motor at {:.0} % of rating{motor}", 100.0 * load)
}
