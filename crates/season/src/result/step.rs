//! Steps of a process.

/// What a step of a process was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepKind {
    /// Aeration to a colder temperature.
    Cooled,
    /// Aeration to a warmer temperature.
    Warmed,
    /// Hot grain at rest, fans off.
    Tempered,
    /// Hot grain cooled with outside air.
    CooledHot,
    /// A batch, from its first load until the bin was empty.
    Batch,
    /// Moisture put into the grain.
    Conditioned,
}

/// A step of a process with what it took: aeration stages, tempering and cooling of hot grain, batches, conditioning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// What it was.
    pub kind: StepKind,
    /// Temperature that was wanted, °C; for steps that want one.
    pub to: Option<f64>,
    /// Second of its begin, since 1970-01-01T00:00Z.
    pub began_at: i64,
    /// Second at which it had reached what it was for: the temperature, the target moisture.
    pub reached_at: Option<i64>,
    /// Second of its end.
    pub ended_at: i64,
    /// Fan hours until it had reached that (in all, when it did not).
    pub fan_hours_to_reach: f64,
    /// Fan hours in all.
    pub fan_hours: f64,
    /// Metered electricity, J.
    pub electricity: f64,
    /// Heat of the burner to the air, J.
    pub burner_energy: f64,
    /// Fuel, kg.
    pub fuel: f64,
    /// Dry matter at its end (of a batch: before it was unloaded), kg.
    pub dry_matter: f64,
    /// Mean moisture at its begin (of a batch: as loaded) and end, d.b.
    pub moisture: (f64, f64),
    /// Wettest and driest tenth when it had reached what it was for (at its end, when it did not), d.b.
    pub extremes: (f64, f64),
    /// Mean temperature of the grain at its begin and end, °C.
    pub temperature: (f64, f64),
}

impl Step {
    /// Its length, h.
    pub fn hours(&self) -> f64 {
        (self.ended_at - self.began_at) as f64 / 3600.0
    }
}
