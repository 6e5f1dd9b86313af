//! Aeration: grain that is dry enough is brought to temperatures in stages, each with its day, set point and window of air.

use equipment::{Rule, Towards};

/// One stage of the temperature of stored grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AerationStage {
    /// Hour from which it holds, hours since 1970-01-01T00:00Z; until the next stage begins.
    pub from: i64,
    /// Which way the grain is to go.
    pub towards: Towards,
    /// Temperature to reach, °C.
    pub to: f64,
    /// When the fans run on the way there.
    pub rule: Rule,
}

/// Stages, in the order of their days. Before the first begins, dry grain rests.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Aeration {
    /// The stages.
    pub stages: Vec<AerationStage>,
}

impl Aeration {
    /// Number of the stage of an hour; `None` before the first.
    pub fn stage_at(&self, hour: i64) -> Option<usize> {
        self.stages.iter().rposition(|stage| stage.from <= hour)
    }

    /// The last stage that cools: the one which says whether the grain came as cold as wanted.
    pub fn last_cooling(&self) -> Option<usize> {
        self.stages.iter().rposition(|stage| stage.towards == Towards::Colder)
    }
}
