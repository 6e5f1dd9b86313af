//! Motors and power: efficiency by size, and power estimated where a fan table gives none.
//!
//! Part load and currents stand in [`crate::motor_load`], code tables in [`crate::wiring`]; a licensed electrician designs the
//! circuit.

use crate::fan::{CurvePoint, FanKind};

/// Watts in one horsepower.
pub const HORSEPOWER: f64 = 745.7;

/// Nominal full-load efficiency against rated horsepower: premium class, four-pole, totally enclosed.
///
/// # Source
/// ASHRAE 90.1-2013 minimum motor efficiency table (equal to NEMA MG 1 premium values), as tabulated in an open
/// building-energy data set (seen). Farm motors, open or air-over or single-phase, are lower.
pub const PREMIUM_EFFICIENCY: [(f64, f64); 19] = [
    (1.0, 0.855),
    (1.5, 0.865),
    (2.0, 0.865),
    (3.0, 0.895),
    (5.0, 0.895),
    (7.5, 0.917),
    (10.0, 0.917),
    (15.0, 0.924),
    (20.0, 0.930),
    (25.0, 0.936),
    (30.0, 0.936),
    (40.0, 0.941),
    (50.0, 0.945),
    (60.0, 0.950),
    (75.0, 0.954),
    (100.0, 0.954),
    (125.0, 0.954),
    (150.0, 0.958),
    (200.0, 0.962),
];

/// Returns the default efficiency of a motor of a rated power (W at the shaft): straight lines between the sizes of
/// [`PREMIUM_EFFICIENCY`], its ends held.
pub fn default_efficiency(rated_power: f64) -> f64 {
    let hp = rated_power / HORSEPOWER;
    let table = &PREMIUM_EFFICIENCY;
    if hp <= table[0].0 {
        return table[0].1;
    }
    for w in table.windows(2) {
        let ((low, at_low), (high, at_high)) = (w[0], w[1]);
        if hp <= high {
            return at_low + (at_high - at_low) * (hp - low) / (high - low);
        }
    }
    table[table.len() - 1].1
}

/// Assumed best static efficiency of a kind in service: low, middle, high.
///
/// # Source
/// The type table of the trade recalled in reference (axials in service 40–60 %, inline 50–65 %, backward curved 60–70 %
/// installed, high speed 65–75 %): memory, so an estimate from it is marked.
pub fn service_efficiency(kind: FanKind) -> (f64, f64, f64) {
    match kind {
        FanKind::TubeAxial => (0.40, 0.50, 0.60),
        FanKind::InlineCentrifugal => (0.50, 0.575, 0.65),
        FanKind::CentrifugalLowSpeed | FanKind::DoubleInletCentrifugal => (0.60, 0.65, 0.70),
        FanKind::CentrifugalHighSpeed => (0.65, 0.70, 0.75),
        FanKind::Other => (0.40, 0.55, 0.70),
    }
}

/// Relative shaft power at a fraction of free airflow, most power = 1, in steps of 0.2 from shut-off to free air.
///
/// Judgement after the described behaviour: axial highest towards shut-off; backward curved peaks at 70–80 % of free flow
/// and falls from there.
fn power_shape(kind: FanKind) -> [f64; 6] {
    match kind {
        FanKind::TubeAxial => [1.00, 0.97, 0.95, 0.94, 0.85, 0.70],
        FanKind::InlineCentrifugal => [0.55, 0.70, 0.84, 0.96, 1.00, 0.88],
        FanKind::CentrifugalLowSpeed | FanKind::DoubleInletCentrifugal => [0.45, 0.63, 0.80, 0.95, 1.00, 0.86],
        FanKind::CentrifugalHighSpeed => [0.42, 0.56, 0.74, 0.91, 1.00, 0.93],
        FanKind::Other => [0.60, 0.75, 0.88, 0.97, 1.00, 0.95],
    }
}

/// Power estimated for the points of a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerEstimate {
    /// Shaft power at each point, W.
    pub shaft: Vec<f64>,
    /// Factors of the band: power lies from `band.0` to `band.1` times the estimate.
    pub band: (f64, f64),
}

/// Estimates shaft power for points (most air first, the first `peak + 1` on the stable side) of a kind of fan.
///
/// The relative shape of power is scaled so that the best static efficiency along the stable side is the middle of
/// [`service_efficiency`]; its ends give the band. Free air is the first point, or the straight line through the first two
/// points brought to zero pressure, at most 1.25 times the first point.
pub fn estimate_power(kind: FanKind, points: &[CurvePoint], peak: usize) -> PowerEstimate {
    let (first, second) = (points[0], points[1]);
    let slope = (first.airflow - second.airflow) / (second.pressure - first.pressure);
    let free = (first.airflow + slope * first.pressure).min(1.25 * first.airflow);
    let table = power_shape(kind);
    let shape = |airflow: f64| {
        let at = (airflow / free * 5.0).clamp(0.0, 5.0);
        let i = (at as usize).min(4);
        table[i] + (table[i + 1] - table[i]) * (at - i as f64)
    };
    let best = points[..=peak].iter().map(|p| p.airflow * p.pressure / shape(p.airflow)).fold(0.0, f64::max);
    let (low, middle, high) = service_efficiency(kind);
    let most = best / middle;
    PowerEstimate {
        shaft: points.iter().map(|p| most * shape(p.airflow)).collect(),
        band: (middle / high, middle / low),
    }
}
