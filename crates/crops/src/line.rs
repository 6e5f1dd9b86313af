//! A property against moisture, as density, heat and conductivity are published.

use crate::evidence::Evidence;
use notice::Range;
use physics::grain::MoisturePolynomial;

/// A property of grain against moisture with what stands behind it.
///
/// Outside its range the line is held at the end of the range: polynomials fitted to a few lots bend away quickly. The
/// caller asks [`MoistureLine::range_wb`] whether that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct MoistureLine {
    /// Name of the row, for choosing it.
    pub id: String,
    /// The published polynomial, SI, moisture as a fraction wet basis.
    pub polynomial: MoisturePolynomial,
    /// What stands behind it.
    pub evidence: Evidence,
}

impl MoistureLine {
    /// Returns the property at a moisture (fraction wet basis), SI.
    pub fn at(&self, moisture_wb: f64) -> f64 {
        let range = self.range_wb();
        self.polynomial.at(moisture_wb.clamp(range.low, range.high))
    }

    /// Returns the moistures of the data, fraction wet basis.
    pub fn range_wb(&self) -> Range {
        self.polynomial.range
    }
}
