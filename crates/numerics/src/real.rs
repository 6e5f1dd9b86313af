//! The arithmetic an equation may use, for one value or several lanes, with elementary functions of our own.
//!
//! Every operation is exact IEEE arithmetic in a fixed order, without fused multiply-add, so that a result is the same
//! to the last bit for `f64`, for lanes of any instruction set, and whatever the neighbouring lanes hold.

use std::fmt::Debug;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Truth values, one a lane.
pub trait Mask: Copy + Debug {
    /// Lanes true in both.
    fn and(self, other: Self) -> Self;
    /// Lanes true in either.
    fn or(self, other: Self) -> Self;
    /// Lanes false here.
    fn not(self) -> Self;
    /// Whether any lane is true.
    fn any(self) -> bool;
    /// Whether all lanes are true.
    fn all(self) -> bool;
}

impl Mask for bool {
    #[inline(always)]
    fn and(self, other: Self) -> Self {
        self & other
    }
    #[inline(always)]
    fn or(self, other: Self) -> Self {
        self | other
    }
    #[inline(always)]
    fn not(self) -> Self {
        !self
    }
    #[inline(always)]
    fn any(self) -> bool {
        self
    }
    #[inline(always)]
    fn all(self) -> bool {
        self
    }
}

/// One real number, or several side by side.
///
/// The bit-level methods exist for `exp` and `ln` alone; equations use arithmetic, comparison and `select`.
pub trait Real:
    Copy + Debug + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// The truth values that comparisons give.
    type Mask: Mask;
    /// How many numbers stand side by side.
    const LANES: usize;

    /// The same number in every lane.
    fn splat(value: f64) -> Self;
    /// Reads `LANES` numbers from the front of a slice.
    fn load(from: &[f64]) -> Self;
    /// Writes `LANES` numbers to the front of a slice.
    fn store(self, to: &mut [f64]);
    /// Lanes where `self < other`.
    fn lt(self, other: Self) -> Self::Mask;
    /// Lanes where `self <= other`.
    fn le(self, other: Self) -> Self::Mask;
    /// `yes` where the mask is true, `no` elsewhere.
    fn select(mask: Self::Mask, yes: Self, no: Self) -> Self;
    /// Square root, correctly rounded.
    fn sqrt(self) -> Self;
    /// `self < other ? self : other`.
    fn min(self, other: Self) -> Self;
    /// `other < self ? self : other`.
    fn max(self, other: Self) -> Self;
    /// Magnitude.
    fn abs(self) -> Self;
    /// Adds the low bits of `steps` (a number of the form 1.5·2^52 + n) to the exponent: multiplies by 2^n.
    fn scale_by_steps(self, steps: Self) -> Self;
    /// Splits a positive normal number into 2^k·m with m in [√½, √2): returns (k as a number, m).
    fn split(self) -> (Self, Self);

    /// Keeps a number between two bounds.
    #[inline(always)]
    fn clamp(self, low: Self, high: Self) -> Self {
        self.max(low).min(high)
    }

    /// e to the power of `self`, relative error below 1e-15.
    ///
    /// Arguments are clamped to ±708, where the result stays a normal number.
    #[inline(always)]
    fn exp(self) -> Self {
        const STEPS: f64 = 6755399441055744.0; // 1.5 * 2^52: adding it rounds to an integer in the low bits
        const LN2_HIGH: f64 = 6.93147180369123816490e-01;
        const LN2_LOW: f64 = 1.90821492927058770002e-10;
        let x = self.clamp(Self::splat(-708.0), Self::splat(708.0));
        let steps = x * Self::splat(std::f64::consts::LOG2_E) + Self::splat(STEPS);
        let n = steps - Self::splat(STEPS);
        let r = x - n * Self::splat(LN2_HIGH) - n * Self::splat(LN2_LOW);
        // Taylor to the 13th power: |r| <= 0.3466, remainder below 5e-18. Two interleaved halves shorten the chain.
        let r2 = r * r;
        let even = ((((((Self::splat(1.0 / 479001600.0) * r2 + Self::splat(1.0 / 3628800.0)) * r2
            + Self::splat(1.0 / 40320.0))
            * r2
            + Self::splat(1.0 / 720.0))
            * r2
            + Self::splat(1.0 / 24.0))
            * r2
            + Self::splat(0.5))
            * r2)
            + Self::splat(1.0);
        let odd = (((((Self::splat(1.0 / 6227020800.0) * r2 + Self::splat(1.0 / 39916800.0)) * r2
            + Self::splat(1.0 / 362880.0))
            * r2
            + Self::splat(1.0 / 5040.0))
            * r2
            + Self::splat(1.0 / 120.0))
            * r2
            + Self::splat(1.0 / 6.0))
            * r2
            + Self::splat(1.0);
        (even + odd * r).scale_by_steps(steps)
    }

    /// Natural logarithm of a positive normal number, relative error below 1e-15 away from 1.
    ///
    /// Arguments below 1e-300 are read as 1e-300.
    #[inline(always)]
    fn ln(self) -> Self {
        const LN2_HIGH: f64 = 6.93147180369123816490e-01;
        const LN2_LOW: f64 = 1.90821492927058770002e-10;
        let (k, m) = self.max(Self::splat(1e-300)).split();
        let f = m - Self::splat(1.0);
        let s = f / (m + Self::splat(1.0));
        let z = s * s;
        let w = z * z;
        // The usual minimax form of ln((1+s)/(1-s)) on the range of m.
        let t1 = w
            * (Self::splat(3.999999999940941908e-01)
                + w * (Self::splat(2.222219843214978396e-01) + w * Self::splat(1.531383769920937332e-01)));
        let t2 = z
            * (Self::splat(6.666666666666735130e-01)
                + w * (Self::splat(2.857142874366239149e-01)
                    + w * (Self::splat(1.818357216161805012e-01) + w * Self::splat(1.479819860511658591e-01))));
        let half = Self::splat(0.5) * f * f;
        k * Self::splat(LN2_HIGH) - ((half - (s * (half + t1 + t2) + k * Self::splat(LN2_LOW))) - f)
    }

    /// A positive number to any power, as exp(y ln x).
    #[inline(always)]
    fn pow(self, exponent: Self) -> Self {
        (self.ln() * exponent).exp()
    }
}

impl Real for f64 {
    type Mask = bool;
    const LANES: usize = 1;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn load(from: &[f64]) -> Self {
        from[0]
    }
    #[inline(always)]
    fn store(self, to: &mut [f64]) {
        to[0] = self;
    }
    #[inline(always)]
    fn lt(self, other: Self) -> bool {
        self < other
    }
    #[inline(always)]
    fn le(self, other: Self) -> bool {
        self <= other
    }
    #[inline(always)]
    fn select(mask: bool, yes: Self, no: Self) -> Self {
        if mask { yes } else { no }
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        if self < other { self } else { other }
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        if other < self { self } else { other }
    }
    #[inline(always)]
    fn abs(self) -> Self {
        f64::abs(self)
    }
    #[inline(always)]
    fn scale_by_steps(self, steps: Self) -> Self {
        f64::from_bits(self.to_bits().wrapping_add(steps.to_bits() << 52))
    }
    #[inline(always)]
    fn split(self) -> (Self, Self) {
        let (k, m) = split_bits(self.to_bits());
        (f64::from_bits(k) - SPLIT_OFFSET, f64::from_bits(m))
    }
}

/// Bits of √½: numbers are split so that the remainder is nearest to 1.
pub(crate) const ROOT_HALF: u64 = 0x3fe6_a09e_667f_3bcd;
/// Bits of 2^52, used to read a small integer as a number.
pub(crate) const TWO_52: u64 = 0x4330_0000_0000_0000;
/// What to take off that number.
pub(crate) const SPLIT_OFFSET: f64 = 4503599627370496.0 + 1023.0;

/// Exponent (as the number 2^52 + 1023 + k) and remainder of a positive normal number, in bits.
#[inline(always)]
pub(crate) fn split_bits(x: u64) -> (u64, u64) {
    let shifted = x.wrapping_sub(ROOT_HALF).wrapping_add(1023 << 52) >> 52;
    (shifted | TWO_52, x.wrapping_sub(shifted << 52).wrapping_add(1023 << 52))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn exp_agrees_with_the_standard_library(x in -700.0..700.0f64) {
            let (ours, std) = (Real::exp(x), x.exp());
            prop_assert!((ours - std).abs() <= 1e-15 * (1.0 + x.abs() * 0.5) * std, "{x}: {ours} {std}");
        }

        #[test]
        fn ln_agrees_with_the_standard_library(x in 1e-290..1e290f64, y in 0.2..5.0f64) {
            for v in [x, y] {
                let (ours, std) = (Real::ln(v), v.ln());
                prop_assert!((ours - std).abs() <= 4e-16 * std.abs() + 2e-16, "{v}: {ours} {std}");
            }
        }

        #[test]
        fn ln_undoes_exp(x in -300.0..300.0f64) {
            prop_assert!((Real::ln(Real::exp(x)) - x).abs() < 1e-13 * (1.0 + x.abs()));
        }
    }

    #[test]
    fn round_numbers_come_out_round() {
        assert_eq!(Real::exp(0.0f64), 1.0);
        assert_eq!(Real::ln(1.0f64), 0.0);
        assert_eq!(Real::ln(2.0f64), std::f64::consts::LN_2);
    }
}
