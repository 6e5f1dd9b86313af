//! TMY3: a typical year as comma-separated text, local standard time, values at the time given, columns by name.
//!
//! Source: Wilcox and Marion 2008, NREL/TP-581-43156, as followed by a public solar library's reader (seen).

use super::epw::place_rows;
use super::typical::{self, Label};
use crate::grid::Stamps;
use crate::records::{Hints, Record, Records, minute_of_offset, offset_of_hours};
use crate::report::Format;
use crate::series::StationPlace;
use crate::text::{Cell, Faults, Text, cut, number, split};
use notice::{Diagnostic, Diagnostics, Place};

const ROWS: usize = 8760;
/// Values at or below this are "missing" (−9900; memory).
const MISSING_TO: f64 = -9000.0;

/// Whether a second line is that of the form.
pub(super) fn recognise(second: &str) -> bool {
    second.starts_with("Date (MM/DD/YYYY)") && second.contains("Dry-bulb")
}

struct Columns {
    date: usize,
    time: usize,
    dry_bulb: usize,
    dew_point: Option<usize>,
    humidity: Option<usize>,
    pressure: Option<usize>,
}

/// Reads the file.
pub(super) fn read(name: &str, text: &Text, hints: &Hints) -> Result<Records, Diagnostics> {
    let mut lines = text.lines();
    let mut cells = Vec::new();
    split(lines.next().map_or("", |l| l.1), ',', &mut cells);
    let value = |i: usize| match cells.get(i).map(|c| number(c)) {
        Some(Cell::Number(v)) => Some(v),
        _ => None,
    };
    let station = cells.get(1).copied().unwrap_or("").to_string();
    let place = hints.complete(StationPlace {
        latitude: value(4),
        longitude: value(5),
        elevation_m: value(6),
        utc_offset_s: value(3).and_then(offset_of_hours),
    });
    let offset = place.utc_offset_s.ok_or_else(|| super::offset_unknown(name))?;
    split(lines.next().map_or("", |l| l.1), ',', &mut cells);
    let find =
        |start: &str| cells.iter().position(|c| c.starts_with(start) && !c.contains("source") && !c.contains("uncert"));
    let (Some(date), Some(time), Some(dry_bulb)) = (find("Date"), find("Time"), find("Dry-bulb (C)")) else {
        let found = "TMY3 file without the columns Date, Time and Dry-bulb (C)";
        return Err(Diagnostics(vec![Diagnostic::error("weather-column-missing", found, Place::line(name, 2))]));
    };
    let columns = Columns {
        date,
        time,
        dry_bulb,
        dew_point: find("Dew-point (C)"),
        humidity: find("RHum (%)"),
        pressure: find("Pressure (mbar)"),
    };
    let width = cells.len();
    let last = text.last_line();
    let (mut labels, mut rows, mut faults) = (Vec::new(), Vec::new(), Faults::new(name));
    for (line_number, line) in lines {
        let closed = split(line, ',', &mut cells);
        match parse(&cells, width, &columns) {
            Ok((label, row)) => {
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
    if rows.len() + bad_rows < ROWS {
        let found = format!("typical year of {} rows, must be {ROWS}", rows.len() + bad_rows);
        return Err(Diagnostics(vec![cut(name, last, found)]));
    }
    place_rows(&mut rows, &labels, true, offset, &mut faults);
    Ok(Records {
        name: if station.is_empty() { name.into() } else { station },
        format: Format::Tmy3,
        place,
        stamps: Stamps::Instant,
        stamp_minute: minute_of_offset(offset),
        typical: true,
        typical_months: typical::months(&labels),
        rows,
        bad_rows,
        warnings: faults.finish(),
    })
}

fn parse(cells: &[&str], width: usize, columns: &Columns) -> Result<(Label, Record), String> {
    if cells.len() < width {
        return Err(format!("{} fields, must be {width}", cells.len()));
    }
    let part = |text: Option<&str>| text.and_then(|t| t.trim().parse::<u32>().ok());
    let mut date = cells[columns.date].split('/');
    let (month, day, year) = (part(date.next()), part(date.next()), part(date.next()));
    let mut time = cells[columns.time].split(':');
    let (hour, minute) = (part(time.next()), part(time.next()));
    let (Some(month), Some(day), Some(year), Some(hour), Some(minute)) = (month, day, year, hour, minute) else {
        return Err(format!("no date and time: {:?} {:?}", cells[columns.date], cells[columns.time]));
    };
    let label = Label {
        year: i32::try_from(year).unwrap_or(0),
        month,
        day,
        minutes: i64::from(hour.min(99)) * 60 + i64::from(minute.min(99)),
    };
    if hour > 24 || minute > 59 || label.minutes > 1440 || label.minute().is_none() {
        return Err(format!("no such date and time: {} {}", cells[columns.date], cells[columns.time]));
    }
    let value = |column: Option<usize>| match column.map(|c| number(cells[c])) {
        Some(Cell::Number(v)) if v <= MISSING_TO => Ok(f64::NAN),
        Some(Cell::Number(v)) => Ok(v),
        Some(Cell::Missing) | None => Ok(f64::NAN),
        Some(Cell::Bad) => Err(format!("{:?} is not a number", cells[column.unwrap_or(0)])),
    };
    let row = Record {
        temperature_c: value(Some(columns.dry_bulb))?,
        dew_point_c: value(columns.dew_point)?,
        relative_humidity: value(columns.humidity)? / 100.0,
        station_pressure_pa: value(columns.pressure)? * 100.0,
        ..Record::at(0)
    };
    Ok((label, row))
}
