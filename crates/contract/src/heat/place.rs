//! The burner on either side of the fan.

use super::side_word;
use crate::air::outcome_word;
use advice::heat::place::{Placed, Stand};
use serde::Serialize;

/// The air of the design hour with the burner in one place.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PlacedJson {
    /// `none` (no fire), `discharge` (after the fan), `inlet` (before it).
    pub side: &'static str,
    /// `works`, `held-below-first`, `unstable`, `beyond-curve`, `off`.
    pub outcome: &'static str,
    /// Airflow at the fan inlets, m³/s.
    pub airflow_m3_s: f64,
    /// Dry air past the burner, kg/s.
    pub dry_air_kg_s: f64,
    /// Static pressure of the fans, Pa.
    pub static_pressure_pa: f64,
    /// Shaft power of all fans, W.
    pub shaft_power_w: f64,
    /// Electric input of all fans, W.
    pub input_power_w: f64,
    /// Most loaded motor over its rating.
    pub motor_load: f64,
    /// Rise by the fans, K.
    pub fan_heat_k: f64,
    /// Heat of the burner to the air, W.
    pub heat_w: f64,
    /// Air to the grain, °C.
    pub plenum_c: f64,
    /// Its relative humidity.
    pub plenum_relative_humidity: f64,
    /// Water it can take up until it leaves in equilibrium with grain as wet as filled, kg/s.
    pub drying_kg_s: f64,
}

impl PlacedJson {
    pub(super) fn of(placed: &Placed) -> Self {
        let p = &placed.point;
        Self {
            side: match placed.stand {
                Stand::NoFire => "none",
                Stand::Side(side) => side_word(side),
            },
            outcome: outcome_word(p.outcome),
            airflow_m3_s: p.fan_airflow,
            dry_air_kg_s: p.fan_dry_air_flow,
            static_pressure_pa: p.fan_static_pressure,
            shaft_power_w: p.shaft_power,
            input_power_w: p.input_power,
            motor_load: placed.motor_load,
            fan_heat_k: p.fan_heat,
            heat_w: placed.heat,
            plenum_c: p.grain_air_temperature,
            plenum_relative_humidity: placed.humidity,
            drying_kg_s: placed.drying,
        }
    }
}
