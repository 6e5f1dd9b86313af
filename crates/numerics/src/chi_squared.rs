//! Chi-squared: how often chance alone leaves a sum of squares that large.

use crate::real::Real;
use crate::student::log_gamma;

/// Returns the chance that a sum of squares of `degrees` independent standard normal variables lies above `square`.
///
/// The regularized upper incomplete gamma function Q(ν/2, χ²/2): its series below a + 1, its continued fraction above.
///
/// ```
/// // Tables: 5 % above 3.841 with one degree of freedom, 1 % above 23.209 with ten.
/// assert!((numerics::chi_squared::above(3.841_459, 1.0) - 0.05).abs() < 1e-7);
/// assert!((numerics::chi_squared::above(23.209_251, 10.0) - 0.01).abs() < 1e-8);
/// ```
pub fn above(square: f64, degrees: f64) -> f64 {
    let (a, x) = (0.5 * degrees, 0.5 * square);
    if x <= 0.0 {
        return 1.0;
    }
    let front = Real::exp(a * Real::ln(x) - x - log_gamma(a));
    if x < a + 1.0 {
        let (mut term, mut sum, mut n) = (1.0 / a, 1.0 / a, a);
        for _ in 0..1000 {
            n += 1.0;
            term *= x / n;
            sum += term;
            if term < 1e-16 * sum {
                break;
            }
        }
        return (1.0 - front * sum).clamp(0.0, 1.0);
    }
    // Modified Lentz.
    const TINY: f64 = 1e-300;
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut h = d;
    for i in 1..1000 {
        let i = f64::from(i);
        let numerator = -i * (i - a);
        b += 2.0;
        let keep = |v: f64| if v.abs() < TINY { TINY } else { v };
        d = 1.0 / keep(numerator * d + b);
        c = keep(b + numerator / c);
        h *= c * d;
        if (c * d - 1.0).abs() < 1e-15 {
            break;
        }
    }
    (front * h).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: two degrees of freedom leave exp(−χ²/2), four leave (1 + χ²/2) times that.
    #[test]
    fn even_degrees_have_closed_forms() {
        for square in [0.01, 0.5, 2.0, 5.0, 20.0, 80.0f64] {
            let tail = (-0.5 * square).exp();
            assert!((above(square, 2.0) - tail).abs() < 1e-13, "{square}");
            assert!((above(square, 4.0) - (1.0 + 0.5 * square) * tail).abs() < 1e-13, "{square}");
        }
        assert_eq!(above(0.0, 3.0), 1.0);
    }
}
