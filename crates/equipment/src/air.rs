//! Fan against grain: the bracketed solve of an outfit, its budget and heat for one state of the air.
//!
//! Order of the air path: inlet state, density at the fan, airflow, heat, hot state, grain pressure at the hot airflow.
//! Dry-air mass flow is what stays constant along it. Leaves out compression of the air in plenum and grain (at most
//! 2.5 % of density at 2.5 kPa) except between fans in series.

use crate::arrangement::{Balance, FanState, MAX_FANS, MemberPoint, Outfit};
use crate::budget::{Budget, Coefficients, PressureBudget};
use crate::burner::BurnerSide;
use crate::fan::STANDARD_DENSITY;
use crate::grain::{GrainLaw, GrainTerms};
use numerics::Real;
use physics::{air, resistance::viscosity};

/// Temperature the grain laws stand for, °C ("near 20 °C, sea level").
pub const GRAIN_LAW_TEMPERATURE: f64 = 20.0;

/// Kinematic viscosity against that of the air the grain laws stand for (20 °C, 1.2 kg/m³).
#[inline]
pub(crate) fn kinematic_ratio(temperature: f64, density: f64) -> f64 {
    // viscosity(20 °C), written out because functions of floats are not const; a test compares.
    const REFERENCE: f64 = 1.813_364_5e-5 / STANDARD_DENSITY;
    viscosity(temperature) / (density * REFERENCE)
}

/// Which way the fans move the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Fans blow into the plenum: air rises through the grain.
    Pressure,
    /// Fans draw from the plenum: air falls through the grain, and their heat leaves with it.
    Suction,
}

/// How much heat is added.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeatAmount {
    /// None.
    None,
    /// A heat flow, W to the air.
    Watts(f64),
    /// A rise of temperature, K.
    Rise(f64),
}

/// Heat of a burner as the solve needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// How much.
    pub amount: HeatAmount,
    /// Where the burner stands.
    pub side: BurnerSide,
    /// Water of combustion put into the air, kg per J of heat.
    pub water_per_joule: f64,
}

impl Heat {
    /// No heat.
    pub const NONE: Self = Self { amount: HeatAmount::None, side: BurnerSide::Discharge, water_per_joule: 0.0 };
}

/// The air of one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirConditions {
    /// Temperature of the outside air, °C.
    pub temperature: f64,
    /// Its humidity ratio, kg/kg dry air.
    pub humidity_ratio: f64,
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Heat of the burner.
    pub heat: Heat,
    /// Suction only: temperature (°C) and humidity ratio of the air that leaves the grain; outside air when unknown.
    pub grain_exit: Option<(f64, f64)>,
    /// How many fans run, counted from the first.
    pub fans_running: usize,
}

impl AirConditions {
    /// Unheated outside air with `fans` running.
    pub fn ambient(temperature: f64, humidity_ratio: f64, pressure: f64, fans: usize) -> Self {
        Self { temperature, humidity_ratio, pressure, heat: Heat::NONE, grain_exit: None, fans_running: fans }
    }
}

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Every running fan works on the stable side of its curve.
    Works,
    /// Pressure is below the first point of a curve, whose airflow is held (filling only).
    HeldBelowFirst,
    /// A fan works left of its peak: stall, hunting.
    Unstable,
    /// A fan is beyond its curve. With all of them beyond there is no airflow to rely on, and none is given.
    BeyondCurve,
    /// No fan runs.
    Off,
}

/// What to note beside the numbers.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct AirFlags {
    /// Some fan left of its peak.
    pub unstable: bool,
    /// Some fan held at its first point.
    pub held_below_first: bool,
    /// Some fan beyond its curve.
    pub beyond_curve: bool,
    /// Some motor above rating times service factor.
    pub overload: bool,
    /// A parallel fan is idle or out while others run: shut it, or air flows back.
    pub back_flow: bool,
    /// Face velocity outside the evidence of the grain law.
    pub outside_resistance: bool,
    /// Power rests on an estimate by kind of fan.
    pub estimated_power: bool,
}

/// Working point of an air system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirPoint {
    /// What came of it.
    pub outcome: Outcome,
    /// What to note.
    pub flags: AirFlags,
    /// Dry air through the grain, kg/s.
    pub dry_air_flow: f64,
    /// Dry air through the fans, kg/s (more than through the grain by the leakage).
    pub fan_dry_air_flow: f64,
    /// Airflow at the fan inlets, m³/s.
    pub fan_airflow: f64,
    /// Airflow in the grain at its own state, m³/s.
    pub grain_airflow: f64,
    /// Static pressure of the outfit, Pa.
    pub fan_static_pressure: f64,
    /// Pressure between plenum and open air, Pa (below it with suction).
    pub plenum_pressure: f64,
    /// The stacked budget.
    pub budget: Budget,
    /// Shaft power of all running fans, W.
    pub shaft_power: f64,
    /// Electric input of all running fans, W.
    pub input_power: f64,
    /// Rise of the grain's air by the fans, K (0 with suction: the heat leaves with the exhaust).
    pub fan_heat: f64,
    /// Rise by the burner, K.
    pub burner_rise: f64,
    /// Heat of the burner to the air, W.
    pub burner_heat: f64,
    /// Temperature of the air that enters the grain, °C.
    pub grain_air_temperature: f64,
    /// Humidity ratio of the air that enters the grain, kg/kg.
    pub grain_air_humidity_ratio: f64,
    /// Density of the moist air at the fan inlet, kg/m³.
    pub inlet_density: f64,
    /// The running fans, first to last; the rest of the array is idle.
    pub members: [MemberPoint; MAX_FANS],
    /// How many run.
    pub fans_running: usize,
}

/// Why parts make no air system.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AirSystemError {
    /// A figure of the budget or the bin that cannot be.
    #[error("{quantity} of {value} cannot be")]
    Figure {
        /// Which.
        quantity: &'static str,
        /// Value met, SI.
        value: f64,
    },
}

/// Fans, budget and bin.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSystem {
    /// The fans.
    pub outfit: Outfit,
    /// Losses besides the grain.
    pub budget: PressureBudget,
    /// Cross-section of the grain, m².
    pub bed_area: f64,
    /// Which way the air moves.
    pub direction: Direction,
    coefficients: Coefficients,
}

/// State of the gas as the balance needs it; nothing else of the weather matters to the airflow.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gas {
    /// Volume per kg dry air at the grain over that at the fan, fan heat left out.
    pub volume_ratio: f64,
    /// ln of the kinematic viscosity at the grain against the law's own air, fan heat left out.
    pub log_kinematic: f64,
    /// Rise of temperature over absolute temperature for 1 W of fan heat (standard air) in 1 m³/s; 0 with suction.
    pub warming: f64,
}

impl AirSystem {
    /// An air system from its parts.
    ///
    /// # Errors
    /// [`AirSystemError::Figure`] for an area, fraction or coefficient that cannot be.
    pub fn new(
        outfit: Outfit,
        budget: PressureBudget,
        bed_area: f64,
        direction: Direction,
    ) -> Result<Self, AirSystemError> {
        if let Some((quantity, value)) = budget.fault() {
            return Err(AirSystemError::Figure { quantity, value });
        }
        if !(bed_area > 0.0 && bed_area < 1e6) {
            return Err(AirSystemError::Figure { quantity: "cross-section of the grain", value: bed_area });
        }
        let coefficients = budget.coefficients();
        Ok(Self { outfit, budget, bed_area, direction, coefficients })
    }

    /// Required pressure at standard air and an airflow: (all but grain, grain per metre of effective depth).
    #[inline]
    pub(crate) fn loads(&self, law: &impl GrainLaw, gas: &Gas, airflow: f64, heat: f64) -> (f64, f64) {
        let k = &self.coefficients;
        if airflow <= 0.0 {
            return (0.0, 0.0);
        }
        let warming = (gas.warming * heat / airflow).min(1.0);
        let volume_ratio = gas.volume_ratio * (1.0 + warming);
        // Viscosity rises with about the 0.78th power of temperature here, kinematic viscosity with the 1.78th.
        let log_kinematic = gas.log_kinematic + 1.78 * warming * (1.0 - 0.5 * warming);
        let velocity = airflow * volume_ratio * k.through_grain / self.bed_area;
        let fixed = airflow * airflow * (k.transition + k.vents + k.floor * volume_ratio);
        let (gradient, n) = law.gradient_and_exponent(velocity);
        // (ρ/ρ₀)^(n−1) (μ/μ₀)^(2−n) = (ρ/ρ₀) (ν/ν₀)^(2−n), divided by the density ratio at the fan.
        let grain = gradient * Real::exp((2.0 - n) * log_kinematic) / volume_ratio;
        (fixed, grain)
    }

    /// Where the outfit balances; `compression` as in [`Outfit::balance`].
    pub(crate) fn balance(
        &self,
        law: &impl GrainLaw,
        depth: f64,
        count: usize,
        compression: f64,
        gas: impl Fn(f64) -> Gas,
    ) -> Balance {
        let system = |airflow: f64, heat: f64| {
            let (fixed, grain) = self.loads(law, &gas(airflow), airflow, heat);
            fixed + grain * depth
        };
        self.outfit.balance(count, compression, &system)
    }

    /// Solves for the working point.
    ///
    /// Air-state correction of the grain: gradient × (ρ/ρ₀)^(n−1) (μ/μ₀)^(2−n) at the state of the air entering the
    /// grain, with the law's own local exponent n, because its viscous part follows viscosity and its inertial part
    /// density (dimensional argument). Unheated air near 20 °C leaves it within a few per cent of 1.
    ///
    /// Needs finite conditions of physically possible air; the effective depth may be zero.
    pub fn solve<G: GrainLaw>(&self, conditions: &AirConditions, grain: &GrainTerms<G>) -> AirPoint {
        let count = conditions.fans_running.min(self.outfit.fans().len());
        if count == 0 {
            return self.off(conditions);
        }
        let path = AirPath::new(conditions, self.direction);
        let compression = path.at(0.0).inlet_density / (STANDARD_DENSITY * conditions.pressure);
        let depth = grain.effective_depth;
        let balance = if let HeatAmount::Watts(_) = conditions.heat.amount {
            self.balance(&grain.law, depth, count, compression, |q| path.gas(&path.at(q), self.direction))
        } else {
            // Without a fixed heat flow the state of the gas does not hang on the airflow.
            let gas = path.gas(&path.at(0.0), self.direction);
            self.balance(&grain.law, depth, count, compression, |_| gas)
        };
        self.point(&path, count, &balance, grain)
    }

    fn off(&self, conditions: &AirConditions) -> AirPoint {
        let density = air::density(conditions.temperature, conditions.humidity_ratio, conditions.pressure);
        AirPoint {
            outcome: Outcome::Off,
            flags: AirFlags::default(),
            dry_air_flow: 0.0,
            fan_dry_air_flow: 0.0,
            fan_airflow: 0.0,
            grain_airflow: 0.0,
            fan_static_pressure: 0.0,
            plenum_pressure: 0.0,
            budget: Budget::default(),
            shaft_power: 0.0,
            input_power: 0.0,
            fan_heat: 0.0,
            burner_rise: 0.0,
            burner_heat: 0.0,
            grain_air_temperature: conditions.temperature,
            grain_air_humidity_ratio: conditions.humidity_ratio,
            inlet_density: density,
            members: [MemberPoint::IDLE; MAX_FANS],
            fans_running: 0,
        }
    }

    fn point<G: GrainLaw>(&self, path: &AirPath, count: usize, balance: &Balance, grain: &GrainTerms<G>) -> AirPoint {
        let fans = &self.outfit.fans()[..count];
        let state = path.at(balance.airflow);
        let scale = state.inlet_density / STANDARD_DENSITY;
        let mut members = balance.members;
        for m in &mut members[..count] {
            m.pressure *= scale;
            m.shaft_power *= scale;
        }
        let running = &members[..count];
        let sum = |of: fn(&crate::fan::Fan, f64) -> f64| -> f64 {
            fans.iter().zip(running).map(|(f, m)| of(f, m.shaft_power)).sum()
        };
        let shaft_power = sum(|_, shaft| shaft);
        let flowing = balance.airflow > 0.0;
        // A fan that moves no air warms none of it.
        let heat: f64 =
            fans.iter().zip(running).filter(|(_, m)| m.airflow > 0.0).map(|(f, m)| f.heat_to_air(m.shaft_power)).sum();
        let gas = path.gas(&state, self.direction);
        let fan_heat = match self.direction {
            Direction::Pressure if flowing => heat / (state.dry_air * air_heat(path.inlet_humidity_ratio)),
            _ => 0.0,
        };
        let (_, per_metre) = self.loads(&grain.law, &gas, balance.airflow, heat / scale);
        let k = &self.coefficients;
        let square = balance.airflow * balance.airflow * scale;
        let ratio = gas.volume_ratio * (1.0 + fan_heat / (state.grain_temperature + air::ZERO_CELSIUS_K));
        let budget = Budget {
            transition: k.transition * square,
            floor: k.floor * square * ratio,
            grain: per_metre * grain.effective_depth * scale,
            vents: k.vents * square,
        };
        let velocity = balance.airflow * ratio * k.through_grain / self.bed_area;
        let states = |s: FanState| running.iter().any(|m| m.state == s);
        let flags = AirFlags {
            unstable: states(FanState::Unstable),
            held_below_first: states(FanState::Held),
            beyond_curve: states(FanState::Out),
            overload: fans.iter().zip(running).any(|(f, m)| m.shaft_power > f.motor_power * f.service_factor),
            back_flow: self.leaks_back(count) || (flowing && states(FanState::Out)),
            outside_resistance: grain.velocity_range.is_some_and(|r| flowing && !r.contains(velocity)),
            estimated_power: fans.iter().any(|f| f.curve.power_band.is_some()),
        };
        AirPoint {
            outcome: outcome(&flags),
            flags,
            dry_air_flow: state.dry_air * k.through_grain,
            fan_dry_air_flow: state.dry_air,
            fan_airflow: balance.airflow,
            grain_airflow: velocity * self.bed_area,
            fan_static_pressure: balance.pressure * scale,
            plenum_pressure: balance.pressure * scale - budget.transition,
            budget,
            shaft_power,
            input_power: sum(|f, shaft| f.input_power(shaft)),
            fan_heat,
            burner_rise: state.burner_rise,
            burner_heat: state.burner_heat,
            grain_air_temperature: path.temperature + state.burner_rise + fan_heat,
            grain_air_humidity_ratio: path.humidity_ratio + state.water_added,
            inlet_density: state.inlet_density,
            members,
            fans_running: count,
        }
    }

    /// Whether fewer fans run than stand there, so that an open idle one leaks (parallel) or throttles (series).
    pub(crate) fn leaks_back(&self, count: usize) -> bool {
        count < self.outfit.fans().len()
    }

    pub(crate) fn coefficients(&self) -> &Coefficients {
        &self.coefficients
    }
}

/// The outcome that flags amount to; the worst first.
pub(crate) fn outcome(flags: &AirFlags) -> Outcome {
    if flags.beyond_curve {
        Outcome::BeyondCurve
    } else if flags.unstable {
        Outcome::Unstable
    } else if flags.held_below_first {
        Outcome::HeldBelowFirst
    } else {
        Outcome::Works
    }
}

/// Specific heat of moist air per kg dry air, J/(kg K).
#[inline]
pub(crate) fn air_heat(humidity_ratio: f64) -> f64 {
    air::SPECIFIC_HEAT_DRY_AIR + air::SPECIFIC_HEAT_VAPOUR * humidity_ratio
}

/// The path of the air from outside to grain (pressure) or from grain to fan (suction).
struct AirPath {
    temperature: f64,
    humidity_ratio: f64,
    inlet_humidity_ratio: f64,
    inlet_temperature: f64,
    pressure: f64,
    heat: Heat,
    upstream: bool,
}

/// States along the path at one airflow.
struct PathState {
    inlet_density: f64,
    inlet_volume: f64,
    dry_air: f64,
    burner_rise: f64,
    burner_heat: f64,
    water_added: f64,
    grain_temperature: f64,
}

impl AirPath {
    fn new(c: &AirConditions, direction: Direction) -> Self {
        let (inlet_temperature, inlet_humidity_ratio) = match direction {
            Direction::Pressure => (c.temperature, c.humidity_ratio),
            Direction::Suction => c.grain_exit.unwrap_or((c.temperature, c.humidity_ratio)),
        };
        Self {
            temperature: c.temperature,
            humidity_ratio: c.humidity_ratio,
            inlet_humidity_ratio,
            inlet_temperature,
            pressure: c.pressure,
            heat: c.heat,
            upstream: direction == Direction::Pressure && c.heat.side == BurnerSide::Inlet,
        }
    }

    /// States at an airflow (m³/s at the fan inlet); with no airflow, no heat.
    fn at(&self, airflow: f64) -> PathState {
        let cp = air_heat(self.humidity_ratio);
        let still = air::specific_volume(self.inlet_temperature, self.inlet_humidity_ratio, self.pressure);
        let mut dry_air = airflow / still;
        let burner_rise = match self.heat.amount {
            HeatAmount::None => 0.0,
            HeatAmount::Rise(rise) => rise,
            HeatAmount::Watts(_) if airflow <= 0.0 => 0.0,
            HeatAmount::Watts(watts) => {
                if self.upstream {
                    dry_air = self.dry_air_of_heated(airflow, watts / cp, watts * self.heat.water_per_joule, still);
                }
                watts / (dry_air * cp)
            }
        };
        let water_added = burner_rise * cp * self.heat.water_per_joule;
        let (mut inlet_density, mut inlet_volume) =
            (air::density(self.inlet_temperature, self.inlet_humidity_ratio, self.pressure), still);
        if self.upstream && burner_rise > 0.0 {
            let (t, w) = (self.inlet_temperature + burner_rise, self.inlet_humidity_ratio + water_added);
            inlet_volume = air::specific_volume(t, w, self.pressure);
            inlet_density = air::density(t, w, self.pressure);
            dry_air = airflow / inlet_volume;
        }
        PathState {
            inlet_density,
            inlet_volume,
            dry_air,
            burner_rise,
            burner_heat: burner_rise * cp * dry_air,
            water_added,
            grain_temperature: self.temperature + burner_rise,
        }
    }

    /// Dry air (kg/s) in an airflow heated before the fan by a fixed heat flow: the larger root of
    /// (T m + b)(c m + d) = Q p m / R, b = heat over specific heat, d = water added over its molar-mass ratio.
    /// Where no airflow can take that heat, the airflow at twice the absolute temperature.
    fn dry_air_of_heated(&self, airflow: f64, b: f64, water: f64, still: f64) -> f64 {
        let a = self.inlet_temperature + air::ZERO_CELSIUS_K;
        let c = 1.0 + self.inlet_humidity_ratio / air::MOLAR_MASS_RATIO;
        let d = water / air::MOLAR_MASS_RATIO;
        let linear = a * d + b * c - airflow * self.pressure / air::GAS_CONSTANT_DRY_AIR;
        let discriminant = linear * linear - 4.0 * a * c * b * d;
        let cold = airflow / still;
        if discriminant < 0.0 || linear >= 0.0 {
            return 0.5 * cold;
        }
        ((-linear + discriminant.sqrt()) / (2.0 * a * c)).max(0.5 * cold)
    }

    fn gas(&self, state: &PathState, direction: Direction) -> Gas {
        let humidity_ratio = self.humidity_ratio + state.water_added;
        let grain_volume = air::specific_volume(state.grain_temperature, humidity_ratio, self.pressure);
        let grain_density = (1.0 + humidity_ratio) / grain_volume;
        let warming = match direction {
            Direction::Suction => 0.0,
            Direction::Pressure => warming(self.inlet_humidity_ratio, state.grain_temperature),
        };
        Gas {
            volume_ratio: grain_volume / state.inlet_volume,
            log_kinematic: Real::ln(kinematic_ratio(state.grain_temperature, grain_density)),
            warming,
        }
    }
}

/// See [`Gas::warming`]: heat and mass flow both scale with density at the fan, which cancels.
#[inline]
pub(crate) fn warming(humidity_ratio: f64, temperature: f64) -> f64 {
    (1.0 + humidity_ratio) / (STANDARD_DENSITY * air_heat(humidity_ratio) * (temperature + air::ZERO_CELSIUS_K))
}
