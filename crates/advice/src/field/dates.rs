//! When readings were taken, against the season and against the baseline.

use super::Setup;
use job::clock;
use notice::{Diagnostic, Phrase, Place, Remark, Remarks};

/// Oldest baseline that still says something of this filling, hours: eleven months.
const OLDEST: f64 = 24.0 * 335.0;

/// What is to be said of the day of a set of readings: that the bin is empty then by the site file.
pub fn remarks(setup: &Setup<'_>, offset_s: i32) -> Remarks {
    let mut remarks = Remarks::default();
    let case = setup.bin.years.last().map(|(_, case)| case);
    let (Some(when), Some(case)) = (setup.readings.when, case) else { return remarks };
    let Some(first) = case.loads.first() else { return remarks };
    let day = |hour: i64| clock::month_day(hour, offset_s);
    let (from, until) = (day(first.hour), day(case.programme.hold_until));
    let key = |d: job::facts::MonthDay| (d.month, d.day);
    let (now, from_key, until_key) = (key(when.month_day()), key(from), key(until));
    let inside = if from_key <= until_key {
        (from_key..=until_key).contains(&now)
    } else {
        // A season over the turn of the year.
        now >= from_key || now <= until_key
    };
    if !inside {
        let says = Phrase::new(
            "read on a day on which the site file has no grain in the bin ({from} to {until}): is the date right, and is it the \
             grain of the file?",
        )
        .text("from", format!("{:02}-{:02}", from.month, from.day))
        .text("until", format!("{:02}-{:02}", until.month, until.day));
        remarks.add(Remark::new("readings-out-of-season", says));
    }
    remarks
}

/// Whether a baseline is so old that the grain must be another.
pub fn is_of_another_filling(now: &Setup<'_>, before: &Setup<'_>) -> bool {
    let times = now.readings.when.zip(before.readings.when);
    times.is_some_and(|(read, base)| read.hours_since(base) > OLDEST)
}

/// Holds the day of a baseline against that of the readings.
///
/// # Errors
/// A baseline taken after what it is to explain.
pub fn baseline(now: &Setup<'_>, before: &Setup<'_>, at: Place) -> Result<Remarks, Box<Diagnostic>> {
    let mut remarks = Remarks::default();
    let (Some(read), Some(base)) = (now.readings.when, before.readings.when) else { return Ok(remarks) };
    if read < base {
        let found = format!(
            "a baseline of {} for readings of {}",
            before.readings.at.as_deref().unwrap_or_default(),
            now.readings.at.as_deref().unwrap_or_default()
        );
        let wrong = Diagnostic::error("baseline-is-later", found, at);
        return Err(Box::new(wrong.help(
            "a baseline shows the bin before anything was wrong: exchange the files, or mend `at` in one of them",
        )));
    }
    if is_of_another_filling(now, before) {
        let says = Phrase::new(
            "the baseline is of {at}: the grain is another since, so what it shows of the grain's resistance is not used",
        )
        .text("at", before.readings.at.as_deref().unwrap_or_default());
        remarks.add(Remark::new("baseline-of-another-filling", says));
    }
    Ok(remarks)
}
