//! Notices daylight-saving time in rows that should be in standard time.
//!
//! In autumn such rows count an hour twice, in spring they skip one, both on a Sunday in the small hours. A double hour
//! with two different values is proof. A skipped hour may also be a gap: it counts when most springs of the record have it.

use crate::calendar;
use crate::text::Faults;
use notice::{Diagnostic, Diagnostics, Place};

/// Refuses rows (local minutes since 1970 and temperature, in the order of the file) that are in daylight-saving time.
pub(super) fn check(name: &str, rows: &[(i64, f64)], faults: &mut Faults) -> Result<(), Diagnostics> {
    let step = usual_step(rows);
    let mut skips: Vec<i64> = Vec::new();
    for pair in rows.windows(2) {
        let ((a, t_a), (b, t_b)) = (pair[0], pair[1]);
        if !suspicious(b) {
            continue;
        }
        if b - a == step - 60 && t_a != t_b {
            let found = format!("the hour of {} comes twice with different values, as clocks are set back", local(b));
            return Err(refuse(name, found));
        }
        if b - a == step + 60 {
            skips.push(b);
        }
    }
    let years_of = |minutes: i64| calendar::date(minutes.div_euclid(1440)).0;
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return Ok(()) };
    let springs = (years_of(last.0) - years_of(first.0) + 1).max(1) as usize;
    skips.dedup_by_key(|m| years_of(*m));
    match skips.as_slice() {
        [] => Ok(()),
        [one, _, ..] if 2 * skips.len() > springs => {
            let found =
                format!("the hour before {} is skipped, and so in {} of {springs} years", local(*one), skips.len());
            Err(refuse(name, found))
        }
        [one, ..] => {
            faults.file(
                "weather-daylight-saving",
                format!("the hour before {} is skipped, which daylight-saving time would do as well", local(*one)),
            );
            Ok(())
        }
    }
}

/// The step between rows that is met most, minutes.
fn usual_step(rows: &[(i64, f64)]) -> i64 {
    let hourly = rows.windows(2).filter(|w| w[1].0 - w[0].0 == 60).count();
    if 2 * hourly >= rows.len() { 60 } else { 30 }
}

/// Whether clocks are changed at such an hour somewhere: a Sunday of spring or autumn, before four o'clock.
fn suspicious(minutes: i64) -> bool {
    let day = minutes.div_euclid(1440);
    let (_, month, _) = calendar::date(day);
    calendar::weekday(day) == 0 && minutes.rem_euclid(1440) < 240 && matches!(month, 3 | 4 | 9 | 10 | 11)
}

fn local(minutes: i64) -> String {
    let (year, month, day) = calendar::date(minutes.div_euclid(1440));
    let of_day = minutes.rem_euclid(1440);
    format!("{year:04}-{month:02}-{day:02} {:02}:{:02}", of_day / 60, of_day % 60)
}

fn refuse(name: &str, found: String) -> Diagnostics {
    Diagnostics(vec![
        Diagnostic::error("weather-daylight-saving", found, Place::file(name))
            .allowed("must be in UTC or in standard time all the year")
            .help("export the record in UTC"),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hourly rows of 2023 on a wall clock that is set forward on 12 March and back on 5 November.
    fn wall_clock(back: bool) -> Vec<(i64, f64)> {
        let start = calendar::days(2023, 1, 1).unwrap() * 1440;
        let spring = calendar::days(2023, 3, 12).unwrap() * 1440 + 120;
        let autumn = calendar::days(2023, 11, 5).unwrap() * 1440 + 60;
        (0..8760)
            .map(|k| start + k * 60)
            .map(|m| if m >= spring && (!back || m < autumn) { m + 60 } else { m })
            .enumerate()
            .map(|(k, m)| (m, (k as f64 / 9.0).sin()))
            .collect()
    }

    #[test]
    fn a_double_hour_is_refused() {
        let mut faults = Faults::new("a");
        let refused = check("a", &wall_clock(true), &mut faults).unwrap_err();
        assert!(refused.to_string().contains("2023-11-05 01:00"), "{refused}");
    }

    #[test]
    fn one_skipped_hour_is_only_told_several_are_refused() {
        let mut faults = Faults::new("a");
        let mut rows = wall_clock(false);
        assert!(check("a", &rows, &mut faults).is_ok());
        assert_eq!(faults.finish().0.len(), 1);
        // The same in the next year, 10 March 2024.
        let (start, spring) =
            (calendar::days(2024, 1, 1).unwrap() * 1440, calendar::days(2024, 3, 10).unwrap() * 1440 + 120);
        rows.truncate(8000);
        rows.extend((0..3000).map(|k| start + k * 60).map(|m| (if m >= spring { m + 60 } else { m }, m as f64)));
        assert!(check("a", &rows, &mut Faults::new("a")).is_err());
    }

    #[test]
    fn standard_time_passes() {
        let start = calendar::days(2023, 1, 1).unwrap() * 1440;
        let rows: Vec<(i64, f64)> = (0..8760).map(|k| (start + k * 60, k as f64)).collect();
        let mut faults = Faults::new("a");
        assert!(check("a", &rows, &mut faults).is_ok() && faults.finish().0.is_empty());
    }
}
