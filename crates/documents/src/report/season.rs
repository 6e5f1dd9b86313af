//! One weather year by depth and time.

use notice::Kind;

/// The part on one year.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SeasonReport {
    /// Calendar year of the first load.
    pub year: i32,
    /// Why this year: "the wettest autumn of 29".
    pub why: String,
    /// Maps of depth against time.
    pub maps: Vec<DepthTimeMap>,
    /// Air and the like against time.
    pub strips: Vec<Strip>,
    /// When machines ran.
    pub running: Vec<Running>,
}

/// A value over depth and time on a rectangular grid.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthTimeMap {
    /// What is shown: "moisture".
    pub what: String,
    /// Its kind.
    pub kind: Kind,
    /// Edges of the time cells, days, strictly ascending; one more than cells.
    pub day_edges: Vec<f64>,
    /// Edges of the depth cells, m, strictly ascending; one more than cells.
    pub depth_edges_m: Vec<f64>,
    /// Values, all depths of the first time cell, then of the next; `NaN` where there is no grain.
    pub values: Vec<f64>,
    /// Ends of the colour scale; none takes the extremes of the values.
    pub range: Option<(f64, f64)>,
    /// A value drawn as a line across the map.
    pub limit: Option<Limit>,
}

/// A value worth a line.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Limit {
    /// The value.
    pub value: f64,
    /// What it means: "target".
    pub label: String,
}

/// Lines over time that share an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// What is shown: "air temperature".
    pub what: String,
    /// Kind of the values.
    pub kind: Kind,
    /// The lines.
    pub lines: Vec<StripLine>,
}

/// One line of a strip.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StripLine {
    /// Name on the plot: "ambient".
    pub label: String,
    /// Day and value.
    pub points: Vec<(f64, f64)>,
}

/// When a machine ran.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Running {
    /// Name: "fan".
    pub label: String,
    /// From day, to day, share of that time it ran (0 to 1).
    pub spans: Vec<(f64, f64, f64)>,
}
