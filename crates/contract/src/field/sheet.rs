//! The sheet that is filled in beside a running fan: what to read, what should come, how far off a sound bin may be.

use super::words::field_says;
use advice::commission::{expected, table};
use advice::field::Setup;
use advice::field::propagate::FALSE_ALARMS;
use job::readings::fields::{FIELDS, Field, Form};
use job::readings::{Limit, Readings};
use job::{BinJob, Job};
use notice::Kind;
use serde::Serialize;

/// One field to fill in.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SheetRowJson {
    /// Path of the field, as readings name it; `[]` stands for the number of a sample or a row of the chart, from 0.
    pub field: String,
    /// Table it belongs to: `state`, `air`, `pressure`, `motors`, `traverse`, `fuel`, `sound`, `grain`, `instruments`.
    pub group: String,
    /// What it is.
    pub says: &'static str,
    /// How it is read.
    pub how: &'static str,
    /// `quantity`, `number`, `count`, `choice`, `flag` or `text`.
    pub form: &'static str,
    /// Kind of quantity, for showing `expected`; null for other forms.
    pub kind: Option<Kind>,
    /// Units the value may be written in, the customary first.
    pub units: Vec<&'static str>,
    /// Words to choose from.
    pub choices: Vec<&'static str>,
    /// Smallest and largest, for `number` and `count`.
    pub ends: Option<Vec<f64>>,
    /// Whether it is read several times: points, taps, legs.
    pub many: bool,
    /// Whether nothing can be judged without it.
    pub needed: bool,
    /// What a sound bin gives, SI; null where it is not foretold.
    pub expected: Option<f64>,
    /// How far a reading of a sound bin may lie from it, SI: `coverage_factor` standard uncertainties.
    pub band: Option<f64>,
    /// Where it holds: height above the floor or distance from the fans, m.
    pub expected_at_m: Option<f64>,
    /// Field of the limit of error of its instrument.
    pub instrument: Option<String>,
    /// That limit, SI, as stated in the visit or by default.
    pub limit: Option<f64>,
    /// The same as a share of the reading.
    pub limit_share: Option<f64>,
}

/// A sheet.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SheetJson {
    /// Bin.
    pub bin: String,
    /// Crop in words.
    pub crop: String,
    /// Outdoor air that is expected with, °C.
    pub outdoor_c: f64,
    /// Depth of the grain, m.
    pub depth_m: f64,
    /// Barometer, Pa.
    pub barometer_pa: f64,
    /// Fans that run.
    pub fans: usize,
    /// Whether the burner is lit.
    pub burner_lit: bool,
    /// Fields of these that were not read and are taken from the plan.
    pub assumed: Vec<&'static str>,
    /// Airflow expected at the fan inlets, m³/s.
    pub airflow_m3_s: Option<f64>,
    /// Standard uncertainties that each band is wide, as on the printed commissioning sheet.
    pub coverage_factor: f64,
    /// Share of sound bins of which one of the four main figures (pressure, airflow, input, rise) lies outside its band.
    pub false_alarms: f64,
    /// The fields in the order of work.
    pub rows: Vec<SheetRowJson>,
    /// Cautions, to be read first.
    pub cautions: Vec<&'static str>,
    /// Whether any equipment is invented.
    pub demo: bool,
}

/// Said wherever readings are asked for.
pub const READING: &str = "caution: read with guards on and hands clear of wheels, belts and live terminals; open motor boxes \
                           and starters only with power locked out, and leave volts and amps to a licensed electrician, gas \
                           to a licensed fitter; nobody goes into the bin or the plenum to take a reading";

/// Said wherever fans may start.
const STARTING: &str =
    "caution: fans, augers and burners may start by themselves; lock power out before any cover is opened";

impl SheetJson {
    /// The sheet of a bin in a state. `told` says which of outdoor air, depth, barometer and running fans were read.
    pub fn of(job: &Job, bin: &BinJob, setup: &Setup<'_>, told: &dyn Fn(&str) -> bool) -> Self {
        let foretold = expected(job, setup);
        let burner = bin.template.burner.is_some();
        let fans = setup.plant.fans;
        let mut rows = Vec::new();
        for field in &FIELDS {
            let gas = matches!(field.path, "state.burner" | "state.ice_on_regulator" | "air.panel");
            if !burner
                && (gas
                    || field.path.starts_with("fuel.")
                    || matches!(field.path, "instruments.fuel" | "instruments.gas"))
            {
                continue;
            }
            let row = |path: String| row(field, path, setup.readings, &foretold);
            match field.path.starts_with("motors.") && field.path.ends_with("[]") {
                true => rows.extend((0..fans).map(|motor| row(field.path.replace("[]", &format!("[{motor}]"))))),
                false => rows.push(row(field.path.to_string())),
            }
        }
        let assumed = ["air.outdoor", "air.humidity", "air.barometer", "state.depth", "state.fans_running"];
        Self {
            bin: bin.name.clone(),
            crop: bin.crop_name.clone(),
            outdoor_c: setup.readings.outdoor,
            depth_m: setup.plant.depth,
            barometer_pa: setup.barometer.0,
            fans,
            burner_lit: setup.readings.burner_lit,
            assumed: assumed.into_iter().filter(|path| !told(path)).collect(),
            airflow_m3_s: foretold.iter().find(|e| e.path == "traverse.airflow").map(|e| e.value),
            coverage_factor: table::coverage(),
            false_alarms: FALSE_ALARMS,
            rows,
            cautions: vec![READING, STARTING],
            demo: bin.invented,
        }
    }
}

fn row(field: &Field, path: String, readings: &Readings, foretold: &[advice::commission::Expected]) -> SheetRowJson {
    let (says, how) = field_says(field.path);
    let expected = foretold.iter().find(|e| e.path == field.path);
    let limit = field.instrument.and_then(|key| readings.instruments.limit(key));
    let (form, choices, ends) = match field.form {
        Form::Quantity(_) | Form::Fuel | Form::Points | Form::Limit(_) => ("quantity", Vec::new(), None),
        Form::Number(low, high) => ("number", Vec::new(), Some(vec![low, high])),
        Form::Count(low, high) => ("count", Vec::new(), Some(vec![f64::from(low), f64::from(high)])),
        Form::Choice(words) => ("choice", words.to_vec(), None),
        Form::Flag => ("flag", Vec::new(), None),
        Form::Text => ("text", Vec::new(), None),
    };
    SheetRowJson {
        group: field.path.split(['.', '[']).next().unwrap_or_default().to_string(),
        field: path,
        says,
        how,
        form,
        kind: match field.form {
            Form::Quantity(kind) | Form::Limit(kind) => Some(kind),
            Form::Fuel => Some(Kind::MassFlow),
            Form::Points => Some(Kind::MoistureWetBasis),
            _ => None,
        },
        units: field.units(),
        choices,
        ends,
        many: field.many,
        needed: matches!(field.path, "air.outdoor" | "state.rotation"),
        expected: expected.map(|e| e.value),
        band: expected.map(|e| table::coverage() * e.standard),
        expected_at_m: expected.and_then(|e| e.at),
        instrument: field.instrument.map(|key| format!("instruments.{key}")),
        limit: limit.and_then(|l| if let Limit::Absolute(size) = l { Some(size) } else { None }),
        limit_share: limit.and_then(|l| if let Limit::Share(size) = l { Some(size) } else { None }),
    }
}
