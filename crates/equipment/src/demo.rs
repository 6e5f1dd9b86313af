//! Invented fans and burners for demonstration: physically plausible, of no maker. Pages that show them are marked DEMO.
//!
//! Each fan is a wheel designed backwards from its motor: the dimensionless airflow and pressure of its kind at the best
//! point, the efficiency of its kind in service and the similarity laws give diameter, airflow and pressure; the shape of
//! its kind gives the rest of the curve. Shapes and coefficients are judgement inside the ranges recalled for the trade.

use crate::burner::{Burner, BurnerSide, Firing, Fuel};
use crate::fan::{CurveError, CurvePoint, Fan, FanCurve, FanKind, Origin, STANDARD_DENSITY};
use crate::motor::HORSEPOWER;
use crate::provenance::Provenance;
use numerics::Real;
use std::f64::consts::PI;

/// Watts in a million Btu per hour, in which burners are rated.
const MILLION_BTU_PER_HOUR: f64 = 293_071.07;

/// A row of the demonstration table.
struct Wheel {
    id: &'static str,
    kind: FanKind,
    horsepower: f64,
    rpm: f64,
    /// φ = Q/(π D²/4 · u) at the best point, u the tip speed.
    airflow_coefficient: f64,
    /// ψ = 2 p/(ρ u²) at the best point.
    pressure_coefficient: f64,
    /// Static efficiency at the best point.
    efficiency: f64,
}

/// (fraction of free airflow, fraction of peak pressure, fraction of peak power), most air first.
type Shape = [(f64, f64, f64)];

const AXIAL: &Shape = &[
    (1.00, 0.00, 0.70),
    (0.92, 0.25, 0.77),
    (0.84, 0.47, 0.84),
    (0.76, 0.67, 0.90),
    (0.68, 0.84, 0.945),
    (0.60, 0.96, 0.97),
    (0.53, 1.00, 0.97),
    (0.42, 0.82, 0.94),
    (0.30, 0.74, 0.95),
    (0.15, 0.86, 0.98),
    (0.00, 0.96, 1.00),
];
const INLINE: &Shape = &[
    (1.00, 0.00, 0.88),
    (0.90, 0.27, 0.95),
    (0.80, 0.50, 1.00),
    (0.70, 0.69, 0.99),
    (0.60, 0.84, 0.96),
    (0.50, 0.94, 0.91),
    (0.42, 0.985, 0.85),
    (0.34, 1.00, 0.79),
    (0.18, 0.96, 0.68),
    (0.00, 0.88, 0.55),
];
const BACKWARD_CURVED: &Shape = &[
    (1.00, 0.00, 0.86),
    (0.90, 0.25, 0.95),
    (0.82, 0.43, 0.985),
    (0.75, 0.57, 1.00),
    (0.68, 0.695, 0.985),
    (0.60, 0.81, 0.95),
    (0.50, 0.92, 0.88),
    (0.42, 0.98, 0.81),
    (0.36, 1.00, 0.76),
    (0.20, 0.97, 0.62),
    (0.00, 0.90, 0.45),
];
const HIGH_SPEED: &Shape = &[
    (1.00, 0.00, 0.92),
    (0.88, 0.26, 0.98),
    (0.78, 0.45, 1.00),
    (0.68, 0.61, 0.97),
    (0.58, 0.75, 0.91),
    (0.48, 0.86, 0.83),
    (0.38, 0.94, 0.73),
    (0.30, 0.985, 0.65),
    (0.24, 1.00, 0.59),
    (0.00, 0.94, 0.40),
];

fn shape(kind: FanKind) -> &'static Shape {
    match kind {
        FanKind::TubeAxial => AXIAL,
        FanKind::InlineCentrifugal => INLINE,
        FanKind::CentrifugalHighSpeed => HIGH_SPEED,
        FanKind::CentrifugalLowSpeed | FanKind::DoubleInletCentrifugal | FanKind::Other => BACKWARD_CURVED,
    }
}

/// Fraction of the motor's rating that the most power of the curve takes at standard air.
const MOTOR_LOAD: f64 = 0.95;

impl Wheel {
    const fn new(id: &'static str, kind: FanKind, horsepower: f64, rpm: f64, at_best: (f64, f64, f64)) -> Self {
        let (airflow_coefficient, pressure_coefficient, efficiency) = at_best;
        Self { id, kind, horsepower, rpm, airflow_coefficient, pressure_coefficient, efficiency }
    }

    fn build(&self) -> Result<Fan, CurveError> {
        let shape = shape(self.kind);
        let best = shape.iter().copied().fold(shape[0], |b, p| if p.0 * p.1 / p.2 > b.0 * b.1 / b.2 { p } else { b });
        let most_power = MOTOR_LOAD * self.horsepower * HORSEPOWER;
        let air_power = best.2 * most_power * self.efficiency;
        let turns = self.rpm / 60.0;
        let (phi, psi) = (self.airflow_coefficient, self.pressure_coefficient);
        // Air power = φ ψ ρ π⁴ D⁵ n³/8, from the definitions of φ and ψ.
        let fifth_power = 8.0 * air_power / (phi * psi * STANDARD_DENSITY * PI.powi(4) * turns.powi(3));
        let diameter = Real::pow(fifth_power, 0.2);
        let tip = PI * diameter * turns;
        let airflow = phi * tip * PI * diameter * diameter / 4.0;
        let pressure = psi * 0.5 * STANDARD_DENSITY * tip * tip;
        let points: Vec<CurvePoint> = shape
            .iter()
            .map(|&(x, p, w)| CurvePoint {
                pressure: pressure * p / best.1,
                airflow: airflow * x / best.0,
                shaft_power: Some(most_power * w),
            })
            .collect();
        let curve = FanCurve::new(&points, STANDARD_DENSITY, self.kind)?;
        Fan::new(self.id, self.kind, Origin::Invented, curve, self.horsepower * HORSEPOWER, turns)
    }
}

use FanKind::{CentrifugalHighSpeed, CentrifugalLowSpeed, DoubleInletCentrifugal, InlineCentrifugal, TubeAxial};

const WHEELS: &[Wheel] = &[
    Wheel::new("demo-axial-1hp", TubeAxial, 1.0, 3450.0, (0.21, 0.25, 0.48)),
    Wheel::new("demo-axial-3hp", TubeAxial, 3.0, 3450.0, (0.21, 0.25, 0.52)),
    Wheel::new("demo-axial-5hp", TubeAxial, 5.0, 3450.0, (0.21, 0.23, 0.54)),
    Wheel::new("demo-axial-10hp", TubeAxial, 10.0, 1750.0, (0.22, 0.33, 0.57)),
    Wheel::new("demo-axial-15hp", TubeAxial, 15.0, 1750.0, (0.22, 0.31, 0.57)),
    Wheel::new("demo-inline-3hp", InlineCentrifugal, 3.0, 3450.0, (0.22, 0.46, 0.56)),
    Wheel::new("demo-inline-7hp", InlineCentrifugal, 7.5, 3450.0, (0.22, 0.46, 0.58)),
    Wheel::new("demo-inline-10hp", InlineCentrifugal, 10.0, 3450.0, (0.22, 0.46, 0.60)),
    Wheel::new("demo-centrifugal-5hp", CentrifugalLowSpeed, 5.0, 1750.0, (0.22, 0.90, 0.64)),
    Wheel::new("demo-centrifugal-10hp", CentrifugalLowSpeed, 10.0, 1750.0, (0.22, 0.90, 0.66)),
    Wheel::new("demo-centrifugal-15hp", CentrifugalLowSpeed, 15.0, 1750.0, (0.22, 0.90, 0.67)),
    Wheel::new("demo-centrifugal-25hp", CentrifugalLowSpeed, 25.0, 1750.0, (0.22, 0.90, 0.68)),
    Wheel::new("demo-centrifugal-40hp", CentrifugalLowSpeed, 40.0, 1750.0, (0.22, 0.90, 0.69)),
    Wheel::new("demo-high-speed-5hp", CentrifugalHighSpeed, 5.0, 3500.0, (0.13, 0.90, 0.66)),
    Wheel::new("demo-high-speed-10hp", CentrifugalHighSpeed, 10.0, 3500.0, (0.13, 0.90, 0.68)),
    Wheel::new("demo-high-speed-20hp", CentrifugalHighSpeed, 20.0, 3500.0, (0.13, 0.90, 0.70)),
    Wheel::new("demo-high-speed-30hp", CentrifugalHighSpeed, 30.0, 3500.0, (0.13, 0.90, 0.71)),
    Wheel::new("demo-double-inlet-30hp", DoubleInletCentrifugal, 30.0, 1170.0, (0.42, 0.90, 0.67)),
    Wheel::new("demo-double-inlet-50hp", DoubleInletCentrifugal, 50.0, 1170.0, (0.42, 0.90, 0.69)),
];

/// The invented fans, 1 to 50 hp, of every kind used on bins.
pub fn demo_catalogue() -> Vec<Fan> {
    // Every row is built in a test, so none is lost here.
    WHEELS.iter().filter_map(|w| w.build().ok()).collect()
}

/// The invented burners.
pub fn demo_burners() -> Vec<Burner> {
    let burner = |id: &str, capacity: f64, minimum_fire: f64, fuel: Fuel, firing: Firing| Burner {
        id: id.into(),
        capacity,
        minimum_fire,
        fuel,
        side: BurnerSide::Discharge,
        indirect_efficiency: None,
        firing,
        temperature_limit: None,
        invented: true,
        provenance: Provenance::default(),
    };
    vec![
        burner("demo-heater-20kw", 20_000.0, 1.0, Fuel::Electric, Firing::OnOff),
        burner("demo-burner-propane-250", 0.25 * MILLION_BTU_PER_HOUR, 1.0, Fuel::Propane, Firing::OnOff),
        burner("demo-burner-gas-1000", MILLION_BTU_PER_HOUR, 0.4, Fuel::NaturalGas, Firing::HighLow),
        Burner {
            temperature_limit: Some(71.0),
            ..burner("demo-burner-propane-2000", 2.0 * MILLION_BTU_PER_HOUR, 0.25, Fuel::Propane, Firing::Modulating)
        },
        Burner {
            indirect_efficiency: Some(0.80),
            ..burner("demo-furnace-propane-400", 0.4 * MILLION_BTU_PER_HOUR, 1.0, Fuel::Propane, Firing::OnOff)
        },
    ]
}
