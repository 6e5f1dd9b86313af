//! Gas through the drilled orifice of a burner: the low-pressure formula of the trade, and flow up to the speed of sound.
//!
//! Leaves out the regulator ahead of it and the jet's own behaviour in the burner.
//!
//! # Caution
//! Orifices are chosen and drilled by the burner's maker and set by a licensed gas fitter; a figure from here finds a
//! misfit, it does not license one.

use crate::air::{STANDARD_PRESSURE, ZERO_CELSIUS_K};
use crate::combustion::Fuel;
use notice::Range;
use std::f64::consts::PI;

/// Discharge coefficient of a drilled spud.
///
/// # Source
/// The table that [`low_pressure_flow`] reproduces (seen).
pub const DRILLED_SPUD: f64 = 0.90;
/// Gauge pressures over which the low-pressure formula holds, Pa: up to 2 psi, where it reads 2 % high.
pub const LOW_PRESSURE: Range = Range::new(0.0, 2.0 * 6_894.757);
/// Gauge pressures met at farm burners, Pa: up to 50 psi.
pub const HIGH_PRESSURE: Range = Range::new(0.0, 50.0 * 6_894.757);
/// Universal gas constant, J/(kmol K).
const GAS_CONSTANT: f64 = 8_314.46;
/// 1658.5 ft³/h of an in² under an inch of water, as m³/s of a m² under a Pa (water at 4 °C).
const LOW_CONSTANT: f64 = 1658.5 * 0.028316846592 / 3600.0 / 6.4516e-4 / 15.782553659024892;

/// Returns the area of a round hole, m².
pub fn area(diameter: f64) -> f64 {
    0.25 * PI * diameter * diameter
}

/// Returns the gas through an orifice at low pressure, m³/s at 60 °F and 30 in. of mercury.
///
/// Q = 1658.5 K A √(H/S)     (ft³/h, in², in. of water; converted inside)
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | A | from `diameter` | m |
/// | K | `discharge_coefficient`, [`DRILLED_SPUD`] | 1 |
/// | H | `pressure` ahead of it, gauge | Pa |
/// | S | `specific_gravity` of the gas | 1 |
///
/// # Validity
/// [`LOW_PRESSURE`]: incompressible; 5 % high at 5 psi. At the sea: at altitude a gauge regulator keeps H while the gas
/// thins, multiply by [`altitude_factor`].
///
/// # Source
/// Orifice capacity table of an open plumbing textbook (seen), reproduced to 0.12 %; first principles give a constant 0.3 % less.
///
/// ```
/// // Drill 80, natural gas under 3.5 in. of water: 0.516 ft³/h printed.
/// let q = physics::orifice::low_pressure_flow(0.0135 * 0.0254, 0.90, 3.5 * 249.089, 0.60);
/// assert!((q * 3600.0 / 0.028316846592 - 0.516).abs() < 1e-3);
/// ```
pub fn low_pressure_flow(diameter: f64, discharge_coefficient: f64, pressure: f64, specific_gravity: f64) -> f64 {
    LOW_CONSTANT * discharge_coefficient * area(diameter) * (pressure / specific_gravity).sqrt()
}

/// Returns the share of its sea-level flow that a low-pressure orifice keeps at a barometric pressure (Pa): √(p/p0).
pub fn altitude_factor(barometric: f64) -> f64 {
    (barometric / STANDARD_PRESSURE).sqrt()
}

/// Returns the pressure ratio (outlet over inlet, absolute) below which flow is choked: (2/(γ+1))^(γ/(γ−1)).
pub fn critical_ratio(heat_capacity_ratio: f64) -> f64 {
    (2.0 / (heat_capacity_ratio + 1.0)).powf(heat_capacity_ratio / (heat_capacity_ratio - 1.0))
}

/// Returns the gas through an orifice at any pressure, kg/s.
///
/// sub-critical: ṁ = K A p1 √(2γ/(R T (γ−1)) (r^(2/γ) − r^((γ+1)/γ)));
/// choked: ṁ = K A p1 √(γ/(R T)) (2/(γ+1))^((γ+1)/(2(γ−1)))
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | A | from `diameter` | m |
/// | K | `discharge_coefficient` | 1 |
/// | p1 | `gauge` + `barometric` ahead | Pa |
/// | r | `barometric`/p1 | 1 |
/// | T | `temperature` of the gas | °C |
/// | γ, R | of the `gas` | |
///
/// # Validity
/// [`HIGH_PRESSURE`]; vapour without liquid, an ideal gas. The coefficient is taken as in low-pressure flow.
///
/// # Source
/// Isentropic nozzle (standard); ratio of specific heats from memory, worth 1 % here.
pub fn mass_flow(
    diameter: f64,
    discharge_coefficient: f64,
    gauge: f64,
    barometric: f64,
    temperature: f64,
    gas: &Fuel,
) -> f64 {
    let g = gas.heat_capacity_ratio;
    let heat = GAS_CONSTANT / gas.molar_mass * (temperature + ZERO_CELSIUS_K);
    let ahead = gauge + barometric;
    let ratio = barometric / ahead;
    let flux = if ratio <= critical_ratio(g) {
        (g / heat).sqrt() * (2.0 / (g + 1.0)).powf((g + 1.0) / (2.0 * (g - 1.0)))
    } else {
        (2.0 * g / (heat * (g - 1.0)) * (ratio.powf(2.0 / g) - ratio.powf((g + 1.0) / g))).max(0.0).sqrt()
    };
    discharge_coefficient * area(diameter) * ahead * flux
}

/// Which relation an answer of [`invoiced_heat`] rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Law {
    /// [`low_pressure_flow`], times [`altitude_factor`].
    LowPressure,
    /// [`mass_flow`], below the speed of sound.
    Compressible,
    /// [`mass_flow`] at the speed of sound: heat follows the absolute pressure.
    Choked,
}

/// Returns the heat on the invoice (W, higher heating value) of an orifice, and the relation taken: the trade's formula up to
/// [`LOW_PRESSURE`], the nozzle beyond. Arguments as in [`mass_flow`].
pub fn invoiced_heat(
    diameter: f64,
    discharge_coefficient: f64,
    gauge: f64,
    barometric: f64,
    temperature: f64,
    gas: &Fuel,
) -> (f64, Law) {
    if LOW_PRESSURE.contains(gauge) {
        let flow = low_pressure_flow(diameter, discharge_coefficient, gauge, gas.specific_gravity);
        return (flow * altitude_factor(barometric) * gas.gas_heating_value, Law::LowPressure);
    }
    let choked = barometric / (barometric + gauge) <= critical_ratio(gas.heat_capacity_ratio);
    let mass = mass_flow(diameter, discharge_coefficient, gauge, barometric, temperature, gas);
    (mass * gas.higher_heating_value, if choked { Law::Choked } else { Law::Compressible })
}

/// Returns the diameter (m) that gives an invoiced heat (W); other arguments as in [`mass_flow`].
pub fn diameter_for(
    invoiced: f64,
    discharge_coefficient: f64,
    gauge: f64,
    barometric: f64,
    temperature: f64,
    gas: &Fuel,
) -> f64 {
    let of_a_metre = invoiced_heat(1.0, discharge_coefficient, gauge, barometric, temperature, gas).0;
    (invoiced / of_a_metre).sqrt()
}

/// Returns the gauge pressure (as a share of the one at full fire) for a share of the full flow: turndown N needs N².
///
/// Sub-critical flow goes with the root of the pressure, so 4:1 turndown needs 16:1 in pressure.
pub fn pressure_share(flow_share: f64) -> f64 {
    flow_share * flow_share
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::combustion::{NATURAL_GAS, PROPANE};
    use proptest::prelude::*;

    const PSI: f64 = 6_894.757;

    proptest! {
        #[test]
        fn the_diameter_is_the_inverse(heat in 1e3..2e6f64, gauge in 500.0..3e5f64, p in 7e4..1.05e5f64) {
            for gas in [PROPANE, NATURAL_GAS] {
                let d = diameter_for(heat, 0.9, gauge, p, 15.0, &gas);
                prop_assert!((invoiced_heat(d, 0.9, gauge, p, 15.0, &gas).0 / heat - 1.0).abs() < 1e-9);
            }
        }

        #[test]
        fn more_pressure_gives_more_gas(gauge in 500.0..3e5f64, p in 7e4..1.05e5f64) {
            let at = |g: f64| mass_flow(0.003, 0.9, g, p, 15.0, &PROPANE);
            prop_assert!(at(gauge * 1.001) > at(gauge));
        }
    }

    #[test]
    fn flow_is_continuous_where_it_chokes() {
        let gauge = STANDARD_PRESSURE * (1.0 / critical_ratio(1.13) - 1.0);
        assert!((gauge / PSI - 10.7).abs() < 0.1, "{}", gauge / PSI);
        let at = |g: f64| mass_flow(0.003, 0.9, g, STANDARD_PRESSURE, 15.0, &PROPANE);
        assert!((at(gauge * (1.0 + 1e-9)) / at(gauge * (1.0 - 1e-9)) - 1.0).abs() < 1e-7);
    }

    /// A water column of 4 °C stands behind the constant: the root of 249.089 Pa per inch.
    #[test]
    fn the_constant_is_that_of_the_trade() {
        assert!((15.782553659024892f64.powi(2) - 249.089).abs() < 1e-9);
    }
}
