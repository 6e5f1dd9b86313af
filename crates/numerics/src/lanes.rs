//! Eight numbers side by side, in three builds: plain arrays, AVX2 and AVX-512; and blocks of sixteen.
//!
//! All builds give the same bits as `f64`, lane by lane (tested). A kernel is written once over [`Real`] with
//! `#[inline(always)]` and called through [`crate::dispatch`] or [`crate::dispatch_block`].
//!
//! Chains of exponentials and logarithms wait for their own results most of the time. AVX2 carries eight numbers in two
//! registers, whose chains fill each other's gaps; AVX-512 carries them in one, so a block of sixteen is taken in one go.

use crate::real::{Mask, Real, SPLIT_OFFSET, split_bits};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Numbers side by side in a [`Kernel`], for every instruction set.
pub const LANES: usize = 8;
/// Lanes of a block: two groups of [`LANES`].
pub const WIDTH: usize = 2 * LANES;

/// Instruction sets a kernel may run on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InstructionSet {
    /// What every processor of the target has.
    Baseline,
    /// 256-bit vectors.
    Avx2,
    /// 512-bit vectors.
    Avx512,
}

impl InstructionSet {
    /// The widest set this processor has, or the one named in `BINWRIGHT_LANES` (`baseline`, `avx2`) when it has it.
    pub fn detect() -> Self {
        let widest = Self::available().last().copied().unwrap_or(Self::Baseline);
        match std::env::var("BINWRIGHT_LANES").as_deref() {
            Ok("baseline") => Self::Baseline,
            Ok("avx2") if widest != Self::Baseline => Self::Avx2,
            _ => widest,
        }
    }

    /// Lanes of a block that [`dispatch_block`] computes at once.
    pub fn together(self) -> usize {
        if self == Self::Avx512 { WIDTH } else { LANES }
    }

    /// All sets this processor has, narrowest first.
    pub fn available() -> Vec<Self> {
        #[allow(unused_mut)]
        let mut sets = vec![Self::Baseline];
        #[cfg(target_arch = "x86_64")]
        {
            if std::arch::is_x86_feature_detected!("avx2") {
                sets.push(Self::Avx2);
                if std::arch::is_x86_feature_detected!("avx512f") {
                    sets.push(Self::Avx512);
                }
            }
        }
        sets
    }
}

/// Work that can run on any width of [`Real`]; see [`crate::dispatch`].
pub trait Kernel {
    /// What the work gives back.
    type Output;
    /// Does the work with eight-lane numbers of type `R`. Must be `#[inline(always)]` all the way down.
    fn run<R: Real>(self) -> Self::Output;
}

/// Runs a kernel on eight lanes of the given instruction set.
///
/// # Panics
/// If the processor lacks the set: take it from [`InstructionSet::detect`] or [`InstructionSet::available`].
pub fn dispatch<K: Kernel>(set: InstructionSet, kernel: K) -> K::Output {
    match set {
        InstructionSet::Baseline => kernel.run::<Plain>(),
        #[cfg(target_arch = "x86_64")]
        InstructionSet::Avx2 => {
            assert!(std::arch::is_x86_feature_detected!("avx2"), "the processor has no AVX2");
            // SAFETY: the feature was just checked.
            unsafe { x86::run_avx2(kernel) }
        }
        #[cfg(target_arch = "x86_64")]
        InstructionSet::Avx512 => {
            assert!(std::arch::is_x86_feature_detected!("avx512f"), "the processor has no AVX-512");
            // SAFETY: the feature was just checked.
            unsafe { x86::run_avx512(kernel) }
        }
        #[cfg(not(target_arch = "x86_64"))]
        _ => kernel.run::<Plain>(),
    }
}

/// Work on a block of [`WIDTH`] lanes that can be done in parts; see [`dispatch_block`].
pub trait BlockKernel {
    /// Does the work for the `R::LANES` lanes that begin with lane `from`. Must be `#[inline(always)]` all the way down.
    fn run<R: Real>(&mut self, from: usize);
}

/// Runs a kernel on the groups of eight lanes of a block that are busy: both at once where that pays (AVX-512), else one
/// after the other.
///
/// # Panics
/// As [`dispatch`].
pub fn dispatch_block<K: BlockKernel>(set: InstructionSet, busy: [bool; WIDTH / LANES], kernel: &mut K) {
    #[cfg(target_arch = "x86_64")]
    if set == InstructionSet::Avx512 && busy == [true; WIDTH / LANES] {
        assert!(std::arch::is_x86_feature_detected!("avx512f"), "the processor has no AVX-512");
        // SAFETY: the feature was just checked.
        return unsafe { x86::run_pair_avx512(kernel) };
    }
    for (group, _) in busy.iter().enumerate().filter(|(_, busy)| **busy) {
        dispatch(set, Part { kernel, from: group * LANES });
    }
}

/// Eight lanes of a block kernel.
struct Part<'a, K> {
    kernel: &'a mut K,
    from: usize,
}

impl<K: BlockKernel> Kernel for Part<'_, K> {
    type Output = ();
    #[inline(always)]
    fn run<R: Real>(self) {
        self.kernel.run::<R>(self.from);
    }
}

/// Eight numbers in an array, for every processor.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub struct Plain([f64; LANES]);

/// Eight truth values.
#[derive(Debug, Clone, Copy)]
pub struct PlainMask([bool; LANES]);

impl Mask for PlainMask {
    #[inline(always)]
    fn and(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| self.0[i] & other.0[i]))
    }
    #[inline(always)]
    fn or(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| self.0[i] | other.0[i]))
    }
    #[inline(always)]
    fn not(self) -> Self {
        Self(std::array::from_fn(|i| !self.0[i]))
    }
    #[inline(always)]
    fn any(self) -> bool {
        self.0.iter().any(|&b| b)
    }
    #[inline(always)]
    fn all(self) -> bool {
        self.0.iter().all(|&b| b)
    }
}

macro_rules! plain_operator {
    ($($trait:ident $method:ident $op:tt),*) => {$(
        impl $trait for Plain {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                Self(std::array::from_fn(|i| self.0[i] $op other.0[i]))
            }
        }
    )*};
}
plain_operator!(Add add +, Sub sub -, Mul mul *, Div div /);

impl Neg for Plain {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self(self.0.map(|x| -x))
    }
}

impl Real for Plain {
    type Mask = PlainMask;
    const LANES: usize = LANES;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        Self([value; LANES])
    }
    #[inline(always)]
    fn load(from: &[f64]) -> Self {
        let mut lanes = [0.0; LANES];
        lanes.copy_from_slice(&from[..LANES]);
        Self(lanes)
    }
    #[inline(always)]
    fn store(self, to: &mut [f64]) {
        to[..LANES].copy_from_slice(&self.0);
    }
    #[inline(always)]
    fn lt(self, other: Self) -> PlainMask {
        PlainMask(std::array::from_fn(|i| self.0[i] < other.0[i]))
    }
    #[inline(always)]
    fn le(self, other: Self) -> PlainMask {
        PlainMask(std::array::from_fn(|i| self.0[i] <= other.0[i]))
    }
    #[inline(always)]
    fn select(mask: PlainMask, yes: Self, no: Self) -> Self {
        Self(std::array::from_fn(|i| if mask.0[i] { yes.0[i] } else { no.0[i] }))
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        Self(self.0.map(f64::sqrt))
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| Real::min(self.0[i], other.0[i])))
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| Real::max(self.0[i], other.0[i])))
    }
    #[inline(always)]
    fn abs(self) -> Self {
        Self(self.0.map(f64::abs))
    }
    #[inline(always)]
    fn scale_by_steps(self, steps: Self) -> Self {
        Self(std::array::from_fn(|i| f64::from_bits(self.0[i].to_bits().wrapping_add(steps.0[i].to_bits() << 52))))
    }
    #[inline(always)]
    fn split(self) -> (Self, Self) {
        let both = self.0.map(|x| split_bits(x.to_bits()));
        (Self(both.map(|b| f64::from_bits(b.0) - SPLIT_OFFSET)), Self(both.map(|b| f64::from_bits(b.1))))
    }
}

#[cfg(target_arch = "x86_64")]
mod x86 {
    //! The two vector builds. Every intrinsic is reached only below the `run_` functions, whose callers have
    //! checked the processor; that is the safety argument of each block here.
    #![allow(clippy::undocumented_unsafe_blocks)]
    use super::*;
    use crate::pair::Pair;
    use crate::real::{ROOT_HALF, TWO_52};
    use std::arch::x86_64::*;

    #[target_feature(enable = "avx2")]
    pub unsafe fn run_avx2<K: Kernel>(kernel: K) -> K::Output {
        kernel.run::<Avx2>()
    }

    #[target_feature(enable = "avx512f")]
    pub unsafe fn run_avx512<K: Kernel>(kernel: K) -> K::Output {
        kernel.run::<Avx512>()
    }

    #[target_feature(enable = "avx512f")]
    pub unsafe fn run_pair_avx512<K: BlockKernel>(kernel: &mut K) {
        kernel.run::<Pair<Avx512>>(0);
    }

    #[derive(Debug, Clone, Copy)]
    pub struct Avx512(__m512d);
    #[derive(Debug, Clone, Copy)]
    pub struct Avx512Mask(__mmask8);

    impl Mask for Avx512Mask {
        #[inline(always)]
        fn and(self, other: Self) -> Self {
            Self(self.0 & other.0)
        }
        #[inline(always)]
        fn or(self, other: Self) -> Self {
            Self(self.0 | other.0)
        }
        #[inline(always)]
        fn not(self) -> Self {
            Self(!self.0)
        }
        #[inline(always)]
        fn any(self) -> bool {
            self.0 != 0
        }
        #[inline(always)]
        fn all(self) -> bool {
            self.0 == 0xff
        }
    }

    macro_rules! operator {
        ($($trait:ident $method:ident $wide:ident $half:ident),*) => {$(
            impl $trait for Avx512 {
                type Output = Self;
                #[inline(always)]
                fn $method(self, other: Self) -> Self {
                    Self(unsafe { $wide(self.0, other.0) })
                }
            }
            impl $trait for Avx2 {
                type Output = Self;
                #[inline(always)]
                fn $method(self, other: Self) -> Self {
                    unsafe { Self($half(self.0, other.0), $half(self.1, other.1)) }
                }
            }
        )*};
    }
    operator!(
        Add add _mm512_add_pd _mm256_add_pd,
        Sub sub _mm512_sub_pd _mm256_sub_pd,
        Mul mul _mm512_mul_pd _mm256_mul_pd,
        Div div _mm512_div_pd _mm256_div_pd
    );

    impl Neg for Avx512 {
        type Output = Self;
        #[inline(always)]
        fn neg(self) -> Self {
            unsafe {
                Self(_mm512_castsi512_pd(_mm512_xor_si512(_mm512_castpd_si512(self.0), _mm512_set1_epi64(i64::MIN))))
            }
        }
    }

    impl Real for Avx512 {
        type Mask = Avx512Mask;
        const LANES: usize = super::LANES;

        #[inline(always)]
        fn splat(value: f64) -> Self {
            Self(unsafe { _mm512_set1_pd(value) })
        }
        #[inline(always)]
        fn load(from: &[f64]) -> Self {
            let from = &from[..LANES];
            Self(unsafe { _mm512_loadu_pd(from.as_ptr()) })
        }
        #[inline(always)]
        fn store(self, to: &mut [f64]) {
            let to = &mut to[..LANES];
            unsafe { _mm512_storeu_pd(to.as_mut_ptr(), self.0) }
        }
        #[inline(always)]
        fn lt(self, other: Self) -> Avx512Mask {
            Avx512Mask(unsafe { _mm512_cmp_pd_mask::<_CMP_LT_OQ>(self.0, other.0) })
        }
        #[inline(always)]
        fn le(self, other: Self) -> Avx512Mask {
            Avx512Mask(unsafe { _mm512_cmp_pd_mask::<_CMP_LE_OQ>(self.0, other.0) })
        }
        #[inline(always)]
        fn select(mask: Avx512Mask, yes: Self, no: Self) -> Self {
            Self(unsafe { _mm512_mask_blend_pd(mask.0, no.0, yes.0) })
        }
        #[inline(always)]
        fn sqrt(self) -> Self {
            Self(unsafe { _mm512_sqrt_pd(self.0) })
        }
        #[inline(always)]
        fn min(self, other: Self) -> Self {
            Self(unsafe { _mm512_min_pd(self.0, other.0) })
        }
        #[inline(always)]
        fn max(self, other: Self) -> Self {
            // The instruction returns its second operand on ties, as `Real::max` does with `self` and `other` this way.
            Self(unsafe { _mm512_max_pd(self.0, other.0) })
        }
        #[inline(always)]
        fn abs(self) -> Self {
            Self(unsafe { _mm512_abs_pd(self.0) })
        }
        #[inline(always)]
        fn scale_by_steps(self, steps: Self) -> Self {
            unsafe {
                let shift = _mm512_slli_epi64::<52>(_mm512_castpd_si512(steps.0));
                Self(_mm512_castsi512_pd(_mm512_add_epi64(_mm512_castpd_si512(self.0), shift)))
            }
        }
        #[inline(always)]
        fn split(self) -> (Self, Self) {
            unsafe {
                let x = _mm512_castpd_si512(self.0);
                let bias = _mm512_set1_epi64(1023 << 52);
                let shifted = _mm512_srli_epi64::<52>(_mm512_add_epi64(
                    _mm512_sub_epi64(x, _mm512_set1_epi64(ROOT_HALF as i64)),
                    bias,
                ));
                let k = _mm512_castsi512_pd(_mm512_or_si512(shifted, _mm512_set1_epi64(TWO_52 as i64)));
                let m = _mm512_add_epi64(_mm512_sub_epi64(x, _mm512_slli_epi64::<52>(shifted)), bias);
                (Self(_mm512_sub_pd(k, _mm512_set1_pd(SPLIT_OFFSET))), Self(_mm512_castsi512_pd(m)))
            }
        }
    }

    #[derive(Debug, Clone, Copy)]
    pub struct Avx2(__m256d, __m256d);
    #[derive(Debug, Clone, Copy)]
    pub struct Avx2Mask(__m256d, __m256d);

    impl Mask for Avx2Mask {
        #[inline(always)]
        fn and(self, other: Self) -> Self {
            unsafe { Self(_mm256_and_pd(self.0, other.0), _mm256_and_pd(self.1, other.1)) }
        }
        #[inline(always)]
        fn or(self, other: Self) -> Self {
            unsafe { Self(_mm256_or_pd(self.0, other.0), _mm256_or_pd(self.1, other.1)) }
        }
        #[inline(always)]
        fn not(self) -> Self {
            unsafe {
                let ones = _mm256_castsi256_pd(_mm256_set1_epi64x(-1));
                Self(_mm256_xor_pd(self.0, ones), _mm256_xor_pd(self.1, ones))
            }
        }
        #[inline(always)]
        fn any(self) -> bool {
            unsafe { (_mm256_movemask_pd(self.0) | _mm256_movemask_pd(self.1)) != 0 }
        }
        #[inline(always)]
        fn all(self) -> bool {
            unsafe { (_mm256_movemask_pd(self.0) & _mm256_movemask_pd(self.1)) == 0xf }
        }
    }

    impl Neg for Avx2 {
        type Output = Self;
        #[inline(always)]
        fn neg(self) -> Self {
            unsafe {
                let sign = _mm256_set1_pd(-0.0);
                Self(_mm256_xor_pd(self.0, sign), _mm256_xor_pd(self.1, sign))
            }
        }
    }

    #[inline(always)]
    unsafe fn split_half(x: __m256d) -> (__m256d, __m256d) {
        unsafe {
            let x = _mm256_castpd_si256(x);
            let bias = _mm256_set1_epi64x(1023 << 52);
            let shifted = _mm256_srli_epi64::<52>(_mm256_add_epi64(
                _mm256_sub_epi64(x, _mm256_set1_epi64x(ROOT_HALF as i64)),
                bias,
            ));
            let k = _mm256_castsi256_pd(_mm256_or_si256(shifted, _mm256_set1_epi64x(TWO_52 as i64)));
            let m = _mm256_add_epi64(_mm256_sub_epi64(x, _mm256_slli_epi64::<52>(shifted)), bias);
            (_mm256_sub_pd(k, _mm256_set1_pd(SPLIT_OFFSET)), _mm256_castsi256_pd(m))
        }
    }

    #[inline(always)]
    unsafe fn scale_half(x: __m256d, steps: __m256d) -> __m256d {
        unsafe {
            let shift = _mm256_slli_epi64::<52>(_mm256_castpd_si256(steps));
            _mm256_castsi256_pd(_mm256_add_epi64(_mm256_castpd_si256(x), shift))
        }
    }

    impl Real for Avx2 {
        type Mask = Avx2Mask;
        const LANES: usize = super::LANES;

        #[inline(always)]
        fn splat(value: f64) -> Self {
            unsafe { Self(_mm256_set1_pd(value), _mm256_set1_pd(value)) }
        }
        #[inline(always)]
        fn load(from: &[f64]) -> Self {
            let from = &from[..LANES];
            unsafe { Self(_mm256_loadu_pd(from.as_ptr()), _mm256_loadu_pd(from.as_ptr().add(4))) }
        }
        #[inline(always)]
        fn store(self, to: &mut [f64]) {
            let to = &mut to[..LANES];
            unsafe {
                _mm256_storeu_pd(to.as_mut_ptr(), self.0);
                _mm256_storeu_pd(to.as_mut_ptr().add(4), self.1);
            }
        }
        #[inline(always)]
        fn lt(self, other: Self) -> Avx2Mask {
            unsafe {
                Avx2Mask(_mm256_cmp_pd::<_CMP_LT_OQ>(self.0, other.0), _mm256_cmp_pd::<_CMP_LT_OQ>(self.1, other.1))
            }
        }
        #[inline(always)]
        fn le(self, other: Self) -> Avx2Mask {
            unsafe {
                Avx2Mask(_mm256_cmp_pd::<_CMP_LE_OQ>(self.0, other.0), _mm256_cmp_pd::<_CMP_LE_OQ>(self.1, other.1))
            }
        }
        #[inline(always)]
        fn select(mask: Avx2Mask, yes: Self, no: Self) -> Self {
            unsafe { Self(_mm256_blendv_pd(no.0, yes.0, mask.0), _mm256_blendv_pd(no.1, yes.1, mask.1)) }
        }
        #[inline(always)]
        fn sqrt(self) -> Self {
            unsafe { Self(_mm256_sqrt_pd(self.0), _mm256_sqrt_pd(self.1)) }
        }
        #[inline(always)]
        fn min(self, other: Self) -> Self {
            unsafe { Self(_mm256_min_pd(self.0, other.0), _mm256_min_pd(self.1, other.1)) }
        }
        #[inline(always)]
        fn max(self, other: Self) -> Self {
            unsafe { Self(_mm256_max_pd(self.0, other.0), _mm256_max_pd(self.1, other.1)) }
        }
        #[inline(always)]
        fn abs(self) -> Self {
            unsafe {
                let sign = _mm256_set1_pd(-0.0);
                Self(_mm256_andnot_pd(sign, self.0), _mm256_andnot_pd(sign, self.1))
            }
        }
        #[inline(always)]
        fn scale_by_steps(self, steps: Self) -> Self {
            unsafe { Self(scale_half(self.0, steps.0), scale_half(self.1, steps.1)) }
        }
        #[inline(always)]
        fn split(self) -> (Self, Self) {
            unsafe {
                let (k0, m0) = split_half(self.0);
                let (k1, m1) = split_half(self.1);
                (Self(k0, k1), Self(m0, m1))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All operations on two numbers.
    #[inline(always)]
    fn outcomes<R: Real>(x: R, y: R) -> [R; 13] {
        [
            x + y,
            x - y,
            x * y,
            x / y,
            -x,
            x.min(y),
            x.max(y),
            (x - y).abs(),
            y.sqrt(),
            x.exp(),
            y.ln(),
            y.pow(x * R::splat(0.1)),
            R::select(x.lt(y).and(x.le(R::splat(0.0)).not()), x, y),
        ]
    }

    struct Try<'a>(&'a [f64; LANES], &'a [f64; LANES]);

    impl Kernel for Try<'_> {
        type Output = Vec<[f64; LANES]>;
        #[inline(always)]
        fn run<R: Real>(self) -> Self::Output {
            outcomes(R::load(self.0), R::load(self.1))
                .map(|v| {
                    let mut lanes = [0.0; LANES];
                    v.store(&mut lanes);
                    lanes
                })
                .to_vec()
        }
    }

    struct TryBlock<'a>(&'a [f64; WIDTH], &'a [f64; WIDTH], Vec<[f64; WIDTH]>);

    impl BlockKernel for TryBlock<'_> {
        #[inline(always)]
        fn run<R: Real>(&mut self, from: usize) {
            for (slot, value) in self.2.iter_mut().zip(outcomes(R::load(&self.0[from..]), R::load(&self.1[from..]))) {
                value.store(&mut slot[from..]);
            }
        }
    }

    /// Sixteen at once give the bits of eight at a time; a group at rest is left alone.
    #[test]
    fn blocks_are_bit_identical_to_their_halves() {
        let mut stream = crate::random::Stream::new(11);
        for _ in 0..500 {
            let x: [f64; WIDTH] = std::array::from_fn(|_| (stream.uniform() - 0.5) * 60.0);
            let y: [f64; WIDTH] = std::array::from_fn(|_| stream.uniform() * 50.0 + 1e-9);
            for set in InstructionSet::available() {
                let on = |busy| {
                    let mut work = TryBlock(&x, &y, vec![[7.0; WIDTH]; 13]);
                    dispatch_block(set, busy, &mut work);
                    work.2
                };
                let (whole, low, high) = (on([true, true]), on([true, false]), on([false, true]));
                for ((whole, low), high) in whole.iter().zip(&low).zip(&high) {
                    let bits = |from: &[f64]| from.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
                    assert_eq!(bits(&whole[..LANES]), bits(&low[..LANES]), "{set:?}");
                    assert_eq!(bits(&whole[LANES..]), bits(&high[LANES..]), "{set:?}");
                    assert_eq!((low[LANES..].to_vec(), high[..LANES].to_vec()), (vec![7.0; LANES], vec![7.0; LANES]));
                }
            }
        }
    }

    /// Every lane of every instruction set gives the bits of plain `f64`.
    #[test]
    fn lanes_are_bit_identical_to_single_numbers() {
        let mut stream = crate::random::Stream::new(7);
        for _ in 0..2000 {
            let x: [f64; LANES] = std::array::from_fn(|_| (stream.uniform() - 0.5) * 60.0);
            let y: [f64; LANES] = std::array::from_fn(|_| stream.uniform() * 50.0 + 1e-9);
            let single: Vec<Vec<[f64; LANES]>> =
                (0..LANES).map(|i| dispatch(InstructionSet::Baseline, Try(&[x[i]; LANES], &[y[i]; LANES]))).collect();
            for set in InstructionSet::available() {
                let together = dispatch(set, Try(&x, &y));
                for (operation, lanes) in together.iter().enumerate() {
                    for lane in 0..LANES {
                        assert_eq!(
                            lanes[lane].to_bits(),
                            single[lane][operation][0].to_bits(),
                            "{set:?}, operation {operation}, lane {lane}"
                        );
                    }
                }
            }
            assert_eq!(Real::exp(x[0]).to_bits(), single[0][9][0].to_bits());
            assert_eq!(Real::ln(y[0]).to_bits(), single[0][10][0].to_bits());
        }
    }
}
