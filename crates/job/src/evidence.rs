//! The relations that stand behind a bin, each with its source and the values it rests on.

use notice::{Range, Source};

/// One relation.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedRelation {
    /// What it serves, and which one it is.
    pub what: String,
    /// Where it comes from.
    pub source: Source,
    /// The values it rests on.
    pub rests_on: RestsOn,
}

/// Ranges of a relation's arguments; `None` where the publication states none or the argument is not one of its own.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RestsOn {
    /// Temperatures of grain and of the air that enters it, °C.
    pub temperature: Option<Range>,
    /// Temperatures of the air that enters the grain alone, °C.
    pub air_temperature: Option<Range>,
    /// Relative humidities of the air in the grain, fraction.
    pub humidity: Option<Range>,
    /// Moistures of the grain from filling to the end, fraction wet basis.
    pub moisture_wb: Option<Range>,
    /// Moistures of the grain as filled, fraction wet basis.
    pub filled_wb: Option<Range>,
    /// Face velocities, m/s.
    pub velocity: Option<Range>,
}
