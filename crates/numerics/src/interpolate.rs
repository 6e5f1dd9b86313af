//! Monotone cubic interpolation: the curve through measured points never turns where the points do not.

/// A monotone piecewise-cubic curve (Fritsch and Carlson's slopes) through points of rising abscissa.
#[derive(Debug, Clone, PartialEq)]
pub struct Monotone {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl Monotone {
    /// Lays the curve through the points.
    ///
    /// Returns `None` with fewer than two points, or when `x` does not rise strictly, or a number is not finite.
    pub fn new(x: &[f64], y: &[f64]) -> Option<Self> {
        let n = x.len();
        if n < 2 || y.len() != n || x.iter().chain(y).any(|v| !v.is_finite()) || x.windows(2).any(|w| w[1] <= w[0]) {
            return None;
        }
        let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
        let d: Vec<f64> = (0..n - 1).map(|i| (y[i + 1] - y[i]) / h[i]).collect();
        let mut slope = vec![0.0; n];
        if n == 2 {
            slope.fill(d[0]);
        } else {
            for i in 1..n - 1 {
                if d[i - 1] * d[i] > 0.0 {
                    let (w1, w2) = (2.0 * h[i] + h[i - 1], h[i] + 2.0 * h[i - 1]);
                    slope[i] = (w1 + w2) / (w1 / d[i - 1] + w2 / d[i]);
                }
            }
            slope[0] = end_slope(h[0], h[1], d[0], d[1]);
            slope[n - 1] = end_slope(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
        }
        Some(Self { x: x.to_vec(), y: y.to_vec(), slope })
    }

    /// First and last abscissa.
    pub fn range(&self) -> (f64, f64) {
        (self.x[0], self.x[self.x.len() - 1])
    }

    /// Value of the curve; outside the range the end value is held (callers say so in their results).
    pub fn at(&self, x: f64) -> f64 {
        let n = self.x.len();
        if x <= self.x[0] {
            return self.y[0];
        }
        if x >= self.x[n - 1] {
            return self.y[n - 1];
        }
        let i = self.x.partition_point(|&v| v <= x) - 1;
        let h = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / h;
        let (t2, t3) = (t * t, t * t * t);
        self.y[i] * (2.0 * t3 - 3.0 * t2 + 1.0)
            + self.slope[i] * h * (t3 - 2.0 * t2 + t)
            + self.y[i + 1] * (3.0 * t2 - 2.0 * t3)
            + self.slope[i + 1] * h * (t3 - t2)
    }
}

/// One-sided slope at an end, limited so that the curve stays monotone.
fn end_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    let slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if slope * d0 <= 0.0 {
        0.0
    } else if d0 * d1 <= 0.0 && slope.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn never_turns_where_the_points_do_not(steps in proptest::collection::vec((0.1..3.0f64, 0.0..5.0f64), 2..12)) {
            let (mut x, mut y) = (vec![0.0], vec![0.0]);
            for (dx, dy) in steps {
                x.push(x.last().unwrap() + dx);
                y.push(y.last().unwrap() + dy);
            }
            let curve = Monotone::new(&x, &y).unwrap();
            for (a, b) in x.iter().zip(&y) {
                prop_assert!((curve.at(*a) - b).abs() < 1e-9);
            }
            let end = *x.last().unwrap();
            let values: Vec<f64> = (0..=400).map(|i| curve.at(end * f64::from(i) / 400.0)).collect();
            prop_assert!(values.windows(2).all(|w| w[1] >= w[0] - 1e-9));
        }
    }

    #[test]
    fn refuses_what_is_not_a_curve() {
        assert!(Monotone::new(&[0.0], &[1.0]).is_none());
        assert!(Monotone::new(&[0.0, 0.0], &[1.0, 2.0]).is_none());
        assert!(Monotone::new(&[0.0, f64::NAN], &[1.0, 2.0]).is_none());
    }
}
