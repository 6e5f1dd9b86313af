//! A bin on the day of its readings: air, depth, fans and heat as far as they were read, the rest as planned.

use crate::field::motors::{self, MotorState};
use crate::field::plant::Plant;
use crate::field::questions;
use equipment::{AirConditions, Burner, Direction, Heat, Origin};
use job::BinJob;
use job::readings::{FuelFlow, Readings};
use notice::{Diagnostic, Diagnostics, Place};
use physics::air;
use physics::electric::Phases;
use std::collections::BTreeMap;

/// Relative humidity taken where none was read, and its standard uncertainty (judgement; it hardly matters to density).
const HUMIDITY: (f64, f64) = (0.70, 0.15);
/// Standard uncertainty of the barometer taken from the elevation, Pa: weather moves it by about 1 kPa.
const WEATHER_PRESSURE: f64 = 900.0;

/// Least depth with which readings tell anything of the grain, m: a foot.
const LEAST_DEPTH: f64 = 0.3048;

/// Standard uncertainties of what is planned, not read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanDoubt {
    /// Of the resistance of the grain as it lies, relative: packing, fines, moisture (judgement).
    pub resistance: f64,
    /// Of the airflow of the fan curves at a pressure, relative: half-width 5 % for certified tables; field points 5 %.
    pub flow: f64,
    /// Of the shaft power of the curves, relative: 3 %, or the band of an estimate.
    pub power: f64,
    /// Of the share of air lost between fan and grain (5 to 10 % is common, judgement; half of it is meant here).
    pub leak: f64,
    /// Of the heating value of the fuel and what of it reaches the air, relative: 2 % at most.
    pub heating_value: f64,
    /// Of motor efficiency, relative (judgement).
    pub efficiency: f64,
    /// Of the depth of grain, m.
    pub depth: f64,
    /// Of a tap that feels some of the jet, share of what it shows (judgement).
    pub tap: f64,
}

/// A bin on the day of its readings.
#[derive(Debug, Clone)]
pub struct Setup<'a> {
    /// The bin.
    pub bin: &'a BinJob,
    /// The readings.
    pub readings: &'a Readings,
    /// Outdoor air at the fans.
    pub air: AirConditions,
    /// Relative humidity used, and its standard uncertainty.
    pub humidity: (f64, f64),
    /// Barometer used, Pa, and its standard uncertainty.
    pub barometer: (f64, f64),
    /// The plan at the depth read (or planned) with the fans said to run.
    pub plant: Plant,
    /// Heat of the burner to the air, W: from the fuel read, else its full fire; 0 unlit.
    pub heat: f64,
    /// The same from the plan alone: full fire, 0 unlit.
    pub full_fire: f64,
    /// What is doubtful of the plan.
    pub doubt: PlanDoubt,
}

impl<'a> Setup<'a> {
    /// Puts readings to a bin.
    ///
    /// # Errors
    /// What of the readings cannot be of this bin: more fans than there are, a lit burner where there is none, a pressure
    /// about 25 times off (inches of water taken for millimetres or the reverse) or above what the fans can give, of the
    /// wrong sign, a depth the bin cannot hold, readings that contradict each other.
    pub fn of(
        bin: &'a BinJob,
        elevation: f64,
        readings: &'a Readings,
        places: &BTreeMap<String, Place>,
        file: &str,
    ) -> Result<Self, Diagnostics> {
        let at = |field: &str| places.get(field).cloned().unwrap_or_else(|| Place::file(file));
        let mut wrong = Diagnostics::default();
        let fans_there = bin.template.system.outfit.fans().len();
        let fans = readings.fans_running.unwrap_or(fans_there);
        if fans > fans_there {
            let found = format!("{fans} fans running at bin {}", bin.name);
            let allowed = format!("the site file gives it {fans_there}");
            wrong.add(Diagnostic::error("more-fans-than-there-are", found, at("state.fans_running")).allowed(allowed));
        }
        if readings.motors.len() > fans {
            let found = format!("{} motors read with {fans} fans running", readings.motors.len());
            let help = "give one row of amps and one speed for each running fan";
            wrong.add(Diagnostic::error("more-motors-than-fans", found, at("motors.amps")).help(help));
        }
        let burner = bin.template.burner.as_ref();
        if readings.burner_lit && burner.is_none() {
            let found = format!("burner lit at bin {}, which has none", bin.name);
            let help = "give bin.outfit a burner in the site file, or name another bin";
            wrong.add(Diagnostic::error("burner-not-there", found, at("state.burner")).help(help));
        }
        let humidity = match readings.humidity {
            Some(read) => (read, readings.instruments.humidity.standard(read)),
            None => HUMIDITY,
        };
        let barometer = match readings.barometer {
            Some(read) => (read, readings.instruments.barometer.standard(read)),
            None => (air::standard_pressure(elevation), WEATHER_PRESSURE),
        };
        let full_fire = burner.filter(|_| readings.burner_lit).map_or(0.0, |b| b.capacity);
        let heat = match (burner, readings.fuel) {
            (Some(burner), Some(flow)) if readings.burner_lit => match heat_of(burner, flow) {
                Some(heat) => heat,
                None => {
                    let found = "a fuel flow that does not belong to the burner".to_string();
                    let help = "liquid flows are of propane; an electric heater has amps and no fuel";
                    wrong.add(Diagnostic::error("fuel-of-another-burner", found, at("fuel.flow")).help(help));
                    full_fire
                }
            },
            _ => full_fire,
        };
        let doubt = PlanDoubt {
            resistance: 0.15,
            flow: bin.template.system.outfit.fans().iter().map(|f| flow_doubt(f.origin)).fold(0.0, f64::max),
            power: bin
                .template
                .system
                .outfit
                .fans()
                .iter()
                .map(|f| f.curve.power_band.map_or(0.03 / 3f64.sqrt(), |(low, high)| 0.5 * (high - low) / 3f64.sqrt()))
                .fold(0.0, f64::max),
            leak: 0.02,
            heating_value: 0.02 / 3f64.sqrt(),
            efficiency: 0.015,
            depth: readings.instruments.depth.standard(readings.depth.unwrap_or_default()),
            tap: 0.02,
        };
        let depth = readings.depth.unwrap_or_else(|| bin.survey.depth());
        // A bin holds grain up to the eave and the cone that its roof leaves room for.
        let roof = job::survey::drawn_roof(bin.template.bin.diameter);
        let most = bin.survey.eave + roof / 3.0;
        if readings.depth.is_some() && !(LEAST_DEPTH..=most * 1.02).contains(&depth) {
            let feet = |m: f64| format!("{:.1} ft ({m:.2} m)", m / 0.3048);
            let found = format!("grain {} deep in bin {}", feet(depth), bin.name);
            let allowed =
                format!("must be from {} to {}, the eave and a third of the roof", feet(LEAST_DEPTH), feet(most));
            let help =
                "measure from the floor to the levelled surface; a bin with less grain than that tells nothing of it";
            wrong.add(Diagnostic::error("depth-of-another-bin", found, at("state.depth")).allowed(allowed).help(help));
        }
        let mut setup = Self {
            bin,
            readings,
            air: AirConditions::ambient(readings.outdoor, 0.0, barometer.0, fans),
            humidity,
            barometer,
            plant: Plant::planned(depth, fans),
            heat,
            full_fire,
            doubt,
        };
        setup.air = setup.air_at(readings.outdoor, humidity.0, barometer.0);
        if !wrong.stop() {
            questions::ask(&setup, &at, &mut wrong);
        }
        if wrong.stop() { Err(wrong) } else { Ok(setup) }
    }

    /// Outdoor air of another temperature, humidity and pressure, with the side and water of the bin's burner.
    pub fn air_at(&self, temperature: f64, humidity: f64, pressure: f64) -> AirConditions {
        let vapour = humidity.clamp(0.0, 1.0) * air::saturation_pressure(temperature);
        let w = air::humidity_ratio(pressure, vapour);
        let heat = self.bin.template.burner.as_ref().map_or(Heat::NONE, |b| Heat {
            side: b.side,
            water_per_joule: b.water_per_joule(),
            ..Heat::NONE
        });
        AirConditions { heat, ..AirConditions::ambient(temperature, w, pressure, self.plant.fans) }
    }

    /// Whether air rises through the grain, so that the plenum feels the heat of fans and burner.
    pub fn blows(&self) -> bool {
        self.bin.template.system.direction == Direction::Pressure
    }

    /// A pressure against the open air as the mechanics count it: above it where fans blow, below it where they draw.
    pub fn of_fans(&self, pressure: f64) -> f64 {
        if self.blows() { pressure } else { -pressure }
    }

    /// Mean static pressure read at the taps, Pa above (or below, with suction) the open air, and its standard
    /// uncertainty: instrument, what the taps differ, and the tap itself.
    pub fn plenum_pressure(&self) -> Option<(f64, f64)> {
        let mean = self.of_fans(self.readings.plenum_pressure_mean()?);
        let list = &self.readings.plenum_pressure;
        let instrument = self.readings.instruments.pressure.standard(mean);
        let u = (instrument.powi(2) + spread(list).powi(2) + (self.doubt.tap * mean).powi(2)).sqrt();
        Some((mean, u))
    }

    /// Mean temperature of the plenum, °C, and its standard uncertainty.
    pub fn plenum_temperature(&self) -> Option<(f64, f64)> {
        let mean = self.readings.plenum_mean()?;
        let u = self.readings.instruments.temperature.standard(mean);
        Some((mean, (u.powi(2) + spread(&self.readings.plenum).powi(2)).sqrt()))
    }

    /// Electric input of all motors as volts, amps and power factor give it, W, with its standard uncertainty; `None` when
    /// not every running motor was read.
    pub fn input(&self) -> Option<(f64, f64)> {
        let read: Vec<MotorState> = motors::motors(self).into_iter().collect::<Option<_>>()?;
        let watts = read.iter().map(|m| m.input).sum::<f64>();
        // One meter reads all motors: their errors are one error.
        Some((watts, watts * read.first()?.relative))
    }

    /// Airflow of the traverse at the fan inlets, m³/s, with its standard uncertainty.
    pub fn traverse(&self) -> Option<(f64, f64)> {
        let density = air::density(self.air.temperature, self.air.humidity_ratio, self.air.pressure);
        let flow = self.readings.traverse.as_ref()?.airflow(density);
        Some((flow, self.readings.instruments.traverse.standard(flow)))
    }
}

/// Standard uncertainty of the mean of a list; 0 for fewer than two. The spread of two or three points tells little of itself:
/// it is widened by Student's factor at 68.27 % (Guide, G.3 and table G.2).
fn spread(list: &[f64]) -> f64 {
    let n = list.len() as f64;
    if n < 2.0 {
        return 0.0;
    }
    let mean = list.iter().sum::<f64>() / n;
    let few = STUDENT.get(list.len() - 2).copied().unwrap_or(1.0);
    few * (list.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n * (n - 1.0))).sqrt()
}

/// Student's factors at 68.27 % for 1, 2 … degrees of freedom, to 10.
const STUDENT: [f64; 10] = [1.84, 1.32, 1.20, 1.14, 1.11, 1.09, 1.08, 1.07, 1.06, 1.05];

/// Doubt of the airflow of a curve: half-width 5 % of certified tables (the upper end of 2.5 to 5 %, extension reference);
/// 5 % standard for points taken in the field (judgement).
fn flow_doubt(origin: Origin) -> f64 {
    match origin {
        Origin::Published | Origin::Invented => 0.05 / 3f64.sqrt(),
        Origin::FieldPoints => 0.05,
    }
}

/// Heat to the air of a fuel flow, W.
pub fn heat_of(burner: &Burner, flow: FuelFlow) -> Option<f64> {
    let fuel = burner.fuel.combustion()?;
    let invoiced = match flow {
        FuelFlow::Mass(kg) => kg * fuel.higher_heating_value,
        FuelFlow::Liquid(volume) => volume * fuel.liquid_density? * fuel.higher_heating_value,
        FuelFlow::Gas(volume) => volume * fuel.gas_heating_value,
    };
    Some(invoiced * fuel.lower_share() * burner.indirect_efficiency.unwrap_or(1.0))
}

/// Power factor of a motor from its current: the load at which a motor of that plate would draw it.
pub(super) fn power_factor(amps: f64, volts: f64, phases: Phases, rated: f64, efficiency: f64) -> f64 {
    let plate = equipment::motor_load::MotorPlate {
        efficiency,
        ..equipment::motor_load::MotorPlate::usual(rated, volts, phases)
    };
    let excess = |load: f64| plate.at(load * rated).current - amps;
    match numerics::root::brent(excess, 0.15, 1.6, 1e-6) {
        Ok(load) => plate.at(load * rated).power_factor,
        Err(_) => plate.power_factor,
    }
}
