//! Limits the trade keeps: how warm the drying air may be and how dry grain must be to keep.

use crate::evidence::Evidence;

/// Highest temperature of the drying air for one use of the grain.
#[derive(Debug, Clone, PartialEq)]
pub struct AirLimit {
    /// What the grain is for: "seed or malting", "commercial", "feed".
    pub purpose: String,
    /// Highest air temperature, °C.
    pub temperature: f64,
    /// What stands behind it, with its conditions.
    pub evidence: Evidence,
}

/// Moisture at which grain keeps for a stated time.
#[derive(Debug, Clone, PartialEq)]
pub struct SafeMoisture {
    /// How long: "winter", "one year", "summer".
    pub period: String,
    /// Highest moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// What stands behind it, with its conditions.
    pub evidence: Evidence,
}
