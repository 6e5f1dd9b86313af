//! Bracketed roots of one unknown.

/// Why no root was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoBracket {
    /// Function value at the low end.
    pub at_low: f64,
    /// Function value at the high end.
    pub at_high: f64,
}

/// Returns the root of `f` between `low` and `high` to within `tolerance` in the argument.
///
/// Brent's method: bisection guards every step, so it cannot leave the bracket; at most 200 evaluations.
///
/// # Errors
/// [`NoBracket`] when `f` has the same sign at both ends.
///
/// ```
/// let root = numerics::root::brent(|x| x * x - 2.0, 0.0, 2.0, 1e-12).unwrap();
/// assert!((root - 2f64.sqrt()).abs() < 1e-11);
/// ```
pub fn brent(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, tolerance: f64) -> Result<f64, NoBracket> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if (fa < 0.0) == (fb < 0.0) || fa.is_nan() || fb.is_nan() {
        return Err(NoBracket { at_low: fa, at_high: fb });
    }
    let (mut c, mut fc) = (a, fa);
    let mut step = b - a;
    let mut previous = step;
    for _ in 0..200 {
        if (fb < 0.0) == (fc < 0.0) {
            (c, fc) = (a, fa);
            step = b - a;
            previous = step;
        }
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let slack = 2.0 * f64::EPSILON * b.abs() + 0.5 * tolerance;
        let middle = 0.5 * (c - b);
        if middle.abs() <= slack || fb == 0.0 {
            break;
        }
        if previous.abs() >= slack && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * middle * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (s * (2.0 * middle * q * (q - r) - (b - a) * (r - 1.0)), (q - 1.0) * (r - 1.0) * (s - 1.0))
            };
            if p > 0.0 {
                q = -q;
            } else {
                p = -p;
            }
            if 2.0 * p < (3.0 * middle * q - (slack * q).abs()).min((previous * q).abs()) {
                previous = step;
                step = p / q;
            } else {
                step = middle;
                previous = middle;
            }
        } else {
            step = middle;
            previous = middle;
        }
        (a, fa) = (b, fb);
        b += if step.abs() > slack { step } else { slack.copysign(middle) };
        fb = f(b);
    }
    Ok(b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn finds_the_root_of_a_cubic(root in -5.0..5.0f64, bend in 0.0..3.0f64) {
            let f = |x: f64| (x - root) * (1.0 + bend * (x - root).powi(2));
            prop_assert!((brent(f, -10.0, 11.0, 1e-12).unwrap() - root).abs() < 1e-9);
        }
    }

    #[test]
    fn says_when_there_is_no_bracket() {
        assert!(brent(|x| x * x + 1.0, -1.0, 1.0, 1e-9).is_err());
    }
}
