//! Fans against one level bin on a full perforated floor, without a site: what the airflow asks of a fan, which fans of a
//! catalogue give it, and how deep each of them can go.
//!
//! Puts together what `equipment` and `physics` know; holds no equation of its own.

mod question;

pub use question::Question;

use equipment::{
    AirConditions, AirFlags, AirSystem, Arrangement, Direction, Fan, Floor, GrainTerms, Outcome, Outfit, PressureBudget,
};
use notice::Range;
use physics::{
    air, perforated,
    resistance::{LogLaw, air_state_factor},
};

/// Deepest grain that [`AirSystem::deepest`] looks at, m: beyond any bin.
pub const DEEPEST: f64 = 60.0;
/// Open share of the floor: the usual least for drying floors (recalled from ASAE D272.3, text not read again).
pub const OPEN_FRACTION: f64 = 0.10;
/// Temperature of the outside air, °C, at which the grain laws stand.
pub const AIR_TEMPERATURE: f64 = 20.0;
/// Static efficiency with which shaft power is estimated before a fan is chosen (common practice, no source).
pub const ESTIMATED_EFFICIENCY: f64 = 0.5;

/// The bin and what is wanted of it, SI.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// Diameter, m.
    pub diameter: f64,
    /// Depth of grain, m.
    pub depth: f64,
    /// Airflow at the fan inlet over grain volume, 1/s.
    pub specific_airflow: f64,
    /// Law of the loose grain.
    pub law: LogLaw,
    /// Velocities the law rests on, m/s.
    pub velocity_range: Range,
    /// Factor for packing.
    pub packing: f64,
    /// Porosity of the grain on the floor.
    pub porosity: f64,
    /// Barometric pressure, Pa.
    pub pressure: f64,
}

/// What the airflow asks of a fan at one depth.
#[derive(Debug, Clone, Copy)]
pub struct Demand {
    /// Depth, m.
    pub depth: f64,
    /// Grain, m³.
    pub grain: f64,
    /// Airflow, m³/s.
    pub airflow: f64,
    /// Velocity of the empty cross-section, m/s.
    pub velocity: f64,
    /// Pressure of the grain, Pa.
    pub grain_pressure: f64,
    /// Pressure of the floor, Pa.
    pub floor_pressure: f64,
}

/// One choice of the catalogue at work.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Fan of the catalogue.
    pub fan: Fan,
    /// How many, side by side on one plenum.
    pub count: usize,
    /// Airflow at the inlets, m³/s.
    pub airflow: f64,
    /// Static pressure, Pa.
    pub pressure: f64,
    /// Electric input, W.
    pub input_power: f64,
    /// What came of it.
    pub outcome: Outcome,
    /// What to note.
    pub flags: AirFlags,
    /// Whether it gives the airflow wanted at the depth wanted.
    pub reaches: bool,
    /// Deepest grain that gets the airflow wanted, m; none where even a thin layer does not.
    pub deepest: Option<f64>,
}

impl Demand {
    /// Static pressure: grain and floor, Pa.
    pub fn static_pressure(&self) -> f64 {
        self.grain_pressure + self.floor_pressure
    }

    /// Power in the air, W.
    pub fn air_power(&self) -> f64 {
        self.airflow * self.static_pressure()
    }

    /// Shaft power at [`ESTIMATED_EFFICIENCY`], W.
    pub fn shaft_power(&self) -> f64 {
        self.air_power() / ESTIMATED_EFFICIENCY
    }
}

impl Wanted {
    /// Cross-section of the grain, m².
    pub fn area(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.diameter * self.diameter
    }

    /// What the airflow asks at a depth.
    pub fn demand(&self, depth: f64) -> Demand {
        let velocity = self.specific_airflow * depth;
        let density_ratio = self.pressure / air::STANDARD_PRESSURE;
        let state = air_state_factor(self.law.exponent(velocity), density_ratio, 1.0);
        Demand {
            depth,
            grain: self.area() * depth,
            airflow: velocity * self.area(),
            velocity,
            grain_pressure: self.law.gradient(velocity) * self.packing * depth * state,
            floor_pressure: perforated::floor_under_grain(velocity, self.porosity, OPEN_FRACTION) * density_ratio,
        }
    }

    /// Every fan of a catalogue, alone and in pairs, at work in this bin; those that give too little too.
    pub fn choices(&self, catalogue: &[Fan]) -> Vec<Choice> {
        let every = catalogue.iter().flat_map(|fan| [1, 2].map(|count| (fan, count)));
        every.filter_map(|(fan, count)| self.choice(fan, count)).collect()
    }

    /// One choice; none when fan and bin make no air system, which a catalogue checked on reading excludes.
    fn choice(&self, fan: &Fan, count: usize) -> Option<Choice> {
        let floor = Floor { open_fraction: OPEN_FRACTION, grain_porosity: self.porosity, area: self.area() };
        let budget = PressureBudget { floor: Some(floor), ..PressureBudget::default() };
        let outfit = Outfit::new(vec![fan.clone(); count], Arrangement::Parallel).ok()?;
        let system = AirSystem::new(outfit, budget, self.area(), Direction::Pressure).ok()?;
        let conditions = AirConditions::ambient(AIR_TEMPERATURE, 0.0, self.pressure, count);
        let effective_depth = self.depth * self.packing;
        let point = system.solve(
            &conditions,
            &GrainTerms { law: self.law, effective_depth, velocity_range: Some(self.velocity_range) },
        );
        let works = matches!(point.outcome, Outcome::Works | Outcome::HeldBelowFirst);
        let enough = point.fan_airflow >= self.specific_airflow * self.area() * self.depth;
        Some(Choice {
            fan: fan.clone(),
            count,
            airflow: point.fan_airflow,
            pressure: point.fan_static_pressure,
            input_power: point.input_power,
            outcome: point.outcome,
            flags: point.flags,
            // A fan held at its first point gives at least that much.
            reaches: works && enough,
            deepest: system.deepest(&conditions, &self.law, self.packing, self.specific_airflow),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corn() -> Wanted {
        Wanted {
            diameter: 36.0 * 0.3048,
            depth: 18.0 * 0.3048,
            specific_airflow: notice::quantity::CFM_M3_S / notice::quantity::BUSHEL_M3,
            law: LogLaw { a: 2.07e4, b: 30.4 },
            velocity_range: Range::new(0.0056, 0.304),
            packing: 1.5,
            porosity: 0.42,
            pressure: air::STANDARD_PRESSURE,
        }
    }

    /// The solver and the demand are two roads to one point: a fan that just carries a depth gives just the demand there.
    #[test]
    fn deepest_grain_gets_just_its_demand() {
        let wanted = corn();
        let mut compared = 0;
        for choice in wanted.choices(&equipment::demo::demo_catalogue()) {
            let Some(depth) = choice.deepest.filter(|d| *d < DEEPEST) else { continue };
            let there = Wanted { depth, ..wanted }.choice(&choice.fan, choice.count).expect("as before");
            let demand = wanted.demand(depth);
            if there.outcome == Outcome::Works && !there.flags.unstable {
                // Fan heat thins the air in the grain by up to 2 %, which the demand leaves out.
                let (a, b) = (there.pressure, demand.static_pressure());
                if (there.airflow / demand.airflow - 1.0).abs() < 1e-3 {
                    assert!((a / b - 1.0).abs() < 0.03, "{}: {a} {b}", choice.fan.id);
                    compared += 1;
                }
            }
        }
        assert!(compared >= 10, "only {compared} fans were compared");
    }

    /// Asking for more air never lets a fan carry more grain. (A second fan may: it may also drive both into stall.)
    #[test]
    fn more_air_means_less_depth() {
        let catalogue = equipment::demo::demo_catalogue();
        let asked = |factor: f64| Wanted { specific_airflow: factor * corn().specific_airflow, ..corn() };
        let mut before = asked(0.25).choices(&catalogue);
        for factor in [0.5, 1.0, 2.0] {
            let now = asked(factor).choices(&catalogue);
            for (less, more) in before.iter().zip(&now) {
                assert!(more.deepest <= less.deepest, "{} × {} at {factor}", less.count, less.fan.id);
            }
            before = now;
        }
    }
}
