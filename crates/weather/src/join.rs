//! One series from several files of one station, such as a folder of station-years.

use crate::calendar;
use crate::grid::Grid;
use crate::report::Report;
use crate::series::{Kind, MEASURED, MISSING, Series, StationPlace};
use notice::{Diagnostic, Diagnostics, Place};
use physics::air;

/// Largest difference of latitude or longitude within one station, degrees (a mast may have moved a few kilometres).
const SAME_DEGREES: f64 = 0.1;
/// Largest difference of elevation within one station, m.
const SAME_ELEVATION: f64 = 30.0;
/// Difference in temperature from which two files disagree about an hour, K.
const DISAGREE: f64 = 0.5;
/// Longest span, h: a hundred and fifty years.
const LONGEST: i64 = 150 * 8766;

/// Joins files of one station in order of time. What two of them give for the same stamp is taken from the one that begins
/// first; a missing value from the other. The hour between the last stamp of a file and the first of the next is made from
/// both. What no file covers is missing, and stays so for [`Series::gaps`].
///
/// # Errors
/// Nothing to join; typical years; files of different places or with stamps of different meaning.
pub fn join(mut parts: Vec<Series>) -> Result<Series, Diagnostics> {
    parts.sort_by_key(|s| s.start_hour);
    let mut wrong = Diagnostics::default();
    let mut refuse = |code: &str, name: &str, found: String, help: &str| {
        wrong.add(Diagnostic::error(code, found, Place::file(name)).help(help));
    };
    let Some(first) = parts.first() else {
        refuse(
            "weather-folder-empty",
            "weather",
            "no weather file to join".into(),
            "put the station's files in the folder",
        );
        return Err(wrong);
    };
    if parts.len() == 1 {
        return Ok(parts.remove(0));
    }
    let place = common_place(&parts);
    for part in &parts {
        if part.kind == Kind::Typical {
            refuse(
                "weather-typical-joined",
                &part.name,
                "a typical year among files to join".into(),
                "typical years stand alone",
            );
        }
        if !same_place(&place, &part.place) {
            let found = format!("another place than that of {:?}", first.name);
            refuse("weather-two-stations", &part.name, found, "keep one station in a folder");
        }
    }
    let grids: Vec<Grid> = parts.iter().map(|p| p.grid.clone().unwrap_or_else(|| Grid::of_hours(p))).collect();
    let (from, to) =
        grids.iter().fold((i64::MAX, i64::MIN), |(a, b), g| (a.min(g.first), b.max(g.first + g.len() as i64)));
    for (grid, part) in grids.iter().zip(&parts) {
        if (grid.stamps, grid.minute) != (grids[0].stamps, grids[0].minute) {
            let found = format!("stamps of another meaning or minute than those of {:?}", first.name);
            refuse("weather-stamps-differ", &part.name, found, "join files of one source");
        }
    }
    if to.saturating_sub(from) > LONGEST {
        let found = format!("files from {} to {}", calendar::show(from), calendar::show(to));
        refuse("weather-years-far-apart", &first.name, found, "leave out the stray years");
    }
    if wrong.stop() {
        return Err(wrong);
    }
    let name = first.name.clone();
    let mut report = sum(&parts);
    let grid = merge(&grids, from, (to - from) as usize, &place, &mut report, &name);
    Ok(Series::from_grid(&name, place, Kind::Measured, grid, report))
}

fn common_place(parts: &[Series]) -> StationPlace {
    let any = |pick: fn(&StationPlace) -> Option<f64>| parts.iter().find_map(|p| pick(&p.place));
    StationPlace {
        latitude: any(|p| p.latitude),
        longitude: any(|p| p.longitude),
        elevation_m: any(|p| p.elevation_m),
        utc_offset_s: parts.iter().find_map(|p| p.place.utc_offset_s),
    }
}

fn same_place(a: &StationPlace, b: &StationPlace) -> bool {
    let near = |a: Option<f64>, b: Option<f64>, limit: f64| a.zip(b).is_none_or(|(a, b)| (a - b).abs() <= limit);
    near(a.latitude, b.latitude, SAME_DEGREES)
        && near(a.longitude, b.longitude, SAME_DEGREES)
        && near(a.elevation_m, b.elevation_m, SAME_ELEVATION)
        && a.utc_offset_s.zip(b.utc_offset_s).is_none_or(|(a, b)| a == b)
}

fn sum(parts: &[Series]) -> Report {
    let mut out = Report::default();
    for part in parts {
        let r = &part.report;
        out.format = out.format.or(r.format);
        out.stamps = r.stamps;
        out.files += r.files.max(1);
        out.rows += r.rows;
        out.bad_rows += r.bad_rows;
        out.duplicates += r.duplicates;
        out.implausible += r.implausible;
        out.humidity.relative += r.humidity.relative;
        out.humidity.dew_point += r.humidity.dew_point;
        out.humidity.disagree += r.humidity.disagree;
        out.pressure.station += r.pressure.station;
        out.pressure.altimeter += r.pressure.altimeter;
        out.pressure.sea_level += r.pressure.sea_level;
        out.pressure.interpolated += r.pressure.interpolated;
        out.pressure.standard += r.pressure.standard;
        out.warnings.0.extend(r.warnings.0.iter().cloned());
    }
    out
}

fn merge(grids: &[Grid], from: i64, count: usize, place: &StationPlace, report: &mut Report, name: &str) -> Grid {
    let mut out = Grid {
        stamps: grids[0].stamps,
        minute: grids[0].minute,
        first: from,
        temperature: vec![f64::NAN; count],
        vapour: vec![f64::NAN; count],
        pressure: vec![f64::NAN; count],
        flag: vec![MISSING; count],
    };
    let (mut shared, mut disagree) = (0, 0);
    for grid in grids {
        let at = (grid.first - from) as usize;
        for i in 0..grid.len() {
            let k = at + i;
            let (known, offered) = (!out.temperature[k].is_nan(), !grid.temperature[i].is_nan());
            if known && offered {
                shared += 1;
                disagree += usize::from((out.temperature[k] - grid.temperature[i]).abs() > DISAGREE);
            }
            if out.pressure[k].is_nan() {
                out.pressure[k] = grid.pressure[i];
            }
            // Both values of an hour come from one file, unless the first has one of them only.
            if (!known && offered) || (out.vapour[k].is_nan() && !grid.vapour[i].is_nan()) {
                if !known {
                    out.temperature[k] = grid.temperature[i];
                }
                if out.vapour[k].is_nan() {
                    out.vapour[k] = grid.vapour[i];
                }
                out.flag[k] = grid.flag[i];
            }
        }
    }
    // A stamp completed from two files was measured in both.
    for k in 0..count {
        if out.flag[k] == MISSING && !out.temperature[k].is_nan() && !out.vapour[k].is_nan() {
            out.flag[k] = MEASURED;
        }
    }
    out.flag_missing();
    let mean = grids.iter().filter_map(|g| g.pressure.first()).sum::<f64>() / grids.len() as f64;
    let rest = place.elevation_m.map_or(mean, air::standard_pressure);
    for p in out.pressure.iter_mut().filter(|p| p.is_nan()) {
        *p = rest;
        report.pressure.standard += 1;
    }
    report.expected = count;
    report.missing_temperature = out.temperature.iter().filter(|t| t.is_nan()).count();
    report.missing_humidity = out.vapour.iter().filter(|e| e.is_nan()).count();
    if disagree > 0 {
        let found = format!("{disagree} of {shared} hours that two files give differ by more than {DISAGREE} K");
        report.warnings.add(Diagnostic::error("weather-files-disagree", found, Place::file(name)).as_warning());
    }
    out
}
