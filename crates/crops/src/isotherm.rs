//! The published equilibrium sets of a crop: one is the default, the others show how far the evidence spreads.

use crate::evidence::Evidence;
use notice::Range;
use physics::isotherm::IsothermForm;

/// What a published set may be used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetUse {
    /// Good evidence; a candidate for the default.
    Primary,
    /// As good as known; shows the spread.
    Alternative,
    /// Doubtful: selectable by name, left out of the spread while the crop has two better sets.
    Caution,
    /// The oil-content equation: selectable for any crop of known oil, in the spread only where nothing better exists.
    Fallback,
}

/// One published set of constants.
#[derive(Debug, Clone, PartialEq)]
pub struct IsothermSet {
    /// Name of the set.
    pub id: String,
    /// The grain as its publication names it.
    pub material: String,
    /// Form and constants.
    pub form: IsothermForm,
    /// Temperatures of the data, °C.
    pub temperature: Range,
    /// Relative humidities of the data, fraction.
    pub humidity: Range,
    /// What it may be used for.
    pub use_as: SetUse,
    /// How the constants were checked, in words.
    pub verification: Option<String>,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// The lowest and highest equilibrium moisture that the published sets of a crop give at one state of the air.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Lowest, fraction dry basis.
    pub low: f64,
    /// Highest, fraction dry basis.
    pub high: f64,
    /// The sets compared; with one set there is no spread to show, and that is not the same as none existing.
    pub ids: Vec<String>,
}
