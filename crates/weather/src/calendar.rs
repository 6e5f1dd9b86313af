//! Days and hours of the proleptic Gregorian calendar as plain integers, counted from 1970-01-01T00:00Z.
//!
//! Leaves out time zones: a caller adds its fixed offset first.

/// Whether a year has a 29 February.
pub fn is_leap(year: i32) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

/// Days in a month (1 to 12) of a year; 0 for any other month.
pub fn days_in_month(year: i32, month: u32) -> u32 {
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(is_leap(year)),
        _ => 0,
    }
}

/// Days from 1970-01-01 to a date; `None` when the calendar has no such date or the year is outside 1700 to 2300.
///
/// # Source
/// H. Hinnant, "chrono-compatible low-level date algorithms" (seen).
pub fn days(year: i32, month: u32, day: u32) -> Option<i64> {
    if !(1700..=2300).contains(&year) || day < 1 || day > days_in_month(year, month) {
        return None;
    }
    // A year that begins in March puts the leap day at its end.
    let y = i64::from(year) - i64::from(month <= 2);
    let era = y.div_euclid(400);
    let of_era = y.rem_euclid(400);
    let of_year = (153 * ((i64::from(month) + 9) % 12) + 2) / 5 + i64::from(day) - 1;
    Some(era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468)
}

/// Year, month (1 to 12) and day (1 to 31) of a day counted from 1970-01-01.
pub fn date(days: i64) -> (i32, u32, u32) {
    let z = days + 719_468;
    let era = z.div_euclid(146_097);
    let of_era = z.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let day = of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    (year as i32, month as u32, day as u32)
}

/// Hours from 1970-01-01T00:00 to the beginning of an hour; `None` for impossible dates.
pub fn hour(year: i32, month: u32, day: u32, hour: u32) -> Option<i64> {
    days(year, month, day).map(|d| d * 24 + i64::from(hour))
}

/// An hour written as `2009-10-12T06:00Z`.
pub fn show(hour: i64) -> String {
    let (year, month, day) = date(hour.div_euclid(24));
    format!("{year:04}-{month:02}-{day:02}T{:02}:00Z", hour.rem_euclid(24))
}

/// Day of the week of a day counted from 1970-01-01, 0 for Sunday.
pub fn weekday(days: i64) -> u32 {
    (days + 4).rem_euclid(7) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_day_of_six_centuries_comes_back() {
        let mut expected = days(1700, 1, 1).unwrap();
        for year in 1700..=2300 {
            for month in 1..=12 {
                for day in 1..=days_in_month(year, month) {
                    assert_eq!(days(year, month, day), Some(expected));
                    assert_eq!(date(expected), (year, month, day));
                    expected += 1;
                }
            }
        }
    }

    #[test]
    fn known_days() {
        assert_eq!(days(1970, 1, 1), Some(0));
        // 946 684 800 s is 2000-01-01T00:00Z in every table of Unix time.
        assert_eq!(days(2000, 1, 1), Some(946_684_800 / 86_400));
        assert_eq!(days(2001, 2, 29), None);
        assert_eq!(days(1900, 2, 29), None);
        assert!(days(2000, 2, 29).is_some());
        // 1 January 1970 was a Thursday.
        assert_eq!(weekday(0), 4);
        assert_eq!(show(-1), "1969-12-31T23:00Z");
    }
}
