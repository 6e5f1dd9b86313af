//! `commission SITE READINGS`: readings against the plan.

use super::words::{agreement_says, check_says, line_says, urgent_says};
use advice::commission::{Agreement, Airflow, Check, Commissioning, Line, Why};
use advice::field::propagate::FALSE_ALARMS;
use job::BinJob;
use notice::Kind;
use serde::Serialize;

/// One comparison.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LineJson {
    /// What is compared, in kebab case.
    pub check: &'static str,
    /// The same in words, with its fan where it is of one motor.
    pub says: String,
    /// Fan (from 1) whose motor it is; null for comparisons of the whole bin.
    pub fan: Option<usize>,
    /// Kind of the figures, for showing them.
    pub kind: Kind,
    /// Unit of `measured`, `expected` and `standard_uncertainty`: `Pa`, `m3/s`, `W`, `1/s`, `V`, `C`, `dB` or `1`; what is
    /// seen has no figures.
    pub unit: &'static str,
    /// As measured, or as the second way gives it.
    pub measured: Option<f64>,
    /// As expected, or as the first way gives it; a limit for the checks against one.
    pub expected: Option<f64>,
    /// Standard uncertainty of the difference.
    pub standard_uncertainty: Option<f64>,
    /// The same times the coverage factor: how far the two may lie apart.
    pub band: Option<f64>,
    /// `agrees`, `differs` or `cannot-tell`.
    pub result: &'static str,
    /// The same in words, with the reason where nothing can be told.
    pub result_says: &'static str,
    /// Why nothing can be told: `not-read`, `too-wide`, `off-the-curve`, `near-the-limit`, `gas-not-as-set`.
    pub why: Option<&'static str>,
    /// What the variance is made of, largest first.
    pub contributions: Vec<ContributionJson>,
}

/// One input's part in a variance.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ContributionJson {
    /// Input.
    pub input: &'static str,
    /// Share of the variance.
    pub share: f64,
}

/// The smallest fault that a comparison would have shown.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SeenJson {
    /// Comparison, in kebab case.
    pub check: &'static str,
    /// The same in words.
    pub says: &'static str,
    /// Share of what is expected.
    pub share: f64,
}

/// An airflow by one way.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct AirflowJson {
    /// `static-pressure`, `temperature-rise` or `traverse`.
    pub way: &'static str,
    /// At the fan inlets, m³/s.
    pub airflow_m3_s: f64,
    /// Its standard uncertainty, m³/s.
    pub standard_uncertainty_m3_s: f64,
}

/// A bin commissioned.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CommissionJson {
    /// Bin.
    pub bin: String,
    /// When the readings were taken, as written.
    pub at: Option<String>,
    /// `agrees`; `agrees-as-far-as-told` when some main comparison (static pressure, airflow by a second way, load of each motor,
    /// heat and gas pressure of a lit burner) cannot tell; `differs`; `cannot-tell` when no line tells
    /// anything, or something is urgent.
    pub result: &'static str,
    /// Comparisons in the order of work.
    pub lines: Vec<LineJson>,
    /// Factor on each standard uncertainty.
    pub coverage_factor: f64,
    /// Share of sound bins called into question, at most.
    pub false_alarms: f64,
    /// Airflow by each way that was read.
    pub airflows: Vec<AirflowJson>,
    /// Airflow of the plan in this air at this depth, m³/s at the fan inlets.
    pub planned_airflow_m3_s: Option<f64>,
    /// Depth used, m.
    pub depth_m: f64,
    /// Barometer used, Pa.
    pub barometer_pa: f64,
    /// Density at the fan inlets, kg/m³.
    pub inlet_density_kg_m3: f64,
    /// Whether any equipment is invented.
    pub demo: bool,
    /// What must be acted on at once, in words; said before anything else.
    pub urgent: Vec<String>,
    /// Main comparisons that cannot tell, in words.
    pub untold: Vec<String>,
    /// How small a fault these readings would have shown, as shares of what is expected.
    pub would_have_seen: Vec<SeenJson>,
    /// Readings a full commissioning wants and these lack.
    pub missing: Vec<&'static str>,
    /// Moisture by depth, from the surface down, where samples were read.
    pub profile: Vec<ProfileJson>,
}

/// Moisture at one depth.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ProfileJson {
    /// Below the surface, m.
    pub below_surface_m: f64,
    /// Best estimate.
    pub moisture_wb: f64,
    /// Lower end of the band of about 95 %.
    pub low_wb: f64,
    /// Upper end.
    pub high_wb: f64,
    /// Samples at this depth.
    pub samples: usize,
    /// Whether the user's chart was applied to all of them.
    pub corrected: bool,
    /// Too cold or too wet for the meter.
    pub doubtful: bool,
}

impl CommissionJson {
    /// The document of a commissioning.
    pub fn of(bin: &BinJob, found: &Commissioning, readings: &job::readings::Readings) -> Self {
        Self {
            bin: bin.name.clone(),
            at: readings.at.clone(),
            result: match (found.differs(), found.agrees_somewhere()) {
                (true, _) => "differs",
                (false, _) if !found.urgent.is_empty() => "cannot-tell",
                (false, true) if found.untold().is_empty() => "agrees",
                (false, true) => "agrees-as-far-as-told",
                (false, false) => "cannot-tell",
            },
            lines: found.lines.iter().map(|l| line(l, found.coverage)).collect(),
            coverage_factor: found.coverage,
            false_alarms: FALSE_ALARMS,
            airflows: found
                .airflows
                .iter()
                .map(|(way, f)| AirflowJson {
                    way: airflow_word(*way),
                    airflow_m3_s: f.value,
                    standard_uncertainty_m3_s: f.standard,
                })
                .collect(),
            planned_airflow_m3_s: found.planned_airflow,
            depth_m: found.depth,
            barometer_pa: found.barometer,
            inlet_density_kg_m3: found.density,
            demo: bin.invented,
            urgent: found.urgent.iter().map(|one| urgent_says(*one)).collect(),
            untold: found.untold().into_iter().map(line_says).collect(),
            would_have_seen: found
                .would_have_seen()
                .into_iter()
                .map(|(check, share)| SeenJson { check: check_word(check), says: check_says(check), share })
                .collect(),
            missing: advice::commission::missing(readings),
            profile: advice::samples::profile(readings, bin.template.burner.is_some())
                .into_iter()
                .map(|p| ProfileJson {
                    below_surface_m: p.below_surface,
                    moisture_wb: p.moisture,
                    low_wb: p.low,
                    high_wb: p.high,
                    samples: p.samples,
                    corrected: p.corrected,
                    doubtful: p.doubtful,
                })
                .collect(),
        }
    }
}

fn line(l: &Line, coverage: f64) -> LineJson {
    LineJson {
        check: check_word(l.check),
        says: line_says(l),
        fan: l.fan,
        kind: l.kind,
        unit: unit(l.kind),
        measured: l.measured,
        expected: l.expected,
        standard_uncertainty: l.standard,
        band: l.standard.map(|u| u * coverage),
        result: agreement_word(l.agreement),
        result_says: agreement_says(l.agreement),
        why: match l.agreement {
            Agreement::CannotTell(Why::NotRead) => Some("not-read"),
            Agreement::CannotTell(Why::TooWide) => Some("too-wide"),
            Agreement::CannotTell(Why::OffTheCurve) => Some("off-the-curve"),
            Agreement::CannotTell(Why::NearTheLimit) => Some("near-the-limit"),
            Agreement::CannotTell(Why::GasNotAsSet) => Some("gas-not-as-set"),
            _ => None,
        },
        contributions: l.contributions.iter().map(|c| ContributionJson { input: c.input, share: c.share }).collect(),
    }
}

/// Word of a result.
pub fn agreement_word(agreement: Agreement) -> &'static str {
    match agreement {
        Agreement::Agrees => "agrees",
        Agreement::Differs => "differs",
        Agreement::CannotTell(_) => "cannot-tell",
    }
}

/// Word of a way to an airflow.
pub fn airflow_word(way: Airflow) -> &'static str {
    match way {
        Airflow::Pressure => "static-pressure",
        Airflow::Rise => "temperature-rise",
        Airflow::Traverse => "traverse",
    }
}

/// Word of a comparison.
pub fn check_word(check: Check) -> &'static str {
    match check {
        Check::Rotation => "rotation",
        Check::VentsOpen => "vents-open",
        Check::NoAirEscapes => "no-air-escapes",
        Check::NoPulsing => "no-pulsing",
        Check::NoIce => "no-ice",
        Check::GasPressure => "gas-pressure",
        Check::PanelSensor => "panel-sensor",
        Check::Noise => "noise",
        Check::PlenumPressure => "plenum-pressure",
        Check::HeadspacePressure => "headspace-pressure",
        Check::HeadspaceLimit => "headspace-limit",
        Check::AirflowByRise => "airflow-by-rise-against-pressure",
        Check::AirflowByTraverse => "airflow-by-traverse-against-pressure",
        Check::TraverseAndRise => "airflow-by-traverse-against-rise",
        Check::MotorInput => "motor-input",
        Check::Speed => "speed",
        Check::FullFire => "full-fire",
        Check::MotorLoad => "motor-load",
        Check::CurrentsUnbalance => "currents-unbalance",
        Check::MotorsApart => "motors-apart",
        Check::Volts => "volts",
        Check::VoltsUnbalance => "volts-unbalance",
        Check::TapsApart => "taps-apart",
    }
}

fn unit(kind: Kind) -> &'static str {
    match kind {
        Kind::Pressure | Kind::GasPressure => "Pa",
        Kind::Temperature => "C",
        Kind::SoundLevel => "dB",
        Kind::Airflow => "m3/s",
        Kind::ElectricPower | Kind::ShaftPower | Kind::HeatRate => "W",
        Kind::Rotation => "1/s",
        Kind::Voltage => "V",
        _ => "1",
    }
}
