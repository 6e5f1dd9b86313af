//! What the compiled map is asked and what it answers.

use crate::air::{AirFlags, AirPoint, Heat, Outcome};
use crate::fan::STANDARD_DENSITY;
use crate::path::{Gas, air_heat, kinematic_ratio, warming};
use numerics::Real;
use physics::air;

/// What the map is asked; see [`MapQuery::new`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapQuery {
    /// Density of the moist air at the fan inlet, kg/m³.
    pub inlet_density: f64,
    /// Dry air in a cubic metre there, kg/m³.
    pub inlet_dry_density: f64,
    /// Humidity ratio there, kg/kg.
    pub inlet_humidity_ratio: f64,
    /// Volume per kg dry air at the grain over that at the fan inlet, fan heat left out: the rise of a discharge burner.
    pub volume_ratio: f64,
    /// Kinematic viscosity at the grain over that of air of 20 °C and 1.2 kg/m³, fan heat left out.
    pub kinematic_ratio: f64,
    /// Depth of loose clean grain of the same resistance, m.
    pub effective_depth: f64,
    /// Fans running, counted from the first.
    pub fans_running: usize,
    /// Warming by the fan as the balance needs it, for where the table cannot answer.
    pub(crate) warming: f64,
    /// Rise of the grain's air for fan heat of 1 J/m³ at standard air, K; 0 with suction.
    pub(crate) rise_per_heat: f64,
    /// Density ratio gained per Pa of standard pressure, for fans in series.
    pub(crate) compression: f64,
}

impl MapQuery {
    /// The query of outside air (°C, kg/kg, Pa) warmed by a burner by `rise` K on the side and with the water of `heat`
    /// (its amount is ignored), pressure system.
    pub fn new(
        temperature: f64,
        humidity_ratio: f64,
        pressure: f64,
        rise: f64,
        heat: &Heat,
        depth: f64,
        fans: usize,
    ) -> Self {
        let water = rise * air_heat(humidity_ratio) * heat.water_per_joule;
        let (hot, wet) = (temperature + rise, humidity_ratio + water);
        let hot_volume = air::specific_volume(hot, wet, pressure);
        let upstream = heat.side == crate::burner::BurnerSide::Inlet;
        let (inlet_volume, inlet_humidity_ratio) = if upstream || rise == 0.0 {
            (hot_volume, wet)
        } else {
            (air::specific_volume(temperature, humidity_ratio, pressure), humidity_ratio)
        };
        Self {
            inlet_density: (1.0 + inlet_humidity_ratio) / inlet_volume,
            inlet_dry_density: 1.0 / inlet_volume,
            inlet_humidity_ratio,
            volume_ratio: hot_volume / inlet_volume,
            kinematic_ratio: kinematic_ratio(hot, (1.0 + wet) / hot_volume),
            effective_depth: depth,
            fans_running: fans,
            warming: warming(inlet_humidity_ratio, hot),
            rise_per_heat: (1.0 + inlet_humidity_ratio) / (STANDARD_DENSITY * air_heat(inlet_humidity_ratio)),
            compression: (1.0 + inlet_humidity_ratio) / (inlet_volume * STANDARD_DENSITY * pressure),
        }
    }

    /// The query of a suction system: outside air enters the grain and leaves it at `exit` (°C, kg/kg) towards the fan.
    pub fn suction(
        temperature: f64,
        humidity_ratio: f64,
        pressure: f64,
        exit: (f64, f64),
        depth: f64,
        fans: usize,
    ) -> Self {
        let grain = air::specific_volume(temperature, humidity_ratio, pressure);
        let fan = air::specific_volume(exit.0, exit.1, pressure);
        Self {
            inlet_density: (1.0 + exit.1) / fan,
            inlet_dry_density: 1.0 / fan,
            inlet_humidity_ratio: exit.1,
            volume_ratio: grain / fan,
            kinematic_ratio: kinematic_ratio(temperature, (1.0 + humidity_ratio) / grain),
            effective_depth: depth,
            fans_running: fans,
            warming: 0.0,
            rise_per_heat: 0.0,
            compression: (1.0 + exit.1) / (fan * STANDARD_DENSITY * pressure),
        }
    }

    pub(crate) fn gas(&self) -> Gas {
        Gas { volume_ratio: self.volume_ratio, log_kinematic: Real::ln(self.kinematic_ratio), warming: self.warming }
    }
}

/// A working point from the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapPoint {
    /// What came of it.
    pub outcome: Outcome,
    /// What to note.
    pub flags: AirFlags,
    /// Dry air through the grain, kg/s.
    pub dry_air_flow: f64,
    /// Dry air through the fans, kg/s.
    pub fan_dry_air_flow: f64,
    /// Airflow at the fan inlets, m³/s.
    pub fan_airflow: f64,
    /// Static pressure of the outfit, Pa.
    pub fan_static_pressure: f64,
    /// Pressure between plenum and open air, Pa.
    pub plenum_pressure: f64,
    /// Shaft power, W.
    pub shaft_power: f64,
    /// Electric input, W.
    pub input_power: f64,
    /// Rise of the grain's air by the fans, K.
    pub fan_heat: f64,
}

impl MapPoint {
    pub(crate) const OFF: Self = Self {
        outcome: Outcome::Off,
        flags: AirFlags {
            unstable: false,
            held_below_first: false,
            beyond_curve: false,
            overload: false,
            back_flow: false,
            outside_resistance: false,
            estimated_power: false,
        },
        dry_air_flow: 0.0,
        fan_dry_air_flow: 0.0,
        fan_airflow: 0.0,
        fan_static_pressure: 0.0,
        plenum_pressure: 0.0,
        shaft_power: 0.0,
        input_power: 0.0,
        fan_heat: 0.0,
    };
}

impl From<&AirPoint> for MapPoint {
    fn from(p: &AirPoint) -> Self {
        Self {
            outcome: p.outcome,
            flags: p.flags,
            dry_air_flow: p.dry_air_flow,
            fan_dry_air_flow: p.fan_dry_air_flow,
            fan_airflow: p.fan_airflow,
            fan_static_pressure: p.fan_static_pressure,
            plenum_pressure: p.plenum_pressure,
            shaft_power: p.shaft_power,
            input_power: p.input_power,
            fan_heat: p.fan_heat,
        }
    }
}
