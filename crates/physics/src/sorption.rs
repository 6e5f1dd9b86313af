//! The heat that binds water to grain, as a state function of moisture alone.
//!
//! The isotherm's own heat of sorption changes with temperature so strongly that drying cold and rewetting warm would not
//! return the energy spent. So the grain's enthalpy per kg of dry matter is H(M, T) = (c_d + c_w M) T − Γ(M), liquid water
//! at 0 °C as datum, where Γ is the integral of the net heat of sorption at one temperature. Water leaving grain at moisture
//! M then costs the latent heat of free water plus Γ′(M), whatever the path.

use crate::{air, isotherm::IsothermForm};
use numerics::Real;

/// Number of terms of the fit.
const TERMS: usize = 5;
/// Decay of the first term, per unit dry basis: chosen so that the five terms span 2 to 50 % d.b.
const DECAY: f64 = 6.0;
/// Moisture range of the fit, fraction dry basis. Below it Γ′ is held by the form itself.
const FIT_RANGE: (f64, f64) = (0.03, 0.60);

/// Γ′(M) = Σ c_j u^j with u = exp(−6 M), j = 1 to 5, J/kg of water; Γ its integral from M = 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SorptionHeat {
    coefficients: [f64; TERMS],
    /// Largest difference between the fit and the isotherm's heat at the stated temperature over 5 to 40 % d.b., J/kg.
    pub misfit: f64,
    /// Temperature at which the isotherm was read, °C.
    pub temperature: f64,
}

impl SorptionHeat {
    /// No sorption heat: the latent heat of free water alone.
    pub const NONE: Self = Self { coefficients: [0.0; TERMS], misfit: 0.0, temperature: 0.0 };

    /// Fits the net heat of an isotherm at one temperature by least squares.
    ///
    /// Net heat of the isotherm: R_w T² (∂ ln h/∂T)_M (Clausius–Clapeyron at constant moisture).
    pub fn of(form: &IsothermForm, temperature: f64) -> Self {
        let tk = temperature + air::ZERO_CELSIUS_K;
        let net = |m: f64| air::GAS_CONSTANT_VAPOUR * tk * tk * form.log_humidity_slope(m, temperature);
        let mut normal = [[0.0; TERMS + 1]; TERMS];
        let steps = 200;
        for i in 0..=steps {
            let m = FIT_RANGE.0 + (FIT_RANGE.1 - FIT_RANGE.0) * f64::from(i) / f64::from(steps);
            let row = powers((-DECAY * m).exp());
            for (r, line) in normal.iter_mut().enumerate() {
                for (c, cell) in line.iter_mut().take(TERMS).enumerate() {
                    *cell += row[r] * row[c];
                }
                line[TERMS] += row[r] * net(m);
            }
        }
        // A trace of ridge keeps the nearly dependent terms tame without moving the fit by a J/kg.
        for (r, line) in normal.iter_mut().enumerate() {
            line[r] *= 1.0 + 1e-9;
        }
        let mut fit = Self { coefficients: eliminate(normal), misfit: 0.0, temperature };
        fit.misfit =
            (5..=40).map(|p| (fit.net(f64::from(p) / 100.0) - net(f64::from(p) / 100.0)).abs()).fold(0.0, f64::max);
        fit
    }

    /// Net heat of sorption Γ′(M), J/kg of water.
    pub fn net(&self, m: f64) -> f64 {
        self.terms().both(m).1
    }

    /// The coefficients c_1 to c_5, J/kg of water.
    pub fn coefficients(&self) -> [f64; TERMS] {
        self.coefficients
    }

    /// The fit, ready for any width of number.
    #[inline(always)]
    pub fn terms<R: Real>(&self) -> SorptionTerms<R> {
        SorptionTerms { c: self.coefficients.map(R::splat) }
    }
}

/// Coefficients spread over lanes.
#[derive(Debug, Clone, Copy)]
pub struct SorptionTerms<R> {
    c: [R; TERMS],
}

impl<R: Real> SorptionTerms<R> {
    /// Terms whose coefficients differ by lane: row j holds coefficient j of each lane, of which those from `from` on are
    /// taken.
    #[inline(always)]
    pub fn load<const W: usize>(rows: &[[f64; W]; TERMS], from: usize) -> Self {
        let row = |j: usize| R::load(&rows[j][from..]);
        Self { c: [row(0), row(1), row(2), row(3), row(4)] }
    }

    /// Γ(M) in J/kg of dry matter and Γ′(M) in J/kg of water.
    #[inline(always)]
    pub fn both(&self, m: R) -> (R, R) {
        let u = (R::splat(-DECAY) * m).exp();
        let mut net = R::splat(0.0);
        let mut whole = R::splat(0.0);
        let mut at_zero = R::splat(0.0);
        for j in (0..TERMS).rev() {
            let share = R::splat(1.0 / (DECAY * (j + 1) as f64));
            net = (net + self.c[j]) * u;
            whole = (whole + self.c[j] * share) * u;
            at_zero = at_zero + self.c[j] * share;
        }
        (at_zero - whole, net)
    }
}

fn powers(u: f64) -> [f64; TERMS] {
    std::array::from_fn(|j| u.powi(j as i32 + 1))
}

/// Solves the small normal system by elimination with row exchange.
fn eliminate(mut a: [[f64; TERMS + 1]; TERMS]) -> [f64; TERMS] {
    for i in 0..TERMS {
        let best = (i..TERMS).max_by(|&p, &q| a[p][i].abs().total_cmp(&a[q][i].abs())).unwrap_or(i);
        a.swap(i, best);
        for r in i + 1..TERMS {
            let factor = a[r][i] / a[i][i];
            let pivot = a[i];
            for (cell, above) in a[r].iter_mut().zip(pivot).skip(i) {
                *cell -= factor * above;
            }
        }
    }
    let mut x = [0.0; TERMS];
    for i in (0..TERMS).rev() {
        x[i] = (a[i][TERMS] - (i + 1..TERMS).map(|c| a[i][c] * x[c]).sum::<f64>()) / a[i][i];
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fit_follows_the_isotherms_heat_and_is_its_own_derivative() {
        for form in [
            IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 },
            IsothermForm::ModifiedChungPfost { a: 312.40, b: 0.16958, c: 30.205 },
            IsothermForm::ModifiedHalsey { a: 2.87, b: -0.0054, c: 1.38 },
            IsothermForm::ModifiedOswin { a: 15.303, b: -0.10164, c: 3.0358 },
        ] {
            let heat = SorptionHeat::of(&form, 20.0);
            // 1 % of the latent heat: far below the spread between published isotherms (up to 10 % there).
            assert!(heat.misfit < 25_000.0, "{form:?} misfit {}", heat.misfit);
            let terms = heat.terms::<f64>();
            for m in [0.08, 0.15, 0.25, 0.35] {
                let slope = (terms.both(m + 1e-6).0 - terms.both(m - 1e-6).0) / 2e-6;
                assert!((slope - terms.both(m).1).abs() < 1.0 + 1e-6 * slope.abs());
            }
        }
    }
}
