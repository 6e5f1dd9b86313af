//! The bin's own mechanics with something changed in them: every fault and every doubt is such a change.

use equipment::{
    AirConditions, AirPoint, AirSystem, CurvePoint, Fan, FanCurve, FanKind, GrainLaw, GrainTerms, Heat, HeatAmount,
    Outfit, STANDARD_DENSITY, Vents,
};

/// What differs from the plan; [`Plant::planned`] changes nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plant {
    /// Level depth of the grain, m.
    pub depth: f64,
    /// Factor on the resistance of the grain.
    pub resistance: f64,
    /// Factor on the airflow of every point of the fan curves.
    pub flow: f64,
    /// Factor on their pressures.
    pub pressure: f64,
    /// Factor on their shaft powers.
    pub power: f64,
    /// Air lost between fan and grain beside the planned leakage, share of the fans' air.
    pub leak: f64,
    /// Share of the holes of the floor that are shut.
    pub plugged: f64,
    /// Roof vents where the site names none: those a roof usually has. They count only when some are shut.
    pub usual_vents: Option<Vents>,
    /// Share of the vent area that is open.
    pub vents_open: f64,
    /// Fans that blow.
    pub fans: usize,
}

impl Plant {
    /// The plan at a depth with some fans running.
    pub fn planned(depth: f64, fans: usize) -> Self {
        Self {
            depth,
            resistance: 1.0,
            flow: 1.0,
            pressure: 1.0,
            power: 1.0,
            leak: 0.0,
            plugged: 0.0,
            usual_vents: None,
            vents_open: 1.0,
            fans,
        }
    }

    /// Wheels at another speed: airflow in proportion, pressure with the square, power with the cube.
    pub fn at_speed(self, ratio: f64) -> Self {
        Self {
            flow: self.flow * ratio,
            pressure: self.pressure * ratio * ratio,
            power: self.power * ratio.powi(3),
            ..self
        }
    }

    /// The air system with these changes; `None` when a change leaves what the mechanics can carry.
    pub fn system(&self, planned: &AirSystem) -> Option<AirSystem> {
        let mut budget = planned.budget;
        budget.leakage = (1.0 - (1.0 - budget.leakage) * (1.0 - self.leak)).clamp(0.0, 0.9);
        budget.floor = budget.floor.map(|floor| floor.plugged(self.plugged.clamp(0.0, 0.985)));
        let vents = budget.vents.or(self.usual_vents.filter(|_| self.vents_open < 1.0));
        budget.vents = vents.map(|mut vents| {
            vents.area *= self.vents_open.max(1e-3);
            vents
        });
        let outfit = if (self.flow, self.pressure, self.power) == (1.0, 1.0, 1.0) {
            planned.outfit.clone()
        } else {
            let fans = planned.outfit.fans().iter().map(|fan| self.fan(fan)).collect::<Option<Vec<_>>>()?;
            Outfit::new(fans, planned.outfit.arrangement()).ok()?
        };
        AirSystem::new(outfit, budget, planned.bed_area, planned.direction).ok()
    }

    fn fan(&self, fan: &Fan) -> Option<Fan> {
        let points: Vec<CurvePoint> = fan
            .curve
            .points()
            .map(|(p, _)| CurvePoint {
                pressure: p.pressure * self.pressure,
                airflow: p.airflow * self.flow,
                shaft_power: p.shaft_power.map(|w| w * self.power),
            })
            .collect();
        let mut curve = FanCurve::new(&points, STANDARD_DENSITY, FanKind::Other).ok()?;
        curve.power_band = fan.curve.power_band;
        Some(Fan { curve, ..fan.clone() })
    }

    /// The working point of the changed bin, with `heat` (W) of a burner; `None` when there is none.
    pub fn solve<G: GrainLaw + Clone>(
        &self,
        planned: &AirSystem,
        law: &G,
        air: &AirConditions,
        heat: f64,
    ) -> Option<PlantState> {
        let system = self.system(planned)?;
        self.solve_in(&system, law, air, heat)
    }

    /// The same in a system made before by [`Plant::system`] from a plant that differs in depth or resistance only.
    pub(crate) fn solve_in<G: GrainLaw + Clone>(
        &self,
        system: &AirSystem,
        law: &G,
        air: &AirConditions,
        heat: f64,
    ) -> Option<PlantState> {
        let amount = if heat > 0.0 { HeatAmount::Watts(heat) } else { HeatAmount::None };
        let air = AirConditions { fans_running: self.fans, heat: Heat { amount, ..air.heat }, ..*air };
        let effective_depth = self.depth * self.resistance;
        let point = system.solve(&air, &GrainTerms { law: law.clone(), effective_depth, velocity_range: None });
        (point.fan_airflow > 0.0).then_some(PlantState { point, depth: self.depth })
    }
}

/// Working point of a bin with changes.
#[derive(Debug, Clone, Copy)]
pub struct PlantState {
    /// The point.
    pub point: AirPoint,
    depth: f64,
}

impl PlantState {
    /// Pressure above the grain, Pa.
    pub fn headspace(&self) -> f64 {
        self.point.budget.vents
    }

    /// Pressure in the grain at a height above the floor, Pa.
    pub fn in_grain(&self, height: f64) -> f64 {
        self.point.budget.vents + self.point.budget.grain * (1.0 - height / self.depth).clamp(0.0, 1.0)
    }

    /// Rise of the air from outdoors to the plenum, K.
    pub fn rise(&self) -> f64 {
        self.point.fan_heat + self.point.burner_rise
    }
}
