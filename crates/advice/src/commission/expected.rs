//! What should be read at a bin on a day, and how far a reading may lie from it in a sound bin.

use super::estimates::{Values, inputs, planned};
use crate::field::{PlantState, Setup, propagate};
use equipment::motor_load::MotorPlate;
use job::Job;
use notice::Kind;
use physics::electric::Phases;

/// Height above the floor at which a pressure in the grain is foretold where none was read, m: a foot.
const IN_GRAIN: f64 = 0.3048;
/// Distance from the fans at which noise is foretold where none was read, m.
const BESIDE: f64 = 10.0;

/// One reading foretold.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// Path of its field, as [`job::readings::fields`] has it.
    pub path: &'static str,
    /// Kind of the value.
    pub kind: Kind,
    /// Value, SI.
    pub value: f64,
    /// Standard uncertainty of a reading about it: what is doubtful of the plan, and the instrument.
    pub standard: f64,
    /// Where it holds: height above the floor or distance from the fans, m.
    pub at: Option<f64>,
}

/// Everything that can be foretold of a bin in its state; without a working point nothing can.
pub fn expected(job: &Job, setup: &Setup<'_>) -> Vec<Expected> {
    let x = inputs(setup);
    let i = &setup.readings.instruments;
    let mut found = Vec::new();
    let mut add =
        |path, kind, at, instrument: &dyn Fn(f64) -> f64, of: &dyn Fn(&Values, &PlantState) -> Option<f64>| {
            let told = propagate::propagate(&x, |x| {
                let v = Values::of(x);
                of(&v, &planned(setup, &v)?)
            });
            if let Some(told) = told.filter(|t| t.value.is_finite()) {
                let standard = told.standard.hypot(instrument(told.value));
                found.push(Expected { path, kind, value: told.value, standard, at });
            }
        };
    let tap = |p: f64| i.pressure.standard(p).hypot(setup.doubt.tap * p);
    add("pressure.plenum", Kind::Pressure, None, &tap, &|_, s| Some(s.point.plenum_pressure));
    add("pressure.headspace", Kind::Pressure, None, &|p| i.pressure.standard(p), &|_, s| Some(s.headspace()));
    let height = setup.readings.grain_pressure.map_or(IN_GRAIN, |(_, height)| height);
    add("pressure.in_grain", Kind::Pressure, Some(height), &tap, &|_, s| Some(s.in_grain(height)));
    add("traverse.airflow", Kind::Airflow, None, &|q| i.traverse.standard(q), &|_, s| Some(s.point.fan_airflow));
    if setup.blows() {
        let thermometer = |t: f64| i.temperature.standard(t);
        add("air.plenum", Kind::Temperature, None, &thermometer, &|v, s| Some(v.outdoor + s.rise()));
    }
    if let Some((volts, phases)) = supply(job, setup) {
        let fan = setup.bin.template.system.outfit.fans().first();
        if let Some(fan) = fan {
            let plate =
                MotorPlate { efficiency: fan.motor_efficiency, ..MotorPlate::usual(fan.motor_power, volts, phases) };
            // A current foretold rests on a usual power factor, good to 5 % (judgement).
            let clamp = |a: f64| i.amps.standard(a).hypot(0.05 * a);
            add("motors.amps[]", Kind::Current, None, &clamp, &|v, s| {
                Some(plate.at(s.point.members.first()?.shaft_power / v.efficiency).current)
            });
        }
        let standard = i.volts.standard(volts).hypot(0.04 * volts);
        found.push(Expected { path: "motors.volts", kind: Kind::Voltage, value: volts, standard, at: None });
    }
    if let Some(fan) = setup.bin.template.system.outfit.fans().first() {
        let standard = i.speed.standard(fan.speed).hypot(0.01 * fan.speed);
        found.push(Expected { path: "motors.speed[]", kind: Kind::Rotation, value: fan.speed, standard, at: None });
    }
    if setup.full_fire > 0.0
        && let Some(flow) = setup.bin.template.burner.as_ref().and_then(|b| mass_flow(b, setup.full_fire))
    {
        let standard = i.fuel.standard(flow).hypot(0.05 * flow);
        found.push(Expected { path: "fuel.flow", kind: Kind::MassFlow, value: flow, standard, at: None });
        if let Some(set) = setup.bin.firing.gas_pressure {
            let standard = i.gas.standard(set);
            found.push(Expected { path: "fuel.gas_pressure", kind: Kind::GasPressure, value: set, standard, at: None });
        }
    }
    found.extend(sound(job, setup));
    found
}

/// The level of sound beside the running fans, dB(A).
pub(super) fn sound(job: &Job, setup: &Setup<'_>) -> Option<Expected> {
    let t = &setup.bin.template;
    let state = setup.plant.solve(&t.system, &t.grain.resistance, &setup.air, setup.heat)?;
    let distance = setup.readings.sound.as_ref().map_or(BESIDE, |(_, distance)| *distance);
    let (value, within) = crate::heat::sound::level_beside(job, setup.bin, &state.point, distance)?;
    let meter = setup.readings.instruments.sound.standard(value);
    // "Within 8 dB" is a limit of error as an instrument's.
    let standard = meter.hypot(within / 3f64.sqrt());
    Some(Expected { path: "sound.level", kind: Kind::SoundLevel, value, standard, at: Some(distance) })
}

/// Volts and phases of the motors: of the plate as far as it was read, else of the site's supply.
fn supply(job: &Job, setup: &Setup<'_>) -> Option<(f64, Phases)> {
    let r = setup.readings;
    let site = job.power.as_ref();
    let three = r.volts.len() == 3 || r.motors.iter().any(|m| m.amps.len() == 3);
    let phases = match (three, site) {
        (true, _) => Phases::Three,
        (false, Some(site)) => site.phases,
        (false, None) if r.motors.iter().any(|m| m.amps.len() == 1) => Phases::Single,
        (false, None) => return None,
    };
    Some((r.plate_volts.or(site.map(|s| s.volts))?, phases))
}

/// Fuel for a heat to the air, kg/s.
fn mass_flow(burner: &equipment::Burner, heat: f64) -> Option<f64> {
    let fuel = burner.fuel.combustion()?;
    Some(heat / (fuel.higher_heating_value * fuel.lower_share() * burner.indirect_efficiency.unwrap_or(1.0)))
}
