//! Air through sharp openings: roof vents, gaps, screens; and what the pressure behind them does to a roof.
//!
//! # Caution
//! Roofs, floors and walls under air pressure are judged by their maker or a structural engineer; iced vents have lifted roofs.

/// Discharge coefficient of a sharp opening, low and high of the trade's figures (memory).
pub const SHARP_EDGE: (f64, f64) = (0.60, 0.65);

/// Returns the pressure that drives an airflow through sharp openings, Pa: (ρ/2) (Q/(C_d A))².
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | Q | `airflow` | m³/s |
/// | A | `area`, open | m² |
/// | C_d | `discharge_coefficient` | 1 |
/// | ρ | `density` of the air | kg/m³ |
///
/// # Source
/// Bernoulli with a coefficient; 1,000 ft/min give 0.15 to 0.17 in. of water (derived).
///
/// ```
/// let pa = physics::opening::pressure(5.08, 1.0, 0.62, 1.2);
/// assert!((pa / 249.089 - 0.16).abs() < 0.005);
/// ```
pub fn pressure(airflow: f64, area: f64, discharge_coefficient: f64, density: f64) -> f64 {
    let velocity = airflow / (discharge_coefficient * area);
    0.5 * density * velocity * velocity
}

/// Returns the airflow through openings under a pressure (Pa), m³/s; the inverse of [`pressure`].
pub fn airflow(pressure: f64, area: f64, discharge_coefficient: f64, density: f64) -> f64 {
    discharge_coefficient * area * (2.0 * pressure / density).sqrt()
}

/// Returns the open area that holds an airflow to a pressure, m².
pub fn area(airflow: f64, pressure: f64, discharge_coefficient: f64, density: f64) -> f64 {
    airflow / (discharge_coefficient * (2.0 * pressure / density).sqrt())
}

/// Returns the uplift on a roof, N: gauge pressure of the headspace on the plan area of a bin.
///
/// ```
/// // Iced vents at 1 in. of water on a 48 ft bin: 9,400 lb.
/// let pounds = physics::opening::roof_uplift(249.089, 48.0 * 0.3048) / 4.448222;
/// assert!((pounds - 9400.0).abs() < 30.0);
/// ```
pub fn roof_uplift(pressure: f64, diameter: f64) -> f64 {
    pressure * 0.25 * std::f64::consts::PI * diameter * diameter
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_way_round(q in 0.1..30.0f64, a in 0.05..5.0f64, c in 0.5..0.9f64) {
            let p = pressure(q, a, c, 1.2);
            prop_assert!((airflow(p, a, c, 1.2) / q - 1.0).abs() < 1e-12);
            prop_assert!((area(q, p, c, 1.2) / a - 1.0).abs() < 1e-12);
        }
    }
}
