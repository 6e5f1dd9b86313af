//! When readings were taken: a day, and a time of it where it was written.

use crate::parse::{self, QuantityError};
use weather::calendar;

/// A local day and time, without a zone: readings are compared with each other and with the season by the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// Days since 1970-01-01.
    pub day: i64,
    /// Minute of the day; noon where no time was written.
    pub minute: u32,
}

impl When {
    /// Month and day.
    pub fn month_day(self) -> crate::facts::MonthDay {
        let (_, month, day) = calendar::date(self.day);
        crate::facts::MonthDay { month: month as u8, day: day as u8 }
    }

    /// Hours from another time to this.
    pub fn hours_since(self, other: Self) -> f64 {
        24.0 * (self.day - other.day) as f64 + (f64::from(self.minute) - f64::from(other.minute)) / 60.0
    }
}

/// Reads `"2026-10-16 14:00"`, `"2026-10-16"` or an instant with its offset, whose local time is taken.
///
/// # Errors
/// When it is not of that form or there is no such day.
pub fn when(text: &str) -> Result<When, QuantityError> {
    let wrong = || {
        QuantityError::new("not-an-instant", format!("day {:?}", parse::shown(text)))
            .allowed("must be day and time as \"2026-10-16 14:00\", time of the place")
    };
    let text = text.trim();
    let (day, rest) = (text.get(..10).ok_or_else(wrong)?, text.get(10..).unwrap_or_default());
    let digits = |part: &str, least: u32, most: u32| -> Option<u32> {
        let fits = !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        fits.then(|| part.parse().ok()).flatten().filter(|n| (least..=most).contains(n))
    };
    let parts: Vec<&str> = day.split('-').collect();
    let [year, month, of_month] = parts.as_slice() else { return Err(wrong()) };
    let year = digits(year, 1900, 2199).ok_or_else(wrong)?;
    let month = digits(month, 1, 12).ok_or_else(wrong)?;
    let of_month = digits(of_month, 1, 31).ok_or_else(wrong)?;
    let day = calendar::days(year as i32, month, of_month).ok_or_else(wrong)?;
    if rest.is_empty() {
        return Ok(When { day, minute: 12 * 60 });
    }
    let time = rest.strip_prefix([' ', 'T']).and_then(|time| time.get(..5)).ok_or_else(wrong)?;
    let (hour, minute) = time.split_once(':').ok_or_else(wrong)?;
    let (hour, minute) = (digits(hour, 0, 23).ok_or_else(wrong)?, digits(minute, 0, 59).ok_or_else(wrong)?);
    Ok(When { day, minute: 60 * hour + minute })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_times_are_read_as_they_stand() {
        let afternoon = when("2026-10-16 14:30").unwrap();
        assert_eq!(when("2026-10-16T14:30:05-05:00"), Ok(afternoon));
        assert_eq!(afternoon.hours_since(when("2026-10-15").unwrap()), 26.5);
        for bad in ["2026-02-30 10:00", "16.10.2026 14:00", "2026-10-16 25:00", "soon", "", "2026-10-16 2 pm"] {
            assert!(when(bad).is_err(), "{bad}");
        }
    }
}
