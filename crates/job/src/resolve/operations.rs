//! What is done beside blowing air: from what the file says to what a season needs.

use crate::facts::{BinFacts, Goal};
use physics::grain::dry_basis;
use season::operations::{LayerFilling, Operations, SensorErrors};

/// Seed of the errors of sensors and meters; a year of weather is added to it, nothing of the outfit.
const SENSOR_SEED: u64 = 0x73_65_6e_73;

/// Operations of a bin in any year: the sensors still without error.
pub(super) fn of(bin: &BinFacts, goal: &Goal) -> Operations {
    let layers = bin.layers.map(|layers| {
        let dry = layers.dry_enough.unwrap_or(goal.mean_moisture + goal.wettest_excess);
        LayerFilling { starts: starts(bin), dry_enough: dry_basis(dry) }
    });
    Operations {
        sensors: SensorErrors::default(),
        stop: bin.outfit.stop,
        stirring: bin.outfit.stirring,
        layers,
        counterflow: bin.outfit.counterflow.clone(),
    }
}

/// Errors of the sensors of a bin in a year: the same for every outfit that has sensors as good.
pub(super) fn sensors(bin: &BinFacts, year: i32) -> SensorErrors {
    match bin.outfit.sensors {
        Some(band) => SensorErrors::drawn(SENSOR_SEED ^ ((year as u64) << 32), band),
        None => SensorErrors::default(),
    }
}

/// Loads with which the second and the further lots begin.
fn starts(bin: &BinFacts) -> Vec<usize> {
    let mut first = 0;
    let counts = bin.lots.iter().map(|lot| (lot.days * lot.loads_per_day).max(1) as usize);
    let mut starts: Vec<usize> = counts
        .map(|count| {
            first += count;
            first
        })
        .collect();
    starts.pop();
    starts
}
