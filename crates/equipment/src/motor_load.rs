//! A motor at its load: efficiency, power factor, running current, and the room left in its service factor.
//!
//! Leaves out code currents ([`crate::wiring`]): those size conductors, these say what flows.

use physics::electric::{self, Phases};

/// Returns the efficiency at a share of the rated load, from that at full load: x/(x + L (1 + x²)/2), L = (1 − η)/η.
///
/// Half of the loss at full load is there at any load, half grows with the square: flat to about half load, falling below.
///
/// # Validity
/// 0.2 to 1.3 of the rating; nothing flows out at none.
///
/// # Source
/// Judgement on the described behaviour (flat to 50 %, memory).
pub fn efficiency_at(load: f64, full_load_efficiency: f64) -> f64 {
    if load <= 0.0 {
        return 0.0;
    }
    let loss = (1.0 - full_load_efficiency) / full_load_efficiency;
    load / (load + 0.5 * loss * (1.0 + load * load))
}

/// Returns the power factor at a share of the electric power at full load, from that at full load.
///
/// The magnetising current stays, so reactive power is 93 % constant and 7 % grows with the square of the load.
///
/// # Validity
/// 0.2 to 1.3 of the rating.
///
/// # Source
/// Form by judgement; meets the recalled 0.85, 0.83, 0.78 at 1.0, 0.9, 0.75 of the load (memory).
///
/// ```
/// let at = |load| equipment::motor_load::power_factor_at(load, 0.85);
/// assert!((at(0.75) - 0.78).abs() < 0.005 && at(0.5) < 0.70);
/// ```
pub fn power_factor_at(input: f64, full_load: f64) -> f64 {
    if input <= 0.0 {
        return 0.0;
    }
    let reactive = (1.0 / (full_load * full_load) - 1.0).max(0.0).sqrt() * (0.933 + 0.067 * input * input);
    input / (input * input + reactive * reactive).sqrt()
}

/// Usual full-load power factor of three-phase fan motors (0.75 to 0.92, trade reference, seen; the middle).
pub const THREE_PHASE_POWER_FACTOR: f64 = 0.85;
/// Usual full-load power factor of single-phase motors with a run capacitor (0.85 to 0.98, memory; the middle).
pub const SINGLE_PHASE_POWER_FACTOR: f64 = 0.92;
/// Usual efficiency of single-phase farm motors of 1 to 15 hp (0.72 to 0.85, memory; the middle).
pub const SINGLE_PHASE_EFFICIENCY: f64 = 0.785;

/// A motor by its plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorPlate {
    /// Rated power at the shaft, W.
    pub rated: f64,
    /// Volts between lines.
    pub volts: f64,
    /// Phases.
    pub phases: Phases,
    /// Efficiency at full load.
    pub efficiency: f64,
    /// Power factor at full load.
    pub power_factor: f64,
    /// Service factor, 1 to 1.25.
    pub service_factor: f64,
}

impl MotorPlate {
    /// A motor of usual figures: premium three-phase, or a farm motor of one phase.
    pub fn usual(rated: f64, volts: f64, phases: Phases) -> Self {
        let (efficiency, power_factor) = match phases {
            Phases::Three => (crate::motor::default_efficiency(rated), THREE_PHASE_POWER_FACTOR),
            Phases::Single => (SINGLE_PHASE_EFFICIENCY, SINGLE_PHASE_POWER_FACTOR),
        };
        Self { rated, volts, phases, efficiency, power_factor, service_factor: 1.15 }
    }

    /// Works out what the motor draws for a shaft power, W.
    pub fn at(&self, shaft: f64) -> MotorLoad {
        let load = shaft / self.rated;
        let efficiency = efficiency_at(load, self.efficiency);
        let input = if load > 0.0 { electric::input_power(shaft, efficiency, 1.0) } else { 0.0 };
        let power_factor = power_factor_at(input * self.efficiency / self.rated, self.power_factor);
        let current = if load > 0.0 { electric::current(input, self.volts, power_factor, self.phases) } else { 0.0 };
        let judged = match load {
            l if l <= 1.0 => LoadVerdict::Within,
            l if l <= self.service_factor => LoadVerdict::InServiceFactor,
            _ => LoadVerdict::Over,
        };
        MotorLoad { load, efficiency, power_factor, input, current, judged }
    }
}

/// How a load stands to the plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadVerdict {
    /// At or below the rating.
    Within,
    /// Above the rating, within the service factor: no room left for low voltage, heat or altitude.
    InServiceFactor,
    /// Beyond the service factor: overload devices will trip or the winding ages.
    Over,
}

/// What a motor draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorLoad {
    /// Shaft power over the rating.
    pub load: f64,
    /// Efficiency there.
    pub efficiency: f64,
    /// Power factor there.
    pub power_factor: f64,
    /// Electric power, W.
    pub input: f64,
    /// Running current, A.
    pub current: f64,
    /// How it stands to the plate.
    pub judged: LoadVerdict,
}

/// Returns the share of its rating that a motor keeps above 1,000 m: 1 % less for each 100 m beyond (memory).
pub fn altitude_rating(elevation: f64) -> f64 {
    (1.0 - 0.01 * ((elevation - 1000.0) / 100.0).max(0.0)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motor::HORSEPOWER;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn more_load_draws_more(load in 0.1..1.2f64, eta in 0.7..0.96f64, pf in 0.75..0.95f64) {
            let plate = MotorPlate { rated: 7500.0, volts: 230.0, phases: Phases::Three, efficiency: eta, power_factor: pf, service_factor: 1.15 };
            let (low, high) = (plate.at(load * 7500.0), plate.at(1.02 * load * 7500.0));
            prop_assert!(high.current > low.current && high.input > low.input);
            prop_assert!(low.input > load * 7500.0);
        }
    }

    #[test]
    fn full_load_is_the_plate() {
        let plate = MotorPlate::usual(10.0 * HORSEPOWER, 230.0, Phases::Three);
        let full = plate.at(plate.rated);
        assert!((full.efficiency - plate.efficiency).abs() < 1e-12 && (full.power_factor - 0.85).abs() < 1e-12);
        assert_eq!(full.judged, LoadVerdict::Within);
        // Cold dense air of −20 °C takes 16 % more: into the service factor and over.
        assert_eq!(plate.at(1.16 * plate.rated).judged, LoadVerdict::Over);
        assert_eq!(plate.at(1.10 * plate.rated).judged, LoadVerdict::InServiceFactor);
        assert_eq!((plate.at(0.0).current, plate.at(0.0).input), (0.0, 0.0));
        assert!((efficiency_at(0.5, 0.917) - 0.917).abs() < 0.02 && efficiency_at(0.2, 0.917) < 0.85);
    }

    /// Code currents stand 8 to 27 % above running currents at efficiency 0.917 and power factor 0.85 (derived in the reference).
    #[test]
    fn code_currents_are_high() {
        for (hp, running, code) in [(5.0, 6.0, 7.6), (20.0, 24.0, 27.0), (50.0, 60.0, 65.0f64)] {
            let power = electric::input_power(hp * HORSEPOWER, 0.917, 1.0);
            let flows = electric::current(power, 460.0, 0.85, Phases::Three);
            assert!((flows - running).abs() < 0.5, "{hp} hp: {flows}");
            assert_eq!(crate::wiring::code_current(hp * HORSEPOWER, 460.0, Phases::Three), Some(code));
        }
        assert!((altitude_rating(1500.0) - 0.95).abs() < 1e-12);
    }
}
