//! How fast the kernels of a crop dry: the published laws by name, and the two-compartment kernel that production uses.

use crate::evidence::Evidence;
use notice::Range;
use physics::kinetics::{ThinLayer, TwoCompartment};

/// Constants of the two-compartment kernel and how far they are from the law they stand for.
#[derive(Debug, Clone, PartialEq)]
pub struct CompartmentFit {
    /// Name of the row.
    pub id: String,
    /// The constants.
    pub constants: TwoCompartment,
    /// Name of the published law that they stand for.
    pub fitted_to: String,
    /// Root mean square difference in moisture ratio from that law over the conditions of the note.
    pub rms_misfit: f64,
    /// Largest difference there.
    pub max_misfit: f64,
    /// Temperatures of the fit, °C.
    pub temperature: Range,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// What production runs use for a crop.
#[derive(Debug, Clone, PartialEq)]
pub enum Production {
    /// A fit to the crop's own published law.
    Fitted(Box<CompartmentFit>),
    /// No law is published: the slowest and the fastest known cereal bound the answer, and the result is a range.
    Bounds {
        /// Slowest.
        slow: Box<CompartmentFit>,
        /// Fastest.
        fast: Box<CompartmentFit>,
    },
}

/// Drying rate of a crop.
#[derive(Debug, Clone, PartialEq)]
pub struct Kinetics {
    /// Published laws that may be named for verification.
    pub laws: Vec<ThinLayer>,
    /// What production runs use.
    pub production: Production,
}
