//! Wall-clock time, once and for all: hours since 1970 in UTC to the hour of the day, the month and the tariff slot.

use crate::facts::{MonthDay, Place, Prices};
use crate::parse::{self, QuantityError};
use equipment::DataDate;
use season::TARIFF_SLOTS;
use weather::calendar;

/// Seconds of an hour.
const HOUR: i64 = 3600;

/// UTC hour (since 1970-01-01T00:00Z) of a local standard hour of a day.
pub fn utc_hour(year: i32, day: MonthDay, hour_of_day: i64, offset_s: i32) -> i64 {
    // 29 February exists only in leap years; in the others the day before it stands in.
    let days = calendar::days(year, u32::from(day.month), u32::from(day.day))
        .or_else(|| calendar::days(year, u32::from(day.month), u32::from(day.day) - 1))
        .unwrap_or(0);
    (days * 24 * HOUR + hour_of_day * HOUR - i64::from(offset_s)).div_euclid(HOUR)
}

/// First local midnight of a month and day at or after an hour.
pub fn next(day: MonthDay, after: i64, offset_s: i32) -> i64 {
    let year = year_of(after, offset_s);
    let this = utc_hour(year, day, 0, offset_s);
    if this >= after { this } else { utc_hour(year + 1, day, 0, offset_s) }
}

/// Calendar year (standard time) of a UTC hour.
pub fn year_of(hour: i64, offset_s: i32) -> i32 {
    calendar::date((hour * HOUR + i64::from(offset_s)).div_euclid(24 * HOUR)).0
}

/// Month and day (standard time) of a UTC hour.
pub fn month_day(hour: i64, offset_s: i32) -> MonthDay {
    let (_, month, day) = calendar::date((hour * HOUR + i64::from(offset_s)).div_euclid(24 * HOUR));
    MonthDay { month: month as u8, day: day as u8 }
}

/// Date (standard time) of a UTC hour as `YYYY-MM-DD`.
pub fn date(hour: i64, offset_s: i32) -> String {
    let (year, month, day) = calendar::date((hour * HOUR + i64::from(offset_s)).div_euclid(24 * HOUR));
    format!("{year:04}-{month:02}-{day:02}")
}

/// Day of a UTC second.
pub fn day_of(second: i64) -> DataDate {
    let (year, month, day) = calendar::date(second.div_euclid(24 * HOUR));
    DataDate::day(year, month as u8, day as u8)
}

/// Instant of a UTC hour as ISO 8601 with the site's offset.
pub fn instant(hour: i64, offset_s: i32) -> String {
    instant_of_second(hour * HOUR, offset_s)
}

/// Instant of a UTC second as ISO 8601 with the site's offset.
pub fn instant_of_second(second: i64, offset_s: i32) -> String {
    let local = second + i64::from(offset_s);
    let (year, month, day) = calendar::date(local.div_euclid(24 * HOUR));
    let rest = local.rem_euclid(24 * HOUR);
    let (sign, size) = if offset_s < 0 { ('-', -offset_s) } else { ('+', offset_s) };
    format!(
        "{year:04}-{month:02}-{day:02}T{:02}:{:02}:00{sign}{:02}:{:02}",
        rest / HOUR,
        rest % HOUR / 60,
        size / 3600,
        size % 3600 / 60
    )
}

/// Reads an hour in standard time of the place as UTC hour: `"2011-10-20 14:00"`, with a T or a space between.
///
/// # Errors
/// When it is not of that form, or no such day or hour exists.
pub fn standard_hour(text: &str, offset_s: i32) -> Result<i64, QuantityError> {
    let wrong = || {
        QuantityError::new("not-an-instant", format!("instant {:?}", parse::shown(text)))
            .allowed("must be day and hour as \"2011-10-20 14:00\", standard time of the place")
    };
    let (day, hour) = text.trim().split_once([' ', 'T']).ok_or_else(wrong)?;
    let (year, day) = day.split_once('-').ok_or_else(wrong)?;
    let year: i32 = year.parse().ok().filter(|y| (1800..2200).contains(y)).ok_or_else(wrong)?;
    let day = parse::month_day(day).map_err(|_| wrong())?;
    let hour = parse::clock_hour(hour.trim()).map_err(|_| wrong())?;
    let asked = utc_hour(year, day, i64::from(hour), offset_s);
    // 29 February of a common year is no day, and 24:00 is midnight of the next one: neither may become another day.
    let told = date(asked - i64::from(hour), offset_s);
    if told == format!("{year:04}-{:02}-{:02}", day.month, day.day) { Ok(asked) } else { Err(wrong()) }
}

/// Reads an instant with its offset, `"2026-10-16T14:03:00-05:00"`, as milliseconds since 1970-01-01T00:00Z.
///
/// # Errors
/// When it is not of that form.
pub fn moment(text: &str) -> Result<i64, QuantityError> {
    text.trim().parse::<jiff::Timestamp>().map(|at| at.as_millisecond()).map_err(|_| {
        QuantityError::new("not-an-instant", format!("instant {:?}", parse::shown(text)))
            .allowed("must be an instant with its offset, as \"2026-10-16T14:03:00-05:00\"")
    })
}

/// Clock columns of a stretch of hours: wall-clock hour, month, tariff slot.
#[derive(Debug, Clone)]
pub struct Clock {
    /// Wall-clock hour of the day.
    pub hour: Vec<u8>,
    /// Wall-clock month, 1 to 12.
    pub month: Vec<u8>,
    /// Slot of the tariff: 0 outside all, then in the order of the file.
    pub slot: Vec<u8>,
}

impl Clock {
    /// The columns of `hours` hours from a UTC hour on. Clocks that change (a named zone) are followed.
    pub fn of(start: i64, hours: usize, place: &Place, prices: Option<&Prices>) -> Self {
        let zone = place.time_zone.as_deref().and_then(|name| jiff::tz::TimeZone::get(name).ok());
        let begin = jiff::Timestamp::from_second(start.saturating_mul(HOUR)).ok();
        let (mut offset, mut changes) = (i64::from(place.utc_offset), None);
        if let Some((zone, begin)) = zone.as_ref().zip(begin) {
            offset = i64::from(zone.to_offset(begin).seconds());
            changes = Some(zone.following(begin).map(|t| (t.timestamp().as_second(), i64::from(t.offset().seconds()))));
        }
        let mut change = changes.as_mut().and_then(Iterator::next);
        let slots: [u8; 24] = std::array::from_fn(|hour| prices.map_or(0, |p| slot_of(hour as u8, p)));
        let mut clock =
            Self { hour: Vec::with_capacity(hours), month: Vec::with_capacity(hours), slot: Vec::with_capacity(hours) };
        let mut today = (i64::MIN, 0);
        for second in (0..hours as i64).map(|k| (start + k) * HOUR) {
            while let Some((_, after)) = change.filter(|(at, _)| *at <= second) {
                offset = after;
                change = changes.as_mut().and_then(Iterator::next);
            }
            let local = second + offset;
            let day = local.div_euclid(24 * HOUR);
            if day != today.0 {
                today = (day, calendar::date(day).1 as u8);
            }
            let of_day = (local.rem_euclid(24 * HOUR) / HOUR) as u8;
            clock.hour.push(of_day);
            clock.month.push(today.1);
            clock.slot.push(slots[usize::from(of_day) % 24]);
        }
        clock
    }
}

/// Slot of a wall-clock hour; slots may run over midnight.
fn slot_of(hour: u8, prices: &Prices) -> u8 {
    prices
        .slots
        .iter()
        .take(TARIFF_SLOTS - 1)
        .position(|&(from, to, _)| if from <= to { hour >= from && hour < to } else { hour >= from || hour < to })
        .map_or(0, |i| i as u8 + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_come_in_the_sites_own_time() {
        let october = MonthDay { month: 10, day: 10 };
        let hour = utc_hour(2009, october, 10, -6 * 3600);
        assert_eq!(instant(hour, -6 * 3600), "2009-10-10T10:00:00-06:00");
        assert_eq!(date(next(MonthDay { month: 6, day: 1 }, hour, -6 * 3600), -6 * 3600), "2010-06-01");
        // Southern season: harvest in March, held until December of the same year.
        let march = utc_hour(2009, MonthDay { month: 3, day: 1 }, 10, -3 * 3600);
        assert_eq!(year_of(next(MonthDay { month: 12, day: 1 }, march, -3 * 3600), -3 * 3600), 2009);
        assert_eq!(date(utc_hour(2009, MonthDay { month: 2, day: 29 }, 0, 0), 0), "2009-02-28");
    }

    #[test]
    fn instants_are_read_as_they_stand_or_not_at_all() {
        let hour = standard_hour("2011-10-20 14:00", -6 * 3600).unwrap();
        assert_eq!(instant(hour, -6 * 3600), "2011-10-20T14:00:00-06:00");
        assert_eq!(standard_hour("2011-10-20T24:00", 0).unwrap(), standard_hour("2011-10-21 00:00", 0).unwrap());
        for wrong in ["2011-02-29 10:00", "2011-10-20", "20.10.2011 10:00", "2011-10-20 10:30", ""] {
            assert!(standard_hour(wrong, 0).is_err(), "{wrong}");
        }
        assert_eq!(moment("1970-01-01T01:00:00.250+01:00"), Ok(250));
        assert!(moment("2026-10-16 14:03").is_err() && moment("yesterday").is_err());
    }

    #[test]
    fn clocks_change_on_the_hour_at_which_they_change() {
        let prices = Prices {
            currency: "USD".into(),
            electricity: 1e-8,
            slots: vec![(22, 6, 2e-8), (7, 11, 3e-8)],
            fuel: None,
            ..Prices::default()
        };
        for (name, offset) in [("America/Chicago", -6), ("Australia/Adelaide", 9), ("Asia/Kolkata", 5), ("", -6)] {
            let zone = jiff::tz::TimeZone::get(name).ok();
            let place = Place {
                time_zone: zone.is_some().then(|| name.to_string()),
                utc_offset: offset * 3600,
                ..Place::default()
            };
            let start = utc_hour(2006, MonthDay { month: 3, day: 1 }, 0, 0);
            let clock = Clock::of(start, 20_000, &place, Some(&prices));
            for k in 0..20_000 {
                let second = (start + k as i64) * HOUR;
                let stamp = jiff::Timestamp::from_second(second).unwrap();
                let offset =
                    zone.as_ref().map_or(i64::from(place.utc_offset), |z| i64::from(z.to_offset(stamp).seconds()));
                let local = second + offset;
                let hour = (local.rem_euclid(24 * HOUR) / HOUR) as u8;
                assert_eq!(clock.hour[k], hour, "{name} {k}");
                assert_eq!(clock.month[k], calendar::date(local.div_euclid(24 * HOUR)).1 as u8);
                assert_eq!(clock.slot[k], slot_of(hour, &prices));
            }
        }
    }
}
