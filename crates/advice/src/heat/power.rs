//! Motors and wires: what the fans ask at every hour of the seasons, and what service, feeder and generator make of it.
//!
//! Running figures (power, currents by load) and the code's currents are kept apart: the first say what flows and costs, the
//! second size conductors and protection. Without a burner, and for all lots in unless said; cold dense air is what loads a motor.
//!
//! # Caution
//! A licensed electrician and the local code decide on every circuit, and the utility on its service.

use super::barometric;
use crate::air::{DESIGN_AIR, FILLS};
use equipment::motor_load::{LoadVerdict, MotorLoad, MotorPlate, SINGLE_PHASE_EFFICIENCY, altitude_rating};
use equipment::{AirConditions, AirPoint, Fan, GrainTerms, wiring};
use job::facts::PowerFacts;
use job::{BinJob, Job};
use notice::{Kind, Phrase, Quantity, Remark, Remarks, Source, Status};
use physics::electric::{self, GeneratorLoad, Phases};

/// Power factor of a locked rotor (judgement: a usual figure).
const LOCKED_POWER_FACTOR: f64 = 0.4;
/// Power factor that generators are rated for (common practice, no source).
pub const GENERATOR_POWER_FACTOR: f64 = 0.8;
/// Steps of the series against outdoor temperature, K.
const STEP: f64 = 5.0;
/// What the plate is taken to be where nothing is said of the supply; currents are not shown then.
const UNSAID: (f64, Phases) = (230.0, Phases::Three);

/// A motor at one working point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorPoint {
    /// Outside air, °C.
    pub temperature: f64,
    /// Density at the fan inlet, kg/m³.
    pub density: f64,
    /// Share of the lots that is in.
    pub fill: f64,
    /// Power at the shaft, W.
    pub shaft: f64,
    /// What the motor draws.
    pub load: MotorLoad,
}

/// One kind of motor of a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Motor {
    /// Fan of the catalogue.
    pub fan: String,
    /// How many alike.
    pub count: usize,
    /// The plate: efficiency by the catalogue, power factor usual.
    pub plate: MotorPlate,
    /// In the hour that loads it most, all lots in.
    pub most: MotorPoint,
    /// In the middle hour by load.
    pub usual: MotorPoint,
    /// In the air of the most loaded hour at the fill that loads it most.
    pub worst_fill: MotorPoint,
    /// Hours above its rating, and above rating times service factor.
    pub above: (usize, usize),
    /// Full-load current of the code's table, A; none without a supply or beyond the table.
    pub code_current: Option<f64>,
    /// Code letter taken for the start.
    pub code_letter: char,
    /// Current of the locked rotor, A: from, to; none without a supply.
    pub locked_rotor: Option<(f64, f64)>,
    /// Apparent power at start, VA: upper end of the letter, for a supply must bear what may come.
    pub starting: f64,
}

/// Motor load at an outdoor temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtTemperature {
    /// Outside air, °C.
    pub temperature: f64,
    /// Density at the fan inlet, kg/m³.
    pub density: f64,
    /// Most loaded motor over its rating.
    pub load: f64,
    /// Power at all shafts, W.
    pub shaft: f64,
    /// Electric power of all fans by their efficiency at that load, W.
    pub input: f64,
    /// Running current of all fans, A; none without a supply.
    pub current: Option<f64>,
}

/// The motors of a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct BinPower {
    /// Hours looked at, of all years.
    pub hours: usize,
    /// Motors, each kind once.
    pub motors: Vec<Motor>,
    /// Against outdoor temperature, rising, all lots in.
    pub by_temperature: Vec<AtTemperature>,
    /// Largest electric power in each year and month between first load and goal: year, month 1 to 12, W.
    pub peaks: Vec<(i32, u8, f64)>,
    /// Electric power of stirring and electric heat beside the fans, W.
    pub beside: f64,
}

impl BinPower {
    /// Electric power of all fans in the hour that loads them most, W.
    pub fn largest_input(&self) -> f64 {
        self.motors.iter().map(|m| m.count as f64 * m.most.load.input).sum()
    }
}

/// Efficiency is that of the seasons: the catalogue's, or where it is silent, what the site file made of it by its phases.
fn plate(fan: &Fan, supply: Option<&PowerFacts>) -> MotorPlate {
    let (volts, phases) = supply.map_or(UNSAID, |s| (s.volts, s.phases));
    let usual = MotorPlate::usual(fan.motor_power, volts, phases);
    MotorPlate { efficiency: fan.motor_efficiency, service_factor: fan.service_factor, ..usual }
}

struct Bench<'a> {
    bin: &'a BinJob,
    plates: Vec<MotorPlate>,
}

impl Bench<'_> {
    fn point(&self, (t, w, p): (f64, f64, f64), fill: f64) -> AirPoint {
        let grain = GrainTerms {
            law: self.bin.template.grain.resistance,
            effective_depth: fill * self.bin.survey.depth(),
            velocity_range: None,
        };
        self.bin.template.system.solve(&AirConditions::ambient(t, w, p, self.plates.len()), &grain)
    }

    fn motor(&self, index: usize, point: &AirPoint, temperature: f64, fill: f64) -> MotorPoint {
        let shaft = point.members[index].shaft_power;
        MotorPoint { temperature, density: point.inlet_density, fill, shaft, load: self.plates[index].at(shaft) }
    }

    fn input(&self, point: &AirPoint) -> f64 {
        self.plates.iter().zip(&point.members).map(|(plate, m)| plate.at(m.shaft_power).input).sum()
    }
}

/// Works out the motors of a bin over the hours of all its seasons; nothing without weather.
pub fn of(job: &Job, bin: &BinJob, remarks: &mut Remarks) -> Option<BinPower> {
    let supply = job.power.as_ref();
    let fans = bin.template.system.outfit.fans();
    let bench = Bench { bin, plates: fans.iter().map(|fan| plate(fan, supply)).collect() };
    let mut hours: Vec<((f64, f64, f64), AirPoint)> = Vec::new();
    let mut peaks: Vec<(i32, u8, f64)> = Vec::new();
    for (year, case) in &bin.years {
        let weather = &case.weather;
        let until = (case.programme.by - weather.start).max(0) as usize;
        for i in 0..until.min(weather.temperature.len()) {
            let air = (weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]);
            let point = bench.point(air, 1.0);
            let (input, month) = (bench.input(&point), weather.month.get(i).copied().unwrap_or(0));
            match peaks.last_mut().filter(|peak| (peak.0, peak.1) == (*year, month)) {
                Some(peak) => peak.2 = peak.2.max(input),
                None => peaks.push((*year, month, input)),
            }
            hours.push((air, point));
        }
    }
    if hours.is_empty() {
        return None;
    }
    let mut motors: Vec<Motor> = Vec::new();
    for (index, fan) in fans.iter().enumerate() {
        if fans[..index].iter().any(|other| other.id == fan.id) && bench.alike() {
            continue;
        }
        let count = if bench.alike() { fans.iter().filter(|other| other.id == fan.id).count() } else { 1 };
        motors.push(bench.one(index, fan, count, &hours, supply));
    }
    let stirring = bin.template.operations.stirring.map_or(0.0, |s| s.power);
    let electric = bin.template.burner.as_ref().filter(|b| b.fuel == equipment::Fuel::Electric);
    let beside = stirring + electric.map_or(0.0, |b| b.capacity);
    let by_temperature = bench.series(&hours, barometric(job), supply);
    remark(job, &motors, hours.len(), remarks);
    Some(BinPower { hours: hours.len(), motors, by_temperature, peaks, beside })
}

impl Bench<'_> {
    /// Fans in parallel share the pressure, so that fans alike have one working point; in series each has its own air.
    fn alike(&self) -> bool {
        self.bin.template.system.outfit.arrangement() == equipment::Arrangement::Parallel
    }

    fn one(
        &self,
        index: usize,
        fan: &Fan,
        count: usize,
        hours: &[((f64, f64, f64), AirPoint)],
        supply: Option<&PowerFacts>,
    ) -> Motor {
        let plate = self.plates[index];
        let mut order: Vec<usize> = (0..hours.len()).collect();
        let shaft = |i: &usize| hours[*i].1.members[index].shaft_power;
        order.sort_by(|a, b| shaft(a).total_cmp(&shaft(b)).then(a.cmp(b)));
        let at = |i: usize| self.motor(index, &hours[i].1, hours[i].0.0, 1.0);
        let hardest = order[order.len() - 1];
        let most = at(hardest);
        let worst_fill = FILLS
            .iter()
            .map(|fill| self.motor(index, &self.point(hours[hardest].0, *fill), hours[hardest].0.0, *fill))
            .max_by(|a, b| a.shaft.total_cmp(&b.shaft))
            .unwrap_or(most);
        let above = |limit: f64| order.iter().filter(|i| shaft(i) > limit * (1.0 + 1e-9)).count();
        let letter = supply.and_then(|s| s.code_letter).unwrap_or_else(|| electric::usual_code_letter(plate.rated));
        let (low, high) = electric::code_letter(letter).unwrap_or((0.0, 0.0));
        let high = if high.is_finite() { high } else { low };
        let rotor = |kva: f64| electric::locked_rotor_current(plate.rated, kva, plate.volts, plate.phases);
        Motor {
            fan: fan.id.clone(),
            count,
            plate,
            most,
            usual: at(order[order.len() / 2]),
            worst_fill,
            above: (above(plate.rated), above(plate.rated * plate.service_factor)),
            code_current: supply.and_then(|_| wiring::code_current(plate.rated, plate.volts, plate.phases)),
            code_letter: letter,
            locked_rotor: supply.map(|_| (rotor(low), rotor(high))),
            starting: high * 1000.0 * plate.rated / equipment::motor::HORSEPOWER,
        }
    }

    fn series(
        &self,
        hours: &[((f64, f64, f64), AirPoint)],
        pressure: f64,
        supply: Option<&PowerFacts>,
    ) -> Vec<AtTemperature> {
        let coldest = hours.iter().map(|h| h.0.0).fold(f64::INFINITY, f64::min);
        let warmest = hours.iter().map(|h| h.0.0).fold(f64::NEG_INFINITY, f64::max);
        let (first, last) = ((coldest / STEP).floor() as i32, (warmest / STEP).ceil() as i32);
        let at = |k: i32| {
            let t = f64::from(k) * STEP;
            let w = physics::air::humidity_ratio(pressure, DESIGN_AIR.1 * physics::air::saturation_pressure(t));
            let point = self.point((t, w, pressure), 1.0);
            let loads: Vec<MotorLoad> =
                self.plates.iter().zip(&point.members).map(|(plate, m)| plate.at(m.shaft_power)).collect();
            AtTemperature {
                temperature: t,
                density: point.inlet_density,
                load: loads.iter().map(|l| l.load).fold(0.0, f64::max),
                shaft: point.shaft_power,
                input: loads.iter().map(|l| l.input).sum(),
                current: supply.map(|_| loads.iter().map(|l| l.current).sum()),
            }
        };
        (first..=last).map(at).collect()
    }
}

fn share(v: f64) -> Quantity {
    Quantity::new(v, Kind::Fraction)
}

fn remark(job: &Job, motors: &[Motor], hours: usize, remarks: &mut Remarks) {
    let rating = altitude_rating(job.place.elevation);
    for motor in motors {
        let temperature = Quantity::new(motor.most.temperature, Kind::Temperature);
        match motor.most.load.judged {
            LoadVerdict::Within => {}
            LoadVerdict::InServiceFactor => remarks.add(Remark::new(
                "motor-in-service-factor",
                Phrase::new(
                    "the motor of fan {fan} runs at up to {load} of its rating, in dense air of {temperature}: inside its service factor, \
                     with no room left for low voltage, heat or altitude",
                )
                .text("fan", &motor.fan)
                .with("load", share(motor.most.load.load))
                .with("temperature", temperature),
            )),
            LoadVerdict::Over => remarks.add(Remark::new(
                "motor-over",
                Phrase::new(
                    "the motor of fan {fan} would run at {load} of its rating in dense air of {temperature}, above its service factor of \
                     {factor} in {hours} h of {of} h: its overload trips, the fan stands just when the air is coldest, and a motor held \
                     there ages fast",
                )
                .text("fan", &motor.fan)
                .with("load", share(motor.most.load.load))
                .with("temperature", temperature)
                .with("factor", share(motor.plate.service_factor))
                .count("hours", motor.above.1)
                .count("of", hours),
            )),
        }
        if motor.worst_fill.fill < 1.0 && motor.worst_fill.load.judged == LoadVerdict::Over {
            let says = Phrase::new(
                "with {fill} of the lots in, the motor of fan {fan} would run at {load} of its rating: fill before it runs in the cold",
            )
            .with("fill", share(motor.worst_fill.fill))
            .text("fan", &motor.fan)
            .with("load", share(motor.worst_fill.load.load));
            remarks.add(Remark::new("motor-over-part-full", says));
        }
        if motor.plate.phases == Phases::Single && motor.plate.rated > wiring::LARGEST_SINGLE_PHASE * 1.001 {
            let says =
                Phrase::new("utilities usually take single-phase motors up to about {largest}; ask yours about {fan}")
                    .either("largest", "10 hp", "7.5 kW")
                    .text("fan", &motor.fan);
            let source = Source::new("cooperative and extension text", Status::Seen);
            remarks.add(Remark::new("large-for-one-phase", says).from_source(source));
        }
        if motor.code_current.is_none() && job.power.is_some() {
            let says = Phrase::new("the code's tables as copied here hold no motor of the size of {fan} at {volts}")
                .text("fan", &motor.fan)
                .with("volts", Quantity::new(motor.plate.volts, Kind::Voltage));
            remarks.add(Remark::new("no-code-current", says));
        }
    }
    if motors.iter().any(|m| m.plate.phases == Phases::Single && m.plate.efficiency == SINGLE_PHASE_EFFICIENCY) {
        let says = Phrase::new(
            "motors of one phase whose efficiency no catalogue gives are taken as farm motors, {efficiency} at full load, here and in \
             seasons",
        )
        .with("efficiency", share(SINGLE_PHASE_EFFICIENCY));
        remarks.add(
            Remark::new("single-phase-efficiency", says)
                .from_source(Source::new("0.72 to 0.85 for farm motors of 1 to 15 hp", Status::Memory)),
        );
    }
    if rating < 1.0 {
        let says = Phrase::new("at this elevation a motor keeps about {share} of its rating: thin air cools it less")
            .with("share", share(rating));
        remarks.add(
            Remark::new("motor-altitude", says)
                .from_source(Source::new("1 % for each 100 m above 1000 m, rule of the trade", Status::Memory)),
        );
    }
}

/// What the whole site draws, with everything on at once.
#[derive(Debug, Clone, PartialEq)]
pub struct SitePower {
    /// The supply as it was said.
    pub supply: PowerFacts,
    /// Electric power of everything in the hours that load it most, W.
    pub running: f64,
    /// The same with reactive power, VA.
    pub apparent: f64,
    /// Running current, A.
    pub current: f64,
    /// Rated power of all motors, W at the shafts.
    pub rated: f64,
    /// Code currents of all motors with a quarter of the largest added, and the other load; A.
    pub code_current: Option<f64>,
    /// Voltage the feeder loses while all run, share; and while the largest starts last.
    pub drop: Option<(f64, f64)>,
    /// Current while the largest starts last, A.
    pub starting_current: f64,
    /// What a generator would have to carry; starting in VA.
    pub generator: GeneratorLoad,
    /// Rating a generator for that needs by its usual power factor, VA: the larger of running and starting.
    pub generator_rating: f64,
}

/// Peaks of months and what they cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Month 1 to 12, mean of the years' largest power in it, and the largest of all, W.
    pub months: Vec<(u8, f64, f64)>,
    /// Demand charge of a year's months between first load and goal, mean and highest; none without a price.
    pub cost: Option<(f64, f64)>,
}

/// Works out the site's electricity; nothing where nothing is said of the supply.
pub fn site(job: &Job, bins: &[&BinPower], remarks: &mut Remarks) -> Option<SitePower> {
    let supply = job.power.clone()?;
    let motors: Vec<&Motor> = bins.iter().flat_map(|bin| &bin.motors).collect();
    let beside: f64 = bins.iter().map(|bin| bin.beside).sum::<f64>() + supply.other;
    let active: f64 = motors.iter().map(|m| m.count as f64 * m.most.load.input).sum();
    let reactive: f64 = motors.iter().map(|m| m.count as f64 * reactive(&m.most.load)).sum();
    let running = active + beside;
    let apparent = running.hypot(reactive);
    let power_factor = if apparent > 0.0 { running / apparent } else { 1.0 };
    let current = electric::current(running, supply.volts, power_factor.max(0.05), supply.phases);
    let largest = motors.iter().max_by(|a, b| a.plate.rated.total_cmp(&b.plate.rated));
    let (largest_input, starting) = largest.map_or((0.0, 0.0), |m| (m.most.load.input, m.starting));
    let locked = starting / (supply.phases.power_factor_of_wires() * supply.volts);
    let others = current - largest.map_or(0.0, |m| m.most.load.current);
    let generator = electric::generator_load(running, largest_input, starting);
    let codes: Option<Vec<f64>> = motors.iter().map(|m| m.code_current.map(|c| c * m.count as f64)).collect();
    let highest = motors.iter().filter_map(|m| m.code_current).fold(0.0, f64::max);
    let code_current = codes.map(|all| {
        all.iter().sum::<f64>()
            + (wiring::CONDUCTOR_FACTOR - 1.0) * highest
            + electric::current(beside, supply.volts, 1.0, supply.phases)
    });
    let lost = |current: f64, power_factor: f64, feeder: &job::facts::FeederFacts| {
        let (length, r) = (feeder.length, feeder.resistance);
        electric::voltage_drop(current, length, r, wiring::REACTANCE, power_factor, supply.phases) / supply.volts
    };
    let drop = supply.feeder.as_ref().map(|feeder| {
        let runs = lost(current, power_factor, feeder);
        (runs, lost(others, power_factor, feeder) + lost(locked, LOCKED_POWER_FACTOR, feeder))
    });
    let found = SitePower {
        running,
        apparent,
        current,
        rated: motors.iter().map(|m| m.count as f64 * m.plate.rated).sum(),
        code_current,
        drop,
        starting_current: others + locked,
        generator_rating: (running / GENERATOR_POWER_FACTOR).max(generator.starting),
        generator,
        supply,
    };
    remark_site(&found, remarks);
    Some(found)
}

fn reactive(load: &MotorLoad) -> f64 {
    if load.power_factor <= 0.0 {
        return 0.0;
    }
    load.input * (1.0 / (load.power_factor * load.power_factor) - 1.0).max(0.0).sqrt()
}

fn remark_site(site: &SitePower, remarks: &mut Remarks) {
    let ampere = |v: f64| Quantity::new(v, Kind::Current);
    let code_notes = || Source::new("NEC notes, as quoted", Status::Seen);
    if let Some(service) = site.supply.service {
        if site.current > service {
            let says = Phrase::new(
                "everything on draws {current}, more than the service of {service}: its main trips; ask the utility before a fan is bought",
            )
            .with("current", ampere(site.current))
            .with("service", ampere(service));
            remarks.add(Remark::new("service-short", says));
        } else if let Some(code) = site.code_current.filter(|code| *code > service) {
            let says = Phrase::new(
                "the code's currents of all motors with a quarter of the largest added come to {code}, above the service of {service}: an \
                 electrician decides whether it must grow",
            )
            .with("code", ampere(code))
            .with("service", ampere(service));
            remarks.add(Remark::new("service-by-code", says).from_source(Source::new(
                "NEC 430.24, sum of code currents plus a quarter of the largest",
                Status::Memory,
            )));
        }
    }
    if let Some((running, starting)) = site.drop {
        if running > wiring::SUGGESTED_DROP.1 {
            let says = Phrase::new(
                "the feeder takes {drop} of the voltage while everything runs, above the {suggested} that notes of the code suggest for \
                 feeder and branch together: motors run hotter, start slowly and trip; a larger conductor or a nearer transformer",
            )
            .with("drop", share(running))
            .with("suggested", share(wiring::SUGGESTED_DROP.1));
            remarks.add(Remark::new("feeder-drop", says).from_source(code_notes()));
        } else if running > wiring::SUGGESTED_DROP.0 {
            let says = Phrase::new(
                "the feeder takes {drop} of the voltage, which leaves the branches {left} of the suggested {suggested}",
            )
            .with("drop", share(running))
            .with("left", share(wiring::SUGGESTED_DROP.1 - running))
            .with("suggested", share(wiring::SUGGESTED_DROP.1));
            remarks.add(Remark::new("feeder-drop-near", says).from_source(code_notes()));
        }
        if starting > 0.15 {
            let says = Phrase::new(
                "while the largest motor starts the feeder takes {drop} of the voltage: lights dip, contactors may fall out and the motor \
                 may not come up",
            )
            .with("drop", share(starting));
            remarks.add(Remark::new("start-dip", says));
        }
    }
    if let Some(generator) = site.supply.generator {
        let power = |v: f64| Quantity::new(v, Kind::ElectricPower);
        if site.running > generator {
            let says =
                Phrase::new("the generator of {has} cannot carry the {needs} of everything on: run fewer fans at once")
                    .with("has", power(generator))
                    .with("needs", power(site.running));
            remarks.add(Remark::new("generator-short", says));
        } else if site.generator.starting > generator / GENERATOR_POWER_FACTOR {
            let says = Phrase::new(
                "starting the largest motor last asks {needs}, above the {has} of the generator at its usual power factor: it may stall: \
                 start softly or take a larger one; the largest first helps only where that motor alone asks less",
            )
            .with("needs", Quantity::new(site.generator.starting, Kind::ApparentPower))
            .with("has", Quantity::new(generator / GENERATOR_POWER_FACTOR, Kind::ApparentPower));
            remarks.add(Remark::new("generator-start", says));
        }
    }
}

/// Monthly peaks of all bins together, other load counted, at a price per W and month.
pub fn demand(job: &Job, bins: &[&BinPower]) -> Demand {
    let beside: f64 =
        bins.iter().map(|b| b.beside).sum::<f64>() + job.power.as_ref().map_or(0.0, |supply| supply.other);
    let mut of: Vec<((i32, u8), f64)> = Vec::new();
    for (year, month, watts) in bins.iter().flat_map(|b| &b.peaks) {
        match of.iter_mut().find(|(key, _)| *key == (*year, *month)) {
            Some((_, sum)) => *sum += watts,
            None => of.push(((*year, *month), *watts)),
        }
    }
    let mut months: Vec<(u8, f64, f64)> = Vec::new();
    for month in 1..=12u8 {
        let all: Vec<f64> = of.iter().filter(|(key, _)| key.1 == month).map(|(_, w)| w + beside).collect();
        if let Some(mean) = numerics::quantile::mean(&all) {
            months.push((month, mean, all.iter().copied().fold(0.0, f64::max)));
        }
    }
    let cost = job.prices.as_ref().and_then(|p| p.costs.demand).and_then(|price| {
        let mut years: Vec<i32> = of.iter().map(|(key, _)| key.0).collect();
        years.sort_unstable();
        years.dedup();
        let sums: Vec<f64> = years
            .iter()
            .map(|year| of.iter().filter(|(key, _)| key.0 == *year).map(|(_, w)| (w + beside) * price).sum())
            .collect();
        Some((numerics::quantile::mean(&sums)?, sums.iter().copied().fold(0.0, f64::max)))
    });
    Demand { months, cost }
}
