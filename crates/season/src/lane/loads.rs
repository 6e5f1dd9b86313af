//! Grain that arrives, and how deep it lies.

use super::{Lane, Look};
use crate::spec::HARVEST_WARMTH;
use bed::Block;
use physics::grain::wet_basis;
use std::sync::Arc;

impl Lane {
    /// Puts in the loads that are due.
    pub(super) fn fill(&mut self, lane: usize, blocks: &mut [Block]) {
        let spec = Arc::clone(&self.spec);
        while let Some(load) = spec.loads.get(self.next_load).filter(|l| l.hour <= self.hour()) {
            let temperature =
                load.temperature.unwrap_or_else(|| spec.weather.temperature[self.index()] + HARVEST_WARMTH);
            let mass = load.dry_matter / spec.bin.floor_area;
            for block in blocks.iter_mut() {
                let mut parcel = block.parcel(lane, mass, load.moisture, temperature);
                parcel.life_published = load.life_used;
                parcel.life_strict = load.life_used;
                // Slots are cut for the sum of all loads, so only rounding could refuse the last crumbs.
                if block.add(lane, &parcel, self.full).is_err() {
                    debug_assert!(false, "loads exceed the slots cut for them");
                }
            }
            self.filled += mass;
            self.next_load += 1;
            self.probe_age = 0;
            for (look, block) in self.looks.iter_mut().zip(blocks.iter()) {
                *look = Look::at(block, lane);
            }
            self.wettest_probe = self.wettest_probe.max(load.moisture);
        }
    }

    /// Depth of the grain now, shrink included, m.
    pub(super) fn depth(&self) -> f64 {
        let grain = &self.spec.grain;
        let lost = wet_basis(grain.density_moisture) - wet_basis(self.mean_moisture());
        self.filled / grain.dry_density * (1.0 - grain.shrink * lost)
    }
}
