//! Weight and volume of the grain: test weight, bushel, kernel density, shrink.

use crate::{evidence::Evidence, line::MoistureLine};
use notice::Range;

/// The legal or customary bushel of the trade: a weight that crosses a scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Bushel {
    /// Mass, kg.
    pub mass: f64,
    /// Moisture at which the trade counts it, fraction wet basis; unknown for crops whose lists print none.
    pub base_moisture_wb: Option<f64>,
    /// What stands behind it.
    pub evidence: Evidence,
}

impl Bushel {
    /// Bulk density at which a legal bushel fills a volume bushel, kg/m³.
    pub fn density(&self) -> f64 {
        self.mass / notice::quantity::BUSHEL_M3
    }
}

/// A range of a property for air-dry grain, where no line against moisture is published.
#[derive(Debug, Clone, PartialEq)]
pub struct TypicalRange {
    /// The range, SI.
    pub range: Range,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// A measured test weight, to which the published line of another lot is scaled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestWeight {
    /// Bulk density of the sample, kg/m³.
    pub density: f64,
    /// Moisture of the sample, fraction wet basis.
    pub moisture_wb: f64,
}

/// Scales a published line so that it passes through a measured test weight.
///
/// Lines published for one source of grain carry that source's weight; their slope with moisture is what is borrowed.
pub(crate) fn scaled(line: &MoistureLine, moisture_wb: f64, measured: Option<TestWeight>) -> f64 {
    let factor = measured.map_or(1.0, |sample| sample.density / line.at(sample.moisture_wb));
    factor * line.at(moisture_wb)
}
