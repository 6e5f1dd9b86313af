//! Grain that comes hot from a dryer: tempered without air where that is wanted, then cooled (dryeration, in-bin cooling) and,
//! where it is still too wet, dried on with natural air (combination drying).

/// What is done with the discharge of a dryer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// Hours without air after the last load; the fans stand while the bin fills too. 0 for cooling from the first load on.
    pub tempering: i64,
}

/// Above this temperature storage life is spent at the pace it has here, °C (judgement: published times end at about 27 °C,
/// moulds grow fastest there and die above 50 °C; the relations, drawn out to hot grain, would spend it in hours).
pub const HOT_GRAIN: f64 = 40.0;

/// Grain counts as cooled when its warmest layer is within this of the air that enters it, K (judgement).
pub const COOLED_WITHIN: f64 = 3.0;
