//! Gas in pipes: the sizing equations of the gas codes, low and high pressure, each way round.
//!
//! Leaves out fittings (count them as equivalent length), tubing other than by its inside diameter, and rise of the pipe.
//!
//! # Caution
//! A line is sized and installed by a licensed gas fitter under the local code; this estimates what it loses.

use crate::combustion::Fuel;
use notice::Range;

/// Pressures (gauge, Pa) of the low-pressure equation: below 1.5 psi.
pub const LOW_PRESSURE: Range = Range::new(0.0, 1.5 * PSI);
/// Pressures (gauge, Pa) of the high-pressure equation as its tables go: 1.5 to 10 psi.
pub const HIGH_PRESSURE: Range = Range::new(1.5 * PSI, 10.0 * PSI);

/// Pa in an inch of water.
const INCH_WATER: f64 = 249.089;
/// Pa in a psi.
const PSI: f64 = 6_894.757_293_168_361;
const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
/// m³/s in a ft³/h.
const CUBIC_FOOT_PER_HOUR: f64 = FOOT * FOOT * FOOT / 3600.0;
/// Exponents of flow and of drop in D = Q^0.381/(19.17 (ΔH/(Cr L))^0.206).
const OF_FLOW: f64 = 0.381;
const OF_DROP: f64 = 0.206;

/// What the equations ask of a gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeGas {
    /// Factor of viscosity, density and temperature (Cr).
    pub factor: f64,
    /// Factor of supercompressibility (Y).
    pub compressibility: f64,
}

/// Natural gas of specific gravity 0.60.
pub const NATURAL_GAS: PipeGas = PipeGas { factor: 0.6094, compressibility: 0.9992 };
/// Propane of specific gravity 1.50.
pub const PROPANE: PipeGas = PipeGas { factor: 1.2462, compressibility: 0.9910 };

impl PipeGas {
    /// The constants of a fuel, told by its specific gravity.
    pub fn of(fuel: &Fuel) -> Self {
        if fuel.specific_gravity < 1.0 { NATURAL_GAS } else { PROPANE }
    }
}

/// Steel pipe schedule 40: nominal size in inches, inside diameter in m.
///
/// # Source
/// Inside diameters of the code's tables (seen).
pub const SCHEDULE_40: [(&str, f64); 9] = [
    ("1/2", 0.622 * INCH),
    ("3/4", 0.824 * INCH),
    ("1", 1.049 * INCH),
    ("1-1/4", 1.380 * INCH),
    ("1-1/2", 1.610 * INCH),
    ("2", 2.067 * INCH),
    ("2-1/2", 2.469 * INCH),
    ("3", 3.068 * INCH),
    ("4", 4.026 * INCH),
];

/// Which pressure the pipe carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Line {
    /// Below 1.5 psi: the loss is small against the absolute pressure.
    Low {
        /// Pressure lost, Pa.
        drop: f64,
    },
    /// 1.5 psi and above: the gas expands along the pipe.
    High {
        /// Absolute pressure at the beginning, Pa.
        from: f64,
        /// Absolute pressure at the end, Pa.
        to: f64,
    },
}

impl Line {
    /// The bracket of the equation over Cr, with its constant: 19.17 (ΔH/(Cr L))^0.206 or 18.93 ((P1² − P2²) Y/(Cr L))^0.206.
    fn term(self, length: f64, gas: PipeGas) -> f64 {
        let reach = gas.factor * length / FOOT;
        match self {
            Self::Low { drop } => 19.17 * (drop / INCH_WATER / reach).powf(OF_DROP),
            Self::High { from, to } => {
                let squares = (from / PSI).powi(2) - (to / PSI).powi(2);
                18.93 * (squares * gas.compressibility / reach).powf(OF_DROP)
            }
        }
    }
}

/// Returns the gas a pipe carries, m³/s at 60 °F and 30 in. of mercury.
///
/// Q = (D · 19.17 (ΔH/(Cr L))^0.206)^(1/0.381) below 1.5 psi; 18.93 and (P1² − P2²) Y in place of ΔH at and above.
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | D | `diameter`, inside | m |
/// | L | `length`, with that of fittings | m |
/// | ΔH or P1, P2 | `line` | Pa |
/// | Cr, Y | `gas` | 1 |
///
/// # Validity
/// [`LOW_PRESSURE`], [`HIGH_PRESSURE`]; ½ to 4 in.; smooth steel.
///
/// # Source
/// Gas code appendix (form seen, constants memory); reproduces IFGC 2018 Tables 402.4(3), (6) and (28) from 0.2 to 1.2 % on
/// the high side, because the tables round down (verified). Tables 402.4(5) and (7) follow another law of length.
///
/// ```
/// // 2 in., 60 ft, natural gas, 3 in. lost: 4,020 ft³/h printed.
/// use physics::gas_pipe::*;
/// let q = flow(SCHEDULE_40[5].1, 60.0 * 0.3048, Line::Low { drop: 3.0 * 249.089 }, NATURAL_GAS);
/// assert!((q * 3600.0 / 0.028316846592 / 4020.0 - 1.0).abs() < 0.01);
/// ```
pub fn flow(diameter: f64, length: f64, line: Line, gas: PipeGas) -> f64 {
    (diameter / INCH * line.term(length, gas)).powf(1.0 / OF_FLOW) * CUBIC_FOOT_PER_HOUR
}

/// Returns the inside diameter (m) that carries a flow; the inverse of [`flow`].
pub fn diameter(flow: f64, length: f64, line: Line, gas: PipeGas) -> f64 {
    (flow / CUBIC_FOOT_PER_HOUR).powf(OF_FLOW) / line.term(length, gas) * INCH
}

/// Returns the pressure lost (Pa) by a flow in a pipe below 1.5 psi.
pub fn low_pressure_drop(flow: f64, diameter: f64, length: f64, gas: PipeGas) -> f64 {
    let bracket = (flow / CUBIC_FOOT_PER_HOUR).powf(OF_FLOW) / (19.17 * diameter / INCH);
    bracket.powf(1.0 / OF_DROP) * gas.factor * length / FOOT * INCH_WATER
}

/// Returns the absolute pressure (Pa) at the end of a pipe at or above 1.5 psi; nothing when the pipe cannot carry the flow.
pub fn high_pressure_end(flow: f64, from: f64, diameter: f64, length: f64, gas: PipeGas) -> Option<f64> {
    let bracket = (flow / CUBIC_FOOT_PER_HOUR).powf(OF_FLOW) / (18.93 * diameter / INCH);
    let squares = bracket.powf(1.0 / OF_DROP) * gas.factor * length / FOOT / gas.compressibility;
    let left = (from / PSI).powi(2) - squares;
    (left > 0.0).then(|| left.sqrt() * PSI)
}

/// Returns the smallest schedule 40 pipe that carries a flow; nothing when 4 in. are too little.
pub fn smallest(flow: f64, length: f64, line: Line, gas: PipeGas) -> Option<(&'static str, f64)> {
    let needed = diameter(flow, length, line, gas);
    SCHEDULE_40.into_iter().find(|(_, inside)| *inside >= needed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_way_round(d in 0.012..0.11f64, l in 3.0..300.0f64, drop in 20.0..2000.0f64, start in 1.2e5..3e5f64) {
            for gas in [NATURAL_GAS, PROPANE] {
                let low = Line::Low { drop };
                let q = flow(d, l, low, gas);
                prop_assert!((diameter(q, l, low, gas) / d - 1.0).abs() < 1e-9);
                prop_assert!((low_pressure_drop(q, d, l, gas) / drop - 1.0).abs() < 1e-9);
                let high = Line::High { from: start, to: 0.9 * start };
                let q = flow(d, l, high, gas);
                prop_assert!((diameter(q, l, high, gas) / d - 1.0).abs() < 1e-9);
                let end = high_pressure_end(q, start, d, l, gas).unwrap();
                prop_assert!((end / (0.9 * start) - 1.0).abs() < 1e-9);
            }
        }

        #[test]
        fn longer_pipes_carry_less(d in 0.012..0.11f64, l in 3.0..300.0f64, drop in 20.0..2000.0f64) {
            let at = |d: f64, l: f64| flow(d, l, Line::Low { drop }, PROPANE);
            prop_assert!(at(d, l) > at(d, 1.01 * l));
            prop_assert!(at(d, l) < at(1.01 * d, l));
        }
    }

    #[test]
    fn too_much_gas_has_no_end_pressure() {
        assert_eq!(high_pressure_end(10.0, 1.5e5, 0.02, 100.0, PROPANE), None);
        assert!(smallest(10.0, 100.0, Line::Low { drop: 100.0 }, PROPANE).is_none());
    }
}
