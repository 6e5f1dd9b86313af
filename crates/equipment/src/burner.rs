//! A burner or electric heater: what it can give, how it fires inside one tick, what it burns and what water it adds.
//!
//! Energy follows the mean of a tick, limits follow its peak. Leaves out gas lines, tanks and ignition.
//!
//! # Caution
//! Gas and fire: air proving, flame safeguard, purge and a manual-reset high limit are expected on every burner and are
//! the business of local codes and licensed fitters.

use crate::path::air_heat;
use crate::provenance::Provenance;
use numerics::root::brent;
use physics::{air, combustion};

/// What a burner burns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fuel {
    /// Propane.
    Propane,
    /// Natural gas, taken as methane.
    NaturalGas,
    /// Electric resistance: heat is metered electricity, no water.
    Electric,
}

impl Fuel {
    /// What is known of its burning; nothing for electricity.
    pub fn combustion(self) -> Option<combustion::Fuel> {
        match self {
            Self::Propane => Some(combustion::PROPANE),
            Self::NaturalGas => Some(combustion::NATURAL_GAS),
            Self::Electric => None,
        }
    }
}

/// Where the burner stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BurnerSide {
    /// After the fan: the fan works on cold dense air.
    Discharge,
    /// Before the fan: the fan breathes hot thin air.
    Inlet,
}

/// How a burner meets less than its capacity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Firing {
    /// Full fire or none; while off, unheated air goes to the grain.
    OnOff,
    /// Full fire, low fire (the minimum fire) or none.
    HighLow,
    /// Anything from minimum fire to full; below the minimum it cycles there.
    Modulating,
}

/// A burner.
#[derive(Debug, Clone, PartialEq)]
pub struct Burner {
    /// Key of the catalogue.
    pub id: String,
    /// Most heat to the air, W.
    pub capacity: f64,
    /// Least steady fire as a fraction of capacity (1 over the turndown).
    pub minimum_fire: f64,
    /// Fuel.
    pub fuel: Fuel,
    /// Which side of the fan.
    pub side: BurnerSide,
    /// Efficiency on the lower heating value of an indirect heater (flue outside); `None` for direct fire.
    pub indirect_efficiency: Option<f64>,
    /// How it fires.
    pub firing: Firing,
    /// Highest temperature the limit of the plenum allows, °C.
    pub temperature_limit: Option<f64>,
    /// Whether it is made up for demonstration.
    pub invented: bool,
    /// Source, date and conditions of its figures.
    pub provenance: Provenance,
}

/// What the control asks of the burner during a tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BurnerCommand {
    /// Nothing.
    Off,
    /// A rise, K.
    Rise(f64),
    /// A plenum temperature, °C (thermostat).
    PlenumTemperature(f64),
    /// A plenum relative humidity not to be passed upwards (humidistat).
    PlenumHumidity(f64),
    /// A plenum relative humidity not to be passed upwards, as far as a plenum temperature allows (humidistat and thermostat).
    PlenumHumidityWithin {
        /// Relative humidity, fraction.
        humidity: f64,
        /// Highest temperature, °C.
        temperature: f64,
    },
}

/// What a burner did in a tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FiringResult {
    /// Mean heat to the air, W.
    pub heat: f64,
    /// Heat while at the higher of its rates, W.
    pub peak_heat: f64,
    /// Fraction of the tick at that rate.
    pub duty: f64,
    /// Mean rise, K.
    pub rise: f64,
    /// Rise at the peak, K: what temperature limits see.
    pub peak_rise: f64,
    /// Fuel, kg/s (mean).
    pub fuel: f64,
    /// Electricity for heat, W (mean).
    pub electric_power: f64,
    /// Water added to the air, kg per kg dry air (mean).
    pub water_added: f64,
    /// The capacity does not meet what was asked.
    pub short: bool,
    /// The temperature limit held the fire down or off.
    pub limited: bool,
}

impl FiringResult {
    /// No fire.
    pub const NONE: Self = Self {
        heat: 0.0,
        peak_heat: 0.0,
        duty: 0.0,
        rise: 0.0,
        peak_rise: 0.0,
        fuel: 0.0,
        electric_power: 0.0,
        water_added: 0.0,
        short: false,
        limited: false,
    };
}

impl Burner {
    /// Water put into the air per J of heat, kg/J: zero for indirect and electric heat.
    pub fn water_per_joule(&self) -> f64 {
        match (self.fuel.combustion(), self.indirect_efficiency) {
            (Some(fuel), None) => fuel.water / fuel.lower_heating_value,
            _ => 0.0,
        }
    }

    /// Rise (K) that a command needs of air at `temperature` (°C) and `humidity_ratio` after the fan, combustion water
    /// included; zero when the air is there already.
    pub fn needed_rise(&self, command: BurnerCommand, temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
        match command {
            BurnerCommand::Off => 0.0,
            BurnerCommand::Rise(rise) => rise.max(0.0),
            BurnerCommand::PlenumTemperature(set) => (set - temperature).max(0.0),
            BurnerCommand::PlenumHumidity(set) => {
                let per_kelvin = self.water_per_joule() * air_heat(humidity_ratio);
                let excess = |rise: f64| {
                    let vapour = air::vapour_pressure(pressure, humidity_ratio + per_kelvin * rise);
                    vapour / air::saturation_pressure(temperature + rise) - set
                };
                if excess(0.0) <= 0.0 {
                    return 0.0;
                }
                // A direct flame cannot dry air below some humidity; then the largest rise considered is asked for.
                const MOST: f64 = 120.0;
                brent(excess, 0.0, MOST, 1e-9).unwrap_or(MOST)
            }
            BurnerCommand::PlenumHumidityWithin { humidity, temperature: ceiling } => {
                let of = |command| self.needed_rise(command, temperature, humidity_ratio, pressure);
                of(BurnerCommand::PlenumHumidity(humidity)).min(of(BurnerCommand::PlenumTemperature(ceiling)))
            }
        }
    }

    /// Fires for one tick into `dry_air` (kg/s) at `temperature` (°C) and `humidity_ratio` before the burner.
    ///
    /// On-off: duty = needed rise over full-fire rise. High-low: alternates between the two rates that enclose the need,
    /// below low fire it cycles. Modulating: exact between minimum and full. Rates that would pass the temperature limit
    /// are not used (a modulating burner is held at the limit).
    pub fn fire(
        &self,
        command: BurnerCommand,
        temperature: f64,
        humidity_ratio: f64,
        pressure: f64,
        dry_air: f64,
    ) -> FiringResult {
        let needed = self.needed_rise(command, temperature, humidity_ratio, pressure);
        if dry_air <= 0.0 || needed <= 0.0 {
            return FiringResult::NONE;
        }
        let per_kelvin = dry_air * air_heat(humidity_ratio);
        let wanted = needed * per_kelvin;
        let ceiling = self.temperature_limit.map_or(f64::INFINITY, |limit| (limit - temperature).max(0.0) * per_kelvin);
        let low = self.minimum_fire * self.capacity;
        let (heat, peak_heat, duty) = match self.firing {
            Firing::OnOff => cycle(wanted, self.capacity, ceiling),
            Firing::Modulating => {
                let reach = wanted.min(self.capacity).min(ceiling);
                if reach >= low { (reach, reach, 1.0) } else { cycle(wanted, low, ceiling) }
            }
            Firing::HighLow if wanted <= low || self.capacity > ceiling => cycle(wanted, low, ceiling),
            Firing::HighLow => {
                let heat = wanted.min(self.capacity);
                let span = self.capacity - low;
                let duty = if span > 0.0 { (heat - low) / span } else { 1.0 };
                (heat, self.capacity, duty)
            }
        };
        let efficiency = self.indirect_efficiency.unwrap_or(1.0);
        let fuel = self.fuel.combustion().map_or(0.0, |f| f.direct_use(heat / efficiency));
        FiringResult {
            heat,
            peak_heat,
            duty,
            rise: heat / per_kelvin,
            peak_rise: peak_heat / per_kelvin,
            fuel,
            electric_power: if self.fuel == Fuel::Electric { heat } else { 0.0 },
            water_added: self.water_per_joule() * heat / dry_air,
            short: wanted > self.capacity,
            limited: heat < wanted.min(self.capacity) * (1.0 - 1e-12),
        }
    }
}

/// One rate on and off: (mean, peak, duty); nothing when the rate would pass the ceiling.
fn cycle(wanted: f64, rate: f64, ceiling: f64) -> (f64, f64, f64) {
    if rate <= 0.0 || rate > ceiling {
        return (0.0, 0.0, 0.0);
    }
    let duty = (wanted / rate).min(1.0);
    (duty * rate, rate, duty)
}
