//! Each running motor by its own volts and amps. A sum over motors hides the one that is overloaded, a mean over legs the one
//! that is dead, so neither is taken where a motor is judged.

use super::Setup;
use super::setup::power_factor;
use physics::electric::{Phases, power};

/// Share of the mean current below which a leg counts as dead, or the clamp stood elsewhere (judgement).
pub const DEAD_LEG: f64 = 0.2;

/// One running motor as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorState {
    /// Which fan, from 1.
    pub fan: usize,
    /// Electric input by the mean of its legs, W.
    pub input: f64,
    /// Shaft power by the mean of its legs, W.
    pub shaft: f64,
    /// Shaft power if all legs carried what the highest carries, W: what its winding has to bear.
    pub highest: f64,
    /// Relative standard uncertainty of each: volts, amps and power factor.
    pub relative: f64,
    /// Rating times service factor, W.
    pub allowed: f64,
    /// Rating, W.
    pub rated: f64,
    /// Largest distance of a leg from the mean of the three, over that mean; `None` where one leg was read.
    pub unbalance: Option<f64>,
    /// Lowest leg, A.
    pub lowest: f64,
    /// Mean of the legs, A.
    pub mean: f64,
}

impl MotorState {
    /// Whether a leg carries next to nothing.
    pub fn has_dead_leg(&self) -> bool {
        self.unbalance.is_some() && self.lowest < DEAD_LEG * self.mean
    }
}

/// The running motors in their order; `None` for one that was not read.
pub fn motors(setup: &Setup<'_>) -> Vec<Option<MotorState>> {
    let fans = setup.bin.template.system.outfit.fans();
    (0..setup.plant.fans.min(fans.len())).map(|k| motor(setup, k)).collect()
}

/// How far the motors' loads lie apart: largest less smallest share of the rating, over their mean; `None` for one motor, or
/// when not all were read.
pub fn apart(loads: &[f64]) -> Option<f64> {
    let mean = loads.iter().sum::<f64>() / loads.len().max(1) as f64;
    let high = loads.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = loads.iter().copied().fold(f64::INFINITY, f64::min);
    (loads.len() > 1 && mean > 0.0).then(|| (high - low) / mean)
}

fn motor(setup: &Setup<'_>, k: usize) -> Option<MotorState> {
    let r = setup.readings;
    let fan = setup.bin.template.system.outfit.fans().get(k)?;
    let amps = &r.motors.get(k)?.amps;
    if amps.is_empty() || r.volts.is_empty() {
        return None;
    }
    let volts = r.volts.iter().sum::<f64>() / r.volts.len() as f64;
    let phases = if amps.len() == 3 { Phases::Three } else { Phases::Single };
    let mean = amps.iter().sum::<f64>() / amps.len() as f64;
    let highest = amps.iter().copied().fold(0.0, f64::max);
    let lowest = amps.iter().copied().fold(f64::INFINITY, f64::min);
    let input = |amps: f64| {
        let factor =
            r.power_factor.unwrap_or_else(|| power_factor(amps, volts, phases, fan.motor_power, fan.motor_efficiency));
        power(amps, volts, factor, phases)
    };
    // A power factor taken from the current is good to 5 %, a measured one to 1 % (judgement).
    let factor: f64 = if r.power_factor.is_some() { 0.01 } else { 0.05 };
    let i = &r.instruments;
    let relative = ((i.volts.standard(volts) / volts).powi(2) + i.amps.standard(1.0).powi(2) + factor.powi(2)).sqrt();
    let unbalance =
        (amps.len() == 3 && mean > 0.0).then(|| amps.iter().map(|a| (a - mean).abs()).fold(0.0, f64::max) / mean);
    Some(MotorState {
        fan: k + 1,
        input: input(mean),
        shaft: input(mean) * fan.motor_efficiency,
        highest: input(highest) * fan.motor_efficiency,
        relative,
        allowed: fan.motor_power * fan.service_factor,
        rated: fan.motor_power,
        unbalance,
        lowest,
        mean,
    })
}
