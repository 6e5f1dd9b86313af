//! The way of the air to the grain as a bin of a job has it: the items with their coefficients, the floor, the roof.

use crate::facts::{DuctsFacts, FloorFacts};
use equipment::Floor;
use equipment::way::Item;

/// Items, floor and roof of a bin; what stands as a number in the budget alone has no items.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Items before the plenum with their coefficients on the velocity in their own areas, from the open air inwards.
    pub items: Vec<(Item, f64)>,
    /// Where the air enters the grain.
    pub entry: FloorFacts,
    /// The sheet that carries the air, as if no hole were plugged.
    pub clean: Floor,
    /// Share of its holes plugged.
    pub plugged: f64,
    /// Floor that each metre of duct serves, m.
    pub spacing: Option<f64>,
    /// Horizontal resistance of the grain over the vertical one that was taken; `None` on a full floor.
    pub sideways: Option<f64>,
    /// Section across the plenum under the floor, m², where its height is said.
    pub plenum: Option<f64>,
    /// Inner diameter of the bin, which is that of its roof, m.
    pub diameter: f64,
    /// Pressure from below that the roof bears, Pa, where it is said.
    pub roof_bears: Option<f64>,
    /// Whether the roof was described.
    pub roof_described: bool,
    /// Whether the leakage follows from gaps.
    pub leakage_of_gaps: bool,
}

impl Way {
    /// Whether anything of it was said by its geometry.
    pub fn drawn(&self) -> bool {
        !self.items.is_empty()
            || self.entry != FloorFacts::Full
            || self.plugged > 0.0
            || self.roof_described
            || self.leakage_of_gaps
    }

    /// The ducts on the floor, where there are any.
    pub fn ducts(&self) -> Option<DuctsFacts> {
        match self.entry {
            FloorFacts::Ducts(ducts) => Some(ducts),
            _ => None,
        }
    }
}
