//! The way of the air to the grain as it was said: what stands between open air and plenum, the floor, the roof.

use equipment::way::Wall;
use physics::duct::{Change, Elbow, Inlet};

/// What stands between the open air and the plenum; each fan in parallel has one of each.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WayFacts {
    /// Inlet.
    pub inlet: Option<InletFacts>,
    /// Supply duct.
    pub duct: Option<SupplyDuctFacts>,
    /// Transition to the plenum.
    pub transition: Option<TransitionFacts>,
}

impl WayFacts {
    /// Whether nothing of it was said.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// An inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InletFacts {
    /// Form.
    pub form: Inlet,
    /// Area behind it, m².
    pub area: f64,
    /// Open share of the screen before it, and the area of the screen, m².
    pub screen: Option<(f64, f64)>,
}

/// A duct between fan and plenum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupplyDuctFacts {
    /// Diameter, or four times area over perimeter, m.
    pub diameter: f64,
    /// Area, m².
    pub area: f64,
    /// Length, m.
    pub length: f64,
    /// Wall.
    pub wall: Wall,
    /// Bends by a right angle, and how many.
    pub elbows: Option<(Elbow, u32)>,
}

/// A transition that ends in the plenum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TransitionFacts {
    /// Area at the fan or duct, m².
    pub from: f64,
    /// Area at the plenum, m².
    pub to: f64,
    /// How it changes.
    pub change: Change,
}

/// Where the air enters the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FloorFacts {
    /// Perforated all over.
    Full,
    /// A perforated pad in the middle of a closed floor, as a disc of equal area with this radius, m.
    Pad(f64),
    /// Perforated ducts on a closed floor.
    Ducts(DuctsFacts),
}

/// Perforated ducts side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DuctsFacts {
    /// How many.
    pub count: u32,
    /// Diameter, m.
    pub diameter: f64,
    /// Half round, flat side down.
    pub half_round: bool,
    /// Mean length of one, m.
    pub length: f64,
    /// Wall.
    pub wall: Wall,
    /// Static regain factor.
    pub regain: f64,
}

impl DuctsFacts {
    /// Cross-section of one, m².
    pub fn section(&self) -> f64 {
        let round = 0.25 * std::f64::consts::PI * self.diameter * self.diameter;
        if self.half_round { 0.5 * round } else { round }
    }

    /// Four times area over perimeter, m.
    pub fn hydraulic_diameter(&self) -> f64 {
        let half = std::f64::consts::PI * self.diameter / (std::f64::consts::PI + 2.0);
        if self.half_round { half } else { self.diameter }
    }

    /// Surface that gives air, of all of them, m²: the arch of half-round ducts, 80 % of round ones on the floor (memory).
    pub fn surface(&self) -> f64 {
        let around = if self.half_round { 0.5 } else { 0.8 };
        f64::from(self.count) * self.length * around * std::f64::consts::PI * self.diameter
    }

    /// Radius of the half-buried duct that spreads air alike, m: a round one that touches the floor has π/4 of its diameter
    /// (two touching circles; derived).
    pub fn half_buried_radius(&self) -> f64 {
        if self.half_round { 0.5 * self.diameter } else { 0.25 * std::f64::consts::PI * self.diameter }
    }

    /// Floor that each metre of duct serves, m²/m: the spacing.
    pub fn spacing(&self, floor_area: f64) -> f64 {
        floor_area / (f64::from(self.count) * self.length)
    }
}

/// The roof.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RoofFacts {
    /// Free area of all vents, m², where vents are counted.
    pub vents: Option<f64>,
    /// Discharge coefficient of the vents, where it is said.
    pub discharge: Option<f64>,
    /// Pressure from below that the roof bears by its maker, Pa.
    pub bears: Option<f64>,
}
