//! Where a control looks, and what it sees there.

use physics::air;

/// Place of a sensor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SensorPlace {
    /// Outside air.
    Ambient,
    /// In the plenum after the fan, before a burner.
    AfterFan,
    /// In the plenum after fan and burner.
    AfterBurner,
    /// Air that leaves the grain.
    Exhaust,
}

/// Places where a sensor may be.
pub const SENSOR_PLACES: usize = 4;

impl SensorPlace {
    /// Its number among the places, from 0.
    pub const fn number(self) -> usize {
        self as usize
    }
}

/// What a sensor shows less what is there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SensorError {
    /// K.
    pub temperature: f64,
    /// Fraction of relative humidity.
    pub relative_humidity: f64,
}

/// Errors of the air sensors, one for each place. The length is written out: an array as long as a constant of another crate
/// breaks the compiler in closures over it.
pub type SensorErrorsOfAir = [SensorError; 4];

/// Temperature and humidity as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirReading {
    /// Temperature, °C.
    pub temperature: f64,
    /// Relative humidity over liquid water, fraction.
    pub relative_humidity: f64,
}

impl AirReading {
    /// The reading of air of a temperature (°C), humidity ratio and pressure (Pa).
    pub fn of(temperature: f64, humidity_ratio: f64, pressure: f64) -> Self {
        let vapour = air::vapour_pressure(pressure, humidity_ratio);
        Self { temperature, relative_humidity: vapour / air::saturation_pressure(temperature) }
    }

    /// Humidity ratio at a pressure (Pa), kg/kg dry air.
    pub fn humidity_ratio(&self, pressure: f64) -> f64 {
        air::humidity_ratio(pressure, self.relative_humidity * air::saturation_pressure(self.temperature))
    }

    /// The same air as a sensor with an error shows it; no humidity below 0 or above 100 % is shown.
    pub fn shown_with(&self, error: &SensorError) -> Self {
        Self {
            temperature: self.temperature + error.temperature,
            relative_humidity: (self.relative_humidity + error.relative_humidity).clamp(0.0, 1.0),
        }
    }

    /// The same air warmed by `rise` (K) at constant humidity ratio.
    pub fn warmed(&self, rise: f64) -> Self {
        let ratio = air::saturation_pressure(self.temperature) / air::saturation_pressure(self.temperature + rise);
        Self { temperature: self.temperature + rise, relative_humidity: self.relative_humidity * ratio }
    }
}
