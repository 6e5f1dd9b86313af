//! The tridiagonal sweep, for any width of number.

use crate::Real;

/// Solves `low[i] x[i-1] + mid[i] x[i] + high[i] x[i+1] = right[i]` in place: `right` becomes x, `mid` is used up.
///
/// Slices hold `R::LANES` numbers a row. No pivoting: the matrices of conduction are diagonally dominant.
#[inline(always)]
pub fn solve<R: Real>(rows: usize, low: &[f64], mid: &mut [f64], high: &[f64], right: &mut [f64]) {
    let at = |i: usize| i * R::LANES;
    for i in 1..rows {
        let factor = R::load(&low[at(i)..]) / R::load(&mid[at(i - 1)..]);
        (R::load(&mid[at(i)..]) - factor * R::load(&high[at(i - 1)..])).store(&mut mid[at(i)..]);
        (R::load(&right[at(i)..]) - factor * R::load(&right[at(i - 1)..])).store(&mut right[at(i)..]);
    }
    for i in (0..rows).rev() {
        let mut value = R::load(&right[at(i)..]);
        if i + 1 < rows {
            value = value - R::load(&high[at(i)..]) * R::load(&right[at(i + 1)..]);
        }
        (value / R::load(&mid[at(i)..])).store(&mut right[at(i)..]);
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn solves_a_small_system() {
        let low = [0.0, -1.0, -1.0];
        let mut mid = [2.0, 2.0, 2.0];
        let high = [-1.0, -1.0, 0.0];
        let mut right = [1.0, 0.0, 1.0];
        super::solve::<f64>(3, &low, &mut mid, &high, &mut right);
        for x in right {
            assert!((x - 1.0f64).abs() < 1e-14);
        }
    }
}
