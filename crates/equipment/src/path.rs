//! States of the air along its path: outside, fan, burner, grain.

use crate::air::{AirConditions, Direction, Heat, HeatAmount};
use crate::burner::BurnerSide;
use crate::fan::STANDARD_DENSITY;
use numerics::Real;
use physics::{air, resistance::viscosity};

/// Kinematic viscosity against that of the air the grain laws stand for (20 °C, 1.2 kg/m³).
#[inline]
pub(crate) fn kinematic_ratio(temperature: f64, density: f64) -> f64 {
    // viscosity(20 °C), written out because functions of floats are not const; a test compares.
    const REFERENCE: f64 = 1.81332212e-5 / STANDARD_DENSITY;
    viscosity(temperature) / (density * REFERENCE)
}

/// State of the gas as the balance needs it; nothing else of the weather matters to the airflow.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gas {
    /// Volume per kg dry air at the grain over that at the fan, fan heat left out.
    pub volume_ratio: f64,
    /// ln of the kinematic viscosity at the grain against the law's own air, fan heat left out.
    pub log_kinematic: f64,
    /// Rise of temperature over absolute temperature for 1 W of fan heat (standard air) in 1 m³/s; 0 with suction.
    pub warming: f64,
}

/// Specific heat of moist air per kg dry air, J/(kg K).
#[inline]
pub(crate) fn air_heat(humidity_ratio: f64) -> f64 {
    air::SPECIFIC_HEAT_DRY_AIR + air::SPECIFIC_HEAT_VAPOUR * humidity_ratio
}

/// The path of the air from outside to grain (pressure) or from grain to fan (suction).
pub(crate) struct AirPath {
    pub(crate) temperature: f64,
    pub(crate) humidity_ratio: f64,
    pub(crate) inlet_humidity_ratio: f64,
    inlet_temperature: f64,
    pressure: f64,
    heat: Heat,
    upstream: bool,
}

/// States along the path at one airflow.
pub(crate) struct PathState {
    pub(crate) inlet_density: f64,
    pub(crate) inlet_volume: f64,
    pub(crate) dry_air: f64,
    pub(crate) burner_rise: f64,
    pub(crate) burner_heat: f64,
    pub(crate) water_added: f64,
    pub(crate) grain_temperature: f64,
}

impl AirPath {
    pub(crate) fn new(c: &AirConditions, direction: Direction) -> Self {
        let (inlet_temperature, inlet_humidity_ratio) = match direction {
            Direction::Pressure => (c.temperature, c.humidity_ratio),
            Direction::Suction => c.grain_exit.unwrap_or((c.temperature, c.humidity_ratio)),
        };
        Self {
            temperature: c.temperature,
            humidity_ratio: c.humidity_ratio,
            inlet_humidity_ratio,
            inlet_temperature,
            pressure: c.pressure,
            heat: c.heat,
            upstream: direction == Direction::Pressure && c.heat.side == BurnerSide::Inlet,
        }
    }

    /// Whether the state of the gas changes with the airflow: heat is given as a flow.
    pub(crate) fn hangs_on_airflow(&self) -> bool {
        matches!(self.heat.amount, HeatAmount::Watts(_))
    }

    /// States at an airflow (m³/s at the fan inlet); with no airflow, no heat from a heat flow.
    pub(crate) fn at(&self, airflow: f64) -> PathState {
        let cp = air_heat(self.humidity_ratio);
        let still = air::specific_volume(self.inlet_temperature, self.inlet_humidity_ratio, self.pressure);
        let mut dry_air = airflow / still;
        let burner_rise = match self.heat.amount {
            HeatAmount::None => 0.0,
            HeatAmount::Rise(rise) => rise,
            HeatAmount::Watts(_) if airflow <= 0.0 => 0.0,
            HeatAmount::Watts(watts) => {
                if self.upstream {
                    dry_air = self.dry_air_of_heated(airflow, watts / cp, watts * self.heat.water_per_joule, still);
                }
                watts / (dry_air * cp)
            }
        };
        let water_added = burner_rise * cp * self.heat.water_per_joule;
        let (mut inlet_density, mut inlet_volume) =
            (air::density(self.inlet_temperature, self.inlet_humidity_ratio, self.pressure), still);
        if self.upstream && burner_rise > 0.0 {
            let (t, w) = (self.inlet_temperature + burner_rise, self.inlet_humidity_ratio + water_added);
            inlet_volume = air::specific_volume(t, w, self.pressure);
            inlet_density = air::density(t, w, self.pressure);
            dry_air = airflow / inlet_volume;
        }
        PathState {
            inlet_density,
            inlet_volume,
            dry_air,
            burner_rise,
            burner_heat: burner_rise * cp * dry_air,
            water_added,
            grain_temperature: self.temperature + burner_rise,
        }
    }

    /// Dry air (kg/s) in an airflow heated before the fan by a fixed heat flow: the larger root of
    /// (T m + b)(c m + d) = Q p m / R, b = heat over specific heat, d = water added over its molar-mass ratio.
    /// Where no airflow can take that heat, the airflow at twice the absolute temperature.
    fn dry_air_of_heated(&self, airflow: f64, b: f64, water: f64, still: f64) -> f64 {
        let a = self.inlet_temperature + air::ZERO_CELSIUS_K;
        let c = 1.0 + self.inlet_humidity_ratio / air::MOLAR_MASS_RATIO;
        let d = water / air::MOLAR_MASS_RATIO;
        let linear = a * d + b * c - airflow * self.pressure / air::GAS_CONSTANT_DRY_AIR;
        let discriminant = linear * linear - 4.0 * a * c * b * d;
        let cold = airflow / still;
        if discriminant < 0.0 || linear >= 0.0 {
            return 0.5 * cold;
        }
        ((-linear + discriminant.sqrt()) / (2.0 * a * c)).max(0.5 * cold)
    }

    pub(crate) fn gas(&self, state: &PathState, direction: Direction) -> Gas {
        let humidity_ratio = self.humidity_ratio + state.water_added;
        let grain_volume = air::specific_volume(state.grain_temperature, humidity_ratio, self.pressure);
        let grain_density = (1.0 + humidity_ratio) / grain_volume;
        let warming = match direction {
            Direction::Suction => 0.0,
            Direction::Pressure => warming(self.inlet_humidity_ratio, state.grain_temperature),
        };
        Gas {
            volume_ratio: grain_volume / state.inlet_volume,
            log_kinematic: Real::ln(kinematic_ratio(state.grain_temperature, grain_density)),
            warming,
        }
    }
}

/// See [`Gas::warming`]: heat and mass flow both scale with density at the fan, which cancels.
#[inline]
pub(crate) fn warming(humidity_ratio: f64, temperature: f64) -> f64 {
    (1.0 + humidity_ratio) / (STANDARD_DENSITY * air_heat(humidity_ratio) * (temperature + air::ZERO_CELSIUS_K))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reference_viscosity_is_that_of_20_c() {
        assert!((kinematic_ratio(20.0, STANDARD_DENSITY) - 1.0).abs() < 1e-7);
    }
}
