//! Pressure along a perforated duct: friction takes, the slowing air gives back.
//!
//! Even outflow along the duct, which grain brings about nearly: then the balance has a closed form. Leaves out the share of
//! each hole (see [`crate::perforated`]) and the spread of the air in the grain (see [`crate::spreading`]).

/// A duct with a dead end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PerforatedDuct {
    /// Diameter, or four times area over perimeter, m.
    pub diameter: f64,
    /// Length, m.
    pub length: f64,
    /// Darcy's friction factor of its wall.
    pub friction_factor: f64,
    /// Static regain factor: 1 in a smooth duct with small holes, 0.5 to 0.9 with real ones (memory; 1 fitted wooden ducts, seen).
    pub regain: f64,
}

impl PerforatedDuct {
    /// Returns the static pressure at the dead end less that at the fan's end, Pa: (ρ V²/2)(k − f L/(3 D)).
    ///
    /// `velocity` m/s at the fan's end, `density` kg/m³. Above zero the far end gets more air; a long rough duct gives most
    /// near the fan.
    ///
    /// # Source
    /// Momentum balance with even outflow (derived); El Moueddeb, Barrington and Barthakur 1997 (seen) for a regain of 1.
    ///
    /// ```
    /// let duct = physics::perforated_duct::PerforatedDuct { diameter: 0.3, length: 20.0, friction_factor: 0.02, regain: 1.0 };
    /// assert!((duct.pressure_rise(10.0, 1.2) - 33.33).abs() < 0.01);
    /// ```
    pub fn pressure_rise(&self, velocity: f64, density: f64) -> f64 {
        0.5 * density * velocity * velocity * (self.regain - self.friction_factor * self.length / (3.0 * self.diameter))
    }

    /// Returns the same for air drawn in: (ρ V²/2)(2 k + f L/(3 D)), the pull is strongest at the fan.
    pub fn suction_rise(&self, velocity: f64, density: f64) -> f64 {
        0.5 * density
            * velocity
            * velocity
            * (2.0 * self.regain + self.friction_factor * self.length / (3.0 * self.diameter))
    }

    /// Returns what the mean of the duct lacks against the still air ahead of it, as a coefficient on the velocity pressure at its
    /// fan's end: 1 + `entry` − 2 k/3 + f L/(4 D).
    ///
    /// The velocity pressure and the loss of the `entry` go, regain brings back; the mean along the duct drives the grain's air.
    ///
    /// # Source
    /// Mean of the balance of [`Self::pressure_rise`] along the duct (derived).
    pub fn mean_loss(&self, entry: f64) -> f64 {
        1.0 + entry - 2.0 / 3.0 * self.regain + self.friction_factor * self.length / (4.0 * self.diameter)
    }

    /// Returns the same for air drawn in: 4 k/3 + f L/(4 D), its mean above the pressure at the fan's end.
    pub fn mean_suction(&self) -> f64 {
        4.0 / 3.0 * self.regain + self.friction_factor * self.length / (4.0 * self.diameter)
    }

    /// Returns the length at which gain and friction are equal, m: 3 k D/f.
    pub fn neutral_length(&self) -> f64 {
        3.0 * self.regain * self.diameter / self.friction_factor
    }

    /// Returns the change of outflow from end to end as a share, for grain through which flow goes as pressure^(1/n).
    ///
    /// `static_pressure` Pa at the fan's end, `exponent` n of the grain's resistance (1.1 to 1.6 at drying flow).
    pub fn unevenness(&self, velocity: f64, density: f64, static_pressure: f64, exponent: f64) -> f64 {
        (1.0 + self.pressure_rise(velocity, density) / static_pressure).max(0.0).powf(1.0 / exponent) - 1.0
    }

    /// Returns the share of its static pressure that the duct's velocity pressure is; the usual rule keeps it below 0.1 to 0.2
    /// (memory).
    pub fn velocity_share(velocity: f64, density: f64, static_pressure: f64) -> f64 {
        0.5 * density * velocity * velocity / static_pressure
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn even_at_the_neutral_length(d in 0.1..0.8f64, f in 0.01..0.08f64, k in 0.5..1.0f64, v in 1.0..12.0f64) {
            let mut duct = PerforatedDuct { diameter: d, length: 1.0, friction_factor: f, regain: k };
            duct.length = duct.neutral_length();
            prop_assert!(duct.pressure_rise(v, 1.2).abs() < 1e-9);
            let longer = PerforatedDuct { length: 1.1 * duct.length, ..duct };
            prop_assert!(longer.pressure_rise(v, 1.2) < 0.0);
            prop_assert!(longer.unevenness(v, 1.2, 300.0, 1.4) < 0.0);
            prop_assert!(longer.suction_rise(v, 1.2) > 0.0);
        }
    }

    /// The closed forms are the integral of the balance along the duct and its mean.
    #[test]
    fn the_closed_form_is_the_integral() {
        let duct = PerforatedDuct { diameter: 0.3, length: 20.0, friction_factor: 0.06, regain: 0.8 };
        let (steps, velocity, density) = (20_000, 10.0, 1.2);
        let dx = duct.length / f64::from(steps);
        let (mut rise, mut mean) = (0.0, 0.0);
        for i in 0..steps {
            let v = velocity * (1.0 - (f64::from(i) + 0.5) / f64::from(steps));
            // k ρ V dV/dx with dV/dx = −V0/L gives back, friction takes.
            rise += dx
                * (duct.regain * density * v * velocity / duct.length
                    - duct.friction_factor / duct.diameter * 0.5 * density * v * v);
            mean += rise / f64::from(steps);
        }
        let ahead = 0.5 * density * velocity * velocity;
        assert!((1.5 - mean / ahead - duct.mean_loss(0.5)).abs() < 1e-3);
        assert!(
            (duct.mean_suction()
                - (1.5 - duct.mean_loss(0.5))
                - duct.regain * 2.0 / 3.0
                - duct.friction_factor * duct.length / (2.0 * duct.diameter))
                .abs()
                < 1e-12
        );
        assert!((rise - duct.pressure_rise(velocity, density)).abs() < 1e-6);
    }
}
