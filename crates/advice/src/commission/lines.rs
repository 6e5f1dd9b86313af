//! The comparisons, each with the uncertainty of its difference.

use super::estimates::{Values, inputs, planned, pressure_state, rise_airflow};
use super::{Agreement, Check, Line, Why, motors};
use crate::field::propagate::Input;
use crate::field::urgent::HEADSPACE;
use crate::field::{Setup, propagate};
use job::Job;
use job::readings::Rotation;
use notice::Kind;
use notice::quantity::INCH_WATER_PA;

/// All comparisons in the order of work.
pub(super) fn all(job: &Job, setup: &Setup<'_>) -> Vec<Line> {
    let r = setup.readings;
    let x = inputs(setup);
    let mut lines = sights(setup);
    lines.push(taps(setup));
    let pair = |check, kind, read: bool, of: &dyn Fn(&Values) -> Option<(f64, f64)>| pair(&x, check, kind, read, of);
    let (pressed, warmed) = (!r.plenum_pressure.is_empty(), !r.plenum.is_empty() && setup.blows());
    lines.push(pair(Check::PlenumPressure, Kind::Pressure, pressed, &|v| {
        Some((v.pressure, planned(setup, v)?.point.plenum_pressure))
    }));
    lines.push(if setup.bin.template.system.budget.vents.is_some() {
        pair(Check::HeadspacePressure, Kind::Pressure, r.headspace_pressure.is_some(), &|v| {
            Some((v.headspace, planned(setup, v)?.headspace()))
        })
    } else {
        pair(Check::HeadspaceLimit, Kind::Pressure, r.headspace_pressure.is_some(), &|v| Some((v.headspace, HEADSPACE)))
    });
    let by_pressure = |v: &Values| pressure_state(setup, v).map(|s| s.point.fan_airflow);
    lines.push(pair(Check::AirflowByRise, Kind::Airflow, pressed && warmed, &|v| {
        Some((rise_airflow(setup, v)?, by_pressure(v)?))
    }));
    lines.push(pair(Check::AirflowByTraverse, Kind::Airflow, pressed && r.traverse.is_some(), &|v| {
        Some((v.traverse, by_pressure(v)?))
    }));
    lines.push(pair(Check::TraverseAndRise, Kind::Airflow, warmed && r.traverse.is_some(), &|v| {
        Some((v.traverse, rise_airflow(setup, v)?))
    }));
    lines.push(pair(Check::MotorInput, Kind::ElectricPower, pressed && setup.input().is_some(), &|v| {
        Some((v.input, pressure_state(setup, v)?.point.input_power / v.efficiency))
    }));
    lines.push(speed(setup));
    if setup.full_fire > 0.0 {
        // The fuel's heat against the plan: the doubt of the plan's full fire stands beside that of the meter.
        let fire: Vec<Input> = vec![x[5], ("full fire", setup.full_fire, 0.05 * setup.full_fire)];
        let found = r.fuel.and_then(|_| propagate::propagate(&fire, |x| Some(x[0] - x[1])));
        lines.push(line(Check::FullFire, Kind::HeatRate, setup.heat, setup.full_fire, found, Why::NotRead));
    }
    lines.extend(burner(setup));
    lines.extend(motors::volts(setup));
    lines.extend(motors::all(setup));
    lines.extend(sound(job, setup));
    lines
}

/// What was looked at without an instrument: rotation always, the rest where the bin has it.
fn sights(setup: &Setup<'_>) -> Vec<Line> {
    let seen = setup.readings.seen;
    let line = |check, bad: Option<bool>| {
        let agreement = match bad {
            Some(true) => Agreement::Differs,
            Some(false) => Agreement::Agrees,
            None => Agreement::CannotTell(Why::NotRead),
        };
        Line { agreement, ..blank(check, Kind::Number, Why::NotRead) }
    };
    let there = setup.bin.template.system.budget.vents.is_some();
    let mut lines = vec![line(Check::Rotation, seen.rotation.map(|r| r == Rotation::AgainstArrow))];
    if there || seen.vents_blocked.is_some() {
        lines.push(line(Check::VentsOpen, seen.vents_blocked));
    }
    lines.push(line(Check::NoAirEscapes, seen.air_escapes));
    if setup.bin.template.system.outfit.fans().len() > 1 || seen.pulsing.is_some() {
        lines.push(line(Check::NoPulsing, seen.pulsing));
    }
    if setup.full_fire > 0.0 {
        lines.push(line(Check::NoIce, seen.ice_on_regulator));
    }
    lines
}

/// Gas pressure against that set, and the panel's sensor against the thermometers in the plenum.
fn burner(setup: &Setup<'_>) -> Vec<Line> {
    let r = setup.readings;
    let mut lines = Vec::new();
    if setup.full_fire <= 0.0 {
        return lines;
    }
    lines.push(match (r.gas_pressure, r.gas_pressure_set) {
        (Some(read), Some(set)) => {
            let inputs = [
                ("gas pressure", read, r.instruments.gas.standard(read)),
                ("as set", set, r.instruments.gas.standard(set)),
            ];
            let found = propagate::propagate(&inputs, |x| Some(x[0] - x[1]));
            line(Check::GasPressure, Kind::GasPressure, read, set, found, Why::NotRead)
        }
        _ => blank(Check::GasPressure, Kind::GasPressure, Why::NotRead),
    });
    lines.push(match (r.panel, setup.plenum_temperature()) {
        (Some(panel), Some((plenum, u))) => {
            let inputs =
                [("panel sensor", panel, r.instruments.temperature.standard(panel)), ("plenum temperature", plenum, u)];
            let found = propagate::propagate(&inputs, |x| Some(x[0] - x[1]));
            line(Check::PanelSensor, Kind::Temperature, panel, plenum, found, Why::NotRead)
        }
        _ => blank(Check::PanelSensor, Kind::Temperature, Why::NotRead),
    });
    lines
}

/// Noise beside the fans against type and duty, where it was read: a wheel that rubs or stalls is heard before it is felt.
fn sound(job: &Job, setup: &Setup<'_>) -> Option<Line> {
    let (levels, _) = setup.readings.sound.as_ref()?;
    let Some(expected) = super::expected::sound(job, setup) else {
        return Some(blank(Check::Noise, Kind::SoundLevel, Why::OffTheCurve));
    };
    // Levels read in turn are one source heard several times: the mean of their powers.
    let power = levels.iter().map(|l| 10f64.powf(0.1 * l)).sum::<f64>() / levels.len() as f64;
    let measured = 10.0 * power.log10();
    let inputs = [("noise estimate and meter", measured, expected.standard)];
    let found = propagate::propagate(&inputs, |x| Some(x[0]));
    Some(line(Check::Noise, Kind::SoundLevel, measured, expected.value, found, Why::NotRead))
}

/// A line of two figures worked out from the common inputs.
fn pair(inputs: &[Input], check: Check, kind: Kind, read: bool, of: &dyn Fn(&Values) -> Option<(f64, f64)>) -> Line {
    let best: Vec<f64> = inputs.iter().map(|i| i.1).collect();
    let Some((measured, expected)) = of(&Values::of(&best)).filter(|(a, b)| read && a.is_finite() && b.is_finite())
    else {
        let why = if read { Why::OffTheCurve } else { Why::NotRead };
        return blank(check, kind, why);
    };
    let found = propagate::propagate(inputs, |x| of(&Values::of(x)).map(|(a, b)| a - b));
    line(check, kind, measured, expected, found, Why::OffTheCurve)
}

pub(super) fn blank(check: Check, kind: Kind, why: Why) -> Line {
    let agreement = Agreement::CannotTell(why);
    Line {
        check,
        fan: None,
        kind,
        measured: None,
        expected: None,
        standard: None,
        agreement,
        contributions: Vec::new(),
    }
}

pub(super) fn line(
    check: Check,
    kind: Kind,
    measured: f64,
    expected: f64,
    found: Option<propagate::Propagated>,
    why: Why,
) -> Line {
    match found {
        None => blank(check, kind, why),
        Some(found) => Line {
            check,
            fan: None,
            kind,
            measured: Some(measured),
            expected: Some(expected),
            standard: Some(found.standard),
            // Judged once the number of comparisons is known.
            agreement: Agreement::CannotTell(why),
            contributions: found.contributions,
        },
    }
}

/// Width of a list: largest less smallest.
fn width(list: &[f64]) -> f64 {
    let high = list.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    high - list.iter().copied().fold(f64::INFINITY, f64::min)
}

/// Taps of the plenum may differ by 0.2 in. of water; more means velocity pressure or a blockage (extension reference,
/// 0.1 to 0.2 in.). One manometer reads them all: its zero and gain fall out, what is left is how finely it is read, half of
/// its limit (judgement).
fn taps(setup: &Setup<'_>) -> Line {
    let list = &setup.readings.plenum_pressure;
    if list.len() < 2 {
        return blank(Check::TapsApart, Kind::Pressure, Why::NotRead);
    }
    let u = (0.5 * setup.readings.instruments.pressure.standard(0.0)).max(0.02 * INCH_WATER_PA);
    let found = propagate::propagate(&[("static pressure", width(list), u * 2f64.sqrt())], |x| Some(x[0]));
    line(Check::TapsApart, Kind::Pressure, width(list), 0.2 * INCH_WATER_PA, found, Why::NotRead)
}

fn speed(setup: &Setup<'_>) -> Line {
    let fans = setup.bin.template.system.outfit.fans();
    let read: Vec<(f64, f64)> =
        setup.readings.motors.iter().zip(fans).filter_map(|(m, f)| m.speed.map(|s| (s, f.speed))).collect();
    // The fan furthest off its curve stands for all.
    let worst = read.into_iter().max_by(|a, b| (a.0 / a.1).ln().abs().total_cmp(&(b.0 / b.1).ln().abs()));
    let Some((measured, expected)) = worst else { return blank(Check::Speed, Kind::Rotation, Why::NotRead) };
    // The speed of a curve is that of the plate; slip moves it by 1 % about that (judgement).
    let u = setup.readings.instruments.speed.standard(measured);
    let inputs = [("speed", measured, u), ("slip", expected, 0.01 * expected)];
    let found = propagate::propagate(&inputs, |x| Some(x[0] - x[1]));
    line(Check::Speed, Kind::Rotation, measured, expected, found, Why::NotRead)
}
