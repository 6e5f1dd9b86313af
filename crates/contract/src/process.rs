//! Steps of a process: stages of aeration, tempering, batches, conditioning.

use job::clock;
use physics::grain::wet_basis;
use season::{Process, SeasonResult, Step, StepKind};
use serde::Serialize;

/// A step of a process with what it took.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct StepJson {
    /// `cooled`, `warmed`, `tempered`, `cooled-hot`, `batch`, `conditioned`.
    pub kind: &'static str,
    /// Temperature wanted; null for steps that want none.
    pub to_c: Option<f64>,
    /// Its begin.
    pub began_at: String,
    /// When it had reached its temperature or moisture; null when it did not.
    pub reached_at: Option<String>,
    /// Its end.
    pub ended_at: String,
    /// Fan hours until it had reached that, or in all when it did not.
    pub fan_hours_to_reach: f64,
    /// Fan hours in all.
    pub fan_hours: f64,
    /// Metered electricity, J.
    pub electricity_j: f64,
    /// Heat of the burner to the air, J.
    pub burner_energy_j: f64,
    /// Fuel, kg.
    pub fuel_kg: f64,
    /// Dry matter, kg.
    pub dry_matter_kg: f64,
    /// Mean moisture at its begin (of batches and conditioning: as loaded).
    pub from_moisture_wb: f64,
    /// Mean moisture at its end.
    pub end_moisture_wb: f64,
    /// Wettest tenth when it had reached what it was for.
    pub wettest_moisture_wb: f64,
    /// Driest tenth then.
    pub driest_moisture_wb: f64,
    /// Mean temperature of the grain at its begin.
    pub from_c: f64,
    /// Mean temperature at its end.
    pub end_c: f64,
}

/// Word of a process.
pub(crate) fn process_word(process: Process) -> &'static str {
    match process {
        Process::Drying => "drying",
        Process::Aeration => "aeration",
        Process::Batches => "batches",
        Process::Discharge => "discharge",
        Process::Conditioning => "conditioning",
    }
}

/// Word of a step.
pub fn step_word(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Cooled => "cooled",
        StepKind::Warmed => "warmed",
        StepKind::Tempered => "tempered",
        StepKind::CooledHot => "cooled-hot",
        StepKind::Batch => "batch",
        StepKind::Conditioned => "conditioned",
    }
}

/// Steps of a season.
pub(crate) fn steps(r: &SeasonResult, offset: i32) -> Vec<StepJson> {
    r.steps.iter().map(|s| step(s, offset)).collect()
}

fn step(s: &Step, offset: i32) -> StepJson {
    let at = |second: i64| clock::instant_of_second(second, offset);
    StepJson {
        kind: step_word(s.kind),
        to_c: s.to,
        began_at: at(s.began_at),
        reached_at: s.reached_at.map(at),
        ended_at: at(s.ended_at),
        fan_hours_to_reach: s.fan_hours_to_reach,
        fan_hours: s.fan_hours,
        electricity_j: s.electricity,
        burner_energy_j: s.burner_energy,
        fuel_kg: s.fuel,
        dry_matter_kg: s.dry_matter,
        from_moisture_wb: wet_basis(s.moisture.0),
        end_moisture_wb: wet_basis(s.moisture.1),
        wettest_moisture_wb: wet_basis(s.extremes.0),
        driest_moisture_wb: wet_basis(s.extremes.1),
        from_c: s.temperature.0,
        end_c: s.temperature.1,
    }
}
