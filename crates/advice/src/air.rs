//! The working point of a bin at every fill.

use equipment::{AirConditions, AirPoint, GrainTerms, Outcome};
use job::BinJob;

/// Fills that are shown, as shares of the lots.
pub const FILLS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
/// Outside air the points hold for: an October day, °C and relative humidity (judgement).
pub const DESIGN_AIR: (f64, f64) = (10.0, 0.70);

/// One fill.
#[derive(Debug, Clone, Copy)]
pub struct FillPoint {
    /// Share of the lots that is in.
    pub fill: f64,
    /// Depth, m.
    pub depth: f64,
    /// Volume, m³.
    pub volume: f64,
    /// Face velocity in the grain, m/s.
    pub velocity: f64,
    /// Most loaded motor over its rating.
    pub motor_load: f64,
    /// Working point, all fans running, no burner.
    pub point: AirPoint,
}

/// All fills of a bin.
#[derive(Debug, Clone)]
pub struct BinAir {
    /// Outside air, °C.
    pub temperature: f64,
    /// Relative humidity.
    pub relative_humidity: f64,
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Fills, rising.
    pub fills: Vec<FillPoint>,
}

/// What a working point is called in a sentence.
pub fn outcome_says(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Works => "stable",
        Outcome::HeldBelowFirst => "below the first point of the fan table: airflow held",
        Outcome::Unstable => "unstable: left of the peak of the fan curve",
        Outcome::BeyondCurve => "beyond the fan curve: no airflow",
        Outcome::Off => "off",
    }
}

/// Works the fans of a bin against its grain at every fill.
pub fn fills(bin: &BinJob, elevation: f64) -> BinAir {
    let pressure = physics::air::standard_pressure(elevation);
    let (temperature, relative_humidity) = DESIGN_AIR;
    let vapour = relative_humidity * physics::air::saturation_pressure(temperature);
    let w = physics::air::humidity_ratio(pressure, vapour);
    let system = &bin.template.system;
    let fans = system.outfit.fans();
    let area = bin.survey.floor_area;
    let whole = bin.survey.depth();
    let at = |share: f64| {
        let depth = whole * share;
        let grain = GrainTerms {
            law: bin.template.grain.resistance,
            effective_depth: depth,
            velocity_range: bin.velocity_range,
        };
        let point = system.solve(&AirConditions::ambient(temperature, w, pressure, fans.len()), &grain);
        let motor_load =
            fans.iter().zip(&point.members).map(|(f, m)| m.shaft_power / f.motor_power).fold(0.0, f64::max);
        FillPoint { fill: share, depth, volume: depth * area, velocity: point.grain_airflow / area, motor_load, point }
    };
    BinAir { temperature, relative_humidity, pressure, fills: FILLS.map(at).to_vec() }
}
