//! The way of the air from outside to the plenum, item by item from its geometry, and what the budget makes of it.
//!
//! Every item is a coefficient on the velocity of its own section; together they become one coefficient on one area, which is all
//! that the solver needs ([`crate::budget::Loss`]). Leaves out what a crooked inlet takes from the fan itself.

use crate::budget::Loss;
use notice::{Kind, Phrase, Quantity, Remark, Source, Status};
use physics::duct::{self, Change, Elbow, Inlet};
use physics::perforated::bare_sheet;
use physics::perforated_duct::PerforatedDuct;
use physics::resistance::viscosity;

/// One thing the air passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Item {
    /// The inlet of fan or duct, area of the section behind it (m²).
    Inlet {
        /// Form.
        form: Inlet,
        /// Area, m².
        area: f64,
    },
    /// A screen or guard across an area, with its open share.
    Screen {
        /// Open share, 0 to 1.
        open: f64,
        /// Area, m².
        area: f64,
    },
    /// A straight duct.
    Straight {
        /// Length, m.
        length: f64,
        /// Diameter, or four times area over perimeter, m.
        diameter: f64,
        /// Area, m².
        area: f64,
        /// Its wall.
        wall: Wall,
    },
    /// A bend by a right angle.
    Elbow {
        /// Form.
        form: Elbow,
        /// Area, m².
        area: f64,
    },
    /// A widening (or narrowing) between two areas.
    Transition {
        /// How it changes.
        change: Change,
        /// Area at its beginning, m².
        from: f64,
        /// Area at its end, m².
        to: f64,
        /// It ends in the plenum, where the rest of the jet is lost.
        into_plenum: bool,
    },
    /// Perforated ducts side by side under the grain: what their mean lacks, static regain counted.
    Perforated {
        /// One of them; its friction factor is not used but found from the roughness.
        duct: PerforatedDuct,
        /// Roughness of the wall.
        wall: Wall,
        /// Cross-section of all of them, m².
        area: f64,
        /// Air is drawn in.
        suction: bool,
    },
}

/// Wall of a duct.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wall {
    /// Of a roughness, m.
    Rough(f64),
    /// Corrugated plastic tubing, by its Manning roughness.
    Corrugated,
}

impl Wall {
    /// Darcy's friction factor at a velocity (m/s) in a diameter (m), air of 20 °C of a density.
    pub fn friction_factor(self, velocity: f64, diameter: f64, density: f64) -> f64 {
        match self {
            Self::Rough(roughness) => {
                let reynolds = duct::reynolds(velocity, diameter, density, viscosity(20.0));
                duct::friction_factor(reynolds.max(1.0), roughness / diameter)
            }
            Self::Corrugated => duct::manning_factor(diameter, duct::corrugated_roughness(diameter)),
        }
    }
}

impl Item {
    /// Name in the words of the trade.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Inlet { .. } => "inlet",
            Self::Screen { .. } => "screen",
            Self::Straight { .. } => "straight duct",
            Self::Elbow { .. } => "elbow",
            Self::Transition { .. } => "transition",
            Self::Perforated { .. } => "perforated ducts",
        }
    }

    /// The area whose velocity its coefficient stands on, m².
    pub fn area(&self) -> f64 {
        match *self {
            Self::Inlet { area, .. }
            | Self::Screen { area, .. }
            | Self::Straight { area, .. }
            | Self::Elbow { area, .. }
            | Self::Perforated { area, .. } => area,
            Self::Transition { from, to, .. } => from.min(to),
        }
    }

    /// Loss coefficient on the velocity in [`Self::area`]; friction at an airflow (m³/s) of air at 20 °C.
    pub fn coefficient(&self, airflow: f64, density: f64) -> f64 {
        match *self {
            Self::Inlet { form, .. } => form.coefficient(),
            Self::Screen { open, .. } => bare_sheet(1.0, open, 2.0),
            Self::Straight { length, diameter, area, wall } => {
                duct::straight(wall.friction_factor(airflow / area, diameter, density), length, diameter)
            }
            Self::Elbow { form, .. } => form.coefficient(),
            Self::Transition { change, from, to, into_plenum } => {
                let ratio = from.min(to) / from.max(to);
                match (to >= from, into_plenum) {
                    (true, true) => duct::expansion_into_plenum(change, ratio),
                    (true, false) => duct::expansion(change, ratio),
                    // A narrowing that ends in the plenum throws its whole faster jet away.
                    (false, true) => duct::contraction(change, ratio) + 1.0,
                    (false, false) => duct::contraction(change, ratio),
                }
            }
            Self::Perforated { duct, wall, area, suction } => {
                let friction_factor = wall.friction_factor(airflow / area, duct.diameter, density);
                let duct = PerforatedDuct { friction_factor, ..duct };
                if suction { duct.mean_suction() } else { duct.mean_loss(Inlet::Flush.coefficient()) }
            }
        }
    }

    /// Pressure lost at an airflow (m³/s), Pa.
    pub fn pressure(&self, airflow: f64, density: f64) -> f64 {
        self.coefficient(airflow, density) * duct::velocity_pressure(airflow / self.area(), density)
    }
}

/// Returns the items as one loss of the budget on the area of the first; friction is taken at a design airflow (m³/s).
///
/// K = Σ K_i (A/A_i)². The square law then holds exactly for fittings and nearly for friction, whose factor hardly moves.
pub fn compile(items: &[Item], design_airflow: f64, density: f64) -> Loss {
    let Some(first) = items.first() else { return Loss::None };
    let area = first.area();
    let coefficient = items.iter().map(|i| i.coefficient(design_airflow, density) * (area / i.area()).powi(2)).sum();
    Loss::OnVelocity { coefficient, area }
}

/// A velocity with a customary limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Face {
    /// Supply duct and transition.
    SupplyDuct,
    /// Inside a perforated duct.
    PerforatedDuct,
    /// Across a plenum under a floor.
    Plenum,
    /// Through the wall of a perforated duct, per its perforated surface.
    DuctSurface,
    /// Through a partial perforated floor.
    PartialFloor,
}

impl Face {
    /// The customary limit, m/s, and who says so.
    pub fn limit(self) -> (f64, Source) {
        let memory = |what: &str| Source::new(format!("{what}: common in bulletins, ranges differ"), Status::Memory);
        match self {
            Self::SupplyDuct => (12.7, memory("supply ducts up to 2,500 ft/min")),
            Self::PerforatedDuct => (7.62, memory("perforated ducts up to 1,500 ft/min, 2,000 in short ones")),
            Self::Plenum => (5.08, memory("across a plenum below 1,000 ft/min")),
            Self::DuctSurface => (0.1524, memory("through a duct's surface 30 ft/min")),
            Self::PartialFloor => (
                0.127,
                Source::new("Oklahoma BAE-1102: at least 1 ft² for each 25 cfm of a partial floor", Status::Seen),
            ),
        }
    }

    /// Name in the words of the trade.
    pub fn name(self) -> &'static str {
        match self {
            Self::SupplyDuct => "the supply duct",
            Self::PerforatedDuct => "the perforated duct",
            Self::Plenum => "the plenum",
            Self::DuctSurface => "the surface of the duct",
            Self::PartialFloor => "the partial floor",
        }
    }

    /// A remark when a velocity (m/s) is above the limit.
    pub fn remark(self, velocity: f64) -> Option<Remark> {
        let (limit, source) = self.limit();
        (velocity > limit * (1.0 + 1e-9)).then(|| {
            let says = Phrase::new("air passes {what} at {velocity}, above the customary {limit}")
                .text("what", self.name())
                .with("velocity", Quantity::new(velocity, Kind::Velocity))
                .with("limit", Quantity::new(limit, Kind::Velocity));
            Remark::new("face-velocity", says).from_source(source)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn way() -> Vec<Item> {
        vec![
            Item::Inlet { form: Inlet::Bell, area: 0.5 },
            Item::Screen { open: 0.8, area: 0.6 },
            Item::Straight { length: 4.0, diameter: 0.8, area: 0.5, wall: Wall::Rough(duct::GALVANISED) },
            Item::Elbow { form: Elbow::Round { radius: 1.0 }, area: 0.5 },
            Item::Transition { change: Change::Gradual { angle: 20.0 }, from: 0.5, to: 1.0, into_plenum: true },
        ]
    }

    proptest! {
        #[test]
        fn the_compiled_loss_is_the_sum(q in 2.0..8.0f64) {
            let items = way();
            let Loss::OnVelocity { coefficient, area } = compile(&items, q, 1.2) else { panic!("a loss") };
            let one = coefficient * duct::velocity_pressure(q / area, 1.2);
            let sum: f64 = items.iter().map(|i| i.pressure(q, 1.2)).sum();
            prop_assert!((one / sum - 1.0).abs() < 1e-12);
            // Away from the design airflow only friction moves, and little.
            let other: f64 = items.iter().map(|i| i.pressure(1.3 * q, 1.2)).sum();
            prop_assert!((other / (1.69 * sum) - 1.0).abs() < 0.01);
        }
    }

    #[test]
    fn a_jet_without_transition_is_lost_whole() {
        let bare = Item::Transition { change: Change::Abrupt, from: 0.5, to: 50.0, into_plenum: true };
        assert!((bare.coefficient(5.0, 1.2) - 0.98).abs() < 0.001);
        // 2,500 ft/min: 0.39 in. of water (derived).
        let lost = duct::velocity_pressure(12.7, 1.2) / 249.089;
        assert!((lost - 0.39).abs() < 0.005);
        assert_eq!(compile(&[], 5.0, 1.2), Loss::None);
    }

    #[test]
    fn only_fast_air_is_remarked() {
        assert!(Face::PartialFloor.remark(0.12).is_none());
        let said = Face::PartialFloor.remark(0.2).unwrap();
        assert!(
            said.says.render(notice::UnitSystem::Us).contains("25.0"),
            "{}",
            said.says.render(notice::UnitSystem::Us)
        );
        for face in [Face::SupplyDuct, Face::PerforatedDuct, Face::Plenum, Face::DuctSurface] {
            assert!(face.remark(0.99 * face.limit().0).is_none() && face.remark(1.01 * face.limit().0).is_some());
        }
    }
}
