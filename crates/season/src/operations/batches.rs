//! Batch drying in the bin: filled, dried with heated air, cooled, unloaded, filled again.

/// Batches that follow each other in one bin.
///
/// The loads of a case are then those of all batches, `loads_each` for each, and a batch comes when the bin is empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Batches {
    /// Loads of one batch.
    pub loads_each: usize,
    /// Cooled with unheated air in the bin until its warmest grain is within so many kelvins of the air outside; `None`
    /// for grain that leaves hot.
    pub cool_within: Option<f64>,
    /// Time from the end of cooling until the bin is empty, s.
    pub unload: f64,
    /// Where the grain goes: a name to report it under.
    pub to: String,
}

/// Difference between wettest and driest tenth of a batch that extension advice allows, in points w.b. as a fraction
/// (reference of the trade: "keep top minus bottom under 5 points" without stirring).
pub const SPREAD_ALLOWED: f64 = 0.05;
