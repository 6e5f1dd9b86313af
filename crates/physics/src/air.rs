//! Moist air as a mixture of ideal gases: one set of equations for the whole tool.
//!
//! Saturation after Hyland and Wexler, mixture relations of the psychrometrics chapter of the ASHRAE Handbook
//! (Fundamentals, 2017). The enhancement factor is left out: humidity ratio reads up to 0.8 % low against real-gas tables.
//! Temperatures °C, pressures Pa absolute, humidity ratio kg/kg dry air, enthalpy J/kg dry air.

use numerics::Real;

/// Ratio of the molar masses of water and dry air.
pub const MOLAR_MASS_RATIO: f64 = 0.621945;
/// Gas constant of dry air, J/(kg K).
pub const GAS_CONSTANT_DRY_AIR: f64 = 287.042;
/// Gas constant of water vapour, J/(kg K).
pub const GAS_CONSTANT_VAPOUR: f64 = 461.52;
/// Specific heat of dry air, J/(kg K).
pub const SPECIFIC_HEAT_DRY_AIR: f64 = 1006.0;
/// Specific heat of water vapour, J/(kg K).
pub const SPECIFIC_HEAT_VAPOUR: f64 = 1860.0;
/// Specific heat of liquid water, J/(kg K).
pub const SPECIFIC_HEAT_WATER: f64 = 4187.0;
/// Enthalpy of water vapour at 0 °C, liquid water at 0 °C as datum, J/kg.
pub const VAPOUR_ENTHALPY_0C: f64 = 2_501_000.0;
/// Kelvin at 0 °C.
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// Standard atmosphere, Pa.
pub const STANDARD_PRESSURE: f64 = 101_325.0;

/// Returns the saturation pressure over liquid water (also supercooled), Pa.
///
/// ln p = −5800.2206/T + 1.3914993 − 0.048640239 T + 4.1764768e−5 T² − 1.4452093e−8 T³ + 6.5459673 ln T, T in K.
///
/// # Validity
/// 0.01 to 200 °C; below that it is the supercooled continuation, used on purpose so that nothing jumps at 0 °C.
///
/// # Source
/// Hyland and Wexler 1983 as equation 6 of the ASHRAE psychrometrics chapter (seen).
#[inline(always)]
pub fn saturation_pressure<R: Real>(t: R) -> R {
    ln_saturation_pressure(t).0.exp()
}

/// Returns ln of the saturation pressure over liquid water and its derivative with temperature (1/K).
#[inline(always)]
pub fn ln_saturation_pressure<R: Real>(t: R) -> (R, R) {
    let c = R::splat;
    let tk = t + c(ZERO_CELSIUS_K);
    let inverse = c(1.0) / tk;
    let value = c(-5800.2206) * inverse
        + c(1.3914993)
        + tk * (c(-4.8640239e-2) + tk * (c(4.1764768e-5) + tk * c(-1.4452093e-8)))
        + c(6.5459673) * tk.ln();
    let slope = inverse * (c(5800.2206) * inverse + c(6.5459673))
        + c(-4.8640239e-2)
        + tk * (c(2.0 * 4.1764768e-5) + tk * c(-3.0 * 1.4452093e-8));
    (value, slope)
}

/// Returns the saturation pressure over ice, Pa.
///
/// # Validity
/// −100 to 0.01 °C.
///
/// # Source
/// Hyland and Wexler 1983 as equation 5 of the ASHRAE psychrometrics chapter (seen).
#[inline(always)]
pub fn saturation_pressure_ice<R: Real>(t: R) -> R {
    let c = R::splat;
    let tk = t + c(ZERO_CELSIUS_K);
    (c(-5674.5359) / tk
        + c(6.3925247)
        + tk * (c(-9.677843e-3) + tk * (c(6.2215701e-7) + tk * (c(2.0747825e-9) + tk * c(-9.484024e-13))))
        + c(4.1635019) * tk.ln())
    .exp()
}

/// Returns the vapour pressure at a humidity ratio, Pa.
#[inline(always)]
pub fn vapour_pressure<R: Real>(pressure: R, w: R) -> R {
    pressure * w / (R::splat(MOLAR_MASS_RATIO) + w)
}

/// Returns the humidity ratio at a vapour pressure, kg/kg dry air.
///
/// # Validity
/// 0 ≤ vapour pressure < pressure.
#[inline(always)]
pub fn humidity_ratio<R: Real>(pressure: R, vapour_pressure: R) -> R {
    R::splat(MOLAR_MASS_RATIO) * vapour_pressure / (pressure - vapour_pressure)
}

/// Returns the enthalpy of moist air, J/kg dry air, liquid water and dry air at 0 °C as datum.
#[inline(always)]
pub fn enthalpy<R: Real>(t: R, w: R) -> R {
    R::splat(SPECIFIC_HEAT_DRY_AIR) * t + w * (R::splat(VAPOUR_ENTHALPY_0C) + R::splat(SPECIFIC_HEAT_VAPOUR) * t)
}

/// Returns the specific volume, m³/kg dry air.
#[inline(always)]
pub fn specific_volume<R: Real>(t: R, w: R, pressure: R) -> R {
    R::splat(GAS_CONSTANT_DRY_AIR) * (t + R::splat(ZERO_CELSIUS_K)) * (R::splat(1.0) + w / R::splat(MOLAR_MASS_RATIO))
        / pressure
}

/// Returns the density of moist air, kg/m³.
#[inline(always)]
pub fn density<R: Real>(t: R, w: R, pressure: R) -> R {
    (R::splat(1.0) + w) / specific_volume(t, w, pressure)
}

/// Returns the latent heat of free water, J/kg, consistent with [`enthalpy`]: vapour enthalpy less liquid enthalpy.
#[inline(always)]
pub fn latent_heat<R: Real>(t: R) -> R {
    R::splat(VAPOUR_ENTHALPY_0C) + (R::splat(SPECIFIC_HEAT_VAPOUR) - R::splat(SPECIFIC_HEAT_WATER)) * t
}

/// Returns the pressure of the standard atmosphere at an elevation (m), Pa.
///
/// # Source
/// Equation 3 of the ASHRAE psychrometrics chapter.
pub fn standard_pressure(elevation: f64) -> f64 {
    STANDARD_PRESSURE * (1.0 - 2.25577e-5 * elevation).powf(5.2559)
}

/// Returns the density of the standard atmosphere at an elevation (m) over that at the sea: its air cools with height.
///
/// (1 − 2.25577e−5 h)^4.2559. At one temperature the ratio is that of [`standard_pressure`] instead.
///
/// # Source
/// Standard atmosphere; a design manual prints 0.944, 0.890, 0.838 at 2,000, 4,000, 6,000 ft (seen), here 0.943, 0.888, 0.836.
pub fn standard_density_ratio(elevation: f64) -> f64 {
    (1.0 - 2.25577e-5 * elevation).powf(4.2559)
}

/// Returns the elevation (m) at which the standard atmosphere has a pressure (Pa): the inverse of [`standard_pressure`].
pub fn standard_elevation(pressure: f64) -> f64 {
    (1.0 - (pressure / STANDARD_PRESSURE).powf(1.0 / 5.2559)) / 2.25577e-5
}
