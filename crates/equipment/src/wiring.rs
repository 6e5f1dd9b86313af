//! What code tables say of motors' currents, and the resistance of conductors.
//!
//! Code currents are high on purpose and size conductors and protection; they say nothing of energy or of the load of a motor,
//! for which running currents (crate `physics`, module `electric`) and the nameplate stand. Leaves out ampacity, conduit fill and
//! protective devices: they are no matter for an estimate.
//!
//! # Caution
//! A licensed electrician and the local code decide on every circuit.

use crate::motor::HORSEPOWER;
use physics::electric::Phases;

/// Voltages of [`THREE_PHASE`].
pub const THREE_PHASE_VOLTS: [f64; 5] = [200.0, 208.0, 230.0, 460.0, 575.0];
/// Full-load currents of three-phase motors by horsepower, A, at [`THREE_PHASE_VOLTS`].
///
/// # Source
/// NEC 2008 Table 430.250 (copy, cross-read with two newer copies; seen).
pub const THREE_PHASE: [(f64, [f64; 5]); 18] = [
    (0.5, [2.5, 2.4, 2.2, 1.1, 0.9]),
    (0.75, [3.7, 3.5, 3.2, 1.6, 1.3]),
    (1.0, [4.8, 4.6, 4.2, 2.1, 1.7]),
    (1.5, [6.9, 6.6, 6.0, 3.0, 2.4]),
    (2.0, [7.8, 7.5, 6.8, 3.4, 2.7]),
    (3.0, [11.0, 10.6, 9.6, 4.8, 3.9]),
    (5.0, [17.5, 16.7, 15.2, 7.6, 6.1]),
    (7.5, [25.3, 24.2, 22.0, 11.0, 9.0]),
    (10.0, [32.2, 30.8, 28.0, 14.0, 11.0]),
    (15.0, [48.3, 46.2, 42.0, 21.0, 17.0]),
    (20.0, [62.1, 59.4, 54.0, 27.0, 22.0]),
    (25.0, [78.2, 74.8, 68.0, 34.0, 27.0]),
    (30.0, [92.0, 88.0, 80.0, 40.0, 32.0]),
    (40.0, [120.0, 114.0, 104.0, 52.0, 41.0]),
    (50.0, [150.0, 143.0, 130.0, 65.0, 52.0]),
    (60.0, [177.0, 169.0, 154.0, 77.0, 62.0]),
    (75.0, [221.0, 211.0, 192.0, 96.0, 77.0]),
    (100.0, [285.0, 273.0, 248.0, 124.0, 99.0]),
];
/// Voltages of [`SINGLE_PHASE`].
pub const SINGLE_PHASE_VOLTS: [f64; 4] = [115.0, 200.0, 208.0, 230.0];
/// Full-load currents of single-phase motors by horsepower, A, at [`SINGLE_PHASE_VOLTS`].
///
/// # Source
/// NEC Table 430.248 (two copies, agreeing; seen).
pub const SINGLE_PHASE: [(f64, [f64; 4]); 12] = [
    (1.0 / 6.0, [4.4, 2.5, 2.4, 2.2]),
    (0.25, [5.8, 3.3, 3.2, 2.9]),
    (1.0 / 3.0, [7.2, 4.1, 4.0, 3.6]),
    (0.5, [9.8, 5.6, 5.4, 4.9]),
    (0.75, [13.8, 7.9, 7.6, 6.9]),
    (1.0, [16.0, 9.2, 8.8, 8.0]),
    (1.5, [20.0, 11.5, 11.0, 10.0]),
    (2.0, [24.0, 13.8, 13.2, 12.0]),
    (3.0, [34.0, 19.6, 18.7, 17.0]),
    (5.0, [56.0, 32.2, 30.8, 28.0]),
    (7.5, [80.0, 46.0, 44.0, 40.0]),
    (10.0, [100.0, 57.5, 55.0, 50.0]),
];

/// Largest single-phase motor that utilities usually take, W.
///
/// # Source
/// Cooperative and extension text (seen): about 10 hp.
pub const LARGEST_SINGLE_PHASE: f64 = 10.0 * HORSEPOWER;
/// Conductor of one continuous motor over its code current.
///
/// # Source
/// NEC 430.22, as quoted (seen).
pub const CONDUCTOR_FACTOR: f64 = 1.25;
/// Voltage loss that notes of the code suggest as most on a branch and on feeder and branch together, share of the supply.
///
/// # Source
/// NEC notes, as quoted (seen).
pub const SUGGESTED_DROP: (f64, f64) = (0.03, 0.05);

/// Returns the code current of a motor of a rated power (W), A: the next size of the table up, its own voltage.
///
/// A voltage of the table is met within 5 % (a 240 V supply is the 230 V of the table). Nothing beyond the table.
pub fn code_current(rated: f64, volts: f64, phases: Phases) -> Option<f64> {
    match phases {
        Phases::Single => from_table(&SINGLE_PHASE, &SINGLE_PHASE_VOLTS, rated, volts),
        Phases::Three => from_table(&THREE_PHASE, &THREE_PHASE_VOLTS, rated, volts),
    }
}

fn from_table<const N: usize>(table: &[(f64, [f64; N])], at: &[f64; N], rated: f64, volts: f64) -> Option<f64> {
    let near = |v: f64| (volts / v - 1.0).abs();
    let column = (0..N).min_by(|a, b| near(at[*a]).total_cmp(&near(at[*b]))).filter(|i| near(at[*i]) <= 0.05)?;
    let horsepower = rated / HORSEPOWER;
    // A size typed in kilowatts lands a rounding error above its own horsepower.
    table.iter().find(|(hp, _)| horsepower <= hp * 1.001).map(|(_, currents)| currents[column])
}

/// Metal of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Metal {
    /// Copper.
    Copper,
    /// Aluminium.
    Aluminium,
}

/// A size of conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// American wire gauge.
    pub name: &'static str,
    /// Area, circular mils.
    pub circular_mils: f64,
    /// Resistance of copper at 75 °C, direct current, Ω/m.
    pub copper: f64,
    /// Resistance of aluminium at 75 °C, direct current, Ω/m.
    pub aluminium: f64,
}

impl Conductor {
    /// Resistance, Ω/m.
    pub fn resistance(&self, metal: Metal) -> f64 {
        match metal {
            Metal::Copper => self.copper,
            Metal::Aluminium => self.aluminium,
        }
    }
}

/// Reactance of a conductor in conduit, Ω/m: the middle of 0.045 to 0.065 Ω/1000 ft (NEC chapter 9 Table 9, copy; seen).
pub const REACTANCE: f64 = per_foot(0.055);

/// Ω/m from Ω per 1000 ft.
const fn per_foot(ohm_per_thousand: f64) -> f64 {
    ohm_per_thousand / 304.8
}

/// Conductors from the smallest.
///
/// # Source
/// NEC chapter 9 Table 8 (copy; seen). The 8 AWG copper of the copy is solid; stranded is 0.778 Ω/1000 ft (memory).
pub const CONDUCTORS: [Conductor; 13] = [
    Conductor { name: "14", circular_mils: 4110.0, copper: per_foot(3.07), aluminium: per_foot(5.06) },
    Conductor { name: "12", circular_mils: 6530.0, copper: per_foot(1.93), aluminium: per_foot(3.18) },
    Conductor { name: "10", circular_mils: 10380.0, copper: per_foot(1.21), aluminium: per_foot(2.0) },
    Conductor { name: "8", circular_mils: 16510.0, copper: per_foot(0.764), aluminium: per_foot(1.26) },
    Conductor { name: "6", circular_mils: 26240.0, copper: per_foot(0.491), aluminium: per_foot(0.808) },
    Conductor { name: "4", circular_mils: 41740.0, copper: per_foot(0.308), aluminium: per_foot(0.508) },
    Conductor { name: "3", circular_mils: 52620.0, copper: per_foot(0.245), aluminium: per_foot(0.403) },
    Conductor { name: "2", circular_mils: 66360.0, copper: per_foot(0.194), aluminium: per_foot(0.319) },
    Conductor { name: "1", circular_mils: 83690.0, copper: per_foot(0.154), aluminium: per_foot(0.253) },
    Conductor { name: "1/0", circular_mils: 105600.0, copper: per_foot(0.122), aluminium: per_foot(0.201) },
    Conductor { name: "2/0", circular_mils: 133100.0, copper: per_foot(0.0967), aluminium: per_foot(0.159) },
    Conductor { name: "3/0", circular_mils: 167800.0, copper: per_foot(0.0766), aluminium: per_foot(0.126) },
    Conductor { name: "4/0", circular_mils: 211600.0, copper: per_foot(0.0608), aluminium: per_foot(0.1) },
];

/// Returns the conductor of a gauge as written: "2", "2 AWG", "1/0", "4/0".
pub fn conductor(name: &str) -> Option<&'static Conductor> {
    let name = name.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == ' ');
    CONDUCTORS.iter().find(|c| c.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn larger_motors_draw_more_and_higher_voltage_less() {
        for w in THREE_PHASE.windows(2) {
            assert!(w[0].1.iter().zip(w[1].1).all(|(small, large)| *small < large), "{} hp", w[1].0);
        }
        for w in SINGLE_PHASE.windows(2) {
            assert!(w[0].1.iter().zip(w[1].1).all(|(small, large)| *small < large), "{} hp", w[1].0);
        }
        for (hp, row) in THREE_PHASE {
            assert!(row.windows(2).all(|v| v[1] < v[0]), "{hp} hp");
        }
    }

    /// K = R × circular mils/1000 is one number for a metal: 12.9 for copper, 21.2 for aluminium (the trade's constants).
    #[test]
    fn resistance_and_area_belong_together() {
        for c in CONDUCTORS {
            let constant = |ohm_per_metre: f64| ohm_per_metre * 304.8 * c.circular_mils / 1000.0;
            assert!((constant(c.copper) / 12.7 - 1.0).abs() < 0.02, "{} {}", c.name, constant(c.copper));
            assert!((constant(c.aluminium) / 21.0 - 1.0).abs() < 0.02, "{} {}", c.name, constant(c.aluminium));
        }
    }

    #[test]
    fn sizes_and_voltages_are_found() {
        let hp = |n: f64| n * HORSEPOWER;
        assert_eq!(code_current(hp(10.0), 230.0, Phases::Three), Some(28.0));
        assert_eq!(code_current(hp(10.0), 240.0, Phases::Single), Some(50.0));
        // 9 hp stands under 10 hp; 400 V stands nowhere.
        assert_eq!(code_current(hp(9.0), 480.0, Phases::Three), Some(14.0));
        assert_eq!(code_current(hp(9.0), 400.0, Phases::Three), None);
        assert_eq!(code_current(hp(15.0), 230.0, Phases::Single), None);
        assert_eq!(conductor("2 AWG").map(|c| c.name), Some("2"));
        assert_eq!(conductor("4/0").map(|c| c.name), Some("4/0"));
        assert!(conductor("5/0").is_none());
    }
}
