//! `air` without a site file: what an airflow asks of a fan, and which fans give it.

use advice::sizing::{Choice, Demand, Wanted};
use equipment::Outcome;
use job::catalogue::kind_word;
use notice::quantity::BUSHEL_M3;
use serde::Serialize;

/// Depths shown, the last the one wanted.
const DEPTHS: usize = 8;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
    /// The same in a reader's words.
    pub outcome_says: String,
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

impl Sizing {
    /// The answer from what was asked and what the fans of the invented catalogue do.
    pub fn of(wanted: &Wanted, crop: String, choices: &[Choice]) -> Self {
        let depths = (1..=DEPTHS).map(|i| wanted.depth * i as f64 / DEPTHS as f64);
        let mut fans: Vec<FanChoice> = choices.iter().map(|choice| FanChoice::of(choice, wanted)).collect();
        // Those that do it first, least power first: what a buyer looks for. Names settle ties.
        fans.sort_by(|a, b| {
            let key = |f: &FanChoice| f.input_power_w.unwrap_or(f64::INFINITY);
            (!a.reaches, &a.count).cmp(&(!b.reaches, &b.count)).then(key(a).total_cmp(&key(b))).then(a.fan.cmp(&b.fan))
        });
        let grain = wanted.area() * wanted.depth;
        Self {
            crop,
            diameter_m: wanted.diameter,
            depth_m: wanted.depth,
            area_m2: wanted.area(),
            grain_m3: grain,
            grain_bu: grain / BUSHEL_M3,
            specific_airflow_1_s: wanted.specific_airflow,
            packing: wanted.packing,
            pressure_pa: wanted.pressure,
            required: depths.map(|depth| Required::of(&wanted.demand(depth))).collect(),
            fans_that_reach: fans.iter().filter(|f| f.reaches).count(),
            fans,
            demo: true,
        }
    }
}

impl Required {
    fn of(demand: &Demand) -> Self {
        Self {
            depth_m: demand.depth,
            grain_m3: demand.grain,
            airflow_m3_s: demand.airflow,
            velocity_m_s: demand.velocity,
            static_pressure_pa: demand.static_pressure(),
            grain_pressure_pa: demand.grain_pressure,
            floor_pressure_pa: demand.floor_pressure,
            air_power_w: demand.air_power(),
            shaft_power_estimate_w: demand.shaft_power(),
        }
    }
}

impl FanChoice {
    fn of(choice: &Choice, wanted: &Wanted) -> Self {
        let flows = choice.airflow > 0.0;
        Self {
            fan: choice.fan.id.clone(),
            kind: kind_word(choice.fan.kind).into(),
            count: choice.count,
            motor_power_w: choice.fan.motor_power,
            reaches: choice.reaches,
            outcome: outcome(choice.outcome).into(),
            outcome_says: advice::air::outcome_says(choice.outcome).into(),
            airflow_m3_s: flows.then_some(choice.airflow),
            specific_airflow_1_s: flows.then(|| choice.airflow / (wanted.area() * wanted.depth)),
            static_pressure_pa: flows.then_some(choice.pressure),
            input_power_w: flows.then_some(choice.input_power),
            deepest_m: choice.deepest,
            overload: choice.flags.overload,
            power_estimated: choice.flags.estimated_power,
        }
    }
}

fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Works => "works",
        Outcome::HeldBelowFirst => "below-first-point",
        Outcome::Unstable => "unstable",
        Outcome::BeyondCurve => "beyond-curve",
        Outcome::Off => "off",
    }
}
