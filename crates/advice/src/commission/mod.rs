//! Does a bin do what was promised? Readings against the plan and against each other, each comparison within its combined
//! uncertainty.
//!
//! # Caution
//! Readings are taken beside rotating wheels, live terminals and gas: guards stay on, covers are opened by licensed
//! electricians only, the gas fitter is there for the burner, nobody enters the bin or the plenum.

mod estimates;
mod expected;
mod lines;
pub mod table;

pub use estimates::{Airflow, from_pressure, from_rise};
pub use expected::{Expected, expected};
pub use table::{ExpectedTable, expected_table};

use crate::field::{Contribution, Setup, propagate};
use job::Job;
use job::readings::{Readings, Rotation};
use notice::Kind;

/// What is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Check {
    /// Which way the wheels turn, as seen.
    Rotation,
    /// Roof vents, as seen.
    VentsOpen,
    /// Air felt at joints.
    NoAirEscapes,
    /// Air that pulses, or an idle wheel that turns backwards.
    NoPulsing,
    /// Ice on the gas regulator.
    NoIce,
    /// Static pressure of the plenum against that of the plan.
    PlenumPressure,
    /// Pressure above the grain against what the vents should lose.
    HeadspacePressure,
    /// Airflow by rise of temperature against airflow by static pressure.
    AirflowByRise,
    /// Airflow by traverse against airflow by static pressure.
    AirflowByTraverse,
    /// Airflow by traverse against airflow by rise of temperature.
    TraverseAndRise,
    /// Electric input against the fan's power at the airflow by static pressure.
    MotorInput,
    /// Speed of the wheels against that of the curve.
    Speed,
    /// Heat by the fuel read against full fire of the burner.
    FullFire,
    /// Gas pressure at the burner against that set.
    GasPressure,
    /// The panel's plenum sensor against the thermometers there.
    PanelSensor,
    /// Noise beside the fans against type and duty.
    Noise,
    /// Shaft load against rating times service factor.
    MotorLoad,
    /// Volts against the plate.
    Volts,
    /// Volts of the legs against each other.
    VoltsUnbalance,
    /// Taps of the plenum against each other.
    TapsApart,
}

/// How a comparison ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Agreement {
    /// The difference is within its uncertainty, which is small enough to matter.
    Agrees,
    /// The difference is beyond its uncertainty.
    Differs,
    /// Nothing can be told, for this reason.
    CannotTell(Why),
}

/// Why nothing can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The readings it needs were not taken.
    NotRead,
    /// The uncertainty is wider than a fault worth finding: 30 % of what is expected (judgement).
    TooWide,
    /// The pressure lies off the stable side of the curve, or the curve is too flat there.
    OffTheCurve,
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What is compared.
    pub check: Check,
    /// Kind of the figures.
    pub kind: Kind,
    /// As measured, or as the second way gives it.
    pub measured: Option<f64>,
    /// As expected, or as the first way gives it; a limit for the checks against one.
    pub expected: Option<f64>,
    /// Standard uncertainty of their difference.
    pub standard: Option<f64>,
    /// How it ended.
    pub agreement: Agreement,
    /// What the variance is made of, largest first.
    pub contributions: Vec<Contribution>,
}

/// Width of the band, as a share of what is expected, from which on agreement says nothing (judgement).
const WIDEST: f64 = 0.30;

/// A bin commissioned.
#[derive(Debug, Clone)]
pub struct Commissioning {
    /// Comparisons in the order of work.
    pub lines: Vec<Line>,
    /// Factor on each standard uncertainty.
    pub coverage: f64,
    /// Airflow at the fan inlets, m³/s, by each way that was read, with its standard uncertainty.
    pub airflows: Vec<(Airflow, propagate::Propagated)>,
    /// Airflow of the plan in this air at this depth, m³/s at the fan inlets.
    pub planned_airflow: Option<f64>,
    /// Depth used, m.
    pub depth: f64,
    /// Barometer used, Pa.
    pub barometer: f64,
    /// Density at the fan inlets, kg/m³.
    pub density: f64,
}

impl Commissioning {
    /// Whether some line differs: the bin does not do what was promised, or a reading is wrong.
    pub fn differs(&self) -> bool {
        self.lines.iter().any(|line| line.agreement == Agreement::Differs)
    }

    /// Whether any line of figures agrees at all: without one nothing has been shown.
    pub fn agrees_somewhere(&self) -> bool {
        self.lines.iter().any(|line| line.agreement == Agreement::Agrees && line.standard.is_some())
    }
}

/// Whether readings may become the bin's baseline.
///
/// # Errors
/// Why not: the readings of a bin that is not shown to be sound would hide its fault later.
pub fn acceptable(found: &Commissioning, readings: &Readings) -> Result<(), String> {
    let differs = found.lines.iter().filter(|line| line.agreement == Agreement::Differs).count();
    let agrees =
        |of: &[Check]| found.lines.iter().any(|line| of.contains(&line.check) && line.agreement == Agreement::Agrees);
    match readings.seen.rotation {
        Some(Rotation::WithArrow) => {}
        Some(Rotation::AgainstArrow) => return Err("a wheel turns against its arrow".into()),
        // A wheel that turns backwards still blows, and pressure alone may well agree.
        None => return Err("nobody looked which way the wheels turn (state.rotation)".into()),
    }
    if differs > 0 {
        return Err(format!("{differs} of the comparisons differ"));
    }
    if !agrees(&[Check::PlenumPressure]) {
        return Err("the static pressure of the plenum is not shown to be that of the plan".into());
    }
    Ok(())
}

/// Compares readings with the plan and with each other.
pub fn commission(job: &Job, setup: &Setup<'_>) -> Commissioning {
    let raw = lines::all(job, setup);
    let told = raw.iter().filter(|line| line.standard.is_some()).count();
    let coverage = propagate::coverage(told);
    let lines = raw.into_iter().map(|line| judged(line, coverage)).collect();
    let planned =
        setup.plant.solve(&setup.bin.template.system, &setup.bin.template.grain.resistance, &setup.air, setup.heat);
    Commissioning {
        lines,
        coverage,
        airflows: estimates::all(setup),
        planned_airflow: planned.map(|s| s.point.fan_airflow),
        depth: setup.plant.depth,
        barometer: setup.barometer.0,
        density: physics::air::density(setup.air.temperature, setup.air.humidity_ratio, setup.air.pressure),
    }
}

/// Judges a line that has figures.
fn judged(mut line: Line, coverage: f64) -> Line {
    let (Some(measured), Some(expected), Some(standard)) = (line.measured, line.expected, line.standard) else {
        return line;
    };
    let (difference, band) = (measured - expected, coverage * standard);
    let limit = matches!(line.check, Check::VoltsUnbalance | Check::TapsApart | Check::MotorLoad);
    line.agreement = if limit {
        // One-sided: only above the limit is a fault.
        if difference > band { Agreement::Differs } else { Agreement::Agrees }
    } else if difference.abs() > band {
        Agreement::Differs
    } else if !matches!(line.kind, Kind::Temperature | Kind::SoundLevel) && band > WIDEST * expected.abs() {
        Agreement::CannotTell(Why::TooWide)
    } else {
        Agreement::Agrees
    };
    line
}

/// The readings that a full commissioning wants and these lack, in the words of the sheet.
pub fn missing(readings: &Readings) -> Vec<&'static str> {
    let wants: [(bool, &'static str); 8] = [
        (readings.seen.rotation.is_some(), "which way the wheels turn"),
        (readings.plenum_pressure.len() >= 2, "static pressure at two or more taps of the plenum, out of the jet"),
        (readings.headspace_pressure.is_some(), "pressure above the grain"),
        (readings.plenum.len() >= 3, "temperatures at three or more points of the plenum"),
        (readings.traverse.is_some(), "a traverse of the fan inlet"),
        (!readings.volts.is_empty(), "volts between legs and amps of each leg, of every running fan"),
        (readings.depth.is_some(), "depth of the levelled grain"),
        (readings.barometer.is_some(), "barometer, as at the place"),
    ];
    wants.into_iter().filter(|(there, _)| !there).map(|(_, what)| what).collect()
}
