//! Whether a job can be asked for years at all, and what to say when not.

use job::{BinJob, Job};
use notice::{Diagnostic, Place};

/// Refuses a typical year where real years are needed by what `asks`.
///
/// # Errors
/// The refusal.
pub fn real_years(job: &Job, asks: &str) -> Result<(), Box<Diagnostic>> {
    if !job.typical {
        return Ok(());
    }
    Err(Box::new(
        Diagnostic::error(
            "typical-year",
            format!("weather {:?} is a typical year, made of months of different years", job.weather_name),
            job.weather_place.clone(),
        )
        .allowed(format!("{asks} needs measured years"))
        .help("use a measured record of ten years or more: a typical year has no bad years in it"),
    ))
}

/// Refuses weather without one complete season: nothing could be said, which is not a missed goal.
///
/// # Errors
/// The refusal.
pub fn some_year(job: &Job, bin: &BinJob) -> Result<(), Box<Diagnostic>> {
    if !bin.years.is_empty() {
        return Ok(());
    }
    let found = format!("weather {:?} without one complete season for bin {}", job.weather_name, bin.name);
    let why = bin.left_out.first().map(|(year, reason)| format!("; {year}: {reason}")).unwrap_or_default();
    Err(Box::new(
        Diagnostic::error("no-complete-year", format!("{found}{why}"), job.weather_place.clone())
            .allowed("must reach from the first load to hold_until in at least one year, ten or more to prove anything")
            .help("bring a longer or more complete record, or bring hold_until forward"),
    ))
}

/// What to say when a bin has no case for a year (or for any, when none was named).
pub fn no_such_year(bin: &BinJob, year: Option<i32>) -> Diagnostic {
    let reason = bin.left_out.iter().find(|(y, _)| Some(*y) == year).map(|(_, reason)| reason.clone());
    let years = match bin.years.is_empty() {
        true => "no season is complete".into(),
        false => format!("complete seasons run {}", runs(bin.years.iter().map(|(year, _)| *year))),
    };
    let found = match (year, reason) {
        (Some(year), Some(reason)) => format!("the season of {year} has gaps in its weather: {reason}"),
        (Some(year), None) => format!("no weather for a season that begins in {year}"),
        (None, _) => "no complete season in the weather".into(),
    };
    Diagnostic::error("no-such-year", found, Place::default()).help(years)
}

/// Years as runs: "from 1995 to 1998, from 2000 to 2022".
fn runs(years: impl Iterator<Item = i32>) -> String {
    let mut runs: Vec<(i32, i32)> = Vec::new();
    for year in years {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == year => *last = year,
            _ => runs.push((year, year)),
        }
    }
    let said: Vec<String> = runs.iter().map(|(first, last)| format!("from {first} to {last}")).collect();
    said.join(", ")
}
