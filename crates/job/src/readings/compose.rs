//! The readings file that single readings make. It goes the same way as one written by hand.

use super::fields::{FIELDS, Field, Form, field_of};
use std::collections::BTreeMap;
use std::fmt::Write as _;

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
                line(&mut out, name, &written(field, entry.value), entry.note);
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
        values.iter().for_each(|(_, _, e)| line(out, name, &written(field, e.value), e.note));
        return;
    }
    let _ = writeln!(out, "{name} = [");
    for (_, _, entry) in values {
        let note: String = entry.note.chars().filter(|c| !c.is_control()).collect();
        let _ = writeln!(out, "  {},{}{note}", written(field, entry.value), if note.is_empty() { "" } else { "  # " });
    }
    out.push_str("]\n");
}

/// One entry or row for each motor, from the first to the last that was read.
fn rows(out: &mut String, name: &str, field: &Field, values: &[&Value<'_>]) {
    let Some(last) = values.iter().filter_map(|(_, index, _)| *index).max() else { return };
    let _ = writeln!(out, "{name} = [");
    for motor in 0..=last {
        let own: Vec<_> = values.iter().filter(|(_, index, _)| *index == Some(motor)).collect();
        let cells: Vec<String> = own.iter().map(|(_, _, e)| written(field, e.value)).collect();
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

/// The value as it stands in a file.
fn written(field: &Field, text: &str) -> String {
    match field.form {
        Form::Number(..) | Form::Count(..) | Form::Flag => text.trim().to_string(),
        _ => quoted(text.trim()),
    }
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
        assert_eq!(read.sound.as_ref().map(|(levels, _)| levels.len()), Some(1));
        assert!(read.is_confirmed("motors.speed"));
    }

    /// Text of a reader stays text: nothing typed beside a bin becomes another key.
    #[test]
    fn notes_and_values_cannot_break_out() {
        let bad = Entry { path: "air.outdoor", value: "50 F", note: "x\n[fuel]\nflow = \"1 gal/h\"" };
        let text = compose("no\"rth\n[x]", "2025-10-16 14:00", &[bad]);
        let read = crate::readings::read_readings(&text, "r").expect("a sound file").readings;
        assert!(read.fuel.is_none() && read.bin.as_deref() == Some("no\"rth\n[x]"), "{text}");
    }
}
