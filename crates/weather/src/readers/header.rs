//! Times, lengths and offsets as people write them in weather tables.

use crate::calendar;

/// A time as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Time {
    /// Minutes since 1970 on the clock it is written in.
    pub minute: i64,
    /// Offset of that clock from UTC in s when written with the time; 0 for "Z".
    pub offset_s: Option<i32>,
}

/// Reads `2009-10-12T06:00`, with a blank or `T` between, seconds, `Z` or an offset behind; hour 24 is the next day's 0.
pub(super) fn time(text: &str) -> Option<Time> {
    let text = text.trim();
    let digits = |from: usize, to: usize| {
        let part = text.get(from..to)?;
        part.bytes().all(|b| b.is_ascii_digit()).then(|| part.parse::<u32>().ok()).flatten()
    };
    let mark = |at: usize, allowed: &[u8]| text.as_bytes().get(at).is_some_and(|b| allowed.contains(b));
    if !(mark(4, b"-/") && mark(7, b"-/") && mark(10, b"T ")) {
        return None;
    }
    let day = calendar::days(digits(0, 4)? as i32, digits(5, 7)?, digits(8, 10)?)?;
    let hour = digits(11, 13)?;
    let (minute, rest) = if mark(13, b":") { (digits(14, 16)?, text.get(16..)?) } else { (0, text.get(13..)?) };
    if hour > 24 || minute > 59 || (hour == 24 && minute > 0) {
        return None;
    }
    let rest = match rest.strip_prefix(':') {
        // Seconds are dropped.
        Some(seconds) => seconds.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.'),
        None => rest,
    };
    let offset_s = match rest {
        "" => None,
        "Z" | "z" | "UTC" | " UTC" => Some(0),
        other => Some(offset(other)?),
    };
    Some(Time { minute: day * 1440 + i64::from(hour) * 60 + i64::from(minute), offset_s })
}

/// Reads an offset from UTC such as `-06:00`, `+0530`, `-6`, `Z`; s.
pub(super) fn offset(text: &str) -> Option<i32> {
    let text = text.trim();
    if text.eq_ignore_ascii_case("z") || text.eq_ignore_ascii_case("utc") {
        return Some(0);
    }
    let (sign, digits) = match text.strip_prefix('-').or_else(|| text.strip_prefix('\u{2212}')) {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    if !digits.bytes().all(|b| b.is_ascii_digit() || b == b':') {
        return None;
    }
    let (hours, minutes) = match digits.split_once(':') {
        Some((h, m)) => (h.parse::<i32>().ok()?, m.parse::<i32>().ok()?),
        None if digits.len() == 4 => (digits[..2].parse().ok()?, digits[2..].parse().ok()?),
        None => (digits.parse().ok()?, 0),
    };
    // Worked out only when it is one: a long row of digits would overflow.
    (hours <= 14 && minutes < 60).then(|| sign * (hours * 3600 + minutes * 60))
}

/// Reads a length such as `213 m`, `700 ft`, `213`; m.
pub(super) fn length(text: &str) -> Option<f64> {
    let text = text.trim();
    let (number, factor) = match text.strip_suffix("ft") {
        Some(rest) => (rest, 0.3048),
        None => (text.strip_suffix('m').unwrap_or(text), 1.0),
    };
    number.trim().parse::<f64>().ok().filter(|v| v.is_finite()).map(|v| v * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times() {
        let noon = calendar::days(2009, 10, 12).unwrap() * 1440 + 720;
        for text in ["2009-10-12T12:00", "2009-10-12 12:00:00", "2009/10/12 12", "2009-10-12T12:00:30.5"] {
            assert_eq!(time(text), Some(Time { minute: noon, offset_s: None }), "{text}");
        }
        assert_eq!(time("2009-10-12T12:00Z"), Some(Time { minute: noon, offset_s: Some(0) }));
        assert_eq!(time("2009-10-12T12:00:00-06:00"), Some(Time { minute: noon, offset_s: Some(-21_600) }));
        assert_eq!(time("2009-10-12T24:00").map(|t| t.minute), Some(noon + 720));
        for text in [
            "",
            "12",
            "2009-02-29T00:00",
            "2009-10-12T25:00",
            "2009-10-12T12:60",
            "2009-10-12Tab:00",
            "2009-10-12T12:0é",
        ] {
            assert_eq!(time(text), None, "{text}");
        }
    }

    #[test]
    fn offsets_and_lengths() {
        assert_eq!(offset("+05:30"), Some(19_800));
        assert_eq!(offset("-0330"), Some(-12_600));
        assert_eq!(offset("-6"), Some(-21_600));
        assert_eq!(offset("CST"), None);
        assert_eq!(offset("2000000000"), None);
        assert_eq!(offset("1:2000000000"), None);
        assert_eq!(length("700 ft"), Some(213.36));
        assert_eq!(length("213m"), Some(213.0));
        assert_eq!(length("high"), None);
    }
}
