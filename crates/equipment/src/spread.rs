//! The price of a floor that is not perforated all over: air crowds where it enters and spreads on its way up.
//!
//! Closed forms of linear flow, made to hold for grain's own law by taking that law at the crowded velocities. They say what the
//! crowding costs, not who gets how much: corners beside a pad and the grain between ducts stay poor in air.

use numerics::Real;
use physics::spreading::{disc_in_bin, duct_row_sideways};
use std::f64::consts::PI;

/// Places at which the law of the grain is taken on the way out of a duct.
const SHELLS: usize = 4;

/// Crowding as shells: each as a layer of grain of some depth that is passed at a multiple of the level bed's velocity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Multiple of the bed's velocity, and depth in m; shells not needed have no depth.
    pub shells: [(f64, f64); SHELLS],
}

/// Radius of a pad over that of its bin below which [`Spread::pad`] says too little air.
pub const LEAST_PAD: f64 = 0.45;

impl Spread {
    /// A perforated disc of a `radius` in the middle of a closed floor of a bin of `bin_radius`, m; `sideways` is the horizontal
    /// resistance of the grain over the vertical one.
    ///
    /// ΔH = (√k π b²/(4 a)) (1 − a/b)^1.5 of linear flow ([`disc_in_bin`]), its law taken at the velocity of the disc: within 1 % of the
    /// solved 0.860 of the flow of a full floor (0.7 of the radius, 6 m of corn, 11 m across; derived).
    ///
    /// # Validity
    /// Depth of grain at least about the radius of the bin; `radius` from [`LEAST_PAD`] of `bin_radius`: within 2 % of the flow solved by
    /// finite volumes from half of the radius on, 11 % low at 0.3 of it (docs/validation.md).
    pub fn pad(radius: f64, bin_radius: f64, sideways: f64) -> Self {
        let share = (radius / bin_radius).powi(2);
        let mut shells = [(1.0, 0.0); SHELLS];
        shells[0] = (1.0 / share, share * disc_in_bin(radius, bin_radius, sideways));
        Self { shells }
    }

    /// A row of half-buried ducts of a `radius`, `spacing` apart (m), on a closed floor.
    ///
    /// Between the duct and the level flow the law is taken at four radii (Gauss–Legendre in the logarithm of the radius), so
    /// that linear flow gives [`duct_row_sideways`] exactly.
    ///
    /// # Validity
    /// Depth at least the spacing, radius well below it; see [`duct_row_sideways`].
    pub fn ducts(radius: f64, spacing: f64, sideways: f64) -> Self {
        const NODES: [(f64, f64); SHELLS] = [
            (-0.861_136_311_594_052_6, 0.347_854_845_137_453_86),
            (-0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
            (0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
            (0.861_136_311_594_052_6, 0.347_854_845_137_453_86),
        ];
        let root = sideways.sqrt();
        let (stretched, inner) = (spacing * root, 0.5 * radius * (1.0 + root));
        let outer = stretched / (2.0 * PI);
        if inner >= outer {
            return Self { shells: [(1.0, 0.0); SHELLS] };
        }
        let half = 0.5 * (outer / inner).ln();
        let shells = NODES.map(|(x, weight)| {
            let r = (inner * outer).sqrt() * (x * half).exp();
            (stretched / (PI * r), weight * half * r)
        });
        debug_assert!({
            let linear: f64 = shells.iter().map(|(times, depth)| times * depth).sum();
            let closed = spacing * (duct_row_sideways(spacing, spacing, radius, sideways) - 1.0);
            (linear - closed).abs() < 1e-9 * spacing
        });
        Self { shells }
    }

    /// The depth of level grain that loses as much in linear flow, m.
    pub fn linear_depth(&self) -> f64 {
        self.shells.iter().map(|(times, depth)| times * depth).sum()
    }

    /// Pressure gradient of the shells together, Pa, for a law that gives gradient and local exponent at a velocity; each is
    /// corrected for the state of the air as the level bed is.
    #[inline]
    pub(crate) fn pressure(&self, velocity: f64, log_kinematic: f64, law: impl Fn(f64) -> (f64, f64)) -> f64 {
        let mut sum = 0.0;
        for (times, depth) in self.shells.into_iter().filter(|(_, depth)| *depth > 0.0) {
            let (gradient, n) = law(times * velocity);
            sum += depth * gradient * Real::exp((2.0 - n) * log_kinematic);
        }
        sum
    }

    /// Whether its figures can be.
    pub(crate) fn is_possible(&self) -> bool {
        self.shells.iter().all(|&(times, depth)| times > 0.0 && times < 1e4 && (0.0..1e3).contains(&depth))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::resistance::LogLaw;
    use proptest::prelude::*;

    const CORN: LogLaw = LogLaw { a: 2.07e4, b: 30.4 };

    fn corn(v: f64) -> (f64, f64) {
        (CORN.gradient(v), CORN.exponent(v))
    }

    proptest! {
        /// Linear flow is met exactly, and grain whose resistance rises faster than its airflow asks for more.
        #[test]
        fn ducts_meet_the_closed_form(s in 1.0..4.0f64, share in 0.03..0.1f64, k in 0.45..1.0f64, v in 0.002..0.1f64) {
            let spread = Spread::ducts(share * s, s, k);
            let closed = s * (duct_row_sideways(s, s, share * s, k) - 1.0);
            prop_assert!((spread.linear_depth() / closed - 1.0).abs() < 1e-9);
            prop_assert!(spread.pressure(v, 0.0, corn) > closed * CORN.gradient(v));
        }

        #[test]
        fn a_larger_pad_costs_less(share in 0.3..0.95f64, k in 0.45..1.0f64) {
            let (small, large) = (Spread::pad(share * 5.0, 5.0, k), Spread::pad(1.03 * share * 5.0, 5.0, k));
            prop_assert!(small.linear_depth() > large.linear_depth());
            prop_assert!(Spread::pad(5.0, 5.0, k).linear_depth().abs() < 1e-12);
        }
    }

    /// A benchmark by finite elements (derived, ± 0.002): a disc of 0.7 of the radius under 6 m of corn × 1.5 at
    /// 1000 Pa passes 0.860 of a full floor, in grain alike in all directions. One per cent is allowed to a closed form.
    #[test]
    fn a_disc_passes_what_was_solved() {
        let radius = 18.0 * 0.3048;
        let spread = Spread::pad(0.7 * radius, radius, 1.0);
        let flow = |extra: bool| {
            let lost =
                |v: f64| 1.5 * (6.0 * CORN.gradient(v) + if extra { spread.pressure(v, 0.0, corn) } else { 0.0 });
            numerics::root::brent(|v| lost(v) - 1000.0, 1e-6, 1.0, 1e-12).expect("a balance")
        };
        let share = flow(true) / flow(false);
        assert!((share - 0.860).abs() < 0.01, "{share}");
    }

    /// The shells are the integral of the law along the radius.
    #[test]
    fn four_radii_are_enough() {
        let (r, s, v) = (0.15, 2.0, 0.05);
        let outer = s / (2.0 * PI);
        let steps = 40_000;
        let dr = (outer - r) / f64::from(steps);
        let whole: f64 = (0..steps).map(|i| CORN.gradient(v * s / (PI * (r + (f64::from(i) + 0.5) * dr))) * dr).sum();
        assert!((Spread::ducts(r, s, 1.0).pressure(v, 0.0, corn) / whole - 1.0).abs() < 1e-4);
    }
}
