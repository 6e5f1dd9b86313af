//! Controls as pure functions: from what is seen at the start of a tick to which fans run and what the burner is asked.
//!
//! A control sees only its observation and its own small memory; no clock, no future. Leaves out stop rules and filling
//! programmes (crate `season`).

pub use crate::burner::BurnerCommand;
use crate::sensor::{AirReading, SensorError, SensorErrorsOfAir, SensorPlace};
use physics::isotherm::IsothermForm;

/// Lowest humidity that a humidistat's error can make of its setting.
const LEAST_HUMIDITY: f64 = 0.01;

/// What the bin is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// Loads still arrive.
    Filling,
    /// Drying.
    Drying,
    /// Cooling the grain down.
    Cooling,
    /// Holding dry grain.
    Holding,
}

/// What is seen at the start of a tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// Hour of the wall-clock day, 0–23, precomputed by `job`.
    pub hour_of_day: u8,
    /// Length of a tick, h.
    pub tick_hours: f64,
    /// Outside air.
    pub ambient: AirReading,
    /// Outside air plus the predicted heat of the fans: all that is known of the plenum while they stand.
    pub plenum_predicted: AirReading,
    /// Plenum after the fan, before a burner, while the fans run.
    pub plenum: Option<AirReading>,
    /// Plenum after fan and burner, while the fans run.
    pub plenum_heated: Option<AirReading>,
    /// Air leaving the grain, while the fans run.
    pub exhaust: Option<AirReading>,
    /// Mean moisture of the grain, fraction dry basis.
    pub grain_mean_moisture: f64,
    /// Moisture of the wettest probe, fraction dry basis.
    pub wettest_probe_moisture: f64,
    /// Mean grain temperature, °C.
    pub grain_temperature_mean: f64,
    /// Coldest probe, °C.
    pub grain_temperature_min: f64,
    /// Warmest probe, °C.
    pub grain_temperature_max: f64,
    /// What the bin is doing.
    pub phase: Phase,
    /// Errors of the sensors, in the order of [`SensorPlace`]: the airs above are what is there, not what is shown.
    pub errors: SensorErrorsOfAir,
}

impl Observation {
    /// What a sensor shows; with the fans off, anything but outside air is the prediction.
    pub fn at(&self, place: SensorPlace) -> AirReading {
        let there = match place {
            SensorPlace::Ambient => self.ambient,
            SensorPlace::AfterFan => self.plenum.unwrap_or(self.plenum_predicted),
            SensorPlace::AfterBurner => self.plenum_heated.or(self.plenum).unwrap_or(self.plenum_predicted),
            SensorPlace::Exhaust => self.exhaust.unwrap_or(self.plenum_predicted),
        };
        let error = &self.errors[place.number()];
        // Untouched where nothing is wrong: air beyond saturation stays what it is.
        if *error == SensorError::default() { there } else { there.shown_with(error) }
    }
}

/// Which grain temperature a cooling control compares with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainReference {
    /// Mean of the bin.
    Mean,
    /// Coldest probe.
    Coldest,
    /// Warmest probe.
    Warmest,
}

/// When fans run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rule {
    /// Never.
    Off,
    /// Always.
    Continuous,
    /// In the hours of the wall-clock day whose bit is set (bit 0: midnight to one).
    Clock {
        /// Set of hours.
        hours: u32,
        /// Run regardless while the wettest probe is above this moisture, fraction dry basis.
        wet_override: Option<f64>,
    },
    /// While relative humidity lies in a window.
    HumidityWindow {
        /// Lowest humidity, fraction.
        low: f64,
        /// Highest humidity, fraction.
        high: f64,
        /// Where it is read.
        place: SensorPlace,
        /// Run regardless while the wettest probe is above this moisture, fraction dry basis.
        wet_override: Option<f64>,
    },
    /// While the moisture in equilibrium with the air lies in a window, by the control's own table.
    EquilibriumWindow {
        /// Lowest equilibrium moisture, fraction dry basis.
        low: f64,
        /// Highest equilibrium moisture, fraction dry basis.
        high: f64,
        /// Where the air is read.
        place: SensorPlace,
        /// The table in the control.
        isotherm: IsothermForm,
        /// Run regardless while the wettest probe is above this moisture, fraction dry basis.
        wet_override: Option<f64>,
    },
    /// While the air is colder than the grain by a margin, and within limits.
    TemperatureWindow {
        /// Least difference, K.
        colder_by: f64,
        /// Which grain temperature.
        reference: GrainReference,
        /// Lowest air temperature, °C.
        low: f64,
        /// Highest air temperature, °C.
        high: f64,
        /// Where the air is read.
        place: SensorPlace,
    },
    /// While the air differs from the grain by a margin the wanted way, within limits of temperature and humidity.
    AerationWindow {
        /// Which way the grain is to go.
        towards: Towards,
        /// Least difference between air and grain, K.
        margin: f64,
        /// Lowest air temperature, °C.
        low: f64,
        /// Highest air temperature, °C.
        high: f64,
        /// Highest relative humidity, fraction; 1 for no limit.
        humid: f64,
        /// Where the air is read.
        place: SensorPlace,
    },
}

/// Which way aeration is to move the temperature of the grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Towards {
    /// Colder: the warmest probe decides.
    Colder,
    /// Warmer, as in spring: the coldest probe decides.
    Warmer,
}

/// Slowness of a control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timing {
    /// Dead band in the unit of the rule (fraction of humidity or moisture, K): a window must be entered by this much
    /// before the fans start; they stop when it is left.
    pub dead_band: f64,
    /// Time constant over which air readings are averaged, h; 0 for none. The average is exponential, so that a control
    /// needs no history.
    pub averaging_hours: f64,
    /// Least run, h.
    pub minimum_run_hours: f64,
    /// Least rest, h.
    pub minimum_rest_hours: f64,
}

impl Timing {
    /// No dead band, averaging, least run or rest.
    pub const PROMPT: Self =
        Self { dead_band: 0.0, averaging_hours: 0.0, minimum_run_hours: 0.0, minimum_rest_hours: 0.0 };
}

/// What the burner is asked while the fans run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BurnerRule {
    /// Nothing.
    Off,
    /// A fixed rise, K.
    FixedRise(f64),
    /// A plenum temperature, °C.
    Thermostat(f64),
    /// A ceiling on plenum relative humidity, fraction.
    Humidistat(f64),
    /// Both: heat while the air is too humid, never above a temperature.
    HumidistatWithin {
        /// Ceiling on plenum relative humidity, fraction.
        humidity: f64,
        /// Highest plenum temperature, °C.
        temperature: f64,
    },
}

impl BurnerRule {
    /// What it asks through sensors without error.
    pub fn command(self) -> BurnerCommand {
        match self {
            Self::Off => BurnerCommand::Off,
            Self::FixedRise(rise) => BurnerCommand::Rise(rise),
            Self::Thermostat(set) => BurnerCommand::PlenumTemperature(set),
            Self::Humidistat(set) => BurnerCommand::PlenumHumidity(set),
            Self::HumidistatWithin { humidity, temperature } => {
                BurnerCommand::PlenumHumidityWithin { humidity, temperature }
            }
        }
    }
}

/// A control: a rule for each phase, with one timing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Control {
    /// While filling.
    pub filling: Rule,
    /// While drying.
    pub drying: Rule,
    /// While cooling.
    pub cooling: Rule,
    /// While holding.
    pub holding: Rule,
    /// Slowness.
    pub timing: Timing,
    /// Fans to run when the rule says run.
    pub fans: usize,
    /// Burner while filling and drying; it is off in the other phases.
    pub burner: BurnerRule,
}

/// What a control remembers between ticks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Memory {
    /// Whether the fans ran in the last tick.
    pub running: bool,
    /// Hours since they last changed.
    pub hours_in_state: f64,
    /// Averaged reading at the rule's place, once there is one.
    pub averaged: Option<AirReading>,
}

impl Default for Memory {
    /// At rest for long.
    fn default() -> Self {
        Self { running: false, hours_in_state: f64::INFINITY, averaged: None }
    }
}

/// What to do during the tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Command {
    /// Fans to run, counted from the first; 0 for none.
    pub fans: usize,
    /// What the burner is asked.
    pub burner: BurnerCommand,
}

impl Control {
    /// One rule in every phase, prompt, without burner.
    pub fn new(rule: Rule, fans: usize) -> Self {
        Self {
            filling: rule,
            drying: rule,
            cooling: rule,
            holding: rule,
            timing: Timing::PROMPT,
            fans,
            burner: BurnerRule::Off,
        }
    }

    /// The rule of a phase.
    pub fn rule(&self, phase: Phase) -> &Rule {
        match phase {
            Phase::Filling => &self.filling,
            Phase::Drying => &self.drying,
            Phase::Cooling => &self.cooling,
            Phase::Holding => &self.holding,
        }
    }

    /// Decides for the tick that begins now. Depends on nothing but its arguments.
    pub fn decide(&self, seen: &Observation, memory: &mut Memory) -> Command {
        let rule = self.rule(seen.phase);
        let reading = self.average(rule, seen, memory);
        let wanted = self.wants(rule, seen, reading, memory.running);
        let least = if memory.running { self.timing.minimum_run_hours } else { self.timing.minimum_rest_hours };
        let run = if memory.hours_in_state < least { memory.running } else { wanted };
        if run == memory.running {
            memory.hours_in_state += seen.tick_hours;
        } else {
            memory.running = run;
            memory.hours_in_state = seen.tick_hours;
        }
        let fire = &seen.errors[SensorPlace::AfterBurner.number()];
        let humid = |set: f64| (set - fire.relative_humidity).clamp(LEAST_HUMIDITY, 1.0);
        let burner = match (run, seen.phase) {
            (true, Phase::Filling | Phase::Drying) => match self.burner {
                BurnerRule::Off => BurnerCommand::Off,
                BurnerRule::FixedRise(rise) => BurnerCommand::Rise(rise),
                // The fire follows its sensor: what the air becomes is off by what the sensor is off, the other way.
                BurnerRule::Thermostat(set) => BurnerCommand::PlenumTemperature(set - fire.temperature),
                BurnerRule::Humidistat(set) => BurnerCommand::PlenumHumidity(humid(set)),
                BurnerRule::HumidistatWithin { humidity, temperature } => BurnerCommand::PlenumHumidityWithin {
                    humidity: humid(humidity),
                    temperature: temperature - fire.temperature,
                },
            },
            _ => BurnerCommand::Off,
        };
        Command { fans: if run { self.fans } else { 0 }, burner }
    }

    fn average(&self, rule: &Rule, seen: &Observation, memory: &mut Memory) -> AirReading {
        let place = match rule {
            Rule::HumidityWindow { place, .. }
            | Rule::EquilibriumWindow { place, .. }
            | Rule::TemperatureWindow { place, .. }
            | Rule::AerationWindow { place, .. } => *place,
            Rule::Off | Rule::Continuous | Rule::Clock { .. } => SensorPlace::Ambient,
        };
        let now = seen.at(place);
        let averaged = match memory.averaged {
            Some(before) if self.timing.averaging_hours > 0.0 => {
                let weight = 1.0 - numerics::Real::exp(-seen.tick_hours / self.timing.averaging_hours);
                AirReading {
                    temperature: before.temperature + weight * (now.temperature - before.temperature),
                    relative_humidity: before.relative_humidity
                        + weight * (now.relative_humidity - before.relative_humidity),
                }
            }
            _ => now,
        };
        memory.averaged = Some(averaged);
        averaged
    }

    fn wants(&self, rule: &Rule, seen: &Observation, air: AirReading, running: bool) -> bool {
        let band = if running { 0.0 } else { self.timing.dead_band };
        let inside = |value: f64, low: f64, high: f64| value >= low + band && value <= high - band;
        let wet = |limit: &Option<f64>| limit.is_some_and(|m| seen.wettest_probe_moisture > m);
        match rule {
            Rule::Off => false,
            Rule::Continuous => true,
            Rule::Clock { hours, wet_override } => wet(wet_override) || hours >> (seen.hour_of_day.min(23)) & 1 == 1,
            Rule::HumidityWindow { low, high, wet_override, .. } => {
                wet(wet_override) || inside(air.relative_humidity, *low, *high)
            }
            Rule::EquilibriumWindow { low, high, isotherm, wet_override, .. } => {
                wet(wet_override)
                    || inside(isotherm.equilibrium(air.relative_humidity, air.temperature).moisture, *low, *high)
            }
            Rule::TemperatureWindow { colder_by, reference, low, high, .. } => {
                let grain = match reference {
                    GrainReference::Mean => seen.grain_temperature_mean,
                    GrainReference::Coldest => seen.grain_temperature_min,
                    GrainReference::Warmest => seen.grain_temperature_max,
                };
                air.temperature + colder_by + band <= grain && air.temperature >= *low && air.temperature <= *high
            }
            Rule::AerationWindow { towards, margin, low, high, humid, .. } => {
                let (t, least) = (air.temperature, margin + band);
                let helps = match towards {
                    Towards::Colder => t + least <= seen.grain_temperature_max,
                    Towards::Warmer => t - least >= seen.grain_temperature_min,
                };
                helps && t >= *low && t <= *high && (*humid >= 1.0 || air.relative_humidity <= *humid)
            }
        }
    }
}
