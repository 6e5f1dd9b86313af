//! Where the figures of a fan or burner come from: their source, how old they are and how they were taken.
//!
//! Nothing is computed from these; they stand beside results so that a reader can judge them.

use std::fmt;

/// A date as data carry it: a year, a month of it, or a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DataDate {
    /// Calendar year.
    pub year: i32,
    /// 1 to 12, where it is known.
    pub month: Option<u8>,
    /// 1 to 31, where it is known.
    pub day: Option<u8>,
}

impl DataDate {
    /// A day.
    pub const fn day(year: i32, month: u8, day: u8) -> Self {
        Self { year, month: Some(month), day: Some(day) }
    }

    /// First and last day it can mean, as year, month and day; month ends are not told apart.
    fn span(self) -> [(i32, u8, u8); 2] {
        let month = |open: u8| self.month.unwrap_or(open);
        let day = |open: u8| self.day.unwrap_or(open);
        [(self.year, month(1), day(1)), (self.year, month(12), day(31))]
    }

    /// Whole years from it to a later date, at least: a year alone is taken as its last day. Negative when it lies ahead.
    pub fn whole_years_to(self, later: Self) -> i32 {
        let ([_, last], [first, _]) = (self.span(), later.span());
        let short = (first.1, first.2) < (last.1, last.2);
        first.0 - last.0 - i32::from(short)
    }

    /// Whether it lies wholly after another date.
    pub fn is_after(self, other: Self) -> bool {
        self.span()[0] > other.span()[1]
    }
}

impl fmt::Display for DataDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}", self.year)?;
        if let Some(month) = self.month {
            write!(f, "-{month:02}")?;
            if let Some(day) = self.day {
                write!(f, "-{day:02}")?;
            }
        }
        Ok(())
    }
}

/// Where figures come from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Provenance {
    /// The document, test or measurement they were taken from.
    pub source: Option<String>,
    /// Date of the data.
    pub date: Option<DataDate>,
    /// For which conditions they hold and how they were taken.
    pub rating: Option<String>,
}

impl fmt::Display for Provenance {
    /// What is known, in one line; nothing when nothing is.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts: Vec<String> = self.source.iter().cloned().collect();
        parts.extend(self.date.map(|date| format!("data of {date}")));
        parts.extend(self.rating.iter().cloned());
        f.write_str(&parts.join("; "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_open_date_is_as_young_as_it_can_be() {
        let today = DataDate::day(2026, 11, 25);
        let year = DataDate { year: 2016, month: None, day: None };
        let month = DataDate { month: Some(11), ..year };
        assert_eq!(year.whole_years_to(today), 9);
        assert_eq!(month.whole_years_to(today), 9);
        assert_eq!(DataDate::day(2016, 11, 25).whole_years_to(today), 10);
        assert_eq!(DataDate::day(2016, 11, 26).whole_years_to(today), 9);
        assert!(!DataDate { year: 2026, month: None, day: None }.is_after(today));
        assert!(DataDate { year: 2026, month: Some(12), day: None }.is_after(today));
    }

    #[test]
    fn says_only_what_is_known() {
        let known = Provenance {
            source: Some("bulletin 12".into()),
            date: Some(DataDate { year: 2016, month: Some(3), day: None }),
            rating: None,
        };
        assert_eq!(known.to_string(), "bulletin 12; data of 2016-03");
        assert_eq!(Provenance::default().to_string(), "");
    }
}
