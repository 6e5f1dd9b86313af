//! The pressure budget besides the grain: what the air loses between fan and open air, each item by itself.
//!
//! Losses are numbers here (areas, coefficients); [`crate::way`] makes them from geometry. Leaves out pressure along perforated
//! ducts. Crowding at a pad or at ducts is grain of its own ([`crate::spread`]).

use crate::fan::STANDARD_DENSITY;
use crate::spread::Spread;
use physics::perforated::floor_under_grain;

/// Perforated floor under grain; its law is [`physics::perforated::floor_under_grain`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Floor {
    /// Open fraction of the sheet.
    pub open_fraction: f64,
    /// Porosity of the grain on it.
    pub grain_porosity: f64,
    /// Perforated area that carries the air, m².
    pub area: f64,
}

impl Floor {
    /// The floor with a share of its holes plugged by fines: what is left open carries the air.
    pub fn plugged(self, share: f64) -> Self {
        Self { open_fraction: self.open_fraction * (1.0 - share), ..self }
    }
}

/// Loss of the transition or supply duct between fan and plenum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loss {
    /// None to speak of, or already in the fan's table.
    None,
    /// K times the velocity pressure of the fan's air in an area (m²).
    OnVelocity {
        /// Loss coefficient; an unrecovered jet into a plenum has 1.
        coefficient: f64,
        /// Area of the stated velocity, m².
        area: f64,
    },
    /// A known loss (Pa, standard air) at a known airflow (m³/s), square law from there.
    Quadratic {
        /// Loss, Pa.
        pressure: f64,
        /// Airflow at which it holds, m³/s.
        airflow: f64,
    },
}

/// Roof vents as sharp openings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vents {
    /// Open area, m².
    pub area: f64,
    /// Discharge coefficient, 0.60–0.65 for sharp edges (memory).
    pub discharge_coefficient: f64,
}

/// Everything besides the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressureBudget {
    /// Perforated floor, where there is one.
    pub floor: Option<Floor>,
    /// Transition and supply duct.
    pub transition: Loss,
    /// Crowding of the air where only part of the floor is perforated, or ducts lie on it.
    pub spread: Option<Spread>,
    /// Roof vents; `None` for an open top.
    pub vents: Option<Vents>,
    /// Fraction of the fan's air that escapes (pressure) or enters (suction) between fan and grain.
    pub leakage: f64,
}

impl Default for PressureBudget {
    /// Nothing but the grain.
    fn default() -> Self {
        Self { floor: None, transition: Loss::None, spread: None, vents: None, leakage: 0.0 }
    }
}

/// The stacked budget of one working point, Pa.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Budget {
    /// Transition and supply duct.
    pub transition: f64,
    /// Perforated floor.
    pub floor: f64,
    /// Crowding of the air at a pad or at ducts.
    pub spread: f64,
    /// The grain itself.
    pub grain: f64,
    /// Roof vents, which is also the pressure of the headspace against the open air.
    pub vents: f64,
}

impl Budget {
    /// Sum of all items: what the fan must give.
    pub fn total(&self) -> f64 {
        self.transition + self.floor + self.spread + self.grain + self.vents
    }

    /// Pressure between plenum and open air: all but the transition.
    pub fn plenum(&self) -> f64 {
        self.floor + self.spread + self.grain + self.vents
    }
}

/// Quadratic coefficients of a budget for the solver: pressure at standard air = coefficient × (airflow at the fan)².
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Coefficients {
    /// Transition, scales with the density at the fan.
    pub transition: f64,
    /// Floor, for grain-side air of the fan's own volume; times the volume ratio.
    pub floor: f64,
    /// Vents, with the fan's air.
    pub vents: f64,
    /// Fraction of the air that reaches the grain.
    pub through_grain: f64,
}

impl PressureBudget {
    pub(crate) fn coefficients(&self) -> Coefficients {
        let through_grain = 1.0 - self.leakage;
        Coefficients {
            transition: match self.transition {
                Loss::None => 0.0,
                Loss::OnVelocity { coefficient, area } => 0.5 * STANDARD_DENSITY * coefficient / (area * area),
                Loss::Quadratic { pressure, airflow } => pressure / (airflow * airflow),
            },
            floor: self
                .floor
                .map_or(0.0, |f| floor_under_grain(through_grain / f.area, f.grain_porosity, f.open_fraction)),
            vents: self
                .vents
                .map_or(0.0, |v| 0.5 * STANDARD_DENSITY * (through_grain / (v.area * v.discharge_coefficient)).powi(2)),
            through_grain,
        }
    }

    /// The first figure that cannot be, with its name: areas and coefficients above zero, fractions from 0 to 1.
    pub(crate) fn fault(&self) -> Option<(&'static str, f64)> {
        let mut figures = vec![("leakage", self.leakage, 0.0, 0.9)];
        if let Some(f) = self.floor {
            figures.push(("open fraction of the floor", f.open_fraction, 1e-3, 1.0));
            figures.push(("porosity of the grain", f.grain_porosity, 0.05, 1.0));
            figures.push(("perforated area", f.area, 1e-3, 1e6));
        }
        if self.spread.is_some_and(|s| !s.is_possible()) {
            return Some(("crowding at the floor", f64::NAN));
        }
        if let Some(v) = self.vents {
            figures.push(("vent area", v.area, 1e-4, 1e6));
            figures.push(("discharge coefficient", v.discharge_coefficient, 0.05, 1.0));
        }
        match self.transition {
            Loss::None => {}
            Loss::OnVelocity { coefficient, area } => {
                figures.push(("loss coefficient", coefficient, 0.0, 1e3));
                figures.push(("transition area", area, 1e-4, 1e4));
            }
            Loss::Quadratic { pressure, airflow } => {
                figures.push(("transition loss", pressure, 0.0, 1e5));
                figures.push(("airflow of the transition loss", airflow, 1e-6, 1e5));
            }
        }
        figures.into_iter().find(|(_, v, low, high)| !(v >= low && v <= high)).map(|(name, v, ..)| (name, v))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plugged_floor_loses_by_the_square() {
        let floor = Floor { open_fraction: 0.10, grain_porosity: 0.40, area: 80.0 };
        let of = |floor| PressureBudget { floor: Some(floor), ..PressureBudget::default() }.coefficients().floor;
        let times = of(floor.plugged(0.3)) / of(floor);
        assert!((times - physics::perforated::plugging_multiplier(0.3)).abs() < 1e-12);
    }
}
