//! Does a bin do what was promised? Readings against the plan and against each other, each comparison within its combined
//! uncertainty.
//!
//! # Caution
//! Readings are taken beside rotating wheels, live terminals and gas: guards stay on, covers are opened by licensed
//! electricians only, the gas fitter is there for the burner, nobody enters the bin or the plenum.

mod estimates;
mod expected;
mod lines;
mod motors;
pub mod table;

pub use estimates::{Airflow, from_pressure, from_rise};
pub use expected::{Expected, expected};
pub use table::{ExpectedTable, expected_table};

use crate::field::{Contribution, Setup, Urgent, propagate, urgent};
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
    /// Pressure above the grain against the most that open vents lose, where the site names no vents.
    HeadspaceLimit,
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
    /// Load of one motor by its highest leg against its own rating times service factor.
    MotorLoad,
    /// Currents of one motor's legs against each other.
    CurrentsUnbalance,
    /// Loads of the motors against each other.
    MotorsApart,
    /// Distance of the volts from the plate.
    Volts,
    /// Volts of the legs against each other.
    VoltsUnbalance,
    /// Taps of the plenum against each other.
    TapsApart,
}

impl Check {
    /// Whether what is expected is a limit: only above it is a fault.
    pub fn is_limit(self) -> bool {
        matches!(
            self,
            Self::Volts
                | Self::VoltsUnbalance
                | Self::TapsApart
                | Self::MotorLoad
                | Self::CurrentsUnbalance
                | Self::MotorsApart
                | Self::HeadspaceLimit
        )
    }
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
    /// The reading lies nearer to its limit than it is certain.
    NearTheLimit,
    /// The gas pressure is not the one set, so full fire is not what burns.
    GasNotAsSet,
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What is compared.
    pub check: Check,
    /// Fan (from 1) whose motor it is, for the checks of one motor.
    pub fan: Option<usize>,
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
    /// What must be acted on at once.
    pub urgent: Vec<Urgent>,
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

/// Kinds of comparison without which agreement is no full one: static pressure, airflow by a second way, the load of each
/// motor, and of a lit burner heat and gas pressure.
const MAIN: [Check; 4] = [Check::PlenumPressure, Check::MotorLoad, Check::FullFire, Check::GasPressure];
/// Either of them is a second way to the airflow.
const SECOND_WAY: [Check; 2] = [Check::AirflowByTraverse, Check::AirflowByRise];

impl Commissioning {
    /// The main comparisons that cannot tell, in the order of work; a second way to the airflow stands as that by traverse.
    pub fn untold(&self) -> Vec<&Line> {
        let told = |line: &Line| !matches!(line.agreement, Agreement::CannotTell(_));
        let second = self.lines.iter().any(|l| SECOND_WAY.contains(&l.check) && told(l));
        self.lines
            .iter()
            .filter(|l| !told(l) && (MAIN.contains(&l.check) || (l.check == Check::AirflowByTraverse && !second)))
            .collect()
    }

    /// How small a fault these readings would have shown: pressure, airflow by its best second way, electric input and heat,
    /// each as a share of what is expected.
    pub fn would_have_seen(&self) -> Vec<(Check, f64)> {
        let share = |check: Check| {
            let line = self.lines.iter().find(|l| l.check == check)?;
            let (expected, standard) = (line.expected?, line.standard?);
            (expected > 0.0).then_some((check, self.coverage * standard / expected))
        };
        let airflow = SECOND_WAY.into_iter().filter_map(share).min_by(|a, b| a.1.total_cmp(&b.1));
        let rest = [Check::PlenumPressure, Check::MotorInput, Check::FullFire].into_iter().filter_map(share);
        airflow.into_iter().chain(rest).collect()
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
    if let Some(first) = found.urgent.first() {
        return Err(match first {
            Urgent::DeadLeg(fan) => format!("a leg of fan {fan} carries next to nothing"),
            Urgent::Overloaded(fan, _) => format!("the motor of fan {fan} bears more than its plate allows"),
            Urgent::VentsBlocked | Urgent::Headspace(_) => "the roof vents do not let the air out".into(),
            Urgent::GasPressureHigh(_) | Urgent::OverFired(_) => "the burner is fired above what it is set for".into(),
        });
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
    let mut lines: Vec<Line> = raw.into_iter().map(|line| judged(line, coverage)).collect();
    let gas_differs = lines.iter().any(|l| l.check == Check::GasPressure && l.agreement == Agreement::Differs);
    if let Some(fire) = lines.iter_mut().find(|l| l.check == Check::FullFire && gas_differs)
        && fire.agreement == Agreement::Agrees
    {
        fire.agreement = Agreement::CannotTell(Why::GasNotAsSet);
    }
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
        urgent: urgent(setup),
    }
}

/// Judges a line that has figures.
fn judged(mut line: Line, coverage: f64) -> Line {
    let (Some(measured), Some(expected), Some(standard)) = (line.measured, line.expected, line.standard) else {
        return line;
    };
    let (difference, band) = (measured - expected, coverage * standard);
    line.agreement = if line.check.is_limit() {
        // A limit is kept only by what lies below it by more than the doubt (guard band; Guide to the role of measurement
        // uncertainty in conformity assessment, JCGM 106:2012, 8.3, from memory), and broken only by what lies as far above.
        if difference > band {
            Agreement::Differs
        } else if difference <= -band {
            Agreement::Agrees
        } else {
            Agreement::CannotTell(Why::NearTheLimit)
        }
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
