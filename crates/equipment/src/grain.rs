//! What the air system asks of the grain: a pressure gradient at a face velocity, and how steep that law is locally.
//!
//! Leaves out the constants of crops and the multipliers (packing, fines, direction): callers fold those into the
//! effective depth.

use notice::Range;
use numerics::Real;

/// A law of resistance to airflow for loose clean grain and air near 20 °C at sea level.
pub trait GrainLaw {
    /// Pressure gradient at a face velocity (m/s), Pa/m.
    fn gradient(&self, velocity: f64) -> f64;
    /// Local exponent n = d ln(gradient)/d ln(velocity), from 1 (viscous) to 2 (inertial).
    fn exponent(&self, velocity: f64) -> f64;
}

/// Gradient = a v²/ln(1 + b v), the log law of Hukill and Ives 1955 in the form of ASAE D272.3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogLaw {
    /// Constant a, Pa s²/m³.
    pub a: f64,
    /// Constant b, m² s/m³.
    pub b: f64,
}

impl GrainLaw for LogLaw {
    #[inline]
    fn gradient(&self, velocity: f64) -> f64 {
        let x = self.b * velocity;
        if x < 1e-3 {
            // Series of v²/ln(1+bv): the quotient loses its digits near still air.
            return self.a / self.b * velocity * (1.0 + x * (0.5 - x / 12.0));
        }
        self.a * velocity * velocity / Real::ln(1.0 + x)
    }

    #[inline]
    fn exponent(&self, velocity: f64) -> f64 {
        let x = self.b * velocity;
        if x < 1e-3 { 1.0 + 0.5 * x } else { 2.0 - x / ((1.0 + x) * Real::ln(1.0 + x)) }
    }
}

/// The grain of one moment as the air meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrainTerms<G> {
    /// The law of the grain (for uneven columns that share a plenum: their effective mean law).
    pub law: G,
    /// Depth of loose clean grain of the same resistance, m: depth times all multipliers.
    pub effective_depth: f64,
    /// Face velocities for which the law has evidence, m/s.
    pub velocity_range: Option<Range>,
}
