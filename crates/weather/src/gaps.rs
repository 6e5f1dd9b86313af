//! Gaps: where they are, and the rules by which short ones are filled.
//!
//! | length | temperature | humidity ratio |
//! |---|---|---|
//! | 1 to 3 h | straight line | straight line |
//! | 4 to 72 h | daily course of the days before and after, shifted to fit both ends | straight line |
//! | longer | left missing | left missing |
//!
//! Lengths are counted on the stamps of the source; relative humidity follows from both and is cut to 1. A gap at an end of
//! the record is left. Nothing is ever filled by repeating the last value.

use crate::grid::Grid;
use crate::series::{FILLED_DIURNAL, FILLED_SHORT, MISSING, Series};
use physics::air;

/// Longest gap filled by a straight line, h.
pub const SHORT_GAP: usize = 3;
/// Longest gap filled at all, h.
pub const DIURNAL_GAP: usize = 72;

/// How a stretch of hours came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mending {
    /// By a straight line.
    Short,
    /// By the daily course around it.
    Diurnal,
    /// Not at all: still missing.
    Left,
}

/// A stretch of hours that were not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// First hour, in hours since 1970-01-01T00:00Z.
    pub start_hour: i64,
    /// Number of hours. Instants that are missing take the hours on both sides, so this may be one more than the stamps.
    pub hours: usize,
    /// How it was filled.
    pub mending: Mending,
}

impl Series {
    /// All stretches of hours that were not measured, filled or not, in order.
    pub fn gaps(&self) -> Vec<Gap> {
        let mut out: Vec<Gap> = Vec::new();
        for (i, flag) in self.filled.iter().enumerate() {
            let mending = match *flag {
                FILLED_SHORT => Mending::Short,
                FILLED_DIURNAL => Mending::Diurnal,
                MISSING => Mending::Left,
                _ => continue,
            };
            let hour = self.start_hour + i as i64;
            match out.last_mut() {
                Some(gap) if gap.mending == mending && gap.start_hour + gap.hours as i64 == hour => gap.hours += 1,
                _ => out.push(Gap { start_hour: hour, hours: 1, mending }),
            }
        }
        out
    }

    /// The series with its gaps filled by the rules of the module [`crate::gaps`]; every filled hour is flagged.
    ///
    /// # Source
    /// Rules and their errors: tests on the bundled record with 1500 random gaps of each length (computed), repeated in the
    /// tests of this module.
    pub fn mended(self) -> Self {
        if self.mended {
            return self;
        }
        let mut grid = match self.grid {
            Some(grid) => grid,
            None => Grid::of_hours(&self),
        };
        mend(&mut grid);
        Self { mended: true, ..Self::from_grid(&self.name, self.place, self.kind, grid, self.report) }
    }
}

/// Fills what the rules allow.
pub(crate) fn mend(grid: &mut Grid) {
    let temperature_was_there: Vec<bool> = grid.temperature.iter().map(|t| !t.is_nan()).collect();
    let mut ratio: Vec<f64> = grid
        .vapour
        .iter()
        .zip(&grid.pressure)
        .zip(&temperature_was_there)
        .map(|((&e, &p), &known)| if known { air::humidity_ratio(p, e) } else { f64::NAN })
        .collect();
    for (from, to) in runs(&grid.temperature).into_iter().filter(|(a, b)| b - a <= SHORT_GAP) {
        line(&mut grid.temperature, from, to);
        raise(&mut grid.flag[from..to], FILLED_SHORT);
    }
    // Days around a gap may themselves lie in a gap: they are judged before any long gap is filled.
    let measured = grid.temperature.clone();
    for (from, to) in runs(&measured).into_iter().filter(|(a, b)| b - a <= DIURNAL_GAP) {
        if let Some(course) = daily_course(&measured, from, to) {
            grid.temperature[from..to].copy_from_slice(&course);
            raise(&mut grid.flag[from..to], FILLED_DIURNAL);
        }
    }
    for (from, to) in runs(&ratio).into_iter().filter(|(a, b)| b - a <= DIURNAL_GAP) {
        line(&mut ratio, from, to);
        raise(&mut grid.flag[from..to], if to - from <= SHORT_GAP { FILLED_SHORT } else { FILLED_DIURNAL });
    }
    for i in 0..grid.len() {
        // Hours that had both values keep theirs to the last bit.
        if grid.vapour[i].is_nan() || !temperature_was_there[i] {
            let saturation = air::saturation_pressure(grid.temperature[i]);
            let vapour = air::vapour_pressure(grid.pressure[i], ratio[i]);
            grid.vapour[i] = if vapour > saturation { saturation } else { vapour };
        }
    }
    grid.flag_missing();
}

/// Marks filled hours; a missing one becomes a filled one, of two ways of filling the bolder stays.
fn raise(flags: &mut [u8], by: u8) {
    for flag in flags {
        *flag = if *flag == MISSING { by } else { (*flag).max(by) };
    }
}

/// Stretches of missing values with a value on both sides, as half-open ranges.
fn runs(values: &[f64]) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut last_known = None;
    for (i, v) in values.iter().enumerate() {
        if !v.is_nan() {
            if let Some(before) = last_known.filter(|b| i - b > 1) {
                out.push((before + 1, i));
            }
            last_known = Some(i);
        }
    }
    out
}

/// A straight line between the values on both sides.
fn line(values: &mut [f64], from: usize, to: usize) {
    let (a, b) = (values[from - 1], values[to]);
    let steps = (to - from + 1) as f64;
    for (k, value) in values[from..to].iter_mut().enumerate() {
        *value = a + (b - a) * (k + 1) as f64 / steps;
    }
}

/// The mean of the same clock hours a whole number of days before and after, shifted by a straight line to fit both ends;
/// one side alone where the other is missing too; `None` where both are.
fn daily_course(values: &[f64], from: usize, to: usize) -> Option<Vec<f64>> {
    let length = to - from;
    let shift = 24 * (length + 1).div_ceil(24);
    let side = |first: Option<usize>| -> Option<&[f64]> {
        let part = values.get(first?..first? + length + 2)?;
        part.iter().all(|v| !v.is_nan()).then_some(part)
    };
    let before = side((from - 1).checked_sub(shift));
    let after = side(Some(from - 1 + shift));
    let base = |k: usize| match (before, after) {
        (Some(b), Some(a)) => Some((b[k] + a[k]) / 2.0),
        (Some(one), None) | (None, Some(one)) => Some(one[k]),
        (None, None) => None,
    };
    let (start, end) = (values[from - 1] - base(0)?, values[to] - base(length + 1)?);
    (1..=length).map(|k| Some(base(k)? + start + (end - start) * k as f64 / (length + 1) as f64)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::series::MEASURED;
    use crate::{bundled, grid::Stamps};

    fn grid(temperature: Vec<f64>) -> Grid {
        let n = temperature.len();
        let mut grid = Grid {
            stamps: Stamps::Instant,
            minute: 0,
            first: 0,
            vapour: temperature.iter().map(|t| 0.6 * air::saturation_pressure(*t)).collect(),
            temperature,
            pressure: vec![1e5; n],
            flag: vec![MEASURED; n],
        };
        grid.flag_missing();
        grid
    }

    fn with_hole(from: usize, to: usize, days: usize) -> Grid {
        let wave = |k: usize| 10.0 + 8.0 * (k as f64 * std::f64::consts::TAU / 24.0).sin() + 0.1 * k as f64;
        grid((0..24 * days).map(|k| if (from..to).contains(&k) { f64::NAN } else { wave(k) }).collect())
    }

    #[test]
    fn the_rules_by_length() {
        for (length, flag) in
            [(1, FILLED_SHORT), (3, FILLED_SHORT), (4, FILLED_DIURNAL), (72, FILLED_DIURNAL), (73, MISSING)]
        {
            let mut g = with_hole(100, 100 + length, 12);
            mend(&mut g);
            assert!(
                g.flag[100..100 + length].iter().all(|&f| f == flag),
                "{length} h: {:?}",
                &g.flag[100..100 + length]
            );
            assert!(g.flag[..100].iter().chain(&g.flag[100 + length..]).all(|&f| f == MEASURED));
        }
    }

    #[test]
    fn a_daily_wave_on_a_trend_comes_back_whole() {
        let (mut hollow, whole) = (with_hole(100, 160, 12), with_hole(0, 0, 12));
        mend(&mut hollow);
        for k in 100..160 {
            assert!((hollow.temperature[k] - whole.temperature[k]).abs() < 1e-9, "hour {k}");
        }
    }

    #[test]
    fn gaps_at_the_ends_and_without_days_around_stay() {
        let mut g = with_hole(0, 2, 4);
        mend(&mut g);
        assert_eq!(&g.flag[..3], [MISSING, MISSING, MEASURED]);
        let mut g = with_hole(10, 40, 2);
        mend(&mut g);
        assert!(g.flag[10..40].iter().all(|&f| f == MISSING));
    }

    #[test]
    fn humidity_alone_is_filled_and_temperature_kept() {
        let mut g = with_hole(0, 0, 4);
        g.vapour[30..40].fill(f64::NAN);
        g.flag_missing();
        let before = g.temperature.clone();
        mend(&mut g);
        assert_eq!(g.temperature, before);
        assert!(g.vapour.iter().all(|e| e.is_finite()));
        assert!(g.flag[30..40].iter().all(|&f| f == FILLED_DIURNAL));
    }

    /// Root mean square errors inside random gaps of the bundled record, against the table worked out for the rules from
    /// the same record with other random gaps (computed; 1500 gaps a length). A tenth is left for the luck of the draw.
    #[test]
    fn errors_are_those_the_rules_were_chosen_by() {
        let whole = bundled("champaign").and_then(|s| s.grid).unwrap();
        let humidity = |g: &Grid, i: usize| 100.0 * g.vapour[i] / air::saturation_pressure(g.temperature[i]);
        // Length, temperature in K, relative humidity in points where the table gives it for this rule.
        let table = [
            (1, 0.41, None),
            (3, 0.76, None),
            (6, 1.07, Some(5.9)),
            (12, 1.67, Some(8.6)),
            (24, 2.45, Some(11.2)),
            (48, 3.86, Some(14.5)),
            (72, 4.50, Some(16.1)),
        ];
        let mut seed = 20_261_125_u64;
        let mut random = |below: usize| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((seed >> 33) as usize) % below
        };
        for (length, kelvin, points) in table {
            let mut hollow = whole.clone();
            // One gap in each stretch of 330 h: far enough apart that the days around are there.
            let starts: Vec<usize> = (1..whole.len() / 330 - 2).map(|k| 330 * k + random(80)).collect();
            for &s in &starts {
                hollow.temperature[s..s + length].fill(f64::NAN);
                hollow.vapour[s..s + length].fill(f64::NAN);
                hollow.flag[s..s + length].fill(MISSING);
            }
            mend(&mut hollow);
            let (mut t, mut h, mut n) = (0.0, 0.0, 0.0);
            for i in starts.iter().flat_map(|&s| s..s + length) {
                t += (hollow.temperature[i] - whole.temperature[i]).powi(2);
                h += (humidity(&hollow, i) - humidity(&whole, i)).powi(2);
                n += 1.0;
            }
            let (t, h) = (f64::sqrt(t / n), f64::sqrt(h / n));
            println!("{length} h: {t:.2} K ({kelvin}), {h:.1} points ({points:?}), {} gaps", starts.len());
            assert!((t / kelvin - 1.0).abs() < 0.1, "{length} h: {t} K against {kelvin}");
            if let Some(points) = points {
                assert!((h / points - 1.0).abs() < 0.1, "{length} h: {h} points against {points}");
            }
        }
    }
}
