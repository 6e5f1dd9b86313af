//! Where an axis carries ticks, and what they say.

use crate::calendar;

/// One tick.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// Place on the axis.
    pub at: f64,
    /// Label.
    pub label: String,
}

/// How an axis is divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Division {
    /// Round numbers.
    Numbers,
    /// Not at all.
    Plain,
    /// Dates; the axis counts days from 1 January of this year.
    Dates {
        /// The year.
        year: i32,
    },
}

/// Returns ticks between `low` and `high`, about `wanted` of them; none when the bounds are no proper interval.
pub fn ticks(division: Division, low: f64, high: f64, wanted: usize) -> Vec<Tick> {
    if !(low.is_finite() && high.is_finite() && low < high) || wanted == 0 {
        return Vec::new();
    }
    match division {
        Division::Numbers => numbers(low, high, wanted),
        Division::Plain => Vec::new(),
        Division::Dates { year } => dates(year, low, high, wanted),
    }
}

/// The step of 1, 2 or 5 times a power of ten that divides a span into at most `wanted` parts.
pub fn step(span: f64, wanted: usize) -> f64 {
    let raw = span / wanted.max(1) as f64;
    if !(raw.is_finite() && raw > 0.0) {
        return 1.0;
    }
    let power = 10f64.powi(raw.log10().floor() as i32);
    // A hair of slack, so that a span of just five steps is not spoilt by rounding.
    [1.0, 2.0, 5.0, 10.0].iter().map(|m| m * power).find(|s| *s >= raw * (1.0 - 1e-9)).unwrap_or(10.0 * power)
}

/// Widens bounds to whole steps; bounds that are no proper interval become one around them.
pub fn widen(low: f64, high: f64, wanted: usize) -> (f64, f64) {
    if !(low.is_finite() && high.is_finite()) {
        return (0.0, 1.0);
    }
    let (low, high) =
        if high > low { (low, high) } else { (low - 0.5 * low.abs().max(1.0), low + 0.5 * low.abs().max(1.0)) };
    let step = step(high - low, wanted);
    if !step.is_finite() || !(high - low).is_finite() {
        return (low, high);
    }
    ((low / step + 1e-9).floor() * step, (high / step - 1e-9).ceil() * step)
}

/// Decimals that a step needs.
fn decimals(step: f64) -> usize {
    if step >= 1.0 { 0 } else { (-step.log10().floor()).clamp(0.0, 12.0) as usize }
}

/// A number with its thousands apart (from five digits on) and a true minus sign.
pub fn number(value: f64, decimals: usize) -> String {
    let plain = format!("{:.*}", decimals, value.abs());
    let (whole, part) = plain.split_once('.').unwrap_or((&plain, ""));
    let mut out = String::new();
    if value < 0.0 && plain.chars().any(|c| c.is_ascii_digit() && c != '0') {
        out.push('\u{2212}');
    }
    for (i, digit) in whole.chars().enumerate() {
        if whole.len() > 4 && i > 0 && (whole.len() - i) % 3 == 0 {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    if !part.is_empty() {
        out.push('.');
        out.push_str(part);
    }
    out
}

fn numbers(low: f64, high: f64, wanted: usize) -> Vec<Tick> {
    let step = step(high - low, wanted);
    let decimals = decimals(step);
    let first = (low / step - 1e-6).ceil();
    (0..=4 * wanted)
        .map(|i| (first + i as f64) * step)
        .take_while(|at| *at <= high + 1e-6 * step)
        .map(|at| Tick { at, label: number(at, decimals) })
        .collect()
}

fn dates(year: i32, low: f64, high: f64, wanted: usize) -> Vec<Tick> {
    let months = calendar::month_starts(year, low, high);
    let span = high - low;
    if months.len() >= 3 || span > 75.0 {
        let every = months.len().div_ceil(wanted).max(1);
        return months.into_iter().step_by(every).map(|(at, date)| Tick { at, label: date.short() }).collect();
    }
    let every = [1.0, 2.0, 5.0, 7.0, 14.0].into_iter().find(|d| span / d <= wanted as f64).unwrap_or(28.0);
    let count = (span / every).ceil() as usize + 1;
    (0..count)
        .map(|i| low.ceil() + i as f64 * every)
        .take_while(|at| *at <= high)
        .filter_map(|at| calendar::date(year, at).map(|date| Tick { at, label: date.short() }))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(division: Division, low: f64, high: f64, wanted: usize) -> Vec<String> {
        ticks(division, low, high, wanted).into_iter().map(|t| t.label).collect()
    }

    #[test]
    fn numbers_are_round() {
        assert_eq!(labels(Division::Numbers, 0.0, 1.0, 5), ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert_eq!(labels(Division::Numbers, 13.2, 20.4, 5), ["14", "16", "18", "20"]);
        assert_eq!(labels(Division::Numbers, -10.0, 10.0, 4), ["\u{2212}10", "\u{2212}5", "0", "5", "10"]);
        assert_eq!(labels(Division::Numbers, 0.0, 25_000.0, 3), ["0", "10\u{202f}000", "20\u{202f}000"]);
    }

    #[test]
    fn dates_are_firsts_of_months_or_days() {
        let autumn = labels(Division::Dates { year: 2009 }, 282.0, 400.0, 6);
        assert_eq!(autumn, ["1\u{a0}Nov", "1\u{a0}Dec", "1\u{a0}Jan", "1\u{a0}Feb"]);
        assert_eq!(labels(Division::Dates { year: 2009 }, 0.0, 10.0, 5).len(), 6);
    }

    #[test]
    fn improper_bounds_have_no_ticks() {
        for (low, high) in [(f64::NAN, 1.0), (0.0, f64::INFINITY), (1.0, 1.0), (2.0, 1.0)] {
            assert!(ticks(Division::Numbers, low, high, 5).is_empty());
            assert!(ticks(Division::Dates { year: 2000 }, low, high, 5).is_empty());
        }
        assert_eq!(widen(f64::NAN, 1.0, 5), (0.0, 1.0));
        assert_eq!(widen(3.0, 3.0, 5), (1.0, 5.0));
        assert!(ticks(Division::Numbers, 1e300, 1.0000001e300, 5).len() < 30);
    }

    #[test]
    fn no_negative_zero() {
        assert_eq!(number(-0.001, 1), "0.0");
        assert_eq!(number(-1234567.0, 0), "\u{2212}1\u{202f}234\u{202f}567");
        assert_eq!(number(1234.5, 1), "1234.5");
    }
}
