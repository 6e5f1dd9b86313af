//! Electric motors seen from the wires: input power, current, starting, voltage lost in a feeder, a generator's size.
//!
//! Physical relations only; what code tables demand is kept apart (crate `equipment`). Leaves out protection, conductors'
//! heating, harmonics.
//!
//! # Caution
//! Circuits are designed and installed by a licensed electrician under the local code and the utility's rules.

/// Phases of a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phases {
    /// Two wires and one voltage.
    Single,
    /// Three equal phases.
    Three,
}

impl Phases {
    /// Power = factor × volts × amperes × power factor.
    pub fn power_factor_of_wires(self) -> f64 {
        match self {
            Self::Single => 1.0,
            Self::Three => 3f64.sqrt(),
        }
    }

    /// Voltage lost = factor × amperes × impedance of one conductor.
    pub fn drop_factor(self) -> f64 {
        match self {
            Self::Single => 2.0,
            Self::Three => 3f64.sqrt(),
        }
    }
}

/// Returns the electric power of a motor, W: shaft power over the efficiencies of motor and drive.
///
/// # Validity
/// `shaft` W at the operating density of the air, not the nameplate's; efficiencies in (0, 1].
///
/// ```
/// // 10 hp at 91.7 %: 8.13 kW (worked row E02).
/// let kw = physics::electric::input_power(7457.0, 0.917, 1.0) / 1000.0;
/// assert!((kw - 8.13).abs() < 0.005);
/// ```
pub fn input_power(shaft: f64, motor_efficiency: f64, drive_efficiency: f64) -> f64 {
    shaft / (motor_efficiency * drive_efficiency)
}

/// Returns the running current, A: P/(f V cos φ), f of [`Phases::power_factor_of_wires`].
///
/// `power` W of electricity, `volts` between lines.
pub fn current(power: f64, volts: f64, power_factor: f64, phases: Phases) -> f64 {
    power / (phases.power_factor_of_wires() * volts * power_factor)
}

/// Returns the power of a running current, W; the inverse of [`current`].
pub fn power(current: f64, volts: f64, power_factor: f64, phases: Phases) -> f64 {
    phases.power_factor_of_wires() * volts * current * power_factor
}

/// Returns the voltage lost in a feeder, V: f I L (R cos φ + X sin φ).
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | I | `current` | A |
/// | L | `length`, one way | m |
/// | R, X | `resistance`, `reactance` of the conductor | Ω/m |
/// | cos φ | `power_factor`; 1 with X 0 is the direct-current form of the handbooks | 1 |
/// | f | 2 for one phase, √3 for three | |
///
/// # Validity
/// Balanced phases; a loss small against the voltage.
///
/// # Source
/// Ohm's law; worked row E01 (50 A, 200 ft, copper 2 AWG, one phase: 3.88 V).
///
/// ```
/// use physics::electric::*;
/// let ohm_per_metre = 0.194 / 304.8;
/// let lost = voltage_drop(50.0, 200.0 * 0.3048, ohm_per_metre, 0.0, 1.0, Phases::Single);
/// assert!((lost - 3.88).abs() < 0.01);
/// ```
pub fn voltage_drop(
    current: f64,
    length: f64,
    resistance: f64,
    reactance: f64,
    power_factor: f64,
    phases: Phases,
) -> f64 {
    let sine = (1.0 - power_factor * power_factor).max(0.0).sqrt();
    phases.drop_factor() * current * length * (resistance * power_factor + reactance * sine)
}

/// Returns the locked-rotor current, A, of a motor of a rated power (W) and a code letter's kVA per horsepower.
pub fn locked_rotor_current(rated: f64, kva_per_horsepower: f64, volts: f64, phases: Phases) -> f64 {
    1000.0 * kva_per_horsepower * rated / HORSEPOWER / (phases.power_factor_of_wires() * volts)
}

/// Watts in a horsepower.
const HORSEPOWER: f64 = 745.699_871_582_270_2;

/// Code letters of locked rotors: letter, kVA per horsepower from and to (the last has no end).
///
/// # Source
/// NEMA MG 1 and NEC 430.7(B), as tabulated on two reference pages (seen; the upper end of B stands as 3.54 or 3.55).
#[expect(clippy::approx_constant, reason = "kVA for each horsepower, not the circle")]
pub const CODE_LETTERS: [(char, f64, f64); 19] = [
    ('A', 0.0, 3.14),
    ('B', 3.15, 3.54),
    ('C', 3.55, 3.99),
    ('D', 4.0, 4.49),
    ('E', 4.5, 4.99),
    ('F', 5.0, 5.59),
    ('G', 5.6, 6.29),
    ('H', 6.3, 7.09),
    ('J', 7.1, 7.99),
    ('K', 8.0, 8.99),
    ('L', 9.0, 9.99),
    ('M', 10.0, 11.19),
    ('N', 11.2, 12.49),
    ('P', 12.5, 13.99),
    ('R', 14.0, 15.99),
    ('S', 16.0, 17.99),
    ('T', 18.0, 19.99),
    ('U', 20.0, 22.39),
    ('V', 22.4, f64::INFINITY),
];

/// Returns the kVA per horsepower of a code letter, from and to.
pub fn code_letter(letter: char) -> Option<(f64, f64)> {
    let letter = letter.to_ascii_uppercase();
    CODE_LETTERS.iter().find(|row| row.0 == letter).map(|row| (row.1, row.2))
}

/// Returns the usual code letter of a three-phase motor of a rated power (W): smaller motors draw more at start.
///
/// # Source
/// Trade list (seen with the code letters): below 1 hp L, 1.5–2 hp L or M, 3 hp K, 5 hp J, 7.5–10 hp H, 15 hp and up G.
pub fn usual_code_letter(rated: f64) -> char {
    match rated / HORSEPOWER {
        hp if hp < 2.5 => 'L',
        hp if hp < 4.0 => 'K',
        hp if hp < 6.0 => 'J',
        hp if hp < 12.0 => 'H',
        _ => 'G',
    }
}

/// What a generator has to carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GeneratorLoad {
    /// Running power of everything, W.
    pub running: f64,
    /// Power of all but the motor started last, plus the starting power of that one, VA.
    pub starting: f64,
    /// Engine power for the running load, W, from and to.
    pub engine: (f64, f64),
}

/// Returns an estimate of a generator's load: `running` W of everything on, and the largest motor started last with its
/// `largest_running` W and `largest_starting` VA.
///
/// # Validity
/// An estimate: dip of voltage, altitude and heat of the place are the maker's.
///
/// # Source
/// Engine 2 to 2.25 hp for each kW (two extension texts, seen); the largest motor last is common practice.
pub fn generator_load(running: f64, largest_running: f64, largest_starting: f64) -> GeneratorLoad {
    let engine = |hp_per_kw: f64| running / 1000.0 * hp_per_kw * HORSEPOWER;
    GeneratorLoad {
        running,
        starting: running - largest_running + largest_starting,
        engine: (engine(2.0), engine(2.25)),
    }
}

/// Returns the bill of a month without its fixed charge: energy (J) at a price per kWh, peak (W) at a price per kW.
///
/// ```
/// // 20 kW for one hour at 12.00 per kW and 0.07 per kWh: 241.40 (worked row E04).
/// assert!((physics::electric::metered_charge(20e3 * 3600.0, 0.07, 20e3, 12.0) - 241.40).abs() < 1e-9);
/// ```
pub fn metered_charge(energy: f64, per_kilowatt_hour: f64, peak: f64, per_kilowatt: f64) -> f64 {
    energy / 3.6e6 * per_kilowatt_hour + peak / 1000.0 * per_kilowatt
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn power_is_the_inverse_of_current(w in 100.0..1e5f64, v in 100.0..600.0f64, pf in 0.3..1.0f64) {
            for phases in [Phases::Single, Phases::Three] {
                prop_assert!((power(current(w, v, pf, phases), v, pf, phases) / w - 1.0).abs() < 1e-12);
            }
        }

        #[test]
        fn three_phases_need_less(w in 100.0..1e5f64, v in 100.0..600.0f64, pf in 0.3..1.0f64) {
            prop_assert!(current(w, v, pf, Phases::Three) < current(w, v, pf, Phases::Single));
        }
    }

    #[test]
    fn letters_join_without_gaps() {
        for w in CODE_LETTERS.windows(2) {
            assert!(w[1].1 - w[0].2 <= 0.011 && w[1].1 > w[0].2, "{} to {}", w[0].0, w[1].0);
        }
        assert_eq!(code_letter('h'), Some((6.3, 7.09)));
        assert_eq!(code_letter('I'), None);
    }

    /// Worked row E03: 10 hp, letter H, 230 V, three phases: 158 to 178 A.
    #[test]
    fn locked_rotor_of_the_worked_row() {
        let (low, high) = code_letter('H').unwrap();
        let at = |kva: f64| locked_rotor_current(10.0 * HORSEPOWER, kva, 230.0, Phases::Three);
        assert!((at(low) - 158.0).abs() < 0.5 && (at(high) - 178.0).abs() < 0.5);
    }

    #[test]
    fn generators_start_the_largest_last() {
        let load = generator_load(20e3, 8e3, 50e3);
        assert_eq!(load.starting, 62e3);
        assert!(load.engine.0 < load.engine.1);
    }
}
