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
use crate::path::{AirPath, Gas, air_heat};
use numerics::Real;
use physics::air;

/// Temperature the grain laws stand for, °C ("near 20 °C, sea level").
pub const GRAIN_LAW_TEMPERATURE: f64 = 20.0;

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
///
/// ```
/// use equipment::*;
/// let fans = demo::demo_catalogue();
/// let fan = fans.iter().find(|f| f.id == "demo-centrifugal-10hp").cloned();
/// let outfit = Outfit::new(fan.into_iter().collect(), Arrangement::Parallel)?;
/// let area = 79.5; // a bin of 33 ft
/// let system = AirSystem::new(outfit, PressureBudget::default(), area, Direction::Pressure)?;
/// let corn = physics::resistance::LogLaw { a: 2.07e4, b: 30.4 };
/// let grain = GrainTerms { law: corn, effective_depth: 5.0 * 1.5, velocity_range: None };
/// let point = system.solve(&AirConditions::ambient(10.0, 0.005, 99_000.0, 1), &grain);
/// assert_eq!(point.outcome, Outcome::Works);
/// assert!(point.dry_air_flow > 3.0 && point.fan_static_pressure > 500.0);
/// // The same from the compiled map.
/// let map = AirMap::new(&system, corn, None);
/// let found = map.at(&MapQuery::new(10.0, 0.005, 99_000.0, 0.0, &Heat::NONE, 5.0 * 1.5, 1));
/// assert!((found.dry_air_flow / point.dry_air_flow - 1.0).abs() < 2e-3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
        let mut fixed = airflow * airflow * (k.transition + k.vents + k.floor * volume_ratio);
        if let Some(spread) = &self.budget.spread {
            fixed += spread.pressure(velocity, log_kinematic, |v| law.gradient_and_exponent(v)) / volume_ratio;
        }
        let (gradient, n) = law.gradient_and_exponent(velocity);
        // (ρ/ρ₀)^(n−1) (μ/μ₀)^(2−n) = (ρ/ρ₀) (ν/ν₀)^(2−n), divided by the density ratio at the fan.
        let grain = gradient * Real::exp((2.0 - n) * log_kinematic) / volume_ratio;
        (fixed, grain)
    }

    /// Where the outfit balances; `compression` as in [`Bank::balance`](crate::arrangement).
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
        self.outfit.bank(count).balance(compression, &system)
    }

    /// The greatest level depth (m) at which the running fans, none stalled or beyond its curve, give the grain at least
    /// `specific_airflow` (m³/s at the fan inlet per m³ of grain); `None` when not even 5 cm get that, 60 m at most.
    ///
    /// `multiplier` is effective over real depth: packing, fines, and whatever else raises resistance.
    pub fn deepest<G: GrainLaw + Clone>(
        &self,
        conditions: &AirConditions,
        law: &G,
        multiplier: f64,
        specific_airflow: f64,
    ) -> Option<f64> {
        let carries = |depth: f64| {
            let terms = GrainTerms { law: law.clone(), effective_depth: depth * multiplier, velocity_range: None };
            let point = self.solve(conditions, &terms);
            let through = point.fan_airflow * self.coefficients.through_grain;
            matches!(point.outcome, Outcome::Works | Outcome::HeldBelowFirst)
                && through >= specific_airflow * self.bed_area * depth
        };
        let (mut low, mut high) = (0.05, 60.0);
        if !carries(low) {
            return None;
        }
        if carries(high) {
            return Some(high);
        }
        // Deeper grain never gets more air, so what carries does so up to one depth; 30 halvings leave less than a micron.
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if carries(middle) { low = middle } else { high = middle }
        }
        Some(low)
    }

    /// The system curve: what the air loses when the grain gets `dry_air_flow` (kg/s), whatever the fans; fan heat left out.
    ///
    /// Sum it for the pressure fans must give; power is airflow times pressure over efficiency.
    pub fn losses<G: GrainLaw>(&self, conditions: &AirConditions, grain: &GrainTerms<G>, dry_air_flow: f64) -> Budget {
        let path = AirPath::new(conditions, self.direction);
        let k = &self.coefficients;
        let still = path.at(0.0);
        let mut airflow = dry_air_flow / k.through_grain * still.inlet_volume;
        // A fixed heat flow before the fan makes the volume hang on the airflow; a few rounds settle it.
        for _ in 0..if path.hangs_on_airflow() { 20 } else { 0 } {
            let state = path.at(airflow);
            airflow *= dry_air_flow / k.through_grain / state.dry_air;
        }
        let state = path.at(airflow);
        let gas = path.gas(&state, self.direction);
        let (fixed, per_metre) = self.loads(&grain.law, &gas, airflow, 0.0);
        let scale = state.inlet_density / STANDARD_DENSITY;
        self.budget_at(airflow, scale, gas.volume_ratio, per_metre * grain.effective_depth, fixed)
    }

    /// Items in Pa from an airflow at the fan, its density scale, the volume ratio and the grain's and all the other items'
    /// standard pressure.
    fn budget_at(&self, airflow: f64, scale: f64, volume_ratio: f64, grain: f64, fixed: f64) -> Budget {
        let k = &self.coefficients;
        let square = airflow * airflow * scale;
        let plain = airflow * airflow * (k.transition + k.vents + k.floor * volume_ratio);
        Budget {
            transition: k.transition * square,
            floor: k.floor * square * volume_ratio,
            spread: if self.budget.spread.is_some() { (fixed - plain).max(0.0) * scale } else { 0.0 },
            grain: grain * scale,
            vents: k.vents * square,
        }
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
        let balance = if path.hangs_on_airflow() {
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
        let (fixed, per_metre) = self.loads(&grain.law, &gas, balance.airflow, heat / scale);
        let k = &self.coefficients;
        let ratio = gas.volume_ratio * (1.0 + fan_heat / (state.grain_temperature + air::ZERO_CELSIUS_K));
        let budget = self.budget_at(balance.airflow, scale, ratio, per_metre * grain.effective_depth, fixed);
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
