//! Two groups of lanes as one number: their chains of arithmetic fill each other's gaps.

use crate::real::{Mask, Real};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Two groups of numbers, computed in step.
#[derive(Debug, Clone, Copy)]
pub struct Pair<R>(R, R);

impl<M: Mask> Mask for Pair<M> {
    #[inline(always)]
    fn and(self, other: Self) -> Self {
        Self(self.0.and(other.0), self.1.and(other.1))
    }
    #[inline(always)]
    fn or(self, other: Self) -> Self {
        Self(self.0.or(other.0), self.1.or(other.1))
    }
    #[inline(always)]
    fn not(self) -> Self {
        Self(self.0.not(), self.1.not())
    }
    #[inline(always)]
    fn any(self) -> bool {
        self.0.any() | self.1.any()
    }
    #[inline(always)]
    fn all(self) -> bool {
        self.0.all() & self.1.all()
    }
}

macro_rules! pair_operator {
    ($($trait:ident $method:ident $op:tt),*) => {$(
        impl<R: Real> $trait for Pair<R> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                Self(self.0 $op other.0, self.1 $op other.1)
            }
        }
    )*};
}
pair_operator!(Add add +, Sub sub -, Mul mul *, Div div /);

impl<R: Real> Neg for Pair<R> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self(-self.0, -self.1)
    }
}

impl<R: Real> Real for Pair<R> {
    type Mask = Pair<R::Mask>;
    const LANES: usize = 2 * R::LANES;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        Self(R::splat(value), R::splat(value))
    }
    #[inline(always)]
    fn load(from: &[f64]) -> Self {
        let (low, high) = from.split_at(R::LANES);
        Self(R::load(low), R::load(high))
    }
    #[inline(always)]
    fn store(self, to: &mut [f64]) {
        let (low, high) = to.split_at_mut(R::LANES);
        self.0.store(low);
        self.1.store(high);
    }
    #[inline(always)]
    fn lt(self, other: Self) -> Self::Mask {
        Pair(self.0.lt(other.0), self.1.lt(other.1))
    }
    #[inline(always)]
    fn le(self, other: Self) -> Self::Mask {
        Pair(self.0.le(other.0), self.1.le(other.1))
    }
    #[inline(always)]
    fn select(mask: Self::Mask, yes: Self, no: Self) -> Self {
        Self(R::select(mask.0, yes.0, no.0), R::select(mask.1, yes.1, no.1))
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        Self(self.0.sqrt(), self.1.sqrt())
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0), self.1.min(other.1))
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0), self.1.max(other.1))
    }
    #[inline(always)]
    fn abs(self) -> Self {
        Self(self.0.abs(), self.1.abs())
    }
    #[inline(always)]
    fn scale_by_steps(self, steps: Self) -> Self {
        Self(self.0.scale_by_steps(steps.0), self.1.scale_by_steps(steps.1))
    }
    #[inline(always)]
    fn split(self) -> (Self, Self) {
        let ((k0, m0), (k1, m1)) = (self.0.split(), self.1.split());
        (Self(k0, k1), Self(m0, m1))
    }
}
