//! What a baseline tells of the sound bin: the doubts of the plan, updated by readings taken when nothing was wrong.

use super::causes::Cause;
use super::channels::{Channel, Measured};
use super::model::{Known, LASTING, Model};
use crate::field::Setup;

/// Standard deviation by which the resistance of grain drifts between baseline and call without being a fault: drying,
/// settling, fines moving (judgement), ln.
const DRIFT: f64 = 0.05;
/// Channels of meters and mains that say nothing lasting of the bin.
const PASSING: [Channel; 7] = [
    Channel::Volts,
    Channel::CurrentSpread,
    Channel::Speed,
    Channel::TankPressure,
    Channel::GasPressure,
    Channel::Panel,
    Channel::MotorSpread,
];

/// Updates the plan's doubts by a baseline: the linear update of a normal prior, z' = z + S Hᵀ (H S Hᵀ + R)⁻¹ (r − f(z)).
///
/// Of a baseline from another filling the resistance is not taken over: it was that of other grain.
pub(super) fn from_baseline(baseline: &Setup<'_>, other_grain: bool) -> Option<Known> {
    let planned = Known::planned(baseline);
    let model = Model::new(baseline, planned.clone());
    let mut measured = Measured::of(baseline);
    measured.read.retain(|r| !PASSING.contains(&r.channel) && r.channel != Channel::Depth);
    if measured.read.is_empty() {
        return Some(planned);
    }
    let rows = model.slopes(&measured, Cause::Sound, 0.0)?;
    let factor = model.covariance_of(&measured, &rows).cholesky()?;
    let misfit = measured.misfit(&model.predict(Cause::Sound, 0.0)?);
    let gains: Vec<Vec<f64>> = (0..LASTING).map(|k| model.doubt_row(k, &rows)).collect();
    let own = planned.covariance[0][0];
    let mut known = planned;
    for k in 0..LASTING {
        known.mean[k] += factor.product(&gains[k], &misfit);
        for l in 0..LASTING {
            known.covariance[k][l] -= factor.product(&gains[k], &gains[l]);
        }
    }
    known.covariance[0][0] += DRIFT * DRIFT;
    if other_grain {
        known.mean[0] = 0.0;
        (0..LASTING).for_each(|k| (known.covariance[0][k], known.covariance[k][0]) = (0.0, 0.0));
        known.covariance[0][0] = own;
    }
    Some(known)
}
