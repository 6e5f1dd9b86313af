//! Whether a year of rows happened as it stands, and where its rows go when it did not.

use crate::{TYPICAL_YEAR, calendar};

/// Words of a header that mark a typical year whatever its year labels say: the usual data sets of that kind.
const MARKS: [&str; 8] = ["TMY", "IWEC", "CWEC", "WYEC", "TRY", "TYPICAL", "TEST REFERENCE", "DESIGN YEAR"];

/// Date and hour as labelled: year, month, day and minutes since the beginning of the local day (up to 1440).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Label {
    pub year: i32,
    pub month: u32,
    pub day: u32,
    pub minutes: i64,
}

impl Label {
    /// Local minutes since 1970 in the labelled year; `None` for impossible dates.
    pub fn minute(self) -> Option<i64> {
        calendar::days(self.year, self.month, self.day).map(|d| d * 1440 + self.minutes)
    }

    /// Local minutes since 1970 in the nominal year; `None` on 29 February, which that year does not have.
    pub fn nominal(self) -> Option<i64> {
        Self { year: TYPICAL_YEAR, ..self }.minute()
    }
}

/// Whether a header says that the year is typical.
pub(super) fn marked(header: &str) -> bool {
    let upper = header.to_ascii_uppercase();
    upper
        .split(|c: char| !c.is_ascii_alphanumeric() && c != ' ')
        .any(|part| MARKS.iter().any(|m| if m.len() > 3 { part.contains(m) } else { words(part, m) }))
}

/// Whether a short mark stands alone or with digits after it, as in "TMY3".
fn words(part: &str, mark: &str) -> bool {
    let tail = |rest: &str| rest.chars().all(|c| c.is_ascii_digit() || c == 'X');
    part.split(' ').any(|word| word.strip_prefix(mark).is_some_and(tail))
}

/// Whether the labels run through time as real years do: rising, and with 29 February in the leap years they hold whole.
pub(super) fn real(labels: &[Label]) -> bool {
    let rising = labels.windows(2).all(|w| match (w[0].minute(), w[1].minute()) {
        (Some(a), Some(b)) => a < b,
        _ => false,
    });
    let leap_day_kept = labels.windows(2).all(|w| {
        let skips = w[0].month == 2 && w[0].day == 28 && w[1].month == 3 && w[0].year == w[1].year;
        !(skips && calendar::is_leap(w[0].year))
    });
    rising && leap_day_kept
}

/// The year that each month of the calendar came from, January first; 0 for months without rows.
pub(super) fn months(labels: &[Label]) -> Vec<i32> {
    let mut out = vec![0; 12];
    for label in labels {
        let slot = (label.month as usize).checked_sub(1).and_then(|m| out.get_mut(m));
        if let Some(empty) = slot.filter(|s| **s == 0) {
            *empty = label.year;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks() {
        assert!(marked("LOCATION,Chicago,IL,USA,TMY3,725300"));
        assert!(marked("NREL TMY Data Set (2008)"));
        assert!(marked("IWEC Data"));
        assert!(!marked("LOCATION,Country Club,IL,USA,ISD,725300"));
        assert!(!marked("LOCATION,Industry,IL,USA,measured"));
    }

    #[test]
    fn a_leap_year_without_its_day_did_not_happen() {
        let label = |year, month, day, minutes| Label { year, month, day, minutes };
        assert!(real(&[label(2019, 2, 28, 1440), label(2019, 3, 1, 60)]));
        assert!(!real(&[label(2020, 2, 28, 1440), label(2020, 3, 1, 60)]));
        assert!(!real(&[label(1999, 2, 28, 1440), label(1987, 3, 1, 60)]));
    }
}
