//! Pressure lost in perforated sheet: a floor that carries grain, and a bare sheet.

use crate::error::DomainError;
use numerics::Real;

/// Least share of open area that drying floors are built with (rule of the trade, from memory).
pub const USUAL_OPENING: f64 = 0.10;

/// Returns the pressure lost in a perforated floor under grain, Pa: 1.071 (Q/(e O))².
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | Q | `velocity`, of the empty cross-section | m/s |
/// | e | `porosity` of the grain | fraction |
/// | O | `opening`: open share of the sheet | fraction |
///
/// It equals an orifice of coefficient 0.75 whose holes are masked to the share e. Check: 6.7 Pa at 0.10 m/s, e 0.40, O 10 %.
///
/// # Validity
/// Clean holes: fines that plug them are the usual cause of a floor that loses far more.
///
/// # Source
/// ASAE D272.3 (memory).
#[inline(always)]
pub fn floor_under_grain<R: Real>(velocity: R, porosity: R, opening: R) -> R {
    let through = velocity / (porosity * opening);
    R::splat(1.071) * through * through
}

/// Returns how many times a floor loses when a share of its holes is plugged by fines: 1/(1 − plugged)².
///
/// The holes left carry the same air, and every loss here goes with the square of their velocity. None of the air is left
/// when all are plugged.
#[inline(always)]
pub fn plugging_multiplier<R: Real>(plugged: R) -> R {
    let left = R::splat(1.0) - plugged;
    R::splat(1.0) / (left * left)
}

/// Returns the share of holes plugged that explains a measured loss over the loss of a clean floor; 0 when it is no higher.
#[inline(always)]
pub fn plugged_share(measured_over_clean: f64) -> f64 {
    if measured_over_clean <= 1.0 { 0.0 } else { 1.0 - (1.0 / measured_over_clean).sqrt() }
}

/// Returns the pressure lost in a bare thin sheet, Pa: (ρ v²/2) [(0.707 √(1−O) + 1 − O)/O]².
///
/// `velocity` m/s ahead of the sheet, `opening` the open share, `density` of the air kg/m³. Check: 1.5 Pa at 0.10 m/s, 10 %.
///
/// # Source
/// Idelchik, Handbook of Hydraulic Resistance (memory).
#[inline(always)]
pub fn bare_sheet<R: Real>(velocity: R, opening: R, density: R) -> R {
    let c = R::splat;
    let closed = c(1.0) - opening;
    let ratio = (c(0.707) * closed.sqrt() + closed) / opening;
    c(0.5) * density * velocity * velocity * ratio * ratio
}

/// Returns [`floor_under_grain`] for untrusted numbers.
///
/// # Errors
/// [`DomainError`] for a velocity outside 0 to 100 m/s, or a porosity or opening outside 0.001 to 1.
pub fn checked_floor_under_grain(velocity: f64, porosity: f64, opening: f64) -> Result<f64, DomainError> {
    DomainError::check("air velocity", velocity, 0.0, 100.0, "m/s")?;
    DomainError::check("porosity", porosity, 1e-3, 1.0, "1")?;
    DomainError::check("open area of the floor", opening, 1e-3, 1.0, "1")?;
    Ok(floor_under_grain(velocity, porosity, opening))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values printed in the reference for 0.10 m/s.
    #[test]
    fn stated_values() {
        for (opening, pa, tolerance) in [(0.10, 6.7, 0.05), (0.05, 27.0, 0.5), (0.02, 167.0, 0.5f64)] {
            assert!((floor_under_grain(0.10, 0.40, opening) - pa).abs() < tolerance);
        }
        for (opening, pa) in [(0.10, 1.5), (0.05, 6.4f64)] {
            assert!((bare_sheet(0.10, opening, 1.2) - pa).abs() < 0.06, "{}", bare_sheet(0.10, opening, 1.2));
        }
        assert!(checked_floor_under_grain(0.1, 0.4, 0.0).is_err());
    }

    /// Half of the holes plugged is half the opening, and back.
    #[test]
    fn plugged_floors() {
        let (clean, half) = (floor_under_grain(0.1, 0.4, 0.10), floor_under_grain(0.1, 0.4, 0.05));
        assert!((clean * plugging_multiplier(0.5) / half - 1.0f64).abs() < 1e-12);
        assert!((plugged_share(half / clean) - 0.5).abs() < 1e-12);
        assert_eq!(plugged_share(0.9), 0.0);
    }
}
