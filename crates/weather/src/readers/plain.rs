//! The plain table of `docs/weather-files.md`: a header row with the unit in each column's name, a row an hour.

use super::typical::{self, Label};
use super::{dst, header};
use crate::calendar;
use crate::grid::Stamps;
use crate::records::{Hints, Record, Records, minute_of_offset};
use crate::report::Format;
use crate::series::StationPlace;
use crate::text::{Cell, Faults, Text, cut, number, split};
use notice::{Diagnostic, Diagnostics, Place};

/// Rows of a typical year.
const TYPICAL_ROWS: usize = 8760;
/// What loggers write for "missing" besides an empty cell.
const MISSING: [f64; 3] = [-9999.0, -999.0, -99.9];

/// What a column holds; the factor and offset bring it to the unit kept inside.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Column {
    Utc,
    Local,
    Value { slot: usize, factor: f64, offset: f64 },
}

/// Slots of [`Column::Value`].
const TEMPERATURE: usize = 0;
const DEW_POINT: usize = 1;
const HUMIDITY: usize = 2;
const STATION: usize = 3;
const ALTIMETER: usize = 4;
const SEA_LEVEL: usize = 5;

fn column(name: &str) -> Option<Column> {
    let value = |slot, factor, offset| Some(Column::Value { slot, factor, offset });
    let name = name.to_ascii_lowercase();
    match name.as_str() {
        "utc" => return Some(Column::Utc),
        "local" | "time" => return Some(Column::Local),
        "rh_pct" => return value(HUMIDITY, 0.01, 0.0),
        "rh" => return value(HUMIDITY, 1.0, 0.0),
        _ => {}
    }
    let (quantity, unit) = name.split_once('_')?;
    let slot = match quantity {
        "temp" => TEMPERATURE,
        "dew" => DEW_POINT,
        "stn" => STATION,
        "alt" => ALTIMETER,
        "slp" => SEA_LEVEL,
        _ => return None,
    };
    match (slot, unit) {
        (TEMPERATURE | DEW_POINT, "c") => value(slot, 1.0, 0.0),
        (TEMPERATURE | DEW_POINT, "f") => value(slot, 1.0 / 1.8, -32.0 / 1.8),
        (TEMPERATURE | DEW_POINT, "k") => value(slot, 1.0, -273.15),
        (STATION | ALTIMETER | SEA_LEVEL, "pa") => value(slot, 1.0, 0.0),
        (STATION | ALTIMETER | SEA_LEVEL, "hpa" | "mbar") => value(slot, 100.0, 0.0),
        (STATION | ALTIMETER | SEA_LEVEL, "kpa") => value(slot, 1000.0, 0.0),
        (STATION | ALTIMETER | SEA_LEVEL, "inhg") => value(slot, 3386.389, 0.0),
        _ => None,
    }
}

fn separator(line: &str) -> char {
    [',', ';', '\t'].into_iter().max_by_key(|s| line.matches(*s).count()).unwrap_or(',')
}

/// Whether a header row is that of the form: a time and a temperature among its columns.
pub(super) fn recognise(line: &str) -> bool {
    let mut cells = Vec::new();
    split(line, separator(line), &mut cells);
    let columns: Vec<Column> = cells.iter().filter_map(|c| column(c)).collect();
    columns.iter().any(|c| matches!(c, Column::Utc | Column::Local))
        && columns.iter().any(|c| matches!(c, Column::Value { slot: TEMPERATURE, .. }))
}

/// What the lines before the header row say.
struct Preamble {
    name: String,
    place: StationPlace,
    stamps: Stamps,
    typical: bool,
}

fn preamble(name: &str, text: &Text, faults: &mut Faults) -> Result<Preamble, Diagnostics> {
    let mut out =
        Preamble { name: name.into(), place: StationPlace::default(), stamps: Stamps::Instant, typical: false };
    let mut wrong = Diagnostics::default();
    for (line, content) in text.lines().take_while(|(_, l)| l.starts_with('#')) {
        let Some((key, value)) = content.trim_start_matches('#').split_once(':') else { continue };
        let (key, value) = (key.trim().to_ascii_lowercase().replace(' ', "_"), value.trim());
        let degrees = || value.parse::<f64>().ok().filter(|v| v.is_finite());
        let understood = match key.as_str() {
            "place" => {
                out.name = value.into();
                true
            }
            "latitude" => set(&mut out.place.latitude, degrees()),
            "longitude" => set(&mut out.place.longitude, degrees()),
            "elevation" => set(&mut out.place.elevation_m, header::length(value)),
            "utc_offset" => set(&mut out.place.utc_offset_s, header::offset(value)),
            "stamps" => {
                let stamps = match value {
                    "instant" => Some(Stamps::Instant),
                    "centred" | "centered" => Some(Stamps::MeanCentred),
                    "ending" => Some(Stamps::MeanEnding),
                    "beginning" => Some(Stamps::MeanBeginning),
                    _ => None,
                };
                out.stamps = stamps.unwrap_or_default();
                stamps.is_some()
            }
            "kind" => {
                out.typical = value == "typical";
                out.typical || value == "measured"
            }
            "source" | "licence" | "license" | "note" => true,
            _ => {
                faults.line("weather-header-line", line, format!("header line {key:?} that is not known is left out"));
                true
            }
        };
        if !understood {
            let found = format!("{key} of {value:?}");
            wrong.add(
                Diagnostic::error("weather-header-line", found, Place::line(name, line))
                    .help("see docs/weather-files.md for what the line may say"),
            );
        }
    }
    if wrong.stop() { Err(wrong) } else { Ok(out) }
}

fn set<T>(slot: &mut Option<T>, value: Option<T>) -> bool {
    *slot = value;
    slot.is_some()
}

/// Reads the file.
pub(super) fn read(name: &str, text: &Text, hints: &Hints) -> Result<Records, Diagnostics> {
    let mut faults = Faults::new(name);
    let said = preamble(name, text, &mut faults)?;
    let place = hints.complete(said.place);
    let mut lines = text.lines().skip_while(|(_, l)| l.starts_with('#'));
    let (head_line, head) = lines.next().unwrap_or((1, ""));
    let separator = separator(head);
    let mut cells = Vec::new();
    split(head, separator, &mut cells);
    let columns: Vec<Option<Column>> = cells.iter().map(|c| column(c)).collect();
    for cell in cells.iter().filter(|c| c.to_ascii_lowercase().starts_with("pres")) {
        faults.line(
            "weather-pressure-kind",
            head_line,
            format!("column {cell:?} is left out: it does not say whether it is stn_ (at the station), alt_ or slp_ (sea level)"),
        );
    }
    let last = text.last_line();
    let (mut stamps, mut rows): (Vec<header::Time>, Vec<Record>) = (Vec::new(), Vec::new());
    let local = !columns.contains(&Some(Column::Utc));
    for (line_number, line) in lines.filter(|(_, l)| !l.starts_with('#')) {
        let closed = split(line, separator, &mut cells);
        let parsed = if cells.len() < columns.len() || !closed {
            Err(format!("{} fields, must be {}", cells.len(), columns.len()))
        } else {
            parse(&cells, &columns, separator != ',')
        };
        match parsed {
            Ok((stamp, row)) => {
                stamps.push(stamp);
                rows.push(row);
            }
            Err(why) if line_number == last => {
                return Err(Diagnostics(vec![cut(name, line_number, format!("last line is incomplete: {why}"))]));
            }
            Err(why) => faults.line("weather-line", line_number, why),
        }
    }
    check_units(name, head_line, &rows)?;
    let own_offset = |stamp: &header::Time| if local { stamp.offset_s } else { Some(stamp.offset_s.unwrap_or(0)) };
    if stamps.iter().any(|s| own_offset(s).is_none()) && place.utc_offset_s.is_none() {
        return Err(super::offset_unknown(name));
    }
    if local && stamps.iter().all(|s| s.offset_s.is_none()) {
        let wall: Vec<(i64, f64)> = stamps.iter().zip(&rows).map(|(s, r)| (s.minute, r.temperature_c)).collect();
        dst::check(name, &wall, &mut faults)?;
    }
    let station_offset = place.utc_offset_s.unwrap_or(0);
    for (row, stamp) in rows.iter_mut().zip(&stamps) {
        row.minute = stamp.minute - i64::from(own_offset(stamp).unwrap_or(station_offset)) / 60;
    }
    let bad_rows = faults.count("weather-line");
    let typical_months =
        if said.typical { nominal(name, &mut rows, station_offset, bad_rows, last)? } else { Vec::new() };
    Ok(Records {
        name: said.name,
        format: Format::Plain,
        place,
        stamps: said.stamps,
        stamp_minute: usual_minute(&rows, station_offset),
        typical: said.typical,
        typical_months,
        rows,
        bad_rows,
        warnings: faults.finish(),
    })
}

fn parse(cells: &[&str], columns: &[Option<Column>], decimal_comma: bool) -> Result<(header::Time, Record), String> {
    let mut stamp = None;
    let mut values = [f64::NAN; 6];
    for (cell, column) in cells.iter().zip(columns) {
        match column {
            None => {}
            // A time in UTC is believed before a local one beside it.
            Some(Column::Local) if columns.contains(&Some(Column::Utc)) => {}
            Some(Column::Utc | Column::Local) => {
                stamp = Some(header::time(cell).ok_or_else(|| format!("no date and time: {cell:?}"))?);
            }
            Some(Column::Value { slot, factor, offset }) => {
                let read = if decimal_comma { number(&cell.replace(',', ".")) } else { number(cell) };
                values[*slot] = match read {
                    Cell::Number(v) if MISSING.contains(&v) => f64::NAN,
                    Cell::Number(v) => v * factor + offset,
                    Cell::Missing => f64::NAN,
                    Cell::Bad => return Err(format!("{cell:?} is not a number")),
                };
            }
        }
    }
    let row = Record {
        minute: 0,
        temperature_c: values[TEMPERATURE],
        dew_point_c: values[DEW_POINT],
        relative_humidity: values[HUMIDITY],
        station_pressure_pa: values[STATION],
        altimeter_pa: values[ALTIMETER],
        sea_level_pressure_pa: values[SEA_LEVEL],
    };
    Ok((stamp.ok_or("no date and time")?, row))
}

/// Refuses columns whose numbers belong to another unit than their names say.
fn check_units(name: &str, line: usize, rows: &[Record]) -> Result<(), Diagnostics> {
    let mut wrong = Diagnostics::default();
    let mut refuse = |found: String, allowed: &str, help: &str| {
        wrong.add(Diagnostic::error("weather-unit", found, Place::line(name, line)).allowed(allowed).help(help));
    };
    // A day of rows at least, so that a dry or hot hour alone refuses nothing.
    let numbers = |pick: fn(&Record) -> f64| -> Option<Vec<f64>> {
        let all: Vec<f64> = rows.iter().map(pick).filter(|v| !v.is_nan()).collect();
        (all.len() >= 24).then_some(all)
    };
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    if let Some(t) = numbers(|r| r.temperature_c).map(|v| mean(&v)).filter(|t| t.abs() > 40.0) {
        refuse(
            format!("mean temperature of {t:.0} °C"),
            "no place on earth is so",
            "name the unit of the column: temp_c, temp_f or temp_k",
        );
    }
    if let Some(most) = numbers(|r| r.relative_humidity).map(|v| v.into_iter().fold(0.0, f64::max)) {
        if most <= 0.0101 {
            refuse(
                format!("highest relative humidity of {:.2} %", most * 100.0),
                "must reach above 1 %",
                "name the column rh if it holds fractions",
            );
        } else if most > 1.5 {
            refuse(
                format!("highest relative humidity of {most:.0} as a fraction"),
                "must stay below 1.5",
                "name the column rh_pct if it holds per cent",
            );
        }
    }
    let pressures = [
        ("stn", numbers(|r| r.station_pressure_pa)),
        ("alt", numbers(|r| r.altimeter_pa)),
        ("slp", numbers(|r| r.sea_level_pressure_pa)),
    ];
    for (column, values) in pressures {
        if let Some(p) = values.map(|v| mean(&v)).filter(|p| !(31_000.0..=120_000.0).contains(p)) {
            refuse(
                format!("mean pressure of {:.4} kPa in column {column}", p / 1000.0),
                "must lie between 31 and 120 kPa",
                "name the unit of the column: _pa, _hpa, _kpa or _inhg",
            );
        }
    }
    if wrong.stop() { Err(wrong) } else { Ok(()) }
}

/// Minutes past the UTC hour that nearly all rows share, else those of full hours in the station's standard time.
fn usual_minute(rows: &[Record], station_offset: i32) -> u8 {
    let mut counts = [0_usize; 60];
    rows.iter().for_each(|r| counts[r.minute.rem_euclid(60) as usize] += 1);
    let most = (0..60).max_by_key(|m| counts[*m]).unwrap_or(0);
    if 20 * counts[most] >= 19 * rows.len() && !rows.is_empty() { most as u8 } else { minute_of_offset(station_offset) }
}

/// Moves the rows of a typical year into the nominal year; the years they came from by month.
fn nominal(
    name: &str,
    rows: &mut Vec<Record>,
    offset_s: i32,
    bad: usize,
    last: usize,
) -> Result<Vec<i32>, Diagnostics> {
    if rows.len() + bad < TYPICAL_ROWS {
        let found = format!("typical year of {} rows, must be {TYPICAL_ROWS}", rows.len() + bad);
        return Err(Diagnostics(vec![cut(name, last, found)]));
    }
    let offset = i64::from(offset_s) / 60;
    let label = |row: &Record| {
        let local = row.minute + offset;
        let (year, month, day) = calendar::date(local.div_euclid(1440));
        Label { year, month, day, minutes: local.rem_euclid(1440) }
    };
    let months = typical::months(&rows.iter().map(label).collect::<Vec<_>>());
    rows.retain_mut(|row| match label(row).nominal() {
        Some(minute) => {
            row.minute = minute - offset;
            true
        }
        None => false,
    });
    Ok(months)
}
