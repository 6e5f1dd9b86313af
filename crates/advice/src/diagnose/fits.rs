//! Whether any cause explains the readings, and which reading stands in the way when none does.
//!
//! A ranking always has a first: two faults at once, a fault nobody thought of and a misread scale end up under the name that
//! fits least badly. So the best fit is held against what chance leaves.

use super::Fitted;
use super::causes::{CAUSES, Sizing};
use super::channels::{Channel, Measured};
use super::model::Model;
use numerics::chi_squared;

/// Chance below which no cause fits: once in a hundred sound sets of readings that is said without reason.
pub const UNLIKELY: f64 = 0.01;

/// How well the best cause explains the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Goodness {
    /// Smallest sum of squares of the misfit of any cause, in combined standard uncertainties.
    pub square: f64,
    /// Readings less the sizes that were fitted to them, at least 1.
    pub degrees: usize,
    /// Chance that readings of a bin with that cause lie that far from it.
    pub chance: f64,
    /// Where no cause fits: the reading without which one fits best, and the chance of that fit.
    pub without: Option<(Channel, f64)>,
}

impl Goodness {
    /// Whether some cause explains the readings.
    pub fn fits(&self) -> bool {
        self.chance >= UNLIKELY
    }
}

/// Sizes that were fitted.
fn sizes(fit: &Fitted) -> usize {
    let sized = CAUSES.iter().find(|info| info.cause == fit.cause).is_some_and(|info| info.sizing != Sizing::None);
    usize::from(sized)
}

pub(super) fn goodness(model: &Model<'_>, measured: &Measured, fitted: &[Fitted]) -> Option<Goodness> {
    let chance = |square: f64, readings: usize, fit: &Fitted| {
        let degrees = readings.saturating_sub(sizes(fit)).max(1);
        (chi_squared::above(square, degrees as f64), degrees)
    };
    let readings = measured.read.len();
    let of = |fit: &Fitted| (chance(fit.misfit, readings, fit), fit.misfit);
    let ((best, degrees), square) = fitted.iter().map(of).max_by(|a, b| a.0.0.total_cmp(&b.0.0))?;
    let mut found = Goodness { square, degrees, chance: best, without: None };
    if !found.fits() && readings > 2 {
        let mut best: Option<(Channel, f64)> = None;
        for fit in fitted {
            let Some(all) = model.covariance(measured, fit.cause, fit.size.unwrap_or(0.0)) else { continue };
            let misfit: Vec<f64> =
                measured.read.iter().zip(&fit.predicted).map(|(read, predicted)| read.value - predicted).collect();
            for (i, left_out) in measured.read.iter().enumerate() {
                let rest: Vec<usize> = (0..readings).filter(|k| *k != i).collect();
                let Some(factor) = all.of(&rest).cholesky() else { continue };
                let misfit: Vec<f64> = rest.iter().map(|k| misfit[*k]).collect();
                let (chance, _) = chance(factor.square(&misfit), rest.len(), fit);
                if best.is_none_or(|(_, known)| chance > known) {
                    best = Some((left_out.channel, chance));
                }
            }
        }
        // A reading whose absence helps nobody is not to blame.
        found.without = best.filter(|(_, chance)| *chance >= UNLIKELY);
    }
    Some(found)
}
