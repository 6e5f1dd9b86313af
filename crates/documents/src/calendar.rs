//! Days of a season's year as dates, in the proleptic Gregorian calendar.

/// Names of the months, short.
const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// A calendar date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Date {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day of the month, from 1.
    pub day: u32,
}

/// Whether a year has a 29 February.
pub fn is_leap(year: i32) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

fn days_in(year: i32, month: u32) -> u32 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// The date `day` days after 00:00 on 1 January of `year`; none beyond a century from there or for no number.
pub fn date(year: i32, day: f64) -> Option<Date> {
    if !day.is_finite() || day.abs() > 36_600.0 {
        return None;
    }
    let mut left = day.floor() as i64;
    let mut date = Date { year, month: 1, day: 1 };
    while left < 0 {
        date.year = date.year.checked_sub(1)?;
        left += if is_leap(date.year) { 366 } else { 365 };
    }
    loop {
        let length = i64::from(days_in(date.year, date.month));
        if left < length {
            date.day = left as u32 + 1;
            return Some(date);
        }
        left -= length;
        (date.year, date.month) =
            if date.month == 12 { (date.year.checked_add(1)?, 1) } else { (date.year, date.month + 1) };
    }
}

/// First days of all months that begin between two days, ends included, with their dates.
pub fn month_starts(year: i32, low: f64, high: f64) -> Vec<(f64, Date)> {
    let mut starts = Vec::new();
    let Some(first) = date(year, low) else { return starts };
    let mut day = low.floor() - f64::from(first.day - 1);
    while day <= high {
        let Some(date) = date(year, day) else { break };
        if day >= low {
            starts.push((day, date));
        }
        day += f64::from(days_in(date.year, date.month));
    }
    starts
}

impl Date {
    /// "15 Nov".
    pub fn short(self) -> String {
        format!("{}\u{a0}{}", self.day, self.month_name())
    }

    /// "15 Nov 2009".
    pub fn long(self) -> String {
        format!("{}\u{a0}{}\u{a0}{}", self.day, self.month_name(), self.year)
    }

    /// "Nov".
    pub fn month_name(self) -> &'static str {
        MONTHS[((self.month - 1) % 12) as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_dates_across_new_years_and_leap_days() {
        assert_eq!(date(2009, 0.0), Some(Date { year: 2009, month: 1, day: 1 }));
        assert_eq!(date(2009, 282.9), Some(Date { year: 2009, month: 10, day: 10 }));
        assert_eq!(date(2009, 365.0), Some(Date { year: 2010, month: 1, day: 1 }));
        assert_eq!(date(2012, 365.0), Some(Date { year: 2012, month: 12, day: 31 }));
        assert_eq!(date(2011, 365.0 + 59.0), Some(Date { year: 2012, month: 2, day: 29 }));
        assert_eq!(date(1900, 59.0), Some(Date { year: 1900, month: 3, day: 1 }));
        assert_eq!(date(2010, -1.0), Some(Date { year: 2009, month: 12, day: 31 }));
        assert_eq!(date(2010, f64::NAN), None);
        assert_eq!(date(2010, 1e300), None);
        assert_eq!(date(i32::MAX, 400.0), None);
    }

    #[test]
    fn lists_month_starts() {
        let starts = month_starts(2009, 282.0, 396.0);
        let names: Vec<String> = starts.iter().map(|(_, date)| date.long()).collect();
        assert_eq!(
            names,
            ["1\u{a0}Nov\u{a0}2009", "1\u{a0}Dec\u{a0}2009", "1\u{a0}Jan\u{a0}2010", "1\u{a0}Feb\u{a0}2010"]
        );
        assert_eq!(starts[0].0, 304.0);
    }
}
