//! EPW: eight header lines, then 35 fields an hour in local standard time, values at the end of the labelled hour.
//!
//! Source: EnergyPlus Auxiliary Programs, EPW data dictionary (seen).

use super::dst;
use super::typical::{self, Label};
use crate::grid::Stamps;
use crate::records::{Hints, Record, Records, minute_of_offset, offset_of_hours};
use crate::report::Format;
use crate::series::StationPlace;
use crate::text::{Cell, Faults, Text, cut, number, split};
use notice::{Diagnostic, Diagnostics, Place};

/// Fields without which a row is incomplete: up to the pressure.
const NEEDED: usize = 10;
/// Rows of a typical year.
const TYPICAL_ROWS: usize = 8760;

/// Whether a first line is that of the form.
pub(super) fn recognise(line: &str) -> bool {
    line.get(..9).is_some_and(|s| s.eq_ignore_ascii_case("LOCATION,"))
}

/// What the header says.
#[derive(Default)]
struct Header {
    name: String,
    place: StationPlace,
    typical: bool,
    per_hour: u32,
    periods: Option<u32>,
    end: Option<(u32, u32)>,
}

/// Reads the file.
pub(super) fn read(name: &str, text: &Text, hints: &Hints) -> Result<Records, Diagnostics> {
    let mut header = Header { per_hour: 1, ..Header::default() };
    let (mut cells, mut labels, mut rows, mut faults) = (Vec::new(), Vec::new(), Vec::new(), Faults::new(name));
    let (mut in_data, mut last_label) = (false, None);
    let last = text.last_line();
    for (line_number, line) in text.lines() {
        let closed = split(line, ',', &mut cells);
        if !in_data {
            in_data = read_header(&cells, line, &mut header);
            continue;
        }
        match parse(&cells, header.per_hour) {
            Ok((label, row)) => {
                last_label = Some(label);
                labels.push(label);
                rows.push(row);
            }
            Err(why) if line_number == last || !closed => {
                return Err(Diagnostics(vec![cut(name, line_number, format!("last line is incomplete: {why}"))]));
            }
            Err(why) => faults.line("weather-line", line_number, why),
        }
    }
    let bad_rows = faults.count("weather-line");
    // The header says where the data end. Several periods may end anywhere.
    if let (Some(1) | None, Some((month, day)), Some(label)) = (header.periods, header.end, last_label)
        && (label.month, label.day, label.minutes) != (month, day, 1440)
    {
        let found = format!(
            "rows end on {}/{} after {} rows, the header promises them to {month}/{day}",
            label.month,
            label.day,
            rows.len()
        );
        return Err(Diagnostics(vec![cut(name, last, found)]));
    }
    let typical = header.typical || !typical::real(&labels);
    if typical && rows.len() + bad_rows < TYPICAL_ROWS {
        let found = format!("typical year of {} rows, must be {TYPICAL_ROWS}", rows.len() + bad_rows);
        return Err(Diagnostics(vec![cut(name, last, found)]));
    }
    if !typical {
        let local: Vec<(i64, f64)> =
            labels.iter().zip(&rows).filter_map(|(l, r)| l.minute().map(|m| (m, r.temperature_c))).collect();
        dst::check(name, &local, &mut faults)?;
    }
    let place = hints.complete(header.place);
    let offset = place.utc_offset_s.ok_or_else(|| super::offset_unknown(name))?;
    place_rows(&mut rows, &labels, typical, offset, &mut faults);
    if rows.is_empty() {
        let found =
            Diagnostic::error("weather-file-empty", "EPW file without a row that can be read", Place::file(name));
        return Err(Diagnostics(vec![found]));
    }
    Ok(Records {
        name: if header.name.is_empty() { name.into() } else { header.name },
        format: Format::Epw,
        place,
        stamps: Stamps::Instant,
        stamp_minute: minute_of_offset(offset),
        typical,
        typical_months: if typical { typical::months(&labels) } else { Vec::new() },
        rows,
        bad_rows,
        warnings: faults.finish(),
    })
}

/// Gives each row its stamp in UTC; rows whose date does not exist (29 February in a typical year) go.
pub(super) fn place_rows(rows: &mut Vec<Record>, labels: &[Label], typical: bool, offset_s: i32, faults: &mut Faults) {
    let mut at = labels.iter();
    let before = rows.len();
    rows.retain_mut(|row| {
        let minute = at.next().and_then(|l| if typical { l.nominal() } else { l.minute() });
        row.minute = minute.unwrap_or(0) - i64::from(offset_s) / 60;
        minute.is_some()
    });
    if rows.len() < before {
        faults.file(
            "weather-leap-day",
            format!("{} rows of 29 February left out of a typical year", before - rows.len()),
        );
    }
}

/// Reads one header line; true for the last of them.
fn read_header(cells: &[&str], line: &str, header: &mut Header) -> bool {
    let value = |i: usize| match cells.get(i).map(|c| number(c)) {
        Some(Cell::Number(v)) => Some(v),
        _ => None,
    };
    match cells.first().map(|c| c.to_ascii_uppercase()).as_deref() {
        Some("LOCATION") => {
            let parts: Vec<&str> =
                cells.iter().skip(1).take(3).copied().filter(|c| !c.is_empty() && *c != "-").collect();
            header.name = parts.join(", ");
            header.typical |= typical::marked(cells.get(4).copied().unwrap_or(""));
            header.place = StationPlace {
                latitude: value(6),
                longitude: value(7),
                elevation_m: value(9),
                utc_offset_s: value(8).and_then(offset_of_hours),
            };
        }
        Some("COMMENTS 1" | "COMMENTS 2") => header.typical |= typical::marked(line),
        Some("DATA PERIODS") => {
            header.periods = value(1).map(|v| v as u32);
            header.per_hour = value(2).filter(|v| (1.0..=60.0).contains(v)).map_or(1, |v| v as u32);
            header.end = cells.get(6).and_then(|c| {
                let mut parts = c.split('/').map(|p| p.trim().parse::<u32>());
                match (parts.next(), parts.next(), parts.next()) {
                    (Some(Ok(month)), Some(Ok(day)), None) => Some((month, day)),
                    _ => None,
                }
            });
            return true;
        }
        _ => {}
    }
    false
}

fn parse(cells: &[&str], per_hour: u32) -> Result<(Label, Record), String> {
    if cells.len() < NEEDED {
        return Err(format!("{} fields, must be at least {NEEDED}", cells.len()));
    }
    let whole = |i: usize, what: &str| match number(cells[i]) {
        Cell::Number(v) if v.fract() == 0.0 && (0.0..10_000.0).contains(&v) => Ok(v as u32),
        _ => Err(format!("{what} {:?} is not a whole number", cells[i])),
    };
    let (year, month, day) = (whole(0, "year")?, whole(1, "month")?, whole(2, "day")?);
    let (hour, minute) = (whole(3, "hour")?, whole(4, "minute")?);
    if !(1..=24).contains(&hour) || minute > 60 {
        return Err(format!("no such hour: {hour}:{minute:02}"));
    }
    // One row an hour stands at its end whatever its minute says; of several the minute tells which.
    let minutes = if per_hour == 1 || minute == 0 { hour * 60 } else { (hour - 1) * 60 + minute };
    let label = Label { year: year as i32, month, day, minutes: i64::from(minutes) };
    if label.minute().is_none() && (month, day) != (2, 29) {
        return Err(format!("no such date: {year}-{month}-{day}"));
    }
    let value = |i: usize, what: &str, missing_from: f64| match number(cells[i]) {
        Cell::Number(v) if v >= missing_from => Ok(f64::NAN),
        Cell::Number(v) => Ok(v),
        Cell::Missing => Ok(f64::NAN),
        Cell::Bad => Err(format!("{what} {:?} is not a number", cells[i])),
    };
    let row = Record {
        temperature_c: value(6, "dry bulb", 99.9)?,
        dew_point_c: value(7, "dew point", 99.9)?,
        relative_humidity: value(8, "relative humidity", 999.0)? / 100.0,
        station_pressure_pa: value(9, "pressure", 999_999.0)?,
        ..Record::at(0)
    };
    Ok((label, row))
}
