//! What several test files share.
#![allow(dead_code)]

use equipment::*;
use physics::resistance::LogLaw;

pub const CFM: f64 = 4.719474432e-4;
pub const INCH_OF_WATER: f64 = 249.089;
pub const FOOT: f64 = 0.3048;

/// Shelled corn, ASAE D272.3.
pub const CORN: LogLaw = LogLaw { a: 2.07e4, b: 30.4 };

/// Area of a round bin of a diameter in feet, m².
pub fn bin_area(diameter_ft: f64) -> f64 {
    let d = diameter_ft * FOOT;
    std::f64::consts::PI * d * d / 4.0
}

pub fn fan(id: &str) -> Fan {
    demo::demo_catalogue().into_iter().find(|f| f.id == id).unwrap()
}

pub fn point(inches: f64, cfm: f64) -> CurvePoint {
    CurvePoint { pressure: inches * INCH_OF_WATER, airflow: cfm * CFM, shaft_power: None }
}

/// A usual budget: perforated floor, a transition, roof vents, some leakage.
pub fn usual_budget(area: f64) -> PressureBudget {
    PressureBudget {
        floor: Some(Floor { open_fraction: 0.12, grain_porosity: 0.4, area }),
        transition: Loss::OnVelocity { coefficient: 0.7, area: 0.6 },
        spread: None,
        vents: Some(Vents { area: 1.4, discharge_coefficient: 0.62 }),
        leakage: 0.06,
    }
}

pub fn system(fans: &[&str], arrangement: Arrangement, diameter_ft: f64) -> AirSystem {
    let area = bin_area(diameter_ft);
    let outfit = Outfit::new(fans.iter().map(|id| fan(id)).collect(), arrangement).unwrap();
    AirSystem::new(outfit, usual_budget(area), area, Direction::Pressure).unwrap()
}

pub fn corn(depth: f64) -> GrainTerms<LogLaw> {
    GrainTerms { law: CORN, effective_depth: depth, velocity_range: None }
}

pub fn air(temperature: f64, fans: usize) -> AirConditions {
    AirConditions::ambient(temperature, 0.005, 101_325.0, fans)
}
