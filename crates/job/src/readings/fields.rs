//! Readings one by one, as they are entered beside the bin: which fields there are, and whether a value fits its field.

use super::instruments::limit_of;
use crate::parse::{self, QuantityError};
use notice::{Diagnostic, Kind, Place, nearest};
use sheet::units::units;

/// What a field takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A quantity with a unit.
    Quantity(Kind),
    /// Fuel burned: of mass, liquid or gas.
    Fuel,
    /// Points of moisture.
    Points,
    /// A limit of error of an instrument, in its unit or as a share.
    Limit(Kind),
    /// A number without unit, between two ends.
    Number(f64, f64),
    /// A whole number, between two ends.
    Count(u32, u32),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Yes or no.
    Flag,
    /// A text: the path of a field that was looked at twice.
    Text,
}

/// A field of a readings file, for entry one by one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Its path; `[]` stands for the number of a motor or of a sample, from 0.
    pub path: &'static str,
    /// What it takes.
    pub form: Form,
    /// Whether it may be read several times: each reading is a point, a tap or a leg of its own.
    pub many: bool,
    /// The instrument it is read with, by its key in `[instruments]`.
    pub instrument: Option<&'static str>,
}

const fn field(path: &'static str, form: Form, many: bool, instrument: Option<&'static str>) -> Field {
    Field { path, form, many, instrument }
}

const ONE: bool = false;
const MANY: bool = true;

/// All fields, in the order of work.
pub const FIELDS: [Field; 52] = [
    field("state.fans_running", Form::Count(1, 8), ONE, None),
    field("state.rotation", Form::Choice(&["with-arrow", "against-arrow"]), ONE, None),
    field("state.burner", Form::Choice(&["off", "lit"]), ONE, None),
    field("state.depth", Form::Quantity(Kind::Length), ONE, Some("depth")),
    field("state.vents_blocked", Form::Flag, ONE, None),
    field("state.air_escapes", Form::Flag, ONE, None),
    field("state.pulsing", Form::Flag, ONE, None),
    field("state.ice_on_regulator", Form::Flag, ONE, None),
    field("air.outdoor", Form::Quantity(Kind::Temperature), ONE, Some("temperature")),
    field("air.humidity", Form::Quantity(Kind::RelativeHumidity), ONE, Some("humidity")),
    field("air.barometer", Form::Quantity(Kind::Barometric), ONE, Some("barometer")),
    field("pressure.plenum", Form::Quantity(Kind::Pressure), MANY, Some("pressure")),
    field("pressure.headspace", Form::Quantity(Kind::Pressure), ONE, Some("pressure")),
    field("pressure.in_grain", Form::Quantity(Kind::Pressure), ONE, Some("pressure")),
    field("pressure.in_grain_height", Form::Quantity(Kind::Length), ONE, None),
    field("air.plenum", Form::Quantity(Kind::Temperature), MANY, Some("temperature")),
    field("air.panel", Form::Quantity(Kind::Temperature), ONE, Some("temperature")),
    field("motors.plate_volts", Form::Quantity(Kind::Voltage), ONE, None),
    field("motors.volts", Form::Quantity(Kind::Voltage), MANY, Some("volts")),
    field("motors.amps[]", Form::Quantity(Kind::Current), MANY, Some("amps")),
    field("motors.power_factor", Form::Number(0.2, 1.0), ONE, None),
    field("motors.speed[]", Form::Quantity(Kind::Rotation), ONE, Some("speed")),
    field("traverse.velocities", Form::Quantity(Kind::Velocity), MANY, Some("traverse")),
    field("traverse.velocity_pressures", Form::Quantity(Kind::Pressure), MANY, Some("traverse")),
    field("traverse.area", Form::Quantity(Kind::Area), ONE, None),
    field("traverse.airflow", Form::Quantity(Kind::Airflow), ONE, Some("traverse")),
    field("fuel.flow", Form::Fuel, ONE, Some("fuel")),
    field("fuel.gas_pressure", Form::Quantity(Kind::GasPressure), ONE, Some("gas")),
    field("fuel.gas_pressure_set", Form::Quantity(Kind::GasPressure), ONE, Some("gas")),
    field("fuel.tank_pressure", Form::Quantity(Kind::GasPressure), ONE, Some("gas")),
    field("sound.level", Form::Quantity(Kind::SoundLevel), MANY, Some("sound")),
    field("sound.distance", Form::Quantity(Kind::Length), ONE, None),
    field("grain.rested", Form::Quantity(Kind::Hours), ONE, None),
    field("grain.samples[].below_surface", Form::Quantity(Kind::Length), ONE, None),
    field("grain.samples[].moisture", Form::Quantity(Kind::MoistureWetBasis), ONE, Some("moisture")),
    field("grain.samples[].temperature", Form::Quantity(Kind::Temperature), ONE, None),
    field("grain.chart[].temperature", Form::Quantity(Kind::Temperature), ONE, None),
    field("grain.chart[].add", Form::Points, ONE, None),
    field("instruments.pressure", Form::Limit(Kind::Pressure), ONE, None),
    field("instruments.temperature", Form::Limit(Kind::TemperatureDifference), ONE, None),
    field("instruments.humidity", Form::Limit(Kind::RelativeHumidity), ONE, None),
    field("instruments.barometer", Form::Limit(Kind::Barometric), ONE, None),
    field("instruments.volts", Form::Limit(Kind::Voltage), ONE, None),
    field("instruments.amps", Form::Limit(Kind::Current), ONE, None),
    field("instruments.speed", Form::Limit(Kind::Rotation), ONE, None),
    field("instruments.traverse", Form::Limit(Kind::Airflow), ONE, None),
    field("instruments.fuel", Form::Limit(Kind::MassFlow), ONE, None),
    field("instruments.gas", Form::Limit(Kind::GasPressure), ONE, None),
    field("instruments.depth", Form::Limit(Kind::Length), ONE, None),
    field("instruments.moisture", Form::Limit(Kind::MoistureWetBasis), ONE, None),
    field("instruments.sound", Form::Limit(Kind::SoundLevel), ONE, None),
    field("confirmed", Form::Text, MANY, None),
];

impl Field {
    /// Units in which its value may be written, the customary first; empty where it takes none.
    pub fn units(&self) -> Vec<&'static str> {
        let of = |kind: Kind| units(kind).iter().filter_map(|u| u.names.first().copied()).filter(|n| !n.is_empty());
        match self.form {
            Form::Quantity(Kind::MoistureWetBasis) => vec!["%", "% db"],
            Form::Quantity(kind) => of(kind).collect(),
            Form::Fuel => of(Kind::LiquidFlow).chain(of(Kind::GasFlow)).chain(of(Kind::MassFlow)).fold(
                Vec::new(),
                |mut all, unit| {
                    if !all.contains(&unit) {
                        all.push(unit);
                    }
                    all
                },
            ),
            Form::Points => vec!["%"],
            Form::Limit(kind) => match kind {
                Kind::MoistureWetBasis | Kind::RelativeHumidity => vec!["%"],
                _ => of(kind).chain(["%"]).collect(),
            },
            _ => Vec::new(),
        }
    }

    /// Whether a text can be read in it.
    pub(super) fn fits(&self, text: &str) -> Result<(), QuantityError> {
        match self.form {
            Form::Quantity(Kind::MoistureWetBasis) => parse::moisture(text).map(|_| ()),
            Form::Quantity(kind) => parse::quantity(kind, text).map(|_| ()),
            Form::Fuel => super::read::fuel_flow(text).map(|_| ()),
            Form::Points => parse::points(text).map(|_| ()),
            Form::Limit(kind) => limit_of(kind, text).map(|_| ()),
            Form::Number(low, high) => match text.trim().parse::<f64>() {
                Ok(n) if (low..=high).contains(&n) => Ok(()),
                _ => Err(wrong(text, format!("must be a number from {low} to {high}"))),
            },
            Form::Count(low, high) => match text.trim().parse::<u32>() {
                Ok(n) if (low..=high).contains(&n) => Ok(()),
                _ => Err(wrong(text, format!("must be a whole number from {low} to {high}"))),
            },
            Form::Choice(words) if words.contains(&text.trim()) => Ok(()),
            Form::Choice(words) => Err(wrong(text, format!("must be one of {}", words.join(", ")))),
            Form::Flag if matches!(text.trim(), "true" | "false") => Ok(()),
            Form::Flag => Err(wrong(text, "must be true or false".into())),
            Form::Text if !is_path(text.trim()) => Err(wrong(text, "must be the path of a field".into())),
            Form::Text => Ok(()),
        }
    }
}

fn wrong(text: &str, allowed: String) -> QuantityError {
    QuantityError::new("wrong-value", format!("value {:?}", parse::shown(text))).allowed(allowed)
}

/// Largest number of a motor or sample in a path.
const MOST_INDEX: usize = 99;

/// The field of a path as it is sent, with its number where it has one: `motors.amps[1]` is the second motor.
pub fn field_of(path: &str) -> Option<(&'static Field, Option<usize>)> {
    let (plain, index) = match path.split_once('[') {
        None => (path.to_string(), None),
        Some((before, rest)) => {
            let (number, after) = rest.split_once(']')?;
            let digits = (1..=2).contains(&number.len()) && number.bytes().all(|b| b.is_ascii_digit());
            let index: usize = digits.then(|| number.parse().ok()).flatten()?;
            // One spelling for one number.
            if index.to_string() != number || index > MOST_INDEX {
                return None;
            }
            (format!("{before}[]{after}"), Some(index))
        }
    };
    let most = if plain.starts_with("motors.") { 7 } else { MOST_INDEX };
    FIELDS.iter().find(|f| f.path == plain).filter(|_| index.is_none_or(|i| i <= most)).map(|field| (field, index))
}

/// Whether a text is the path of a field, with or without numbers of motors and samples.
pub fn is_path(text: &str) -> bool {
    let bare = |path: &str| -> String {
        let mut inside = false;
        path.chars()
            .filter(|c| {
                let keep = !inside && *c != '[';
                inside = *c == '[' || (inside && *c != ']');
                keep && *c != ']'
            })
            .collect()
    };
    let wanted = bare(text);
    wanted == "grain.samples" || FIELDS.iter().any(|field| bare(field.path) == wanted)
}

/// Whether a value can be read in the field of a path.
///
/// # Errors
/// An unknown field, or why the value does not fit it.
pub fn check(path: &str, value: &str) -> Result<&'static Field, Box<Diagnostic>> {
    let at = || Place { field: Some(path.into()), ..Place::file("readings") };
    let Some((field, _)) = field_of(path) else {
        let found = format!("field {:?}", parse::shown(path));
        let unknown = Diagnostic::error("unknown-field", found, at());
        let help = match nearest(&parse::shown(path), FIELDS.iter().map(|f| f.path)) {
            Some(near) => format!("did you mean {near:?}? A number stands between the brackets, from 0"),
            None => "the sheet of the bin lists the fields".into(),
        };
        return Err(Box::new(unknown.help(help)));
    };
    if value.chars().any(notice::unseen) {
        let found = "value with characters that are not seen";
        return Err(Box::new(Diagnostic::error("unseen-characters", found, at()).help("type it anew, on one line")));
    }
    field.fits(value).map(|()| field).map_err(|error| Box::new(error.at(at())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_fit_a_field_is_refused_with_its_path() {
        assert!(check("pressure.plenum", "2.1 in wc").is_ok() && check("motors.amps[7]", "3 A").is_ok());
        for (path, value, code) in [
            ("pressure.plenum", "2.1", "missing-unit"),
            ("pressure.nowhere", "2.1 Pa", "unknown-field"),
            ("motors.amps", "3 A", "unknown-field"),
            ("motors.amps[8]", "3 A", "unknown-field"),
            ("motors.amps[01]", "3 A", "unknown-field"),
            ("state.burner", "maybe", "wrong-value"),
            ("state.pulsing", "yes", "wrong-value"),
            ("confirmed", "pressure", "wrong-value"),
            ("air.outdoor", "50\u{202e} F", "unseen-characters"),
        ] {
            let wrong = check(path, value).expect_err(path);
            assert_eq!((wrong.code.as_str(), wrong.at.field.as_deref()), (code, Some(path)));
        }
    }

    #[test]
    fn every_field_names_an_instrument_that_is_there() {
        let all = crate::readings::Instruments::default();
        for field in &FIELDS {
            assert!(field.instrument.is_none_or(|key| all.limit(key).is_some()), "{}", field.path);
        }
    }
}
