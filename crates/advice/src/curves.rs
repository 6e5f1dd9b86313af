//! Fan and system curves of a bin, for drawing: where they cross is the working point.

use crate::air::BinAir;
use equipment::{AirConditions, Arrangement, GrainTerms};
use job::BinJob;

/// Points on a drawn curve.
const STEPS: usize = 60;

/// Airflow at the inlets (m³/s) and static pressure (Pa).
pub type CurvePoints = Vec<(f64, f64)>;

/// The curve of an outfit with all fans running.
#[derive(Debug, Clone, PartialEq)]
pub struct OutfitCurve {
    /// Fan, or how many fans how arranged.
    pub label: String,
    /// The side to rely on.
    pub stable: CurvePoints,
    /// Tabulated points left of the peak; empty for unlike fans.
    pub unstable: CurvePoints,
}

/// What bin and grain ask at one fill.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemCurve {
    /// Share of the lots that is in.
    pub fill: f64,
    /// Points at rising airflow.
    pub points: CurvePoints,
}

/// The outfit's own curve at the density of the points: the stable side, and the tabulated points left of the peak.
pub fn outfit(bin: &BinJob, air: &BinAir) -> OutfitCurve {
    let density = density(air);
    let outfit = &bin.template.system.outfit;
    let fans = outfit.fans();
    let stable = outfit.curve(fans.len(), density, air.pressure, STEPS).iter().map(|&(q, p, _)| (q, p)).collect();
    let count = fans.len() as f64;
    let (wider, higher) = match outfit.arrangement() {
        Arrangement::Parallel => (count, 1.0),
        Arrangement::Series => (1.0, count),
    };
    let scale = higher * density / equipment::STANDARD_DENSITY;
    let alike = fans.windows(2).all(|w| w[0].id == w[1].id);
    let unstable = match fans.first() {
        Some(fan) if alike => fan
            .curve
            .points()
            .filter(|(p, _)| p.airflow <= fan.curve.peak_airflow())
            .map(|(p, _)| (p.airflow * wider, p.pressure * scale))
            .collect(),
        _ => Vec::new(),
    };
    let how = match outfit.arrangement() {
        Arrangement::Parallel => "in parallel",
        Arrangement::Series => "in series",
    };
    let label = match fans {
        [one] => one.id.clone(),
        many => format!("{} fans {how}", many.len()),
    };
    OutfitCurve { label, stable, unstable }
}

/// What bin and grain ask at rising airflow, for every fill.
pub fn systems(bin: &BinJob, air: &BinAir) -> Vec<SystemCurve> {
    let vapour = air.relative_humidity * physics::air::saturation_pressure(air.temperature);
    let w = physics::air::humidity_ratio(air.pressure, vapour);
    let fans = bin.template.system.outfit.fans().len();
    let conditions = AirConditions::ambient(air.temperature, w, air.pressure, fans);
    let volume = physics::air::specific_volume(air.temperature, w, air.pressure);
    let most = air.fills.iter().map(|f| f.point.fan_airflow).fold(0.0, f64::max) * 1.3;
    let of = |fill: f64, depth: f64| {
        let law = bin.template.grain.resistance;
        let grain = GrainTerms { law, effective_depth: depth, velocity_range: bin.velocity_range };
        let point = |i: usize| {
            let airflow = most * i as f64 / STEPS as f64;
            let through = airflow / volume * (1.0 - bin.template.system.budget.leakage);
            (airflow, bin.template.system.losses(&conditions, &grain, through).total())
        };
        SystemCurve { fill, points: (0..=STEPS).map(point).collect() }
    };
    air.fills.iter().map(|f| of(f.fill, f.depth)).collect()
}

/// Density of the air at the inlets for which the curves stand, kg/m³.
pub fn density(air: &BinAir) -> f64 {
    air.fills.last().map_or(equipment::STANDARD_DENSITY, |f| f.point.inlet_density)
}
