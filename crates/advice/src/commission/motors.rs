//! Volts and amps: each motor and each leg for itself, against limits.
//!
//! # Caution
//! Volts and amps are read by a licensed electrician; a motor beyond its plate is stopped until one has found why.

use super::lines::{blank, line};
use super::{Check, Line, Why};
use crate::field::motors::{self, MotorState, apart};
use crate::field::{Setup, propagate};
use notice::Kind;

/// Furthest that volts may lie from the plate (recalled from the motor standard, not read again).
const VOLTS: f64 = 0.10;
/// Furthest that the volts of a leg may lie from their mean (same).
const VOLTS_UNBALANCE: f64 = 0.01;
/// Furthest that the current of a leg may lie from their mean: 1 % of the volts shows as 6 to 10 % of the current (same); 10 %
/// is common practice, no source.
const CURRENTS_UNBALANCE: f64 = 0.10;
/// Furthest that the loads of motors which should be alike may lie apart (common practice, no source).
const MOTORS_APART: f64 = 0.20;

/// Volts against the plate and against each other.
pub(super) fn volts(setup: &Setup<'_>) -> Vec<Line> {
    let r = setup.readings;
    let mean = r.volts.iter().sum::<f64>() / r.volts.len().max(1) as f64;
    let mut lines = Vec::new();
    lines.push(match r.plate_volts.filter(|plate| *plate > 0.0 && !r.volts.is_empty()) {
        Some(plate) => {
            // The leg furthest off stands for all.
            let off = r.volts.iter().map(|v| (v - plate).abs()).fold(0.0, f64::max) / plate;
            limit(Check::Volts, Kind::Fraction, ("volts", off, r.instruments.volts.standard(mean) / plate), VOLTS)
        }
        None => blank(Check::Volts, Kind::Fraction, Why::NotRead),
    });
    if r.volts.len() == 3 {
        let off = r.volts.iter().map(|v| (v - mean).abs()).fold(0.0, f64::max) / mean;
        // One meter reads all legs: its gain falls out, what is left is its last digit and the mains' own wander.
        lines.push(limit(Check::VoltsUnbalance, Kind::Fraction, ("volts", off, 0.002), VOLTS_UNBALANCE));
    }
    lines
}

/// Load of each running motor by its highest leg, its legs against each other, the motors against each other.
pub(super) fn all(setup: &Setup<'_>) -> Vec<Line> {
    let read = motors::motors(setup);
    let mut lines = Vec::new();
    for (k, motor) in read.iter().enumerate() {
        let fan = Some(k + 1);
        let load =
            motor.as_ref().map_or_else(|| blank(Check::MotorLoad, Kind::ShaftPower, Why::NotRead), |m| load(setup, m));
        lines.push(Line { fan, ..load });
        if let Some(off) = motor.and_then(|m| m.unbalance) {
            // One clamp reads all legs; how it is held and the mains' wander leave 1 % (judgement).
            let legs = limit(Check::CurrentsUnbalance, Kind::Fraction, ("amps", off, 0.01), CURRENTS_UNBALANCE);
            lines.push(Line { fan, ..legs });
        }
    }
    lines.extend(motors_apart(setup, &read));
    lines
}

/// What the highest leg stands for at the shaft, against rating times service factor.
fn load(setup: &Setup<'_>, motor: &MotorState) -> Line {
    let inputs = [
        ("volts, amps and power factor", motor.highest, motor.relative * motor.highest),
        ("motor efficiency", 1.0, setup.doubt.efficiency),
    ];
    let found = propagate::propagate(&inputs, |x| Some(x[0] * x[1]));
    line(Check::MotorLoad, Kind::ShaftPower, motor.highest, motor.allowed, found, Why::NotRead)
}

/// Shares of their ratings that motors bear, against what the plan lets them lie apart and the limit on top of it.
fn motors_apart(setup: &Setup<'_>, read: &[Option<MotorState>]) -> Option<Line> {
    let read: Vec<MotorState> = read.iter().copied().collect::<Option<_>>()?;
    let off = apart(&read.iter().map(|m| m.shaft / m.rated).collect::<Vec<_>>())?;
    let t = &setup.bin.template;
    let state = setup.plant.solve(&t.system, &t.grain.resistance, &setup.air, setup.heat)?;
    let planned: Vec<f64> = state.point.members.iter().zip(&read).map(|(m, r)| m.shaft_power / r.rated).collect();
    // Meter and power factor are common to all; what is left is reading, and motors that are not twins (judgement).
    let allowed = apart(&planned).unwrap_or(0.0) + MOTORS_APART;
    Some(limit(Check::MotorsApart, Kind::Fraction, ("amps", off, 0.03), allowed))
}

fn limit(check: Check, kind: Kind, (input, value, u): (&'static str, f64, f64), allowed: f64) -> Line {
    let found = propagate::propagate(&[(input, value, u)], |x| Some(x[0]));
    line(check, kind, value, allowed, found, Why::NotRead)
}
