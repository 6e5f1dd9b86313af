//! ISD-Lite: one hour a line, twelve whole numbers, UTC, observations moved to the nearest hour by the archive.
//!
//! Source: NOAA ISD-Lite format document of 20 June 2006 (seen).

use crate::calendar;
use crate::grid::Stamps;
use crate::records::{Hints, Record, Records};
use crate::report::Format;
use crate::series::StationPlace;
use crate::text::{Faults, Text, cut};
use notice::Diagnostics;

const MISSING: i64 = -9999;

/// Whether a line has the form: twelve whole numbers of which the first four are a date and hour.
pub(super) fn recognise(line: &str) -> bool {
    parse(line).is_ok()
}

/// Reads the file.
pub(super) fn read(name: &str, text: &Text, hints: &Hints) -> Result<Records, Diagnostics> {
    let (mut rows, mut faults) = (Vec::new(), Faults::new(name));
    let last = text.last_line();
    for (number, line) in text.lines() {
        match parse(line) {
            Ok(row) => rows.push(row),
            Err(why) if number == last => {
                return Err(Diagnostics(vec![cut(name, number, format!("last line is incomplete: {why}"))]));
            }
            Err(why) => faults.line("weather-line", number, why),
        }
    }
    Ok(Records {
        name: name.into(),
        format: Format::IsdLite,
        place: hints.complete(StationPlace::default()),
        stamps: Stamps::Instant,
        stamp_minute: 0,
        typical: false,
        typical_months: Vec::new(),
        rows,
        bad_rows: faults.count("weather-line"),
        warnings: faults.finish(),
    })
}

fn parse(line: &str) -> Result<Record, String> {
    let mut n = [0_i64; 12];
    let mut count = 0;
    for word in line.split_ascii_whitespace() {
        let value = word.parse().map_err(|_| format!("{word:?} is not a whole number"))?;
        *n.get_mut(count).ok_or("more than 12 numbers")? = value;
        count += 1;
    }
    if count != 12 {
        return Err(format!("{count} numbers, must be 12"));
    }
    let part = |v: i64| u32::try_from(v).unwrap_or(u32::MAX);
    let year = i32::try_from(n[0]).unwrap_or(0);
    let hour = calendar::hour(year, part(n[1]), part(n[2]), 0).filter(|_| (0..=23).contains(&n[3]));
    let hour = hour.ok_or_else(|| format!("no such hour: {} {} {} {}", n[0], n[1], n[2], n[3]))? + n[3];
    let value = |v: i64, factor: f64| if v == MISSING { f64::NAN } else { v as f64 * factor };
    Ok(Record {
        temperature_c: value(n[4], 1.0) / 10.0,
        dew_point_c: value(n[5], 1.0) / 10.0,
        sea_level_pressure_pa: value(n[6], 10.0),
        ..Record::at(hour * 60)
    })
}
