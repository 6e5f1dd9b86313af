//! Heat for a rise: the exact balance of moist air beside the customary factor, and why the two differ.
//!
//! Heat goes with the mass of dry air, which is the same at every point of the path; the customary factor goes with a volume
//! and is right at one state of that volume only. Leaves out the heat of the fan, which a burner need not give.

use crate::air;
use crate::combustion::heat_to_air;

/// The customary factor of 1.08 Btu/h per cfm and °F, in J/(m³ K): 60 × 0.075 lb/ft³ × 0.240 Btu/(lb °F).
///
/// # Source
/// Common practice for standard dry air; 1.10 is the same with the specific heat of moist air.
pub const CUSTOMARY_FACTOR: f64 = STANDARD_DRY_DENSITY * CUSTOMARY_SPECIFIC_HEAT;

/// Density behind the factor: 0.075 lb/ft³, kg/m³.
pub const STANDARD_DRY_DENSITY: f64 = 0.075 * 0.45359237 / (0.3048 * 0.3048 * 0.3048);
/// Specific heat behind the factor: 0.240 Btu/(lb °F), J/(kg K).
pub const CUSTOMARY_SPECIFIC_HEAT: f64 = 0.240 * 4186.8;

/// Returns the heat that one m³ of air, measured at a state, takes for one K: (1006 + 1860 W)/v, J/(m³ K).
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | t | `temperature` where the volume is measured | °C |
/// | W | `humidity_ratio` | kg/kg dry air |
/// | p | `pressure` | Pa |
/// | v | specific volume there | m³/kg dry air |
///
/// # Validity
/// Moist air without drops; the volume and the state must be of the same point of the path.
///
/// # Source
/// ASHRAE Handbook, Fundamentals, psychrometrics; worked rows H01 to H03 of `tests/tables/heat.csv` (computed).
///
/// ```
/// // 20 °C, dry, at the sea: close to the customary factor of 1206 J/(m³ K).
/// let exact = physics::burner_duty::heat_factor(20.6, 0.0, 101_325.0);
/// assert!((exact / physics::burner_duty::CUSTOMARY_FACTOR - 1.0).abs() < 2e-3);
/// ```
pub fn heat_factor(temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
    heat_to_air(1.0 / air::specific_volume(temperature, humidity_ratio, pressure), humidity_ratio, 1.0)
}

/// Why the exact factor differs from the customary one: four factors whose product is exact over customary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FactorParts {
    /// Barometric pressure over the standard one: below 1 at altitude.
    pub pressure: f64,
    /// Temperature behind the customary density over that of the air, absolute: above 1 in the cold.
    pub temperature: f64,
    /// Dry air displaced by vapour, 1/(1 + W/0.622): just below 1.
    pub vapour: f64,
    /// Specific heat of the moist air per dry air over the customary one: above 1 in humid air.
    pub specific_heat: f64,
}

impl FactorParts {
    /// Exact over customary.
    pub fn product(&self) -> f64 {
        self.pressure * self.temperature * self.vapour * self.specific_heat
    }
}

/// Returns the parts at a state, arguments as in [`heat_factor`].
pub fn factor_parts(temperature: f64, humidity_ratio: f64, pressure: f64) -> FactorParts {
    // The temperature at which dry air of the standard pressure has the customary density: 20.7 °C.
    let behind = air::STANDARD_PRESSURE / (air::GAS_CONSTANT_DRY_AIR * STANDARD_DRY_DENSITY);
    FactorParts {
        pressure: pressure / air::STANDARD_PRESSURE,
        temperature: behind / (temperature + air::ZERO_CELSIUS_K),
        vapour: 1.0 / (1.0 + humidity_ratio / air::MOLAR_MASS_RATIO),
        specific_heat: (air::SPECIFIC_HEAT_DRY_AIR + air::SPECIFIC_HEAT_VAPOUR * humidity_ratio)
            / CUSTOMARY_SPECIFIC_HEAT,
    }
}

/// Returns the rise of temperature that `power` (W, all of it ending as heat) gives to `dry_air` (kg/s): the heat of a fan.
pub fn rise_from_power(power: f64, dry_air: f64, humidity_ratio: f64) -> f64 {
    crate::combustion::rise_from_heat(dry_air, humidity_ratio, power)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn parts_make_up_the_difference(t in -40.0..60.0f64, w in 0.0..0.03f64, p in 7e4..1.05e5f64) {
            let ratio = heat_factor(t, w, p) / CUSTOMARY_FACTOR;
            prop_assert!((factor_parts(t, w, p).product() / ratio - 1.0).abs() < 1e-12);
        }

        #[test]
        fn cold_and_low_places_need_more(t in -40.0..60.0f64, w in 0.0..0.005f64, p in 7e4..1.05e5f64) {
            prop_assert!(heat_factor(t, w, p) > heat_factor(t + 1.0, w, p));
            prop_assert!(heat_factor(t, w, p) < heat_factor(t, w, p + 100.0));
        }
    }

    #[test]
    fn the_customary_factor_is_1_08() {
        let per_cfm_fahrenheit = CUSTOMARY_FACTOR * (0.3048f64.powi(3) / 60.0) / 1.8 * 3600.0 / 1055.05585262;
        assert!((per_cfm_fahrenheit - 1.08).abs() < 1e-9);
    }
}
