//! How fast a kernel gives or takes water: the two-compartment kernel of production. The published thin-layer laws stand
//! in [`crate::thin_layer`].

use crate::air::ZERO_CELSIUS_K;
use numerics::Real;

pub use crate::thin_layer::ThinLayer;

/// ln rate = ln_a − b/T with T in K; rates in 1/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrhenius {
    /// Logarithm of the rate at infinite temperature.
    pub ln_a: f64,
    /// Activation temperature, K.
    pub b: f64,
}

impl Arrhenius {
    /// Returns the rate at a temperature (°C), 1/s.
    #[inline(always)]
    pub fn rate<R: Real>(&self, t: R) -> R {
        (R::splat(self.ln_a) - R::splat(self.b) / (t + R::splat(ZERO_CELSIUS_K))).exp()
    }

    /// The law through two rates (1/s) at two different temperatures (°C).
    pub fn through(cold: (f64, f64), warm: (f64, f64)) -> Self {
        let (inverse_cold, inverse_warm) = (1.0 / (cold.0 + ZERO_CELSIUS_K), 1.0 / (warm.0 + ZERO_CELSIUS_K));
        let b = (warm.1 / cold.1).ln() / (inverse_cold - inverse_warm);
        Self { ln_a: cold.1.ln() + b * inverse_cold, b }
    }
}

/// A kernel of two compartments: a shell that meets the air and a core that feeds the shell.
///
/// Per kg of dry matter, with s the shell's share: s dMs/dt = −s k_s (Ms − Me) + (1−s) k_c (Mc − Ms),
/// dMc/dt = −k_c (Mc − Ms). An autonomous rate of the state: any history of air, mixing or frost is admissible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoCompartment {
    /// Share of the dry matter in the shell.
    pub shell_share: f64,
    /// Rate between shell and air, per kg of shell.
    pub shell: Arrhenius,
    /// Rate between core and shell, per kg of core.
    pub core: Arrhenius,
}

impl TwoCompartment {
    /// Returns (shell, core) after a time in constant air as fractions of the way still to go, both 1 at the start.
    ///
    /// The closed form of the two equations: two exponentials whose rates are the eigenvalues of the system.
    pub fn step_response(&self, t: f64, seconds: f64) -> (f64, f64) {
        let (ks, kc) = (self.shell.rate(t), self.core.rate(t));
        let ratio = (1.0 - self.shell_share) / self.shell_share;
        let sum = ks + kc + ratio * kc;
        let root = (sum * sum - 4.0 * ks * kc).max(0.0).sqrt();
        // The slow rate as a quotient: the difference of nearly equal numbers would lose its digits.
        let (slow, fast) = (2.0 * ks * kc / (sum + root), 0.5 * (sum + root));
        let (e_slow, e_fast) = ((-slow * seconds).exp(), (-fast * seconds).exp());
        // The core starts flat (its rate is zero while shell and core are alike); the shell follows from the core's rate.
        let gap = fast - slow;
        if gap <= 1e-12 * fast {
            let e = e_slow * (1.0 + slow * seconds);
            return (e - slow * slow * seconds * e_slow / kc, e);
        }
        let core = (fast * e_slow - slow * e_fast) / gap;
        let core_rate = slow * fast * (e_fast - e_slow) / gap;
        (core + core_rate / kc, core)
    }

    /// Returns the moisture ratio (M − Me)/(M0 − Me) of the whole kernel after a time in constant air.
    pub fn moisture_ratio(&self, t: f64, seconds: f64) -> f64 {
        let (shell, core) = self.step_response(t, seconds);
        self.shell_share * shell + (1.0 - self.shell_share) * core
    }
}
