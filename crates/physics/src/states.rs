//! The complete state of moist air from what is usually known of it.
//!
//! For looking up single states of untrusted input: everything here is checked. Relative humidity, dew point and wet bulb
//! are over ice below 0.01 °C, as tables and instruments have it; weather files and the bed use humidity over liquid water
//! also in frost, which stands beside as [`MoistAirState::relative_humidity_over_water`].

use crate::{air, error::DomainError};
use notice::{Range, Source, Status};
use numerics::root::brent;

/// Dry-bulb temperatures served, °C.
pub const DRY_BULB: Range = Range::new(-40.0, 120.0);
/// Barometric pressures served, Pa.
pub const PRESSURE: Range = Range::new(60_000.0, 110_000.0);
/// Elevations served, m: those whose standard pressure lies in [`PRESSURE`].
pub const ELEVATION: Range = Range::new(-690.0, 4200.0);

/// Temperature up to which saturation is over ice, °C.
const TRIPLE_POINT: f64 = 0.01;
/// Driest air whose dew point and wet bulb are sought, kg/kg; drier air gets those of this.
const DRIEST: f64 = 1e-7;
/// Slack for the rounding of printed saturated states, as a share of saturation.
const SATURATION_SLACK: f64 = 1e-6;

/// What is known of the air beside its dry-bulb temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Known {
    /// Relative humidity, fraction; over ice below 0.01 °C.
    RelativeHumidity(f64),
    /// Relative humidity over liquid water at any temperature, fraction: the convention of weather files.
    RelativeHumidityOverWater(f64),
    /// Thermodynamic wet bulb, °C; of an iced wick below 0 °C.
    WetBulb(f64),
    /// Dew point, °C; frost point below 0.01 °C.
    DewPoint(f64),
    /// Humidity ratio, kg/kg dry air.
    HumidityRatio(f64),
    /// Enthalpy, J/kg dry air, dry air and liquid water at 0 °C as datum.
    Enthalpy(f64),
}

/// Moist air, everything of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistAirState {
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Dry-bulb temperature, °C.
    pub dry_bulb: f64,
    /// Wet-bulb temperature, °C: of water from 0 °C, of ice below.
    pub wet_bulb: f64,
    /// The iced wet bulb where both exist: within about 0.4 K above freezing a wet bulb is not unique.
    pub iced_wet_bulb: Option<f64>,
    /// Dew point, °C; frost point below 0.01 °C.
    pub dew_point: f64,
    /// Relative humidity, fraction; over ice below 0.01 °C.
    pub relative_humidity: f64,
    /// Relative humidity over liquid water, fraction, as weather files and the bed have it.
    pub relative_humidity_over_water: f64,
    /// Whether `relative_humidity` is over ice.
    pub over_ice: bool,
    /// Humidity ratio, kg/kg dry air.
    pub humidity_ratio: f64,
    /// Enthalpy, J/kg dry air.
    pub enthalpy: f64,
    /// Specific volume, m³/kg dry air.
    pub specific_volume: f64,
    /// Vapour pressure, Pa.
    pub vapour_pressure: f64,
    /// Saturation pressure at the dry bulb, Pa; over ice below 0.01 °C. May exceed `pressure` in hot air.
    pub saturation_pressure: f64,
    /// Density of the mixture, kg/m³.
    pub density: f64,
}

impl MoistAirState {
    /// Returns the state of air of a dry-bulb temperature (°C) and one other property at a pressure (Pa).
    ///
    /// # Errors
    /// [`DomainError`] when temperature or pressure lie outside [`DRY_BULB`] and [`PRESSURE`], or when no such air exists:
    /// drier than dry, wetter than saturated, a wet bulb or dew point above the dry bulb, a vapour pressure at or above the
    /// barometric pressure (hot air cannot be brought to every relative humidity).
    ///
    /// # Source
    /// ASHRAE Handbook, Fundamentals (2017), psychrometrics chapter, ideal-gas equations; no enhancement factor (humidity
    /// ratio up to 0.8 % low against real-gas tables).
    ///
    /// ```
    /// use physics::states::{Known, MoistAirState};
    /// let air = MoistAirState::new(20.0, Known::RelativeHumidity(0.5), 101_325.0)?;
    /// assert!((air.humidity_ratio - 0.0072617).abs() < 1e-7 && (air.wet_bulb - 13.783).abs() < 1e-3);
    /// # Ok::<(), physics::DomainError>(())
    /// ```
    pub fn new(dry_bulb: f64, known: Known, pressure: f64) -> Result<Self, DomainError> {
        DomainError::check("dry-bulb temperature", dry_bulb, DRY_BULB.low, DRY_BULB.high, "°C")?;
        DomainError::check("barometric pressure", pressure, PRESSURE.low, PRESSURE.high, "Pa")?;
        let saturation = saturation_pressure(dry_bulb);
        let vapour_pressure = match known {
            Known::RelativeHumidity(h) => {
                DomainError::check("relative humidity", h, 0.0, 1.0, "1")?;
                h * saturation
            }
            Known::RelativeHumidityOverWater(h) => {
                // Below freezing air saturated over ice is not yet saturated over water, and more would frost out.
                let over_water = air::saturation_pressure(dry_bulb);
                let highest = (saturation / over_water).min(1.0);
                DomainError::check(
                    "relative humidity over liquid water",
                    h,
                    0.0,
                    highest * (1.0 + SATURATION_SLACK),
                    "1",
                )?;
                h * over_water
            }
            Known::WetBulb(t) => {
                DomainError::check("wet-bulb temperature", t, -60.0, dry_bulb, "°C")?;
                let saturated = saturation_pressure(t);
                DomainError::check("saturation pressure at the wet bulb", saturated, 0.0, below(pressure), "Pa")?;
                let w = humidity_from_wet_bulb(dry_bulb, t, air::humidity_ratio(pressure, saturated));
                DomainError::check("humidity ratio behind the wet bulb", w, 0.0, f64::MAX, "kg/kg")?;
                air::vapour_pressure(pressure, w)
            }
            Known::DewPoint(t) => {
                DomainError::check("dew point", t, -100.0, dry_bulb, "°C")?;
                saturation_pressure(t)
            }
            Known::HumidityRatio(w) => {
                DomainError::check("humidity ratio", w, 0.0, f64::MAX, "kg/kg")?;
                air::vapour_pressure(pressure, w)
            }
            Known::Enthalpy(h) => {
                let vapour = air::VAPOUR_ENTHALPY_0C + air::SPECIFIC_HEAT_VAPOUR * dry_bulb;
                let w = (h - air::SPECIFIC_HEAT_DRY_AIR * dry_bulb) / vapour;
                DomainError::check("humidity ratio behind the enthalpy", w, 0.0, f64::MAX, "kg/kg")?;
                air::vapour_pressure(pressure, w)
            }
        };
        DomainError::check("vapour pressure", vapour_pressure, 0.0, below(pressure), "Pa")?;
        let highest = saturation * (1.0 + SATURATION_SLACK);
        DomainError::check("vapour pressure against saturation", vapour_pressure, 0.0, highest, "Pa")?;
        Ok(Self::from_vapour(dry_bulb, vapour_pressure.min(saturation), saturation, pressure))
    }

    /// Returns the state at an elevation (m) in the standard atmosphere; see [`MoistAirState::new`].
    ///
    /// # Errors
    /// As [`MoistAirState::new`], and for elevations outside [`ELEVATION`].
    pub fn at_elevation(dry_bulb: f64, known: Known, elevation: f64) -> Result<Self, DomainError> {
        DomainError::check("elevation", elevation, ELEVATION.low, ELEVATION.high, "m")?;
        Self::new(dry_bulb, known, air::standard_pressure(elevation))
    }

    /// Returns where the equations come from.
    pub fn source() -> Source {
        Source::new(
            "ASHRAE Handbook, Fundamentals (2017), chapter 1, ideal-gas set; Hyland & Wexler 1983",
            Status::Seen,
        )
    }

    fn from_vapour(dry_bulb: f64, vapour_pressure: f64, saturation_pressure: f64, pressure: f64) -> Self {
        let w = air::humidity_ratio(pressure, vapour_pressure);
        let (wet_bulb, iced_wet_bulb) = wet_bulbs(dry_bulb, w.max(DRIEST), pressure);
        Self {
            pressure,
            dry_bulb,
            wet_bulb,
            iced_wet_bulb,
            dew_point: dew_point(vapour_pressure.max(air::vapour_pressure(pressure, DRIEST)), dry_bulb),
            relative_humidity: vapour_pressure / saturation_pressure,
            relative_humidity_over_water: vapour_pressure / air::saturation_pressure(dry_bulb),
            over_ice: dry_bulb <= TRIPLE_POINT,
            humidity_ratio: w,
            enthalpy: air::enthalpy(dry_bulb, w),
            specific_volume: air::specific_volume(dry_bulb, w, pressure),
            vapour_pressure,
            saturation_pressure,
            density: air::density(dry_bulb, w, pressure),
        }
    }
}

/// The largest number below another one that is still told apart in messages.
fn below(pressure: f64) -> f64 {
    pressure * (1.0 - 1e-9)
}

/// Returns the saturation pressure as tables have it: over ice up to 0.01 °C, over water above, Pa.
pub fn saturation_pressure(t: f64) -> f64 {
    if t <= TRIPLE_POINT { air::saturation_pressure_ice(t) } else { air::saturation_pressure(t) }
}

/// Humidity ratio of air of dry bulb `t` whose wet bulb is `wet` with saturated humidity ratio `saturated`.
fn humidity_from_wet_bulb(t: f64, wet: f64, saturated: f64) -> f64 {
    let (latent, sensible) = wet_bulb_terms(t, wet);
    (latent * saturated - 1.006 * (t - wet)) / sensible
}

/// The two bracketed terms of the wet-bulb equation, kJ/kg: water from 0 °C, ice below.
fn wet_bulb_terms(t: f64, wet: f64) -> (f64, f64) {
    if wet >= 0.0 {
        (2501.0 - 2.326 * wet, 2501.0 + 1.86 * t - 4.186 * wet)
    } else {
        (2830.0 - 0.24 * wet, 2830.0 + 1.86 * t - 2.1 * wet)
    }
}

/// Returns the wet bulb, of water where there is one, and the iced one beside it where both exist.
fn wet_bulbs(t: f64, w: f64, pressure: f64) -> (f64, Option<f64>) {
    // Multiplied by (p − p_s) the residual stays finite where saturation reaches the barometric pressure, so that the search
    // cannot meet a negative humidity ratio above the boiling point.
    let residual = |wet: f64| {
        let saturated = saturation_pressure(wet);
        let (latent, sensible) = wet_bulb_terms(t, wet);
        latent * air::MOLAR_MASS_RATIO * saturated - (1.006 * (t - wet) + w * sensible) * (pressure - saturated)
    };
    let between = |low: f64, high: f64| brent(residual, low, high, 1e-10).ok();
    let frozen = |high: f64| between(-100.0, high);
    if t <= 0.0 {
        // At saturation the bracket closes on the dry bulb itself.
        return (frozen(t).unwrap_or(t), None);
    }
    let iced = frozen(-1e-9);
    let boiling = dew_point(pressure, 130.0);
    match (between(0.0, t.min(boiling)), iced) {
        (Some(wet), iced) => (wet, iced),
        (None, Some(iced)) => (iced, None),
        // Both brackets can only fail by rounding at saturation.
        (None, None) => (t.min(boiling), None),
    }
}

/// Temperature at which saturation reaches a vapour pressure, not above `highest`.
fn dew_point(vapour_pressure: f64, highest: f64) -> f64 {
    let target = vapour_pressure.ln();
    brent(|t| saturation_pressure(t).ln() - target, -100.0, highest, 1e-10).unwrap_or(highest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Every property that a state names leads back to it.
        #[test]
        fn every_pair_gives_the_same_state(t in -40.0..120.0f64, h in 0.02..0.999f64, p in 60_000.0..110_000.0f64) {
            let Ok(air) = MoistAirState::new(t, Known::RelativeHumidity(h), p) else {
                // Only hot air whose vapour would fill the whole pressure is refused.
                prop_assert!(h * saturation_pressure(t) >= p * (1.0 - 1e-8));
                return Ok(());
            };
            prop_assert!(air.dew_point <= air.wet_bulb + 1e-6 && air.wet_bulb <= t + 1e-9, "{air:?}");
            for known in [
                Known::RelativeHumidityOverWater(air.relative_humidity_over_water),
                Known::WetBulb(air.iced_wet_bulb.unwrap_or(air.wet_bulb)),
                Known::WetBulb(air.wet_bulb),
                Known::DewPoint(air.dew_point),
                Known::HumidityRatio(air.humidity_ratio),
                Known::Enthalpy(air.enthalpy),
            ] {
                let again = MoistAirState::new(t, known, p);
                let again = again.map_err(|e| TestCaseError::fail(format!("{known:?}: {e}")))?;
                let error = (again.humidity_ratio / air.humidity_ratio - 1.0).abs();
                prop_assert!(error < 1e-6, "{known:?} {error} {air:?}");
            }
        }
    }

    #[test]
    fn wet_bulb_near_freezing_is_not_unique() {
        let air = MoistAirState::new(5.0, Known::RelativeHumidity(0.4), 90_000.0).unwrap();
        assert!((air.wet_bulb - 0.263).abs() < 2e-3 && (air.iced_wet_bulb.unwrap() + 0.078).abs() < 0.05, "{air:?}");
    }

    #[test]
    fn refuses_air_that_cannot_be() {
        let at = |t, known, p| MoistAirState::new(t, known, p).is_err();
        assert!(at(20.0, Known::RelativeHumidity(1.2), 101_325.0));
        assert!(at(20.0, Known::RelativeHumidity(f64::NAN), 101_325.0));
        assert!(at(20.0, Known::WetBulb(25.0), 101_325.0));
        assert!(at(40.0, Known::WetBulb(0.0), 101_325.0), "drier than dry");
        assert!(at(20.0, Known::HumidityRatio(0.02), 101_325.0), "wetter than saturated");
        assert!(at(110.0, Known::RelativeHumidity(0.9), 80_000.0), "vapour above the barometric pressure");
        assert!(at(20.0, Known::Enthalpy(1e3), 101_325.0), "drier than dry");
        assert!(at(-10.0, Known::RelativeHumidityOverWater(0.95), 101_325.0), "above saturation over ice");
        assert!(at(20.0, Known::RelativeHumidity(0.5), 40_000.0) && at(150.0, Known::DewPoint(0.0), 101_325.0));
        assert!(MoistAirState::new(20.0, Known::RelativeHumidity(0.0), 101_325.0).is_ok());
        assert!(MoistAirState::at_elevation(20.0, Known::RelativeHumidity(0.5), 9000.0).is_err());
    }
}
