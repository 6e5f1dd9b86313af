//! Local Climatological Data: a report a row, local standard time, columns by name; two generations with other units.
//!
//! Source: LCD dataset documentation (seen). Only FM-15 reports (hourly, made a few minutes before the hour) are kept.

use super::dst;
use crate::grid::Stamps;
use crate::records::{Hints, Record, Records, minute_of_offset};
use crate::report::Format;
use crate::series::StationPlace;
use crate::text::{Cell, Faults, Text, cut, number, split};
use crate::{calendar, readers::header};
use notice::{Diagnostic, Diagnostics, Place};
use std::collections::BTreeMap;

/// Pascal in an inch of mercury (conventional, 0 °C).
const INCH_MERCURY: f64 = 3386.389;
/// Station pressures below this number are in inches of mercury, above in hPa.
const INCHES_BELOW: f64 = 40.0;

/// Whether a header row is that of the form.
pub(super) fn recognise(line: &str) -> bool {
    ["STATION", "DATE", "REPORT_TYPE", "HourlyDryBulbTemperature"].iter().all(|c| line.contains(c))
}

/// Values of a row in the units of the file.
struct Row {
    local: i64,
    values: [f64; 6],
}

/// Columns of [`Row::values`].
const VALUES: [&str; 6] = [
    "HourlyDryBulbTemperature",
    "HourlyDewPointTemperature",
    "HourlyRelativeHumidity",
    "HourlyStationPressure",
    "HourlyAltimeterSetting",
    "HourlySeaLevelPressure",
];

/// Reads the file.
pub(super) fn read(name: &str, text: &Text, hints: &Hints) -> Result<Records, Diagnostics> {
    let mut lines = text.lines();
    let head = lines.next().map_or("", |l| l.1);
    let mut cells = Vec::new();
    split(head, ',', &mut cells);
    let names: Vec<String> = cells.iter().map(|c| (*c).to_string()).collect();
    let find = |wanted: &str| names.iter().position(|n| n == wanted);
    let (Some(station), Some(date), Some(report)) = (find("STATION"), find("DATE"), find("REPORT_TYPE")) else {
        let found = Diagnostic::error(
            "weather-column-missing",
            "LCD file without STATION, DATE or REPORT_TYPE",
            Place::line(name, 1),
        );
        return Err(Diagnostics(vec![found]));
    };
    let columns = VALUES.map(find);
    let place_columns = ["LATITUDE", "LONGITUDE", "ELEVATION"].map(find);
    let (remark, title) = (find("REM"), find("NAME"));

    let last = text.last_line();
    let (mut faults, mut rows) = (Faults::new(name), Vec::new());
    let mut offsets: BTreeMap<i64, usize> = BTreeMap::new();
    let (mut place, mut identity, mut called) = (StationPlace::default(), None::<String>, None);
    for (line_number, line) in lines {
        let closed = split(line, ',', &mut cells);
        if cells.len() < names.len() || !closed {
            if line_number == last {
                let found = format!("last line is incomplete: {} fields, must be {}", cells.len(), names.len());
                return Err(Diagnostics(vec![cut(name, line_number, found)]));
            }
            faults.line("weather-line", line_number, format!("{} fields, must be {}", cells.len(), names.len()));
            continue;
        }
        if cells[report] != "FM-15" {
            continue;
        }
        match &identity {
            None => {
                let number_in = |i: Option<usize>| match i.map(|i| number(cells[i])) {
                    Some(Cell::Number(v)) => Some(v),
                    _ => None,
                };
                identity = Some(cells[station].to_string());
                called = title.map(|i| cells[i].to_string());
                place = StationPlace {
                    latitude: number_in(place_columns[0]),
                    longitude: number_in(place_columns[1]),
                    elevation_m: number_in(place_columns[2]),
                    utc_offset_s: None,
                };
            }
            Some(known) if known != cells[station] => {
                let found = format!("a second station, {:?} after {known:?}", cells[station]);
                let help = "give each station its own file";
                return Err(Diagnostics(vec![
                    Diagnostic::error("weather-two-stations", found, Place::line(name, line_number)).help(help),
                ]));
            }
            Some(_) => {}
        }
        match parse(&cells, date, &columns) {
            Ok(row) => {
                if let Some(offset) = remark.and_then(|i| offset_in_report(cells[i], row.local)) {
                    *offsets.entry(offset).or_insert(0) += 1;
                }
                rows.push(row);
            }
            Err(why) => faults.line("weather-line", line_number, why),
        }
    }
    let (customary, mut faults) = (customary(&rows, identity.as_deref()), faults);
    place.utc_offset_s = agreed_offset(name, &offsets)?;
    let place = hints.complete(place);
    let offset = place.utc_offset_s.ok_or_else(|| super::offset_unknown(name))?;
    // The reports themselves tell better than their hours, which corrections give twice.
    if offsets.is_empty() {
        let local: Vec<(i64, f64)> = rows.iter().map(|r| (r.local, r.values[0])).collect();
        dst::check(name, &local, &mut faults)?;
    }
    Ok(Records {
        name: called.filter(|c| !c.is_empty()).or(identity).unwrap_or_else(|| name.into()),
        format: if customary { Format::LcdCustomary } else { Format::LcdMetric },
        place,
        stamps: Stamps::Instant,
        stamp_minute: minute_of_offset(offset),
        typical: false,
        typical_months: Vec::new(),
        rows: rows.iter().map(|r| convert(r, customary, offset)).collect(),
        bad_rows: faults.count("weather-line"),
        warnings: faults.finish(),
    })
}

fn parse(cells: &[&str], date: usize, columns: &[Option<usize>; 6]) -> Result<Row, String> {
    let stamp = header::time(cells[date]).ok_or_else(|| format!("no date and time: {:?}", cells[date]))?;
    let mut values = [f64::NAN; 6];
    for (value, column) in values.iter_mut().zip(columns) {
        // A trailing "s" marks a suspect value, which is left out like one that was not reported.
        *value = match column.map(|c| number(cells[c].trim_end_matches('*'))) {
            Some(Cell::Number(v)) => v,
            Some(Cell::Bad) if !cells[column.unwrap_or(0)].ends_with('s') => {
                return Err(format!("{:?} is not a number", cells[column.unwrap_or(0)]));
            }
            _ => f64::NAN,
        };
    }
    Ok(Row { local: stamp.minute, values })
}

/// Whether a file is of the older generation: by its pressures, without any by the form of the station's number.
fn customary(rows: &[Row], station: Option<&str>) -> bool {
    let mut pressures: Vec<f64> =
        rows.iter().flat_map(|r| r.values[3..].iter().copied()).filter(|p| !p.is_nan()).collect();
    pressures.sort_by(f64::total_cmp);
    match pressures.get(pressures.len() / 2) {
        Some(median) => *median < INCHES_BELOW,
        None => station.is_some_and(|s| s.chars().all(|c| c.is_ascii_digit())),
    }
}

fn convert(row: &Row, customary: bool, offset_s: i32) -> Record {
    let [t, dew, humidity, station, altimeter, sea_level] = row.values;
    let celsius = |v: f64| if customary { (v - 32.0) / 1.8 } else { v };
    let pascal = if customary { INCH_MERCURY } else { 100.0 };
    Record {
        minute: row.local - i64::from(offset_s) / 60,
        temperature_c: celsius(t),
        dew_point_c: celsius(dew),
        relative_humidity: humidity / 100.0,
        station_pressure_pa: station * pascal,
        altimeter_pa: altimeter * pascal,
        sea_level_pressure_pa: sea_level * pascal,
    }
}

/// Standard time less UTC in minutes from the report as sent, whose group "ddhhmmZ" is in UTC.
fn offset_in_report(report: &str, local: i64) -> Option<i64> {
    let group = report
        .split(' ')
        .find_map(|w| w.strip_suffix('Z').filter(|d| d.len() == 6 && d.bytes().all(|b| b.is_ascii_digit())))?;
    let part = |r: std::ops::Range<usize>| group.get(r).and_then(|p| p.parse::<i64>().ok());
    let (day, hour, minute) = (part(0..2)?, part(2..4)?, part(4..6)?);
    let local_day = local.div_euclid(1440);
    let utc_day = (local_day - 1..=local_day + 1).find(|d| i64::from(calendar::date(*d).2) == day)?;
    let offset = local - (utc_day * 1440 + hour * 60 + minute);
    // The two clocks of a row may differ by a few minutes; zones lie at quarters of an hour.
    let quarters = (offset + 7).div_euclid(15);
    ((-14 * 4)..=(14 * 4)).contains(&quarters).then_some(quarters * 15)
}

/// The offset that the reports agree on, s; an error when two of them an hour apart are both frequent.
fn agreed_offset(name: &str, offsets: &BTreeMap<i64, usize>) -> Result<Option<i32>, Diagnostics> {
    let total: usize = offsets.values().sum();
    let Some((most, _)) = offsets.iter().max_by_key(|(_, n)| **n) else { return Ok(None) };
    let other = offsets.iter().filter(|(o, _)| (**o - most).abs() == 60).map(|(_, n)| *n).sum::<usize>();
    if 20 * other > total {
        let found = format!("reports of which {other} of {total} stand an hour off the rest");
        return Err(Diagnostics(vec![
            Diagnostic::error("weather-daylight-saving", found, Place::file(name))
                .allowed("must be in standard time all the year"),
        ]));
    }
    Ok(Some(*most as i32 * 60))
}
