//! `air` without a site file: what an airflow asks of a fan, and which fans give it.

use serde::Serialize;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sizing {
    /// Crop after aliases.
    pub crop: String,
    /// Diameter, m.
    pub diameter_m: f64,
    /// Depth of grain, m.
    pub depth_m: f64,
    /// Cross-section, m².
    pub area_m2: f64,
    /// Grain, m³.
    pub grain_m3: f64,
    /// Grain in volume bushels.
    pub grain_bu: f64,
    /// Airflow wanted at the fan inlet per volume bushel as filled, m³/s per m³ of grain.
    pub specific_airflow_1_s: f64,
    /// Packing factor used.
    pub packing: f64,
    /// Barometric pressure, Pa.
    pub pressure_pa: f64,
    /// What the airflow asks at rising depths; the last is the depth wanted.
    pub required: Vec<Required>,
    /// Fans of the catalogue, alone and in pairs.
    pub fans: Vec<FanChoice>,
    /// How many of `fans` give the airflow wanted at the depth wanted.
    pub fans_that_reach: usize,
    /// Whether the catalogue is invented: nothing here may be bought or sold by it.
    pub demo: bool,
}

/// What the airflow asks at one depth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Required {
    /// Depth, m.
    pub depth_m: f64,
    /// Grain, m³.
    pub grain_m3: f64,
    /// Airflow at the fan inlet, m³/s.
    pub airflow_m3_s: f64,
    /// Velocity of the empty cross-section, m/s.
    pub velocity_m_s: f64,
    /// Static pressure: grain and floor, Pa.
    pub static_pressure_pa: f64,
    /// The grain's part, Pa.
    pub grain_pressure_pa: f64,
    /// The floor's part, Pa.
    pub floor_pressure_pa: f64,
    /// Power in the air, W.
    pub air_power_w: f64,
    /// Shaft power estimated at a stated static efficiency, W.
    pub shaft_power_estimate_w: f64,
}

/// One choice of the catalogue.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FanChoice {
    /// Fan of the catalogue.
    pub fan: String,
    /// Kind of fan.
    pub kind: String,
    /// How many, in parallel.
    pub count: usize,
    /// Rated power of one motor, W at the shaft.
    pub motor_power_w: f64,
    /// Whether it gives the airflow wanted at the depth wanted.
    pub reaches: bool,
    /// `works`, `below-first-point`, `unstable`, `beyond-curve`.
    pub outcome: String,
    /// Airflow at the inlets at the depth wanted, m³/s; null beyond its curve.
    pub airflow_m3_s: Option<f64>,
    /// The same over the grain volume, 1/s.
    pub specific_airflow_1_s: Option<f64>,
    /// Static pressure there, Pa.
    pub static_pressure_pa: Option<f64>,
    /// Electric input there, W.
    pub input_power_w: Option<f64>,
    /// Deepest grain that gets the airflow wanted, m; null where none does.
    pub deepest_m: Option<f64>,
    /// Some motor above rating times service factor.
    pub overload: bool,
    /// Power rests on an estimate by kind of fan.
    pub power_estimated: bool,
}
