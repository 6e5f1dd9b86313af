//! Readings one by one, as they are entered beside the bin: which fields there are, whether a value fits its field, and the
//! readings file that a set of them makes.
//!
//! The file goes the same way as one written by hand: what is asked here is only whether a single value can be read.

use super::instruments::limit_of;
use crate::parse::{self, QuantityError};
use crate::units::units;
use notice::{Diagnostic, Kind, Place, nearest};
use std::collections::BTreeMap;
use std::fmt::Write as _;

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

    fn fits(&self, text: &str) -> Result<(), QuantityError> {
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

    /// The value as it stands in a file.
    fn written(&self, text: &str) -> String {
        match self.form {
            Form::Number(..) | Form::Count(..) | Form::Flag => text.trim().to_string(),
            _ => quoted(text.trim()),
        }
    }
}

fn wrong(text: &str, allowed: String) -> QuantityError {
    QuantityError::new("wrong-value", format!("value {:?}", parse::shown(text))).allowed(allowed)
}

/// A text in TOML.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
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

/// One reading of a set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry<'a> {
    /// Path of its field.
    pub path: &'a str,
    /// Value as it was typed.
    pub value: &'a str,
    /// Who, when and with what: a comment behind the value.
    pub note: &'a str,
}

/// A readings file of single readings, in their order; two of a field that is read once stand both, and are refused by the
/// reader as any file that says a thing twice. Values that do not fit their field should not come so far; they are left out.
pub fn compose(bin: &str, at: &str, entries: &[Entry<'_>]) -> String {
    let mut out = format!("binwright_readings = {}\nbin = {}\nat = {}\n", super::FORMAT, quoted(bin), quoted(at));
    let known = entries.iter().filter_map(|e| field_of(e.path).map(|(field, index)| (field, index, e)));
    let known: Vec<_> = known.filter(|(field, _, e)| field.fits(e.value).is_ok()).collect();
    let of = |path: &'static str| known.iter().filter(move |(field, ..)| field.path == path);
    let flat = || FIELDS.iter().filter(|f| !f.path.contains("[]."));
    for field in flat().filter(|f| !f.path.contains('.')) {
        key(&mut out, field.path, field, &of(field.path).collect::<Vec<_>>());
    }
    for head in ["state", "air", "pressure", "motors", "traverse", "fuel", "sound", "instruments", "grain"] {
        let mut body = String::new();
        for field in flat() {
            let Some((_, name)) = field.path.split_once('.').filter(|(own, _)| *own == head) else { continue };
            let values: Vec<_> = of(field.path).collect();
            match name.strip_suffix("[]") {
                Some(name) => rows(&mut body, name, field, &values),
                None => key(&mut body, name, field, &values),
            }
        }
        if !body.is_empty() {
            let _ = write!(out, "\n[{head}]\n{body}");
        }
    }
    for head in ["grain.samples", "grain.chart"] {
        let mut by_index: BTreeMap<usize, Vec<_>> = BTreeMap::new();
        for (field, index, entry) in &known {
            if let Some((_, name)) = field.path.split_once("[].").filter(|(own, _)| *own == head) {
                by_index.entry(index.unwrap_or_default()).or_default().push((name, *field, *entry));
            }
        }
        for fields in by_index.values() {
            let _ = write!(out, "\n[[{head}]]\n");
            for (name, field, entry) in fields {
                line(&mut out, name, &field.written(entry.value), entry.note);
            }
        }
    }
    out
}

type Value<'e> = (&'static Field, Option<usize>, &'e Entry<'e>);

fn line(out: &mut String, name: &str, value: &str, note: &str) {
    let note: String = note.chars().filter(|c| !c.is_control()).collect();
    let _ = writeln!(out, "{name} = {value}{}{note}", if note.is_empty() { "" } else { "  # " });
}

/// A key with one value, or a list.
fn key(out: &mut String, name: &str, field: &Field, values: &[&Value<'_>]) {
    if values.is_empty() {
        return;
    }
    if !field.many {
        values.iter().for_each(|(_, _, e)| line(out, name, &field.written(e.value), e.note));
        return;
    }
    let _ = writeln!(out, "{name} = [");
    for (_, _, entry) in values {
        let note: String = entry.note.chars().filter(|c| !c.is_control()).collect();
        let _ = writeln!(out, "  {},{}{note}", field.written(entry.value), if note.is_empty() { "" } else { "  # " });
    }
    out.push_str("]\n");
}

/// One entry or row for each motor, from the first to the last that was read.
fn rows(out: &mut String, name: &str, field: &Field, values: &[&Value<'_>]) {
    let Some(last) = values.iter().filter_map(|(_, index, _)| *index).max() else { return };
    let _ = writeln!(out, "{name} = [");
    for motor in 0..=last {
        let own: Vec<_> = values.iter().filter(|(_, index, _)| *index == Some(motor)).collect();
        let cells: Vec<String> = own.iter().map(|(_, _, e)| field.written(e.value)).collect();
        let cell = match (field.many, cells.as_slice()) {
            (true, cells) => format!("[{}]", cells.join(", ")),
            (false, []) => "\"\"".into(),
            // Read twice: both stand, so that the count does not fit and is asked about.
            (false, cells) => cells.join(", "),
        };
        let notes: Vec<&str> = own.iter().map(|(_, _, e)| e.note).filter(|n| !n.is_empty()).collect();
        let note: String = notes.join("; ").chars().filter(|c| !c.is_control()).collect();
        let _ = writeln!(out, "  {cell},{}{note}", if note.is_empty() { "" } else { "  # " });
    }
    out.push_str("]\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry<'a>(path: &'a str, value: &'a str) -> Entry<'a> {
        Entry { path, value, note: "A. Reader, U-tube" }
    }

    /// A set of single readings is read back as the file that says the same.
    #[test]
    fn single_readings_make_a_file_that_is_read() {
        let entries = [
            entry("state.rotation", "with-arrow"),
            entry("state.fans_running", "2"),
            entry("air.outdoor", "50 F"),
            entry("pressure.plenum", "2.1 in wc"),
            entry("pressure.plenum", "2.2 in wc"),
            entry("motors.amps[1]", "21 A"),
            entry("motors.speed[1]", "1750 rpm"),
            entry("motors.speed[0]", "1740 rpm"),
            entry("motors.volts", "230 V"),
            entry("sound.level", "90 dB"),
            entry("sound.distance", "30 ft"),
            entry("grain.samples[3].below_surface", "1 ft"),
            entry("grain.samples[3].moisture", "18 %"),
            entry("instruments.pressure", "0.05 in wc"),
            entry("confirmed", "motors.speed"),
        ];
        let text = compose("north", "2025-10-16T14:03:00-05:00", &entries);
        let read = crate::readings::read_readings(&text, "r").map_err(|wrong| wrong.to_string()).expect(&text).readings;
        assert_eq!(read.plenum_pressure.len(), 2);
        assert_eq!((read.motors.len(), read.motors[0].amps.len(), read.motors[1].amps.len()), (2, 0, 1));
        assert!(read.motors[0].speed.expect("read") < read.motors[1].speed.expect("read"));
        assert_eq!((read.samples.len(), read.bin.as_deref()), (1, Some("north")));
        assert_eq!(read.sound.map(|(levels, _)| levels.len()), Some(1));
        assert!(read.is_confirmed("motors.speed"));
    }

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

    /// Text of a reader stays text: nothing typed beside a bin becomes another key.
    #[test]
    fn notes_and_values_cannot_break_out() {
        let bad = Entry { path: "air.outdoor", value: "50 F", note: "x\n[fuel]\nflow = \"1 gal/h\"" };
        let text = compose("no\"rth\n[x]", "2025-10-16 14:00", &[bad]);
        let read = crate::readings::read_readings(&text, "r").expect("a sound file").readings;
        assert!(read.fuel.is_none() && read.bin.as_deref() == Some("no\"rth\n[x]"), "{text}");
    }

    #[test]
    fn every_field_names_an_instrument_that_is_there() {
        let all = crate::readings::Instruments::default();
        for field in &FIELDS {
            assert!(field.instrument.is_none_or(|key| all.limit(key).is_some()), "{}", field.path);
        }
    }
}
