//! Student's t: how often chance alone parts two means that far.

use crate::real::Real;

/// Returns the chance that a Student t of `degrees` of freedom lies above `t`.
///
/// Half of the regularized incomplete beta function I(ν/(ν+t²); ν/2, 1/2), by its continued fraction.
///
/// ```
/// // Tables: 5 % above 1.812 with 10 degrees of freedom.
/// assert!((numerics::student::above(1.812_461, 10.0) - 0.05).abs() < 1e-6);
/// ```
pub fn above(t: f64, degrees: f64) -> f64 {
    let half = 0.5 * incomplete_beta(degrees / (degrees + t * t), 0.5 * degrees, 0.5);
    if t >= 0.0 { half } else { 1.0 - half }
}

/// Regularized incomplete beta function; modified Lentz.
fn incomplete_beta(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x.clamp(0.0, 1.0);
    }
    let front = Real::exp(log_gamma(a + b) - log_gamma(a) - log_gamma(b) + a * Real::ln(x) + b * Real::ln(1.0 - x));
    if x < (a + 1.0) / (a + b + 2.0) {
        front * fraction(x, a, b) / a
    } else {
        1.0 - front * fraction(1.0 - x, b, a) / b
    }
}

fn fraction(x: f64, a: f64, b: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let keep = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / keep(1.0 - (a + b) * x / (a + 1.0));
    let mut h = d;
    for m in 1..500 {
        let m = f64::from(m);
        for numerator in [
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0)),
        ] {
            d = 1.0 / keep(1.0 + numerator * d);
            c = keep(1.0 + numerator / c);
            h *= c * d;
        }
        if (c * d - 1.0).abs() < 1e-15 {
            break;
        }
    }
    h
}

/// Logarithm of the gamma function for positive arguments: shifted up, then Stirling's series.
pub(crate) fn log_gamma(x: f64) -> f64 {
    let (mut x, mut shift) = (x, 0.0);
    while x < 12.0 {
        shift -= Real::ln(x);
        x += 1.0;
    }
    let y = 1.0 / (x * x);
    let series = (1.0 / 12.0 - y * (1.0 / 360.0 - y * (1.0 / 1260.0 - y * (1.0 / 1680.0 - y / 1188.0)))) / x;
    shift + (x - 0.5) * Real::ln(x) - x + 0.5 * Real::ln(2.0 * std::f64::consts::PI) + series
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: one degree of freedom is a Cauchy law, two have ½ − t / (2 √(2 + t²)).
    #[test]
    fn agrees_with_closed_forms() {
        for t in [-3.0, -0.4, 0.0, 0.1, 1.0, 2.5, 12.0_f64] {
            let cauchy = 0.5 - t.atan() / std::f64::consts::PI;
            assert!((above(t, 1.0) - cauchy).abs() < 1e-12, "{t}");
            let two = 0.5 - t / (2.0 * (2.0 + t * t).sqrt());
            assert!((above(t, 2.0) - two).abs() < 1e-12, "{t}");
        }
        // With many degrees of freedom the normal law: 2.5 % above 1.959964.
        assert!((above(1.959_964, 1e7) - 0.025).abs() < 1e-6);
    }
}
