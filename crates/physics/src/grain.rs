//! Grain in bulk: densities, heat capacity, conductivity, porosity, shrink and heaps, as forms that data files fill.

use crate::{air::SPECIFIC_HEAT_WATER, error::DomainError};
use notice::Range;
use numerics::Real;

/// A property as a polynomial of moisture (fraction wet basis): c0 + c1 m + c2 m² + c3 m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoisturePolynomial {
    /// Coefficients in rising order, SI, for moisture as a fraction.
    pub coefficients: [f64; 4],
    /// Moisture range of the evidence, fraction wet basis.
    pub range: Range,
}

impl MoisturePolynomial {
    /// A polynomial published for moisture as a fraction.
    pub const fn new(coefficients: [f64; 4], range: Range) -> Self {
        Self { coefficients, range }
    }

    /// A polynomial published for moisture in percent; `range` as fractions.
    pub const fn for_percent(c: [f64; 4], range: Range) -> Self {
        Self { coefficients: [c[0], c[1] * 1e2, c[2] * 1e4, c[3] * 1e6], range }
    }

    /// A constant.
    pub const fn constant(value: f64, range: Range) -> Self {
        Self { coefficients: [value, 0.0, 0.0, 0.0], range }
    }

    /// Returns the property at a moisture (fraction wet basis); outside the range it is the polynomial's own continuation.
    #[inline(always)]
    pub fn at<R: Real>(&self, m: R) -> R {
        let [c0, c1, c2, c3] = self.coefficients.map(R::splat);
        c0 + m * (c1 + m * (c2 + m * c3))
    }
}

/// Returns moisture as a fraction dry basis from a fraction wet basis below 1.
#[inline(always)]
pub fn dry_basis<R: Real>(wet_basis: R) -> R {
    wet_basis / (R::splat(1.0) - wet_basis)
}

/// Returns moisture as a fraction wet basis from a fraction dry basis.
#[inline(always)]
pub fn wet_basis<R: Real>(dry_basis: R) -> R {
    dry_basis / (R::splat(1.0) + dry_basis)
}

/// Returns porosity from bulk and kernel density: 1 − bulk/kernel.
#[inline(always)]
pub fn porosity<R: Real>(bulk_density: R, kernel_density: R) -> R {
    R::splat(1.0) - bulk_density / kernel_density
}

/// Returns kg of dry matter per m³ of bed from bulk density and moisture (fraction wet basis).
#[inline(always)]
pub fn dry_matter_density<R: Real>(bulk_density: R, wet_basis: R) -> R {
    bulk_density * (R::splat(1.0) - wet_basis)
}

/// The specific heat of dry matter that makes c_d + c_w M follow a published line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrySpecificHeat {
    /// Specific heat of the dry matter, J/(kg K).
    pub value: f64,
    /// Largest relative difference between (c_d + c_w M)/(1 + M) and the line over the range.
    pub misfit: f64,
    /// Moisture at which both agree, fraction wet basis.
    pub fitted_at: f64,
}

/// Returns the specific heat of dry matter c_d that agrees with a line of specific heat (J per kg of moist grain and K) at
/// the middle of a moisture range (fractions wet basis).
///
/// The bed's grain enthalpy is (c_d + c_w M) T − Γ(M) per kg of dry matter: additive in dry matter and liquid water. The
/// published lines are steeper in moisture than that, so they can be met at one moisture only; how far they part is said.
pub fn dry_specific_heat(line: &MoisturePolynomial, range: Range) -> DrySpecificHeat {
    let fitted_at = 0.5 * (range.low + range.high);
    let value = (line.at(fitted_at) - SPECIFIC_HEAT_WATER * fitted_at) / (1.0 - fitted_at);
    // On a per-moist-kg basis: c = (1 − m) c_d + m c_w.
    let parts = |m: f64| (((1.0 - m) * value + m * SPECIFIC_HEAT_WATER) / line.at(m) - 1.0).abs();
    let misfit =
        (0..=40).map(|i| parts(range.low + (range.high - range.low) * f64::from(i) / 40.0)).fold(0.0, f64::max);
    DrySpecificHeat { value, misfit, fitted_at }
}

/// How a bed loses volume as it dries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shrink {
    /// Depth stays as filled.
    None,
    /// Depth falls by a share of itself for each point of moisture (wet basis) lost in place: 0.014 by default, 0 to 0.026.
    PerPoint(f64),
}

impl Shrink {
    /// The default: 1.4 % of the depth for each point, as kernels shrink by the water they lose (computed from kernel
    /// densities; no measured bin value was found).
    pub const DEFAULT: Self = Self::PerPoint(0.014);

    /// Returns depth over depth as filled when moisture (fraction wet basis) has gone from `initial` to `present`.
    #[inline(always)]
    pub fn depth_ratio<R: Real>(&self, initial: R, present: R) -> R {
        match self {
            Self::None => R::splat(1.0),
            Self::PerPoint(share) => (R::splat(1.0) - R::splat(100.0 * share) * (initial - present)).max(R::splat(0.2)),
        }
    }
}

/// Returns the volume after over the volume before when dry matter is kept and the bulk densities are known:
/// ρ1 (1 − m1)/(ρ2 (1 − m2)). For grain that was moved between; a bed that dries in place shrinks less.
pub fn poured_volume_ratio(density_before: f64, before: f64, density_after: f64, after: f64) -> f64 {
    density_before * (1.0 - before) / (density_after * (1.0 - after))
}

/// Returns the share of the initial mass lost as water when drying from one moisture to another (fractions wet basis).
///
/// # Errors
/// [`DomainError`] for a moisture outside 0 to 0.95.
///
/// ```
/// // Corn 25 % to 15.5 % loses 11.24 % (South Dakota State).
/// let shrink = physics::grain::water_shrink(0.25, 0.155)?;
/// assert!((shrink - 0.1124).abs() < 5e-5);
/// # Ok::<(), physics::DomainError>(())
/// ```
pub fn water_shrink(initial: f64, last: f64) -> Result<f64, DomainError> {
    DomainError::check("initial moisture (wet basis)", initial, 0.0, 0.95, "kg/kg")?;
    DomainError::check("final moisture (wet basis)", last, 0.0, 0.95, "kg/kg")?;
    Ok((initial - last) / (1.0 - last))
}

/// Returns the volume of a heap on a round bin, m³: π D³ tan(angle)/24.
///
/// `diameter` m, `angle` of repose in degrees (filling angle for a heap, emptying angle for a cone drawn down).
pub fn cone_volume(diameter: f64, angle: f64) -> f64 {
    std::f64::consts::PI * diameter.powi(3) * angle.to_radians().tan() / 24.0
}

/// Returns the height of that heap, m.
pub fn cone_height(diameter: f64, angle: f64) -> f64 {
    0.5 * diameter * angle.to_radians().tan()
}

#[cfg(test)]
mod tests {
    use super::*;

    const RANGE: Range = Range::new(0.10, 0.30);

    /// Values printed beside the published lines.
    #[test]
    fn stated_values() {
        let bulk = MoisturePolynomial::new([1086.3, -2971.0, 4810.0, 0.0], RANGE);
        assert!((bulk.at(0.155) - 741.4f64).abs() < 0.06);
        let nelson = MoisturePolynomial::for_percent([682.9, 14.22, -0.9843, 0.01548], RANGE);
        let kernel = MoisturePolynomial::for_percent([1251.9, 7.14, -0.5971, 0.01088], RANGE);
        assert!((porosity(nelson.at(0.155), kernel.at(0.155)) - 0.425f64).abs() < 6e-4);
        assert!((porosity(nelson.at(0.25), kernel.at(0.25)) - 0.458f64).abs() < 6e-4);
        // Bed shrink of the text, corn 25 to 15.5 % 0.815 and 20 to 15 % 0.903 by the Nelson line.
        let ratio = |a: f64, b: f64| poured_volume_ratio(nelson.at(a), a, nelson.at(b), b);
        assert!((ratio(0.25, 0.155) - 0.815).abs() < 6e-4, "{}", ratio(0.25, 0.155));
        assert!((ratio(0.20, 0.15) - 0.903).abs() < 6e-4, "{}", ratio(0.20, 0.15));
        assert!((dry_basis(0.155) - 0.18343f64).abs() < 5e-6);
    }

    /// Corn: the additive form meets the published line in the middle and stays within the misfit it states.
    #[test]
    fn dry_specific_heat_states_its_misfit() {
        let line = MoisturePolynomial::for_percent([1465.0, 35.6, 0.0, 0.0], Range::new(0.009, 0.302));
        let dry = dry_specific_heat(&line, Range::new(0.12, 0.24));
        let additive = |m: f64| (1.0 - m) * dry.value + m * SPECIFIC_HEAT_WATER;
        assert!((additive(0.18) - line.at(0.18)).abs() < 1e-9);
        let worst = [0.12, 0.24f64].map(|m| (additive(m) / line.at(m) - 1.0).abs());
        // A parabola's difference from a line, zero in the middle: the worst stands at an end.
        assert!((worst[0].max(worst[1]) - dry.misfit).abs() < 1e-12, "{dry:?} {worst:?}");
    }
}
