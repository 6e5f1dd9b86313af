//! What a commissioning sheet should read: the plan at several fills and outdoor temperatures, each figure with the band within
//! which a sound bin and honest instruments meet it.

use super::estimates::{Values, inputs, plant};
use crate::air::FILLS;
use crate::field::{PlantState, Setup, propagate};
use crate::heat::sound::level_beside;
use equipment::Outcome;
use job::readings::{Instruments, Readings};
use job::{BinJob, Job};
use std::collections::BTreeMap;

/// Outdoor temperatures of the sheet, °C: 15, 32, 50 and 68 °F, the autumn of a bin (judgement).
pub const OUTDOOR: [f64; 4] = [-9.444_444_444_444_445, 0.0, 10.0, 20.0];
/// Where sound is read: far enough from the inlets for plain spreading, near enough to drown the yard, m (judgement).
pub const SOUND_AT: f64 = 10.0;
/// Quantities that are compared at each point: pressure, airflow, input, rise.
const COMPARED: usize = 4;

/// A figure and how far a reading of a sound bin may lie from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Expected.
    pub value: f64,
    /// May differ by, either way.
    pub half: f64,
}

/// One fill at one outdoor temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedPoint {
    /// Share of the lots that is in.
    pub fill: f64,
    /// Depth, m.
    pub depth: f64,
    /// Outdoor air, °C.
    pub outdoor: f64,
    /// What comes of fans and grain.
    pub outcome: Outcome,
    /// Static pressure of the plenum, Pa.
    pub pressure: Option<Band>,
    /// Airflow at the fan inlets by traverse, m³/s.
    pub airflow: Option<Band>,
    /// Electric input of all fans, W.
    pub input: Option<Band>,
    /// Rise from outdoors to the plenum by the fans, K.
    pub rise: Option<Band>,
    /// The same at full fire of the burner; none without one.
    pub rise_lit: Option<Band>,
    /// Sound of all fans at [`SOUND_AT`], dB(A), and how far the estimate may be off.
    pub sound: Option<Band>,
}

/// The table.
#[derive(Debug, Clone, PartialEq)]
pub struct ExpectedTable {
    /// By fill, then by outdoor temperature.
    pub points: Vec<ExpectedPoint>,
    /// Factor on each standard uncertainty.
    pub coverage: f64,
    /// Errors of the instruments that the bands allow for.
    pub instruments: Instruments,
    /// Fans that run.
    pub fans: usize,
}

/// Readings of nobody yet: outdoor air and depth as the table takes them, instruments with their usual errors.
fn unread(outdoor: f64, depth: f64, burner_lit: bool) -> Readings {
    Readings { burner_lit, depth: Some(depth), outdoor, ..Readings::default() }
}

/// Standard uncertainties that the band of a sheet is wide, printed or asked for in the yard: so that of the four figures of a
/// sound bin none lies outside in at least 95 of 100 visits.
pub fn coverage() -> f64 {
    propagate::coverage(COMPARED)
}

/// Works out the table of a bin.
pub fn expected_table(job: &Job, bin: &BinJob) -> ExpectedTable {
    let coverage = coverage();
    let fans = bin.template.system.outfit.fans().len();
    let whole = bin.survey.depth();
    let mut points = Vec::new();
    for fill in FILLS {
        for outdoor in OUTDOOR {
            points.push(point(job, bin, (fill, fill * whole), outdoor, coverage));
        }
    }
    ExpectedTable { points, coverage, instruments: Instruments::default(), fans }
}

fn point(job: &Job, bin: &BinJob, (fill, depth): (f64, f64), outdoor: f64, coverage: f64) -> ExpectedPoint {
    let mut found = ExpectedPoint {
        fill,
        depth,
        outdoor,
        outcome: Outcome::BeyondCurve,
        pressure: None,
        airflow: None,
        input: None,
        rise: None,
        rise_lit: None,
        sound: None,
    };
    let elevation = job.place.elevation;
    let (places, cold) = (BTreeMap::new(), unread(outdoor, depth, false));
    let Ok(setup) = Setup::of(bin, elevation, &cold, &places, "sheet") else { return found };
    let Some(state) = solve(&setup, &Values::of(&best(&setup))) else { return found };
    found.outcome = state.point.outcome;
    let i = &cold.instruments;
    let band = |of: &dyn Fn(&PlantState) -> f64, instrument: &dyn Fn(f64) -> f64| {
        let planned = propagate::propagate(&inputs(&setup), |x| solve(&setup, &Values::of(x)).map(|s| of(&s)))?;
        let half = coverage * planned.standard.hypot(instrument(planned.value));
        half.is_finite().then_some(Band { value: planned.value, half })
    };
    let tap = setup.doubt.tap;
    found.pressure = band(&|s| s.point.plenum_pressure.abs(), &|p| i.pressure.standard(p).hypot(tap * p));
    found.airflow = band(&|s| s.point.fan_airflow, &|q| i.traverse.standard(q));
    // Volts and amps by meter; a power factor taken from the current is good to 5 % (as for readings).
    let meters = |w: f64| w * (i.volts.standard(1.0).powi(2) + i.amps.standard(1.0).powi(2) + 0.05f64.powi(2)).sqrt();
    let efficiency = setup.doubt.efficiency;
    found.input = band(&|s| s.point.input_power, &|w| meters(w).hypot(efficiency * w));
    let thermometers = i.temperature.standard(0.0) * 2f64.sqrt();
    if setup.blows() {
        found.rise = band(&|s| s.point.fan_heat, &|_| thermometers);
        found.rise_lit = lit(bin, elevation, depth, outdoor, coverage, thermometers);
    }
    found.sound = level_beside(job, bin, &state.point, SOUND_AT).map(|(value, half)| Band { value, half });
    found
}

/// The rise at full fire.
fn lit(bin: &BinJob, elevation: f64, depth: f64, outdoor: f64, coverage: f64, thermometers: f64) -> Option<Band> {
    bin.template.burner.as_ref()?;
    let (places, hot) = (BTreeMap::new(), unread(outdoor, depth, true));
    let setup = Setup::of(bin, elevation, &hot, &places, "sheet").ok()?;
    let found = propagate::propagate(&inputs(&setup), |x| solve(&setup, &Values::of(x)).map(|s| s.rise()))?;
    Some(Band { value: found.value, half: coverage * found.standard.hypot(thermometers) })
}

fn best(setup: &Setup<'_>) -> Vec<f64> {
    inputs(setup).iter().map(|input| input.1).collect()
}

fn solve(setup: &Setup<'_>, v: &Values) -> Option<PlantState> {
    let t = &setup.bin.template;
    plant(setup, v).solve(&t.system, &t.grain.resistance, &setup.air_at(v.outdoor, v.humidity, v.barometer), v.heat)
}
