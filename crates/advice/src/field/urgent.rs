//! What readings ask to be done at once, whatever a comparison or a ranking says of them.
//!
//! Here doubt is not added on the careless side: a best estimate beyond a limit is enough.
//!
//! # Caution
//! Motors and starters are opened by licensed electricians, gas by licensed fitters; nobody climbs an iced roof or enters a bin
//! to open a vent.

use super::{Setup, motors};
use notice::quantity::INCH_WATER_PA;

/// Pressure above the grain from which vents are too small, iced or screened with chaff, Pa: 0.10 in. of water (the upper end
/// of 0.05 to 0.10 in., from memory).
pub const HEADSPACE: f64 = 0.10 * INCH_WATER_PA;
/// Standard uncertainties by which gas pressure or heat must lie above what is set before the gas is to be shut.
const BEYOND: f64 = 3.0;
/// Standard deviation of the heat of a sound burner about its full fire (judgement).
const FIRE: f64 = 0.05;

/// What to act on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Urgent {
    /// A leg of this fan (from 1) carries next to nothing.
    DeadLeg(usize),
    /// The motor of this fan (from 1) bears this many times its rating with its service factor.
    Overloaded(usize, f64),
    /// Vents were seen to be blocked.
    VentsBlocked,
    /// The headspace stands at this pressure, Pa.
    Headspace(f64),
    /// Gas pressure at the burner over that set.
    GasPressureHigh(f64),
    /// Heat of the fuel over full fire.
    OverFired(f64),
}

/// Everything urgent of a set of readings, people and roofs before motors.
pub fn urgent(setup: &Setup<'_>) -> Vec<Urgent> {
    let r = setup.readings;
    let i = &r.instruments;
    let mut found = Vec::new();
    if setup.full_fire > 0.0 {
        let gas = r.gas_pressure.zip(r.gas_pressure_set).filter(|(_, set)| *set > 0.0).map(|(read, set)| {
            let ratio = read / set;
            (ratio, (i.gas.standard(read) / set).hypot(ratio * i.gas.standard(set) / set))
        });
        let fire = r.fuel.map(|_| {
            let ratio = setup.heat / setup.full_fire;
            (ratio, FIRE.hypot(i.fuel.standard(ratio)))
        });
        let high = |of: Option<(f64, f64)>| of.filter(|(ratio, u)| ratio - 1.0 > BEYOND * u).map(|(ratio, _)| ratio);
        found.extend(high(gas).map(Urgent::GasPressureHigh).or(high(fire).map(Urgent::OverFired)));
    }
    if r.seen.vents_blocked == Some(true) {
        found.push(Urgent::VentsBlocked);
    } else if let Some(read) = r.headspace_pressure.map(|p| setup.of_fans(p)).filter(|p| *p > limit(setup)) {
        found.push(Urgent::Headspace(read));
    }
    for motor in motors::motors(setup).into_iter().flatten() {
        if motor.has_dead_leg() {
            found.push(Urgent::DeadLeg(motor.fan));
        } else if motor.highest > motor.allowed {
            found.push(Urgent::Overloaded(motor.fan, motor.highest / motor.allowed));
        }
    }
    found
}

/// Pressure above the grain that is taken as it stands, Pa: [`HEADSPACE`], or half again what the site's open vents lose.
fn limit(setup: &Setup<'_>) -> f64 {
    let t = &setup.bin.template;
    let open = t
        .system
        .budget
        .vents
        .and_then(|_| setup.plant.solve(&t.system, &t.grain.resistance, &setup.air, setup.heat))
        .map_or(0.0, |s| s.headspace());
    HEADSPACE.max(1.5 * open)
}
