//! Propane as a liquid and its vapour: pressure, heat of vaporisation, density, and the duty of a vaporiser.
//!
//! Pure propane: right for the question whether it will vaporise. Commercial propane stands 11 to 15 % above it in pressure;
//! how high a tank can go is the business of relief valves, not of this.

use crate::air::ZERO_CELSIUS_K;
use notice::Range;

/// Temperatures (°C) over which the relations were fitted: −44 to 110 °F.
pub const TEMPERATURE: Range = Range::new(-42.222_222_222_222_22, 43.333_333_333_333_336);

/// Critical temperature, K.
const CRITICAL: f64 = 369.89;
/// Temperature of the anchor of the latent heat, K: −44 °F, the normal boiling point.
const BOILING: f64 = 230.927_777_777_777_8;
/// Latent heat there, J/kg: 183.0 Btu/lb.
const LATENT_AT_BOILING: f64 = 183.0 * 2326.0;
/// Specific heat of the liquid near the pressures of use, J/(kg K): 0.58 Btu/(lb °F) (computed).
const LIQUID_SPECIFIC_HEAT: f64 = 0.58 * 4186.8;
/// Specific heat of the vapour there, J/(kg K): 0.40 Btu/(lb °F) (computed).
const VAPOUR_SPECIFIC_HEAT: f64 = 0.40 * 4186.8;

/// Returns the saturation pressure of pure propane, Pa absolute, at a temperature (°C).
///
/// ln p = 14.0009 − 2007.84/(T − 17.0), p in kPa, T in K
///
/// # Validity
/// [`TEMPERATURE`]; within 0.2 % of the reference equation of state it was fitted to.
///
/// # Source
/// Fit to a reference equation of state (computed). A published chart of 100 % propane agrees within 1.4 psi to 90 °F,
/// but for one point out of its line (10 °F), and within 4.8 psi above (verified).
///
/// ```
/// // 60 °F: 93 psi gauge on the published chart.
/// let p = physics::propane::saturation_pressure(15.556) - 101_325.0;
/// assert!((p / 6894.757 - 93.0).abs() < 0.5);
/// ```
pub fn saturation_pressure(temperature: f64) -> f64 {
    1000.0 * (14.0009 - 2007.84 / (temperature + ZERO_CELSIUS_K - 17.0)).exp()
}

/// Returns the temperature (°C) at which propane boils under an absolute pressure (Pa); the inverse of [`saturation_pressure`].
pub fn boiling_temperature(pressure: f64) -> f64 {
    2007.84 / (14.0009 - (pressure / 1000.0).ln()) + 17.0 - ZERO_CELSIUS_K
}

/// Returns the heat of vaporisation, J/kg, at a temperature (°C): h = h_b ((1 − T/T_c)/(1 − T_b/T_c))^0.362.
///
/// # Validity
/// [`TEMPERATURE`]; within 0.5 % of the reference equation of state.
///
/// # Source
/// Watson's form fitted to a reference equation of state (computed); 184 Btu/lb at the boiling point is published (seen).
pub fn latent_heat(temperature: f64) -> f64 {
    let room = |kelvin: f64| 1.0 - kelvin / CRITICAL;
    LATENT_AT_BOILING * (room(temperature + ZERO_CELSIUS_K) / room(BOILING)).max(0.0).powf(0.362)
}

/// Returns the density of the saturated liquid, kg/m³, at a temperature (°C).
///
/// ρ = ρ_c Z^(−(1 − T/T_c)^0.285), ρ_c 221.7 kg/m³, Z 0.280
///
/// # Validity
/// [`TEMPERATURE`]; within 0.1 % of the reference equation of state.
///
/// # Source
/// Rackett's form fitted to a reference equation of state (computed); 4.20 to 4.24 lb/gal at 60 °F are published (seen).
pub fn liquid_density(temperature: f64) -> f64 {
    let room = (1.0 - (temperature + ZERO_CELSIUS_K) / CRITICAL).max(0.0);
    1.85 * 0.45359237 / 3.785411784e-3 * 0.280f64.powf(-room.powf(0.285))
}

/// Returns the heat a vaporiser gives to a kg of liquid, J/kg.
///
/// | argument | unit |
/// |----------|------|
/// | `liquid`: temperature of the liquid drawn | °C |
/// | `vapour`: temperature of the vapour delivered | °C |
/// | `pressure` it is vaporised under, absolute | Pa |
///
/// The liquid is brought to the boiling point of that pressure (a warm one flashes and so brings heat along), boiled, and
/// the vapour warmed: h = c_l (T_b − T_l) + h_fg(T_b) + c_v (T_v − T_b).
///
/// # Validity
/// Near 20 psi; within 1 % of the reference equation of state there (0 to 60 °F liquid, 60 to 100 °F vapour).
///
/// # Source
/// Energy balance; specific heats fitted to a reference equation of state (computed).
pub fn vaporiser_heat(liquid: f64, vapour: f64, pressure: f64) -> f64 {
    let boiling = boiling_temperature(pressure);
    LIQUID_SPECIFIC_HEAT * (boiling - liquid) + latent_heat(boiling) + VAPOUR_SPECIFIC_HEAT * (vapour - boiling)
}

/// Margin of a vaporiser over the peak load.
///
/// # Source
/// US MIL-HDBK-1022A, 10.2.5.5 (seen): at least 125 %.
pub const VAPORISER_MARGIN: f64 = 1.25;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn boiling_is_the_inverse(t in -42.0..43.0f64) {
            prop_assert!((boiling_temperature(saturation_pressure(t)) - t).abs() < 1e-9);
        }

        #[test]
        fn warm_liquid_is_lighter_and_easier_to_boil(t in -42.0..42.0f64) {
            prop_assert!(saturation_pressure(t + 1.0) > saturation_pressure(t));
            prop_assert!(latent_heat(t + 1.0) < latent_heat(t));
            prop_assert!(liquid_density(t + 1.0) < liquid_density(t));
        }
    }
}
