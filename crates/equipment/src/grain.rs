//! What the air system asks of the grain: a pressure gradient at a face velocity, and how steep that law is locally.
//!
//! Leaves out the constants of crops and the multipliers (packing, fines, direction): callers fold those into the
//! effective depth.

use notice::Range;
use physics::resistance::{BedResistance, LogLaw};

/// A law of resistance to airflow for loose clean grain and air near 20 °C at sea level.
pub trait GrainLaw {
    /// Pressure gradient at a face velocity (m/s), Pa/m.
    fn gradient(&self, velocity: f64) -> f64;
    /// Local exponent n = d ln(gradient)/d ln(velocity), from 1 (viscous) to 2 (inertial).
    fn exponent(&self, velocity: f64) -> f64;
    /// Both at once, for laws where they share work.
    #[inline]
    fn gradient_and_exponent(&self, velocity: f64) -> (f64, f64) {
        (self.gradient(velocity), self.exponent(velocity))
    }
}

impl GrainLaw for LogLaw {
    #[inline]
    fn gradient(&self, velocity: f64) -> f64 {
        LogLaw::gradient(self, velocity)
    }

    #[inline]
    fn exponent(&self, velocity: f64) -> f64 {
        LogLaw::exponent(self, velocity)
    }

    #[inline]
    fn gradient_and_exponent(&self, velocity: f64) -> (f64, f64) {
        // With x = b v and f = x/ln(1+x): gradient = a v f/b, n = 2 − f/(1+x), so n follows from the gradient without a
        // second logarithm.
        let gradient = LogLaw::gradient(self, velocity);
        let shape = gradient * self.b / (self.a * velocity);
        (gradient, 2.0 - shape / (1.0 + self.b * velocity))
    }
}

impl GrainLaw for BedResistance {
    #[inline]
    fn gradient(&self, velocity: f64) -> f64 {
        BedResistance::gradient(self, velocity)
    }

    /// That of the clean grain: the factor for fines varies too slowly with velocity to matter to the air-state correction.
    #[inline]
    fn exponent(&self, velocity: f64) -> f64 {
        self.law.exponent(velocity)
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
