//! The stirring machine: its rounds and its electricity.

use super::{Lane, Look};
use crate::operations::StirWhen;
use bed::Block;
use equipment::Phase;

/// Least difference between surface and floor that counts as a front, d.b.
const LEAST_FRONT: f64 = 0.005;
/// Share of that difference which grain at the top of the front has lost.
const BEGUN: f64 = 0.1;

impl Lane {
    /// Mixes what the augers reached when a round ends.
    pub(super) fn stir(&mut self, lane: usize, blocks: &mut [Block]) {
        let Some(stirring) = self.spec.operations.stirring else { return };
        let now = self.hour();
        if !self.stirs(lane, blocks) {
            // A round begins when the machine is switched on.
            self.next_stir = self.next_stir.max(now + stirring.round);
            return;
        }
        if now < self.next_stir {
            return;
        }
        self.next_stir = now + stirring.every;
        self.result.stirring_rounds += 1;
        let density = self.spec.grain.dry_density;
        for block in blocks.iter_mut() {
            let Some(top) = block.top(lane) else { continue };
            let mut below = 0.0;
            // A layer is stirred when its middle lies above the reach of the augers.
            let from = (0..=top).find(|&i| {
                let thickness = block.layer(lane, i).dry_matter / density;
                below += thickness;
                below - 0.5 * thickness >= stirring.clearance
            });
            if let Some(from) = from.filter(|from| *from < top) {
                let mixed = block.mix(lane, from, top + 1);
                debug_assert!(mixed.is_ok(), "a range that holds grain can be mixed");
            }
        }
        self.rings_disturbed();
        for (look, block) in self.looks.iter_mut().zip(blocks.iter()) {
            *look = Look::at(block, lane);
        }
    }

    /// Power of the stirring machine in the tick under way, W.
    pub(super) fn stirring_power(&self) -> f64 {
        let Some(stirring) = self.spec.operations.stirring else { return 0.0 };
        let running = self.may_stir() && self.hour() >= self.next_stir - stirring.round;
        if running { stirring.power } else { 0.0 }
    }

    /// Whether the machine is on, as far as the programme goes.
    fn may_stir(&self) -> bool {
        let Some(stirring) = self.spec.operations.stirring else { return false };
        match (self.phase, stirring.when) {
            (Phase::Filling, _) | (Phase::Drying, StirWhen::Always) => self.filled > 0.0,
            (Phase::Drying, StirWhen::FillingThenFront { .. }) => self.stirring_again,
            _ => false,
        }
    }

    /// The same, looking for the front where it waits for it.
    fn stirs(&mut self, lane: usize, blocks: &[Block]) -> bool {
        if let Some(StirWhen::FillingThenFront { below_surface }) = self.spec.operations.stirring.map(|s| s.when)
            && self.phase == Phase::Drying
            && !self.stirring_again
        {
            self.stirring_again = blocks.iter().all(|block| self.front_within(lane, block, below_surface));
        }
        self.may_stir()
    }

    /// Whether the top of a column's front has come within a depth of the surface: there lies grain that has lost a tenth
    /// of what the floor has lost beyond the surface.
    fn front_within(&self, lane: usize, block: &Block, below_surface: f64) -> bool {
        let Some(top) = block.top(lane) else { return false };
        let (floor, surface) = (block.layer(lane, 0).moisture, block.layer(lane, top).moisture);
        if surface - floor < LEAST_FRONT {
            return false;
        }
        let begun = surface - BEGUN * (surface - floor);
        let above: f64 = (0..=top)
            .rev()
            .map(|i| block.layer(lane, i))
            .take_while(|l| l.moisture > begun)
            .map(|l| l.dry_matter)
            .sum();
        above <= below_surface * self.spec.grain.dry_density
    }
}
