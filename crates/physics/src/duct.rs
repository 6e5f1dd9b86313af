//! Losses in plain ducts and fittings: friction, and the coefficients of inlets, elbows, transitions and exits.
//!
//! A loss is a coefficient times the velocity pressure of a stated section. Leaves out what a crooked inlet does to the fan
//! itself (it cannot be written as a loss) and perforated ducts ([`crate::perforated_duct`]).

use notice::Range;

/// Roughness of galvanised duct, m (memory; 0.09 to 0.15 mm).
pub const GALVANISED: f64 = 1.2e-4;
/// Roughness of concrete, m (memory; 0.3 to 3 mm).
pub const CONCRETE: f64 = 1e-3;
/// Reynolds numbers of Colebrook's equation: turbulent flow.
pub const TURBULENT: Range = Range::new(4e3, 1e8);

/// Returns the velocity pressure, Pa: ρ v²/2.
pub fn velocity_pressure(velocity: f64, density: f64) -> f64 {
    0.5 * density * velocity * velocity
}

/// Returns the Reynolds number of a duct: ρ v D/μ.
pub fn reynolds(velocity: f64, diameter: f64, density: f64, viscosity: f64) -> f64 {
    density * velocity * diameter / viscosity
}

/// Returns Darcy's friction factor after Colebrook: 1/√f = −2 log(ε/(3.7 D) + 2.51/(Re √f)).
///
/// `relative_roughness` ε/D. Solved by repetition from the fully rough value; 64/Re below 2300.
///
/// # Validity
/// [`TURBULENT`], ε/D up to 0.05.
///
/// # Source
/// Colebrook (memory); computed rows agree to four digits.
pub fn friction_factor(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds < 2300.0 {
        return 64.0 / reynolds;
    }
    let rough = relative_roughness / 3.7;
    let mut inverse_root = 8.0;
    for _ in 0..60 {
        inverse_root = -2.0 * (rough + 2.51 * inverse_root / reynolds).log10();
    }
    1.0 / (inverse_root * inverse_root)
}

/// Returns Darcy's factor that equals a Manning roughness in a full round pipe: 8 g n²/R^(1/3), R = D/4.
///
/// For corrugated plastic tubing n is 0.015 to 200 mm, 0.017 for 250 to 300, 0.020 above (ASAE EP260, memory).
pub fn manning_factor(diameter: f64, n: f64) -> f64 {
    8.0 * 9.80665 * n * n / (0.25 * diameter).powf(1.0 / 3.0)
}

/// Returns the Manning roughness of corrugated plastic tubing of a diameter (m).
pub fn corrugated_roughness(diameter: f64) -> f64 {
    match diameter {
        d if d <= 0.225 => 0.015,
        d if d <= 0.325 => 0.017,
        _ => 0.020,
    }
}

/// Returns the coefficient of a straight duct: f L/D.
pub fn straight(friction_factor: f64, length: f64, diameter: f64) -> f64 {
    friction_factor * length / diameter
}

/// The round duct of equal friction to a rectangular one: hydraulic diameter 2ab/(a + b), m.
pub fn hydraulic_diameter(a: f64, b: f64) -> f64 {
    2.0 * a * b / (a + b)
}

/// The inlet of a fan or duct.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inlet {
    /// A plain pipe end standing free.
    Plain,
    /// Flush in a wall.
    Flush,
    /// A bell.
    Bell,
}

impl Inlet {
    /// Coefficient on the velocity of the duct: 0.95, 0.5, 0.04 (memory).
    pub fn coefficient(self) -> f64 {
        match self {
            Self::Plain => 0.95,
            Self::Flush => 0.5,
            Self::Bell => 0.04,
        }
    }
}

/// A bend by a right angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Elbow {
    /// Round, with the radius of its centre line over the diameter.
    Round {
        /// Radius over diameter.
        radius: f64,
    },
    /// Sharp.
    Mitre,
    /// Sharp with vanes.
    VanedMitre,
}

impl Elbow {
    /// Coefficient on the velocity of the duct (memory): round 0.71, 0.33, 0.22, 0.15, 0.13 at radii of 0.5, 0.75, 1.0, 1.5, 2.0
    /// with straight lines between and the ends held; mitre 1.2, with vanes 0.3.
    pub fn coefficient(self) -> f64 {
        const ROUND: [(f64, f64); 5] = [(0.5, 0.71), (0.75, 0.33), (1.0, 0.22), (1.5, 0.15), (2.0, 0.13)];
        match self {
            Self::Round { radius } => between(&ROUND, radius),
            Self::Mitre => 1.2,
            Self::VanedMitre => 0.3,
        }
    }
}

/// A change of section from a smaller to a larger area, or the other way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// At once.
    Abrupt,
    /// Over a cone with a total angle, degrees.
    Gradual {
        /// Total angle between the walls, degrees.
        angle: f64,
    },
}

/// Returns the coefficient of a widening on the velocity of the smaller area; `area_ratio` smaller over larger, 0 to 1.
///
/// Abrupt (1 − a)²; gradual the share 0.2, 0.35, 0.6, 0.9 of that at 14, 20, 30, 45 degrees, straight between, 1 from 60 on
/// (memory; the last is judgement).
pub fn expansion(change: Change, area_ratio: f64) -> f64 {
    const SHARE: [(f64, f64); 6] = [(0.0, 0.1), (14.0, 0.2), (20.0, 0.35), (30.0, 0.6), (45.0, 0.9), (60.0, 1.0)];
    let abrupt = (1.0 - area_ratio) * (1.0 - area_ratio);
    match change {
        Change::Abrupt => abrupt,
        Change::Gradual { angle } => abrupt * between(&SHARE, angle),
    }
}

/// Returns the coefficient of a narrowing on the velocity of the smaller area: 0.5 (1 − a) at once, a tenth of it over a cone
/// (memory; the cone is judgement).
pub fn contraction(change: Change, area_ratio: f64) -> f64 {
    let abrupt = 0.5 * (1.0 - area_ratio);
    match change {
        Change::Abrupt => abrupt,
        Change::Gradual { .. } => 0.1 * abrupt,
    }
}

/// Returns the coefficient, on the smaller area, of a widening that ends in a plenum where the rest of the jet is lost:
/// widening + a². Without a transition the whole jet is lost: 1.
///
/// Check: 20 degrees, area ratio 2: 0.34 is lost, 0.66 recovered (derived).
pub fn expansion_into_plenum(change: Change, area_ratio: f64) -> f64 {
    expansion(change, area_ratio) + area_ratio * area_ratio
}

/// Coefficient of an inlet guard on the velocity there, low and high (memory).
pub const INLET_GUARD: (f64, f64) = (0.1, 0.3);

/// Value on a polyline, ends held.
fn between(table: &[(f64, f64)], x: f64) -> f64 {
    let (first, last) = (table[0], table[table.len() - 1]);
    if x <= first.0 {
        return first.1;
    }
    table
        .windows(2)
        .find(|w| x <= w[1].0)
        .map_or(last.1, |w| w[0].1 + (w[1].1 - w[0].1) * (x - w[0].0) / (w[1].0 - w[0].0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn colebrook_is_satisfied(ln_re in 8.3..18.0f64, rough in 0.0..0.05f64) {
            let re = ln_re.exp();
            let f = friction_factor(re, rough);
            let root = f.sqrt();
            prop_assert!((1.0 / root + 2.0 * (rough / 3.7 + 2.51 / (re * root)).log10()).abs() < 1e-9);
        }

        #[test]
        fn rougher_ducts_lose_more(ln_re in 8.3..18.0f64, rough in 0.0..0.04f64) {
            prop_assert!(friction_factor(ln_re.exp(), rough + 0.001) > friction_factor(ln_re.exp(), rough));
        }

        #[test]
        fn a_gentle_widening_loses_less(angle in 5.0..59.0f64, a in 0.05..0.95f64) {
            let gentle = expansion(Change::Gradual { angle }, a);
            prop_assert!(gentle <= expansion(Change::Abrupt, a));
            let wider = Change::Gradual { angle: angle + 1.0 };
            prop_assert!(gentle <= expansion(wider, a));
            prop_assert!(expansion_into_plenum(Change::Abrupt, a) <= 1.0);
        }
    }

    #[test]
    fn a_transition_recovers_what_is_stated() {
        let lost = expansion_into_plenum(Change::Gradual { angle: 20.0 }, 0.5);
        assert!((1.0 - lost - 0.66).abs() < 0.005, "{lost}");
        assert!((Elbow::Round { radius: 1.25 }.coefficient() - 0.185).abs() < 1e-12);
        assert_eq!(Elbow::Round { radius: 9.0 }.coefficient(), 0.13);
        assert!((hydraulic_diameter(2.0, 2.0) - 2.0).abs() < 1e-12);
        assert!((friction_factor(1000.0, 0.01) - 0.064).abs() < 1e-12);
    }
}
