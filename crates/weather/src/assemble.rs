//! From the rows of a file to a series: plausibility, one row an hour, humidity, pressure, typical years.

use crate::grid::Grid;
use crate::plausible;
use crate::pressure::{station_from_altimeter, station_from_sea_level};
use crate::records::{Record, Records};
use crate::report::{PressureUse, Report};
use crate::series::{Kind, MEASURED, Series, StationPlace};
use crate::{TYPICAL_YEAR, calendar};
use notice::{Diagnostic, Diagnostics, Place};
use physics::air;

/// Hours of a typical year.
const TYPICAL_HOURS: i64 = 8760;
/// Longest stretch without pressure that is bridged by a straight line, h.
const PRESSURE_BRIDGE: usize = 72;
/// Difference between relative humidity and dew point from which a row is suspect, as a fraction.
const DISAGREE: f64 = 0.05;

/// Makes the series of a file.
pub(crate) fn series(file: &str, records: Records) -> Result<Series, Diagnostics> {
    let mut report = Report {
        format: Some(records.format),
        stamps: records.stamps,
        files: 1,
        rows: records.rows.len(),
        bad_rows: records.bad_rows,
        typical_months: records.typical_months.clone(),
        warnings: records.warnings.clone(),
        ..Report::default()
    };
    let refuse = |code: &str, found: String, help: &str| {
        Diagnostics(vec![Diagnostic::error(code, found, Place::file(file)).help(help)])
    };
    let rows = hourly_rows(&records, &mut report);
    let (Some(first), Some(last)) = (rows.first().map(|r| r.0), rows.last().map(|r| r.0)) else {
        return Err(refuse(
            "weather-file-empty",
            "weather file without a row that can be read".into(),
            "check the file",
        ));
    };
    let expected = (last - first + 1) as usize;
    if expected > 20 * rows.len() + 20_000 {
        let span = format!("{} rows between {} and {}", rows.len(), calendar::show(first), calendar::show(last));
        return Err(refuse("weather-years-far-apart", span, "correct the year of the stray rows"));
    }
    report.expected = expected;
    let mut hours: Vec<Record> = (0..expected as i64).map(|k| Record::at((first + k) * 60)).collect();
    rows.iter().for_each(|(hour, row)| hours[(hour - first) as usize] = *row);
    report.missing_temperature = hours.iter().filter(|r| r.temperature_c.is_nan()).count();
    report.missing_humidity = hours.iter().filter(|r| r.relative_humidity.is_nan() && r.dew_point_c.is_nan()).count();
    if report.missing_temperature == expected {
        return Err(refuse(
            "weather-no-temperature",
            "weather file without a temperature".into(),
            "check columns and units",
        ));
    }
    if report.missing_humidity == expected {
        return Err(refuse(
            "weather-no-humidity",
            "weather file without relative humidity or dew point".into(),
            "add one of the two as a column",
        ));
    }
    let pressure = pressures(&hours, &records.place, &mut report.pressure).ok_or_else(|| {
        refuse(
            "weather-elevation-unknown",
            "weather file that gives neither the pressure at the station nor its elevation".into(),
            "give the elevation of the station",
        )
    })?;
    let mut grid = Grid {
        stamps: records.stamps,
        minute: records.stamp_minute,
        first,
        temperature: hours.iter().map(|r| r.temperature_c).collect(),
        vapour: hours.iter().map(|r| vapour_pressure(r, &mut report)).collect(),
        pressure,
        flag: vec![MEASURED; expected],
    };
    if records.typical {
        grid = repeated(&grid, records.place.utc_offset_s.unwrap_or(0));
    }
    grid.flag_missing();
    let kind = if records.typical { Kind::Typical } else { Kind::Measured };
    Ok(Series::from_grid(&records.name, records.place, kind, grid, report))
}

/// Plausible rows by stamp hour, rising, the nearest to the stamp where several compete.
fn hourly_rows(records: &Records, report: &mut Report) -> Vec<(i64, Record)> {
    let minute = i64::from(records.stamp_minute);
    let mut rows: Vec<(i64, bool, i64, Record)> = records
        .rows
        .iter()
        .map(|row| {
            let mut row = *row;
            report.implausible += plausible::gate(&mut row);
            let hour = (row.minute - minute + 30).div_euclid(60);
            (hour, row.temperature_c.is_nan(), (row.minute - minute - 60 * hour).abs(), row)
        })
        .collect();
    // A row without temperature gives way to one with; the order in the file decides between equals.
    rows.sort_by_key(|r| (r.0, r.1, r.2));
    let all = rows.len();
    rows.dedup_by_key(|r| r.0);
    report.duplicates = all - rows.len();
    rows.into_iter().map(|r| (r.0, r.3)).collect()
}

/// Vapour pressure of a row: relative humidity first, dew point where there is none; NaN without temperature.
///
/// Missing values are asked for one by one: `exp` and `ln` of lanes promise nothing for NaN.
fn vapour_pressure(row: &Record, report: &mut Report) -> f64 {
    let relative = Some(row.relative_humidity).filter(|h| !h.is_nan());
    let from_dew_point = Some(row.dew_point_c).filter(|d| !d.is_nan()).map(air::saturation_pressure);
    report.humidity.relative += usize::from(relative.is_some());
    report.humidity.dew_point += usize::from(relative.is_none() && from_dew_point.is_some());
    if row.temperature_c.is_nan() {
        return f64::NAN;
    }
    let saturation = air::saturation_pressure(row.temperature_c);
    if let (Some(h), Some(e)) = (relative, from_dew_point) {
        report.humidity.disagree += usize::from((e / saturation - h).abs() > DISAGREE);
    }
    relative.map(|h| h * saturation).or(from_dew_point).unwrap_or(f64::NAN)
}

/// Pressure at every stamp: at the station, else from the altimeter setting, else from sea level, else between neighbours,
/// else of the standard atmosphere; `None` when an elevation is needed and unknown.
fn pressures(rows: &[Record], place: &StationPlace, used: &mut PressureUse) -> Option<Vec<f64>> {
    let mut out = vec![f64::NAN; rows.len()];
    for (p, row) in out.iter_mut().zip(rows) {
        if !row.station_pressure_pa.is_nan() {
            used.station += 1;
            *p = row.station_pressure_pa;
        } else if let Some(elevation) = place.elevation_m {
            let altimeter = station_from_altimeter(row.altimeter_pa, elevation);
            let sea_level = station_from_sea_level(row.sea_level_pressure_pa, elevation, row.temperature_c);
            if altimeter.is_finite() {
                used.altimeter += 1;
                *p = altimeter;
            } else if sea_level.is_finite() {
                used.sea_level += 1;
                *p = sea_level;
            }
        }
    }
    let known: Vec<usize> = (0..out.len()).filter(|&i| !out[i].is_nan()).collect();
    for pair in known.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if b - a > 1 && b - a - 1 <= PRESSURE_BRIDGE {
            for i in a + 1..b {
                out[i] = out[a] + (out[b] - out[a]) * (i - a) as f64 / (b - a) as f64;
                used.interpolated += 1;
            }
        }
    }
    let mean = known.iter().map(|&i| out[i]).sum::<f64>() / known.len() as f64;
    let rest = match place.elevation_m {
        Some(elevation) => air::standard_pressure(elevation),
        // A station that reports its own pressure now and then: its mean is nearer than any atmosphere.
        None if !known.is_empty() => mean,
        None => return None,
    };
    for p in out.iter_mut().filter(|p| p.is_nan()) {
        *p = rest;
        used.standard += 1;
    }
    Some(out)
}

/// First UTC hour of the nominal year in a standard time.
pub(crate) fn typical_start(utc_offset_s: i32) -> i64 {
    let local = calendar::days(TYPICAL_YEAR, 1, 1).unwrap_or(0) * 86_400;
    (local - i64::from(utc_offset_s)).div_euclid(3600)
}

/// A typical year laid end to end, so that exactly two years of hours come out.
fn repeated(grid: &Grid, utc_offset_s: i32) -> Grid {
    let start = typical_start(utc_offset_s);
    let (low, high) = grid.reach();
    let stamps = start + low..start + 2 * TYPICAL_HOURS + high;
    let mut out = Grid {
        stamps: grid.stamps,
        minute: grid.minute,
        first: start + low,
        temperature: Vec::new(),
        vapour: Vec::new(),
        pressure: Vec::new(),
        flag: Vec::new(),
    };
    for stamp in stamps {
        let index = (stamp - grid.first).rem_euclid(TYPICAL_HOURS) as usize;
        let at = |column: &[f64], absent: f64| column.get(index).copied().unwrap_or(absent);
        out.temperature.push(at(&grid.temperature, f64::NAN));
        out.vapour.push(at(&grid.vapour, f64::NAN));
        out.pressure.push(at(&grid.pressure, grid.pressure.first().copied().unwrap_or(air::STANDARD_PRESSURE)));
        out.flag.push(MEASURED);
    }
    out
}
