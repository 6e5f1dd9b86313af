//! What is done beside blowing air: from what the file says to what a season needs.

use crate::clock;
use crate::facts::{BinFacts, Goal};
use crate::site::STAGE_BEFORE;
use physics::grain::dry_basis;
use season::operations::{
    Aeration, AerationStage, Batches, Conditioning, Discharge, LayerFilling, Operations, Protection, SensorErrors,
};

/// Seed of the errors of sensors and meters; a year of weather is added to it, nothing of the outfit.
const SENSOR_SEED: u64 = 0x73_65_6e_73;

/// Operations of a bin in any year: the sensors still without error.
pub(super) fn of(bin: &BinFacts, goal: &Goal, protection: Option<Protection>) -> Operations {
    let layers = bin.layers.map(|layers| {
        let dry = layers.dry_enough.unwrap_or(goal.mean_moisture + goal.wettest_excess);
        LayerFilling { starts: starts(bin), dry_enough: dry_basis(dry) }
    });
    let process = &bin.process;
    let batches = process.batches.as_ref().map(|batches| Batches {
        loads_each: crate::loads::of_a_batch(bin),
        cool_within: batches.cool_within,
        unload: batches.unload * 3600.0,
        to: batches.to.clone(),
    });
    let conditioning = process.conditioning.map(|conditioning| Conditioning {
        most: dry_basis(conditioning.most.unwrap_or(goal.mean_moisture + goal.wettest_excess)),
    });
    Operations {
        sensors: SensorErrors::default(),
        stop: bin.outfit.stop,
        stirring: bin.outfit.stirring,
        layers,
        counterflow: bin.outfit.counterflow.clone(),
        // Their days are those of a year.
        aeration: None,
        batches,
        discharge: process.discharge.map(|d| Discharge { tempering: d.tempering.round() as i64 }),
        conditioning,
        protection,
    }
}

/// Stages of aeration of a season that begins at an hour.
pub(super) fn aeration(bin: &BinFacts, first: i64, offset: i32) -> Option<Aeration> {
    let earliest = first - 24 * i64::from(STAGE_BEFORE);
    let stage = |s: &crate::facts::StageFacts| AerationStage {
        from: clock::next(s.from, earliest, offset),
        towards: s.towards,
        to: s.to,
        rule: s.rule,
    };
    let stages = &bin.process.aeration;
    (!stages.is_empty()).then(|| Aeration { stages: stages.iter().map(stage).collect() })
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
