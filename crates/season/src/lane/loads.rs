//! Grain that arrives, and how deep it lies.

use super::Lane;
use crate::operations::Process;
use crate::result::StepKind;
use crate::spec::HARVEST_WARMTH;
use bed::Block;
use physics::grain::wet_basis;
use std::sync::Arc;

impl Lane {
    /// Puts in the loads that are due.
    pub(super) fn fill(&mut self, lane: usize, blocks: &mut [Block]) {
        let spec = Arc::clone(&self.spec);
        self.mind_layers(lane, blocks);
        let now = self.hour();
        let due = |number: usize, admitted: usize, delay: i64| {
            spec.loads.get(number).filter(|l| number < admitted && l.hour + delay <= now)
        };
        while let Some(load) = due(self.next_load, self.admitted, self.delay) {
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
            self.loaded.mass += mass;
            self.loaded.water += mass * load.moisture;
            self.loaded.warmth += mass * temperature;
            self.next_load += 1;
            self.begin_with_load();
            if self.all_in() {
                (self.last_load, self.result.filled_at) = (now, now);
            }
            self.probe_age = 0;
            self.look(lane, blocks);
            self.wettest_probe = self.wettest_probe.max(load.moisture);
        }
    }

    /// Steps that begin with their first load.
    fn begin_with_load(&mut self) {
        let operations = &self.spec.operations;
        let kind = match self.result.process {
            Process::Batches => StepKind::Batch,
            Process::Conditioning => StepKind::Conditioned,
            Process::Discharge if operations.discharge.is_some_and(|d| d.tempering == 0) => StepKind::CooledHot,
            _ => return,
        };
        if self.step_open.is_none() && (self.next_load == 1 || kind == StepKind::Batch) {
            self.open_step_as_loaded(kind);
        }
    }

    /// Lets the next layer come when the grain below is dry enough. Loads that still wait on the day of the goal, or when
    /// winter ends drying, never come.
    fn mind_layers(&mut self, lane: usize, blocks: &[Block]) {
        let spec = Arc::clone(&self.spec);
        let (Some(layers), true) = (&spec.operations.layers, self.next_load == self.admitted) else { return };
        let now = self.hour();
        let Some(load) = spec.loads.get(self.next_load).filter(|l| l.hour + self.delay <= now) else { return };
        if self.read(self.extremes(lane, blocks).0) <= layers.dry_enough {
            self.delay = (now - load.hour).max(self.delay);
            let end = layers.starts.iter().copied().find(|&start| start > self.next_load);
            self.admitted = end.unwrap_or(spec.loads.len());
            return;
        }
        self.result.waited_hours += spec.tick_seconds / super::HOUR;
        if now >= spec.programme.by || self.winter_has_come() {
            self.result.refused += spec.loads[self.next_load..].iter().map(|l| l.dry_matter).sum::<f64>();
            self.next_load = spec.loads.len();
            self.admitted = self.next_load;
            self.last_load = now;
        }
    }

    /// Depth of the grain now, shrink included, m.
    pub(super) fn depth(&self) -> f64 {
        let grain = &self.spec.grain;
        let lost = wet_basis(grain.density_moisture) - wet_basis(self.mean_moisture());
        self.held() / grain.dry_density * (1.0 - grain.shrink * lost)
    }
}
