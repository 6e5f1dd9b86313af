//! Texts of the job that are no plain quantity: amounts of grain, days of every year, offsets from UTC, hours of the clock.
//! Quantities with units are read by the crate `sheet`, and stand here too for those who read both.

use crate::facts::{Amount, MonthDay};
use notice::Kind;
use notice::quantity::BUSHEL_M3;
use sheet::units;
pub use sheet::{GrainAirflow, Moisture, QuantityError, grain_airflow, in_units, moisture, points, quantity};
pub(crate) use sheet::{clean, shown, split};
use sheet::{missing_unit, unknown_unit};

/// Reads an amount of grain: bushels, a mass or a volume.
///
/// Bushels are legal bushels by weight as grain crosses the scale; a volume is not an amount that is sold and is refused.
///
/// # Errors
/// As [`quantity`]; also when the amount is not above zero.
pub fn amount(text: &str) -> Result<Amount, QuantityError> {
    let clean = clean(text)?;
    let (number, unit) = split(&clean, text)?;
    let volume = units::units(Kind::GrainVolume);
    let found = if units::find(volume, unit).is_some_and(|u| u.factor == BUSHEL_M3) {
        Amount::Bushels(number)
    } else if units::find(units::units(Kind::Length), unit).is_some() {
        Amount::Depth(quantity(Kind::Length, text)?)
    } else if unit.is_empty() {
        return Err(missing_unit(units::units(Kind::Mass), text, &format!("{number} bu")).allowed(AMOUNTS));
    } else {
        match units::find(units::units(Kind::Mass), unit) {
            Some(_) => Amount::WetMass(quantity(Kind::Mass, text)?),
            None => {
                let mut error = unknown_unit(units::units(Kind::Mass), text, unit).allowed(AMOUNTS);
                if error.help.is_none() {
                    error = error.help(format!("write \"{number} bu\" or \"{number} t\""));
                }
                return Err(error);
            }
        }
    };
    let (size, most) = match found {
        Amount::Bushels(size) => (size, MOST_BUSHELS),
        Amount::WetMass(size) => (size, MOST_MASS),
        Amount::Depth(size) => (size, MOST_DEPTH),
    };
    if size > most {
        let found = format!("amount of {:?}", shown(text));
        return Err(
            QuantityError::new("out-of-bounds", found).allowed("must be at most 100000000 bu, 2500000 t or 100 m")
        );
    }
    if size > 0.0 {
        Ok(found)
    } else {
        Err(QuantityError::new("not-positive", format!("amount of {:?}", shown(text))).allowed("must be above zero"))
    }
}

/// Most grain of a lot, bushels: more than any place stores; what lies beyond is a slip that would overflow later sums.
const MOST_BUSHELS: f64 = 1e8;
/// The same as a mass, kg.
const MOST_MASS: f64 = 2.5e9;
/// The same as a depth, m.
const MOST_DEPTH: f64 = 100.0;

const AMOUNTS: &str = "must be a number with one of the units bu, t, kg, lb, or a depth in ft or m";

/// Reads a day of every year as month and day: `"10-10"`.
///
/// # Errors
/// When it is not `MM-DD` or no such day exists. 29 February exists.
pub fn month_day(text: &str) -> Result<MonthDay, QuantityError> {
    let clean = clean(text)?;
    let wrong = |help: &str| {
        QuantityError::new("not-a-day", format!("day {:?}", shown(text)))
            .allowed("must be month and day as \"MM-DD\"")
            .help(help.to_string())
    };
    let parts: Vec<&str> = clean.split('-').collect();
    let (month, day) = match parts.as_slice() {
        [month, day] => (month, day),
        [year, month, day] if year.len() == 4 && year.bytes().all(|b| b.is_ascii_digit()) => {
            return Err(wrong(&format!("leave out the year: write \"{month}-{day}\"")));
        }
        _ => return Err(wrong("write the tenth of October as \"10-10\"")),
    };
    let digits = |part: &str| -> Option<u8> {
        let fits = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        if fits { part.parse().ok() } else { None }
    };
    match (digits(month), digits(day)) {
        (Some(month), Some(day)) => match MONTH_DAYS.get(usize::from(month).wrapping_sub(1)) {
            Some(last) if (1..=*last).contains(&day) => Ok(MonthDay { month, day }),
            None if (1..=12).contains(&day) => {
                Err(wrong(&format!("month comes first: did you mean \"{day:02}-{month:02}\"?")))
            }
            _ => Err(wrong("there is no such day")),
        },
        _ => Err(wrong("write the tenth of October as \"10-10\"")),
    }
}

/// Days of the months, 29 February counted.
const MONTH_DAYS: [u8; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Reads an offset of standard time from UTC in seconds: `"-06:00"`, `"+05:30"`, `"Z"`.
///
/// # Errors
/// When it is not of that form or beyond 14 hours.
pub fn utc_offset(text: &str) -> Result<i32, QuantityError> {
    let clean = clean(text)?;
    let wrong = || {
        QuantityError::new("not-an-offset", format!("offset {:?}", shown(text)))
            .allowed("must be standard time less UTC as \"-06:00\", from -14:00 to +14:00")
    };
    if clean.eq_ignore_ascii_case("z") || clean.eq_ignore_ascii_case("utc") {
        return Ok(0);
    }
    let (sign, rest) = match (clean.strip_prefix('-'), clean.strip_prefix('+')) {
        (Some(rest), _) => (-1, rest),
        (_, Some(rest)) => (1, rest),
        _ => return Err(wrong().help(format!("begin with + or -, as \"-{clean}\" west of Greenwich"))),
    };
    let part = |part: &str| -> Option<i32> {
        let fits = (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        if fits { part.parse().ok() } else { None }
    };
    let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "00"));
    match (part(hours), part(minutes)) {
        (Some(h), Some(m)) if m < 60 && h * 60 + m <= 14 * 60 => Ok(sign * (h * 3600 + m * 60)),
        _ => Err(wrong()),
    }
}

/// Reads a whole hour of the wall-clock day, 0 to 24: `"07:00"`.
///
/// # Errors
/// When it is not `HH:00`.
pub fn clock_hour(text: &str) -> Result<u8, QuantityError> {
    let clean = clean(text)?;
    let wrong = || {
        QuantityError::new("not-an-hour", format!("hour {:?}", shown(text)))
            .allowed("must be a whole hour from \"00:00\" to \"24:00\"")
    };
    let (hour, minute) = clean.split_once(':').ok_or_else(wrong)?;
    let digits = (1..=2).contains(&hour.len()) && hour.bytes().all(|b| b.is_ascii_digit());
    match (digits.then(|| hour.parse::<u8>().ok()).flatten(), minute) {
        (Some(hour), "00") if hour <= 24 => Ok(hour),
        (Some(hour), m) if hour < 24 && m.len() == 2 => {
            Err(wrong().help("weather and prices are by the hour: write a whole hour"))
        }
        _ => Err(wrong()),
    }
}

#[cfg(test)]
#[path = "parse_tests.rs"]
mod tests;
