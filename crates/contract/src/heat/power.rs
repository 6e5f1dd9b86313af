//! Motors and wires of a site.

use advice::heat::power::{AtTemperature, BinPower, Demand, GENERATOR_POWER_FACTOR, Motor, MotorPoint, SitePower};
use equipment::motor_load::LoadVerdict;
use physics::electric::Phases;
use serde::Serialize;

/// A motor at one working point.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MotorPointJson {
    /// Outside air, °C.
    pub ambient_c: f64,
    /// Density at the fan inlet, kg/m³.
    pub air_density_kg_m3: f64,
    /// Share of the lots that is in.
    pub fill: f64,
    /// Power at the shaft, W.
    pub shaft_power_w: f64,
    /// Over the rating.
    pub motor_load: f64,
    /// Efficiency at that load.
    pub efficiency: f64,
    /// Power factor at that load.
    pub power_factor: f64,
    /// Electric power, W.
    pub input_power_w: f64,
    /// Running current, A; null where nothing is said of the supply.
    pub running_a: Option<f64>,
    /// `within`, `in-service-factor`, `over`.
    pub judged: &'static str,
}

/// One kind of motor of a bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FanMotorJson {
    /// Fan.
    pub fan: String,
    /// How many alike.
    pub count: usize,
    /// Rated power at the shaft, W.
    pub rated_power_w: f64,
    /// Service factor.
    pub service_factor: f64,
    /// In the hour that loads it most, all lots in.
    pub most: MotorPointJson,
    /// In the middle hour.
    pub usual: MotorPointJson,
    /// In the air of the most loaded hour at the fill that loads it most.
    pub worst_fill: MotorPointJson,
    /// Hours above its rating.
    pub hours_above_rating: usize,
    /// Hours above rating times service factor.
    pub hours_above_service_factor: usize,
    /// Full-load current of the code's table, A: sizes conductors, not what flows; null without a supply or beyond the table.
    pub code_a: Option<f64>,
    /// Code letter taken for the start.
    pub code_letter: String,
    /// Current of the locked rotor, from, A; null without a supply.
    pub locked_rotor_low_a: Option<f64>,
    /// To, A.
    pub locked_rotor_high_a: Option<f64>,
}

/// Motor load at an outdoor temperature, all lots in.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LoadAtTemperatureJson {
    /// Outside air, °C.
    pub ambient_c: f64,
    /// Density at the fan inlet, kg/m³.
    pub air_density_kg_m3: f64,
    /// Most loaded motor over its rating.
    pub motor_load: f64,
    /// Power at all shafts, W.
    pub shaft_power_w: f64,
    /// Electric power of all fans, W.
    pub input_power_w: f64,
    /// Running current of all fans, A; null without a supply.
    pub running_a: Option<f64>,
}

/// The motors of a bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BinPowerJson {
    /// Hours between first load and goal, of all years.
    pub hours: usize,
    /// Motors, each kind once.
    pub motors: Vec<FanMotorJson>,
    /// Motor load against outdoor temperature, rising.
    pub by_temperature: Vec<LoadAtTemperatureJson>,
    /// Stirring and electric heat beside the fans, W.
    pub beside_w: f64,
}

impl BinPowerJson {
    /// The motors; `supplied` says whether a supply is known, without which there are no currents.
    pub fn of(power: &BinPower, supplied: bool) -> Self {
        Self {
            hours: power.hours,
            motors: power.motors.iter().map(|m| motor(m, supplied)).collect(),
            by_temperature: power.by_temperature.iter().map(at_temperature).collect(),
            beside_w: power.beside,
        }
    }
}

fn at_temperature(a: &AtTemperature) -> LoadAtTemperatureJson {
    LoadAtTemperatureJson {
        ambient_c: a.temperature,
        air_density_kg_m3: a.density,
        motor_load: a.load,
        shaft_power_w: a.shaft,
        input_power_w: a.input,
        running_a: a.current,
    }
}

fn motor(m: &Motor, supplied: bool) -> FanMotorJson {
    let point = |p: &MotorPoint| MotorPointJson {
        ambient_c: p.temperature,
        air_density_kg_m3: p.density,
        fill: p.fill,
        shaft_power_w: p.shaft,
        motor_load: p.load.load,
        efficiency: p.load.efficiency,
        power_factor: p.load.power_factor,
        input_power_w: p.load.input,
        running_a: supplied.then_some(p.load.current),
        judged: match p.load.judged {
            LoadVerdict::Within => "within",
            LoadVerdict::InServiceFactor => "in-service-factor",
            LoadVerdict::Over => "over",
        },
    };
    FanMotorJson {
        fan: m.fan.clone(),
        count: m.count,
        rated_power_w: m.plate.rated,
        service_factor: m.plate.service_factor,
        most: point(&m.most),
        usual: point(&m.usual),
        worst_fill: point(&m.worst_fill),
        hours_above_rating: m.above.0,
        hours_above_service_factor: m.above.1,
        code_a: m.code_current,
        code_letter: m.code_letter.to_string(),
        locked_rotor_low_a: m.locked_rotor.map(|r| r.0),
        locked_rotor_high_a: m.locked_rotor.map(|r| r.1),
    }
}

/// A month's largest power.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MonthPeakJson {
    /// Month, 1 to 12.
    pub month: u8,
    /// Mean over the years of the largest power in it, W.
    pub mean_w: f64,
    /// Largest of all years, W.
    pub largest_w: f64,
}

/// Peaks of months and what they cost.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DemandJson {
    /// Months between first load and goal.
    pub months: Vec<MonthPeakJson>,
    /// Demand charge of a season, mean of the years; null without a price of demand.
    pub cost_mean: Option<f64>,
    /// The same in the dearest year.
    pub cost_highest: Option<f64>,
    /// Currency of both.
    pub currency: Option<String>,
}

impl DemandJson {
    /// The demand of a site.
    pub fn of(demand: &Demand, currency: Option<&str>) -> Self {
        Self {
            months: demand
                .months
                .iter()
                .map(|&(month, mean_w, largest_w)| MonthPeakJson { month, mean_w, largest_w })
                .collect(),
            cost_mean: demand.cost.map(|c| c.0),
            cost_highest: demand.cost.map(|c| c.1),
            currency: demand.cost.and(currency.map(str::to_string)),
        }
    }
}

/// The site's electricity with everything on at once.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SitePowerJson {
    /// `single`, `three`.
    pub phases: &'static str,
    /// Volts between lines.
    pub volts: f64,
    /// Rated current of the service, A.
    pub service_a: Option<f64>,
    /// Electric power of everything, W.
    pub running_w: f64,
    /// The same with reactive power, VA.
    pub apparent_va: f64,
    /// Running current, A.
    pub running_a: f64,
    /// Rated power of all motors, W at the shafts.
    pub rated_w: f64,
    /// Code currents of all motors, a quarter of the largest added, and the other load, A.
    pub code_a: Option<f64>,
    /// Voltage the feeder loses while all run, share; null without a feeder.
    pub feeder_drop: Option<f64>,
    /// The same while the largest motor starts last.
    pub feeder_drop_starting: Option<f64>,
    /// Share that a feeder should not lose while all run, so that its branches keep theirs: notes of the code suggest it.
    pub feeder_drop_suggested: f64,
    /// Current while the largest motor starts last, A.
    pub starting_a: f64,
    /// Power while the largest motor starts last, VA.
    pub starting_va: f64,
    /// Rating that a generator needs, VA: an estimate.
    pub generator_rating_va: f64,
    /// Engine power for the running load, from, W.
    pub engine_low_w: f64,
    /// To, W.
    pub engine_high_w: f64,
    /// Generator that is there, W.
    pub generator_w: Option<f64>,
    /// Power factor that generators are rated for (common practice).
    pub generator_power_factor: f64,
    /// What the generator that is there gives at that power factor, VA.
    pub generator_va: Option<f64>,
}

impl SitePowerJson {
    /// The electricity of a site.
    pub fn of(site: &SitePower) -> Self {
        Self {
            phases: match site.supply.phases {
                Phases::Single => "single",
                Phases::Three => "three",
            },
            volts: site.supply.volts,
            service_a: site.supply.service,
            running_w: site.running,
            apparent_va: site.apparent,
            running_a: site.current,
            rated_w: site.rated,
            code_a: site.code_current,
            feeder_drop: site.drop.map(|d| d.0),
            feeder_drop_starting: site.drop.map(|d| d.1),
            feeder_drop_suggested: equipment::wiring::SUGGESTED_DROP.0,
            starting_a: site.starting_current,
            starting_va: site.generator.starting,
            generator_rating_va: site.generator_rating,
            engine_low_w: site.generator.engine.0,
            engine_high_w: site.generator.engine.1,
            generator_w: site.supply.generator,
            generator_power_factor: GENERATOR_POWER_FACTOR,
            generator_va: site.supply.generator.map(|watts| watts / GENERATOR_POWER_FACTOR),
        }
    }
}
