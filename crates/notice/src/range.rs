//! The range over which a relation is supported by evidence, as data.

use serde::{Deserialize, Serialize};

/// Bounds of one argument of a relation; outside them the result is an extrapolation, not an error.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Range {
    /// Lowest supported value, SI (fractions for moisture and humidity, °C for temperature).
    pub low: f64,
    /// Highest supported value.
    pub high: f64,
}

/// How far a value fell outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// The value met.
    pub value: f64,
    /// The range it should lie in.
    pub range: Range,
}

impl Range {
    /// A range from its bounds.
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Whether a value lies inside, bounds included.
    pub fn contains(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// Nothing when inside, the excursion when outside.
    pub fn check(&self, value: f64) -> Option<OutOfRange> {
        (!self.contains(value)).then_some(OutOfRange { value, range: *self })
    }
}
