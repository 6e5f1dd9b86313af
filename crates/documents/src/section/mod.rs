//! The bin as a section drawn to scale: what it needs to know. The drawing itself is in [`draw`].

mod drawing;
mod sheet;

pub use drawing::draw;

use notice::Kind;

/// What the drawing needs to know of a bin. Heights are from the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct BinSection {
    /// Inner diameter, m.
    pub diameter_m: f64,
    /// Height of the eave above ground, m.
    pub eave_m: f64,
    /// Rise of the roof from eave to cap, m.
    pub roof_rise_m: f64,
    /// Height of the perforated floor, m.
    pub floor_m: f64,
    /// What the floor is, in words: "full perforated floor, 10 % open".
    pub floor: String,
    /// Fans at the plenum, in the order they stand.
    pub fans: Vec<FanPlace>,
    /// Vents in words: "roof vents 36 ft²"; empty for none.
    pub vents: String,
    /// The grain; none draws an empty bin.
    pub grain: Option<GrainDrawing>,
}

/// One fan and what stands with it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FanPlace {
    /// Name.
    pub label: String,
    /// A burner between fan and plenum (`Some(true)`) or at the fan's inlet (`Some(false)`).
    pub burner_after_fan: Option<bool>,
}

/// The grain coloured by a value.
#[derive(Debug, Clone, PartialEq)]
pub struct GrainDrawing {
    /// What the colour means: "moisture on 1 December".
    pub what: String,
    /// Kind of the value.
    pub kind: Kind,
    /// Ends of the colour scale; none takes the extremes.
    pub range: Option<(f64, f64)>,
    /// Rise of the grain's peak over its depth at the wall, m; 0 for a level surface.
    pub peak_m: f64,
    /// Columns from the axis to the wall, each a ring.
    pub columns: Vec<ColumnDrawing>,
}

/// One column of grain as a ring of the bin.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ColumnDrawing {
    /// Name: "slow", "mean".
    pub name: String,
    /// Outer edge of the ring as a share of the radius, 0 to 1.
    pub outer: f64,
    /// Layers from the floor: thickness m, value.
    pub layers: Vec<(f64, f64)>,
}
