//! What falls out before any season is run, each with its reason and the number behind it.
//!
//! # Caution
//! What is kept here is not thereby allowed: gas, wiring, roofs and noise are for local codes and licensed practice.

use super::field::{Candidate, Field, Setting};
use crate::air::DESIGN_AIR;
use crate::heat::sound::fan_type;
use equipment::{AirConditions, AirPoint, Fuel, GrainTerms, wiring};
use job::BinJob;
use job::choose::{Quiet, Supply};
use job::facts::Amount;
use notice::{Kind, Phrase, Quantity};
use numerics::root::brent;
use physics::{air, fan_sound, sound};
use season::CarryOver;

/// How many times over the air of every year must be able to carry the water before an outfit is run at all: a bound on bounds,
/// since air never leaves saturated to the last day (judgement).
const CARRYING_MARGIN: f64 = 1.5;
/// A burner that gives less than this part of the rise it is asked falls out (judgement: by a wide margin).
const LEAST_FIRE: f64 = 0.5;
/// Highest headspace pressure, Pa: four times what vents are laid out for (judgement; the roof's maker decides).
const HEADSPACE: f64 = 4.0 * equipment::roof::DESIGN_PRESSURE;

/// Why an outfit falls out.
#[derive(Debug, Clone, PartialEq)]
pub enum Reason {
    /// The setting cannot be: in the words of the site's reader.
    Setting(String),
    /// The fans stall: static pressure, Pa, and the highest of their curve.
    Stall(f64),
    /// The fans are beyond their curve: no airflow.
    Beyond,
    /// A motor above its rating times service factor: load over rating.
    Overload(f64),
    /// Air that cannot carry the water in any year: share it can carry in the best of them.
    TooLittleAir(f64),
    /// Headspace pressure under the roof, Pa.
    Roof(f64),
    /// Code current, A, against what there is.
    Amperes(f64, f64),
    /// No such motor for this supply.
    NoMotor,
    /// A burner without fuel.
    NoFuel,
    /// A burner that gives this share of the rise it is asked.
    ShortBurner(f64),
    /// Sound at the house even at the lower end of the estimate, dB(A), against the limit.
    Sound(f64, f64),
    /// First cost against the budget.
    Budget(f64, f64),
    /// A piece without a price, where others have one: it would be weighed as if it were given away.
    NoPrice,
    /// Grain that would be taken each day, kg, against the harvest.
    Harvest(f64, f64),
}

impl Reason {
    /// Stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Setting(_) => "setting",
            Self::Stall(_) => "stall",
            Self::Beyond => "beyond-curve",
            Self::Overload(_) => "overload",
            Self::TooLittleAir(_) => "too-little-air",
            Self::Roof(_) => "roof",
            Self::Amperes(..) => "amperes",
            Self::NoMotor => "no-motor",
            Self::NoFuel => "no-fuel",
            Self::ShortBurner(_) => "short-burner",
            Self::Sound(..) => "sound",
            Self::Budget(..) => "budget",
            Self::NoPrice => "no-price",
            Self::Harvest(..) => "harvest",
        }
    }

    /// In words, with the number.
    pub fn says(&self) -> Phrase {
        let pressure = |pascal: f64| Quantity::new(pascal, Kind::Pressure);
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        match self {
            Self::Setting(found) => Phrase::new("cannot be set so: {found}").text("found", found),
            Self::Stall(at) => Phrase::new("stalls at {pressure}, the bin full").with("pressure", pressure(*at)),
            Self::Beyond => Phrase::new("beyond its curve, the bin full: no airflow to rely on"),
            Self::Overload(load) => Phrase::new("motor at {load} of its rating").text("load", percent(*load)),
            Self::TooLittleAir(share) => {
                Phrase::new("too little air: it could carry {share} of the water in the best year")
                    .text("share", percent(*share))
            }
            Self::Roof(at) => Phrase::new("{pressure} under the roof: vents too small for this airflow")
                .with("pressure", pressure(*at)),
            Self::Amperes(amps, there) => {
                Phrase::new(format!("{amps:.0} A by the code's table, {there:.0} A left for this bin"))
            }
            Self::NoMotor => Phrase::new("no motor of this size for this supply"),
            Self::NoFuel => Phrase::new("burns fuel where there is none"),
            Self::ShortBurner(share) => {
                Phrase::new("burner gives {share} of the rise it is asked").text("share", percent(*share))
            }
            Self::Sound(level, limit) => {
                Phrase::new(format!("at least {level:.0} dB(A) at the house, {limit:.0} allowed"))
            }
            Self::Budget(cost, budget) => Phrase::new(format!("first cost {cost:.0}, budget {budget:.0}")),
            Self::NoPrice => Phrase::new("a piece has no price in [prices.equipment], where others have one"),
            Self::Harvest(takes, comes) => Phrase::new("takes {takes} a day, {comes} come from the field")
                .with("takes", Quantity::new(*takes, Kind::Mass))
                .with("comes", Quantity::new(*comes, Kind::Mass)),
        }
    }
}

/// An outfit that fell out.
#[derive(Debug, Clone, PartialEq)]
pub struct Excluded {
    /// Number of the candidate.
    pub candidate: usize,
    /// Its name.
    pub name: String,
    /// Why: the first of the reasons, in the order air, water, supply, money.
    pub reason: Reason,
}

/// The working point of an outfit, the bin full, in the air of [`DESIGN_AIR`].
pub fn working_point(field: &Field, candidate: &Candidate, elevation: f64) -> Option<AirPoint> {
    let bin = field.setting(candidate).bin.as_ref().ok()?;
    let system = field.system(candidate)?;
    let pressure = air::standard_pressure(elevation);
    let w = air::humidity_ratio(pressure, DESIGN_AIR.1 * air::saturation_pressure(DESIGN_AIR.0));
    let grain = GrainTerms {
        law: bin.template.grain.resistance,
        effective_depth: bin.survey.depth(),
        velocity_range: bin.velocity_range,
    };
    Some(system.solve(&AirConditions::ambient(DESIGN_AIR.0, w, pressure, candidate.fans.len()), &grain))
}

/// The working point of a bin with the outfit that stands there, full as its lots say, in the air of [`DESIGN_AIR`].
pub fn working_point_of(bin: &BinJob, elevation: f64) -> AirPoint {
    let pressure = air::standard_pressure(elevation);
    let w = air::humidity_ratio(pressure, DESIGN_AIR.1 * air::saturation_pressure(DESIGN_AIR.0));
    let grain = GrainTerms {
        law: bin.template.grain.resistance,
        effective_depth: bin.survey.depth(),
        velocity_range: bin.velocity_range,
    };
    let system = &bin.template.system;
    system.solve(&AirConditions::ambient(DESIGN_AIR.0, w, pressure, system.outfit.fans().len()), &grain)
}

/// Connected load by the code's table of currents, A; `None` where it knows no such motor.
pub fn code_current(candidate: &Candidate, supply: &Supply) -> Option<f64> {
    candidate.fans.iter().map(|fan| wiring::code_current(fan.motor_power, supply.volts, supply.phases)).sum()
}

/// Estimated sound of the outfit's fans at the house, dB(A), good to ± [`fan_sound::UNCERTAINTY`].
pub fn sound_at(candidate: &Candidate, point: &AirPoint, quiet: &Quiet) -> f64 {
    let spread = sound::distance_term(quiet.distance, quiet.surroundings);
    let levels: Vec<f64> = candidate
        .fans
        .iter()
        .zip(&point.members)
        .map(|(fan, member)| {
            let (flow, pressure) = (member.airflow.max(1e-3), member.pressure.max(1.0));
            fan_sound::by_bands(fan_type(fan.kind), flow, pressure, 0.0).a_weighted() + spread
        })
        .collect();
    sound::sum(&levels)
}

/// Most water that a kg/s of outside air could carry off in each year of a bin until the goal (in spring where it may wait), kg, and
/// the hours of it: air that leaves saturated, adiabatically.
pub fn carrying(bin: &BinJob) -> Vec<(f64, f64)> {
    // Every third hour stands for three: a sum of thousands of hours.
    const EVERY: usize = 3;
    bin.years
        .iter()
        .map(|(_, case)| {
            let weather = &case.weather;
            let end = match case.programme.carry_over {
                CarryOver::Never => case.programme.by,
                CarryOver::CoolAndHold { .. } => case.programme.hold_until,
            };
            let hours = ((end - weather.start).max(0) as usize).min(weather.temperature.len());
            let carried = (0..hours)
                .step_by(EVERY)
                .map(|i| saturating(weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]))
                .sum::<f64>();
            (carried * EVERY as f64 * 3600.0, hours as f64)
        })
        .collect()
}

/// Water that air takes up until it is saturated at constant enthalpy, kg/kg.
fn saturating(t: f64, w: f64, pressure: f64) -> f64 {
    let enthalpy = air::enthalpy(t, w);
    let over = |x: f64| air::enthalpy(x, air::humidity_ratio(pressure, air::saturation_pressure(x))) - enthalpy;
    let wet = brent(over, t - 40.0, t, 1e-3).unwrap_or(t);
    (air::humidity_ratio(pressure, air::saturation_pressure(wet)) - w).max(0.0)
}

/// Why a candidate falls out, if it does. `carrying` is that of its setting's filling, one for each year; `price` its
/// first cost, and whether pieces have to have one.
pub fn reason(
    field: &Field,
    candidate: &Candidate,
    point: Option<&AirPoint>,
    carrying: &[(f64, f64)],
    price: (Option<f64>, bool),
) -> Option<Reason> {
    let setting = field.setting(candidate);
    let bin = match &setting.bin {
        Ok(bin) => bin,
        Err(found) => return Some(Reason::Setting(found.clone())),
    };
    let Some(point) = point else { return Some(Reason::Beyond) };
    if point.flags.beyond_curve {
        return Some(Reason::Beyond);
    }
    if point.flags.unstable {
        return Some(Reason::Stall(point.fan_static_pressure));
    }
    if point.flags.overload {
        let load = candidate.fans.iter().zip(&point.members).map(|(fan, at)| at.shaft_power / fan.motor_power);
        return Some(Reason::Overload(load.fold(0.0, f64::max)));
    }
    if point.budget.vents > HEADSPACE {
        return Some(Reason::Roof(point.budget.vents));
    }
    water(setting, bin, point, carrying)
        .or_else(|| supply(field, candidate, point))
        .or_else(|| money(field, bin, price))
}

/// Heat and water: a burner far too small, air that can never carry what has to go.
fn water(setting: &Setting, bin: &BinJob, point: &AirPoint, carrying: &[(f64, f64)]) -> Option<Reason> {
    const LATENT: f64 = 2.4e6;
    let capacity = setting.burner.as_ref().map_or(0.0, |burner| burner.capacity);
    if let (Some(burner), equipment::BurnerRule::FixedRise(rise)) = (&setting.burner, setting.control.burner) {
        let share = burner.capacity / (point.dry_air_flow * air::SPECIFIC_HEAT_DRY_AIR * rise);
        if share < LEAST_FIRE {
            return Some(Reason::ShortBurner(share));
        }
    }
    let template = &bin.template;
    let before = physics::grain::dry_basis(bin.survey.moisture());
    let water = bin.survey.dry_matter() * (before - template.programme.target).max(0.0);
    if water <= 0.0 {
        return None;
    }
    let heat = point.fan_heat * point.dry_air_flow * air::SPECIFIC_HEAT_DRY_AIR + capacity;
    let best = carrying
        .iter()
        .map(|(carried, hours)| (carried * point.dry_air_flow + heat * hours * 3600.0 / LATENT) / water)
        .fold(0.0, f64::max);
    (best < CARRYING_MARGIN).then_some(Reason::TooLittleAir(best / CARRYING_MARGIN))
}

/// What the place gives: power, fuel, quiet.
fn supply(field: &Field, candidate: &Candidate, point: &AirPoint) -> Option<Reason> {
    let (allowed, setting) = (&field.allowed, field.setting(candidate));
    if let Some(supply) = &allowed.supply {
        match code_current(candidate, supply) {
            None => return Some(Reason::NoMotor),
            Some(amps) => {
                if let Some(there) = supply.amps.filter(|there| amps > *there) {
                    return Some(Reason::Amperes(amps, there));
                }
            }
        }
    }
    if !allowed.gas && setting.burner.as_ref().is_some_and(|burner| burner.fuel != Fuel::Electric) {
        return Some(Reason::NoFuel);
    }
    let quiet = allowed.quiet?;
    let level = sound_at(candidate, point, &quiet);
    let exceeded = sound::against_limit(level, fan_sound::UNCERTAINTY, quiet.level) == sound::LimitVerdict::Exceeded;
    exceeded.then_some(Reason::Sound(level - fan_sound::UNCERTAINTY, quiet.level))
}

/// Money and harvest.
fn money(field: &Field, bin: &BinJob, (first_cost, priced): (Option<f64>, bool)) -> Option<Reason> {
    let allowed = &field.allowed;
    match (first_cost, allowed.budget) {
        (None, _) if priced => return Some(Reason::NoPrice),
        (Some(cost), Some(budget)) if cost > budget => return Some(Reason::Budget(cost, budget)),
        _ => {}
    }
    let comes = match allowed.harvest_per_day? {
        Amount::WetMass(kg) => kg,
        Amount::Bushels(n) => n * bin.bushel.as_ref()?.mass,
        Amount::Depth(_) => return None,
    };
    let loads = &bin.years.first()?.1.loads;
    let (first, last) = (loads.first()?.hour, loads.last()?.hour);
    let days = ((last - first) / 24 + 1) as f64;
    let takes = bin.survey.wet_mass() / days;
    (takes < 0.999 * comes).then_some(Reason::Harvest(takes, comes))
}
