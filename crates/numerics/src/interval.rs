//! Confidence intervals of a chance seen in a number of trials.

use crate::root::brent;

/// A two-sided interval with its level and method.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
    /// Confidence, 0 to 1.
    pub level: f64,
    /// Name of the method, for print.
    pub method: &'static str,
}

/// Returns the exact (Clopper–Pearson) interval of a chance from `hits` in `trials`.
///
/// With no trials the interval is 0 to 1.
///
/// # Source
/// C. J. Clopper and E. S. Pearson, Biometrika 26 (1934), 404–413.
///
/// ```
/// // 29 of 29 still only says "above 88 %" at 95 % two-sided.
/// let interval = numerics::interval::clopper_pearson(29, 29, 0.95);
/// assert!((interval.low - 0.8806).abs() < 5e-5 && interval.high == 1.0);
/// ```
pub fn clopper_pearson(hits: u32, trials: u32, level: f64) -> Interval {
    let tail = 0.5 * (1.0 - level);
    let at_least = |p: f64| (hits..=trials).map(|k| binomial(k, trials, p)).sum::<f64>();
    let at_most = |p: f64| (0..=hits).map(|k| binomial(k, trials, p)).sum::<f64>();
    let low = if hits == 0 { 0.0 } else { brent(|p| at_least(p) - tail, 0.0, 1.0, 1e-12).unwrap_or(0.0) };
    let high = if hits >= trials { 1.0 } else { brent(|p| at_most(p) - tail, 0.0, 1.0, 1e-12).unwrap_or(1.0) };
    Interval { low, high, level, method: "Clopper–Pearson" }
}

/// Chance of exactly `k` hits in `n` trials.
fn binomial(k: u32, n: u32, p: f64) -> f64 {
    if p <= 0.0 {
        return f64::from(u8::from(k == 0));
    }
    if p >= 1.0 {
        return f64::from(u8::from(k == n));
    }
    let log_choose: f64 = (1..=k).map(|i| (f64::from(n - k + i) / f64::from(i)).ln()).sum();
    (log_choose + f64::from(k) * p.ln() + f64::from(n - k) * (1.0 - p).ln()).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: none of n hits gives 1 − (α/2)^(1/n); all hits mirror it; 50 % hits is symmetric.
    #[test]
    fn agrees_with_closed_forms() {
        let none = clopper_pearson(0, 10, 0.95);
        assert!((none.high - (1.0 - 0.025f64.powf(0.1))).abs() < 1e-9);
        let half = clopper_pearson(5, 10, 0.95);
        assert!((half.low + half.high - 1.0).abs() < 1e-9);
        // Published example: 5 of 10 gives 0.1871 to 0.8129.
        assert!((half.low - 0.1871).abs() < 5e-5);
    }
}
