//! What can be read or seen, and what was.

use crate::field::{Setup, motors};
use job::readings::Rotation;
use notice::quantity::INCH_WATER_PA;
use physics::propane;

/// What can be read; values SI unless said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[repr(usize)]
pub enum Channel {
    /// Static pressure of the plenum, Pa.
    Plenum,
    /// Pressure above the grain, Pa.
    Headspace,
    /// Pressure in the grain a little above the floor, Pa.
    InGrain,
    /// Airflow by traverse at the fan inlets, m³/s.
    Traverse,
    /// Electric input, W.
    Input,
    /// Volts over those of the plate.
    Volts,
    /// Largest less smallest current of the legs, over their mean.
    CurrentSpread,
    /// Speed over that of the curve.
    Speed,
    /// Rise of the plenum over the outdoor air, K.
    Rise,
    /// Heat by the fuel over full fire.
    Fire,
    /// Gas pressure at the burner over that set.
    GasPressure,
    /// Pressure of the tank over that of propane at outdoor temperature.
    TankPressure,
    /// Panel's plenum sensor less the mean of the plenum, K.
    Panel,
    /// Depth measured over that used.
    Depth,
    /// Largest less smallest load of the motors, over their mean.
    MotorSpread,
}

/// All of them, in order.
pub const CHANNELS: [Channel; 15] = [
    Channel::Plenum,
    Channel::Headspace,
    Channel::InGrain,
    Channel::Traverse,
    Channel::Input,
    Channel::Volts,
    Channel::CurrentSpread,
    Channel::Speed,
    Channel::Rise,
    Channel::Fire,
    Channel::GasPressure,
    Channel::TankPressure,
    Channel::Panel,
    Channel::Depth,
    Channel::MotorSpread,
];

/// What can be seen without an instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sight {
    /// A wheel turns against its arrow.
    AgainstArrow,
    /// Ice on the gas regulator.
    IceOnRegulator,
    /// The air pulses, or an idle wheel turns backwards.
    Pulsing,
    /// Roof vents blocked.
    VentsBlocked,
    /// Air blows out at joints.
    AirEscapes,
}

/// All of them.
pub const SIGHTS: [Sight; 5] =
    [Sight::AgainstArrow, Sight::IceOnRegulator, Sight::Pulsing, Sight::VentsBlocked, Sight::AirEscapes];

/// One reading.
#[derive(Debug, Clone, Copy)]
pub(super) struct Read {
    pub channel: Channel,
    pub value: f64,
    /// Standard uncertainty of the instrument and of how it was taken.
    pub standard: f64,
}

/// All readings of a set.
#[derive(Debug, Clone)]
pub(super) struct Measured {
    pub read: Vec<Read>,
    pub sights: Vec<(Sight, bool)>,
}

impl Measured {
    pub fn of(setup: &Setup<'_>) -> Self {
        let read = CHANNELS
            .iter()
            .filter_map(|&channel| value(setup, channel).map(|(value, standard)| Read { channel, value, standard }))
            .collect();
        let s = setup.readings.seen;
        let sights = [
            (Sight::AgainstArrow, s.rotation.map(|r| r == Rotation::AgainstArrow)),
            (Sight::IceOnRegulator, s.ice_on_regulator),
            (Sight::Pulsing, s.pulsing),
            (Sight::VentsBlocked, s.vents_blocked),
            (Sight::AirEscapes, s.air_escapes),
        ];
        Self { read, sights: sights.into_iter().filter_map(|(sight, seen)| seen.map(|yes| (sight, yes))).collect() }
    }

    /// Readings less predictions.
    pub fn misfit(&self, predicted: &[f64]) -> Vec<f64> {
        self.read.iter().map(|r| r.value - predicted[r.channel as usize]).collect()
    }

    pub fn has(&self, channel: Channel) -> bool {
        self.read.iter().any(|r| r.channel == channel)
    }
}

/// Value and standard uncertainty of a channel in the readings.
fn value(setup: &Setup<'_>, channel: Channel) -> Option<(f64, f64)> {
    let r = setup.readings;
    let i = &r.instruments;
    match channel {
        Channel::Plenum => setup.plenum_pressure(),
        Channel::Headspace => {
            r.headspace_pressure.map(|p| (setup.of_fans(p), i.pressure.standard(p).hypot(unnamed_vents(setup))))
        }
        Channel::InGrain => {
            r.grain_pressure.map(|(p, _)| (setup.of_fans(p), i.pressure.standard(p).hypot(setup.doubt.tap * p)))
        }
        Channel::Traverse => setup.traverse(),
        Channel::Input => setup.input(),
        Channel::Volts => {
            let plate = r.plate_volts.filter(|_| !r.volts.is_empty())?;
            let mean = r.volts.iter().sum::<f64>() / r.volts.len() as f64;
            Some((mean / plate, usual(Channel::Volts).hypot(i.volts.standard(mean) / plate)))
        }
        Channel::CurrentSpread => {
            let spreads = r.motors.iter().filter(|m| m.amps.len() == 3).map(|m| {
                let mean = m.amps.iter().sum::<f64>() / 3.0;
                let high = m.amps.iter().copied().fold(0.0, f64::max);
                (high - m.amps.iter().copied().fold(f64::INFINITY, f64::min)) / mean.max(1e-9)
            });
            spreads.reduce(f64::max).map(|spread| (spread, usual(channel)))
        }
        Channel::Speed => {
            let fans = setup.bin.template.system.outfit.fans();
            let ratios: Vec<f64> =
                r.motors.iter().zip(fans).filter_map(|(m, f)| m.speed.map(|s| s / f.speed)).collect();
            let mean = (!ratios.is_empty()).then(|| ratios.iter().sum::<f64>() / ratios.len() as f64)?;
            Some((mean, usual(channel).hypot(i.speed.standard(1.0).min(0.05))))
        }
        Channel::Rise => {
            let (plenum, u) = setup.plenum_temperature().filter(|_| setup.blows())?;
            Some((plenum - r.outdoor, u.hypot(i.temperature.standard(r.outdoor))))
        }
        Channel::Fire => {
            r.fuel.filter(|_| setup.full_fire > 0.0)?;
            let ratio = setup.heat / setup.full_fire;
            Some((ratio, usual(channel).hypot(i.fuel.standard(ratio))))
        }
        Channel::GasPressure => {
            let set = r.gas_pressure_set.filter(|set| *set > 0.0)?;
            r.gas_pressure.map(|p| (p / set, (i.gas.standard(p) / set).hypot(i.gas.standard(set) / set)))
        }
        Channel::TankPressure => r.tank_pressure.map(|p| (p / tank_at(r.outdoor, setup.barometer.0), usual(channel))),
        Channel::Panel => {
            let (plenum, u) = setup.plenum_temperature()?;
            r.panel.map(|panel| (panel - plenum, u.hypot(i.temperature.standard(panel))))
        }
        Channel::Depth => r.depth.map(|d| (1.0, i.depth.standard(d) / d.max(0.1))),
        Channel::MotorSpread => {
            let read: Vec<_> = motors::motors(setup).into_iter().collect::<Option<_>>()?;
            let loads: Vec<f64> = read.iter().map(|m: &motors::MotorState| m.shaft / m.rated).collect();
            motors::apart(&loads).map(|spread| (spread, usual(channel)))
        }
    }
}

/// Gauge pressure of pure propane at outdoor temperature, Pa, at least a tenth of a bar.
fn tank_at(outdoor: f64, barometer: f64) -> f64 {
    (propane::saturation_pressure(outdoor) - barometer).max(1e4)
}

/// What open vents lose that the site does not name, Pa, as a standard deviation: customary ones lose 0.05 to 0.15 in. of water.
fn unnamed_vents(setup: &Setup<'_>) -> f64 {
    match setup.bin.template.system.budget.vents {
        Some(_) => 0.0,
        None => 0.06 * INCH_WATER_PA,
    }
}

/// Standard deviation of a channel about its prediction in sound bins that no instrument is to blame for (judgement): mains
/// that are not exact, legs and motors that differ, slip, a fire that is not exactly the rated one, a tank cooled by its own boiling.
pub(super) fn usual(channel: Channel) -> f64 {
    match channel {
        Channel::Volts => 0.03,
        Channel::CurrentSpread => 0.06,
        Channel::Speed => 0.01,
        Channel::Fire => 0.04,
        Channel::TankPressure => 0.15,
        Channel::MotorSpread => 0.08,
        _ => 0.0,
    }
}

/// Standard uncertainty that a channel would have when read with this set's instruments.
pub(super) fn would_have(setup: &Setup<'_>, channel: Channel, predicted: f64) -> f64 {
    let i = &setup.readings.instruments;
    let of = match channel {
        Channel::Plenum | Channel::InGrain => i.pressure.standard(predicted),
        Channel::Headspace => i.pressure.standard(predicted).hypot(unnamed_vents(setup)),
        Channel::Traverse => i.traverse.standard(predicted),
        Channel::Input => predicted * i.amps.standard(1.0).min(0.1).hypot(0.05),
        Channel::Volts => 0.006,
        Channel::CurrentSpread | Channel::TankPressure | Channel::MotorSpread => 0.0,
        Channel::Speed => 0.003,
        Channel::Rise | Channel::Panel => i.temperature.standard(predicted) * 2f64.sqrt(),
        Channel::Fire => i.fuel.standard(predicted),
        Channel::GasPressure => 0.04,
        Channel::Depth => i.depth.standard(1.0) / setup.plant.depth.max(0.1),
    };
    of.hypot(usual(channel)).max(1e-9)
}
