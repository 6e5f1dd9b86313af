//! Batches: filled, dried, cooled, unloaded, filled again.

use super::{Lane, Look};
use crate::operations::{Batches, StopRule};
use crate::result::STOP_TOLERANCE;
use bed::Block;
use equipment::{Control, Memory, Phase, Rule};
use physics::grain::wet_basis;

/// Fall of the grain that air leaves last below which the front of cold air has passed, K in an hour (judgement).
const STILL_FALLING: f64 = 1.0;

/// A batch while it is cooled.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Cooling {
    /// Grain that air leaves last, °C: when cooling began.
    begun: f64,
    /// The same, and the second, when it was noted about an hour ago.
    noted: (f64, f64),
    /// Hottest air that came in; none yet.
    hottest: Option<f64>,
}

impl Cooling {
    fn begun(second: f64, left_last: f64) -> Self {
        Self { begun: left_last, noted: (second, left_last), hottest: None }
    }

    /// Notes the air that comes in.
    pub(super) fn air(&mut self, inlet: f64) {
        self.hottest = Some(self.hottest.map_or(inlet, |hottest| hottest.max(inlet)));
    }

    /// Whether the front of cold air has passed: the grain that air leaves last is near the air that came in, or it has come
    /// most of the way and falls no more. Against the air of the hour alone a batch would wait for days: that swings faster than
    /// a front can follow, and overdried grain that takes up moisture keeps the air above it warm.
    fn over(&mut self, second: f64, left_last: f64, within: f64) -> bool {
        let Some(hottest) = self.hottest else { return false };
        if left_last <= hottest + within {
            return true;
        }
        let (then, was) = self.noted;
        if second - then < super::HOUR {
            return false;
        }
        self.noted = (second, left_last);
        left_last < 0.5 * (self.begun + hottest) && was - left_last < STILL_FALLING
    }
}

impl Lane {
    /// A batch is cooled with unheated air without a break, and rests while it is unloaded.
    pub(super) fn batch_rules(&self, control: &mut Control) {
        if self.spec.operations.batches.is_some() {
            (control.cooling, control.holding) = (Rule::Continuous, Rule::Off);
        }
    }

    /// At the begin of each tick: what comes next for the batch in the bin.
    pub(super) fn mind_batches(&mut self, lane: usize, blocks: &mut [Block]) {
        let spec = std::sync::Arc::clone(&self.spec);
        let Some(batches) = &spec.operations.batches else { return };
        let now = self.hour();
        let dry = self.phase == Phase::Drying && self.batch_is_dry(lane, blocks, now);
        match self.phase {
            Phase::Filling if self.held() > 0.0 && self.next_load == self.admitted => {
                self.phase = Phase::Drying;
                self.last_load = now;
                if let StopRule::Probe { every, .. } = spec.operations.stop {
                    self.next_probing = now + every;
                }
            }
            Phase::Drying if dry => {
                self.reach_step(lane, blocks);
                self.memory = Memory::default();
                self.cooling = Cooling::begun(self.second, self.warmest_where_air_leaves(lane, blocks));
                let cools = batches.cool_within.is_some();
                self.phase = if cools { Phase::Cooling } else { Phase::Holding };
                self.unloaded_at = self.second + batches.unload;
            }
            Phase::Cooling => {
                let left_last = self.warmest_where_air_leaves(lane, blocks);
                if self.cooling.over(self.second, left_last, batches.cool_within.unwrap_or(f64::INFINITY)) {
                    self.phase = Phase::Holding;
                    self.unloaded_at = self.second + batches.unload;
                }
            }
            Phase::Holding if self.second >= self.unloaded_at => self.unload(lane, blocks, batches),
            _ => {}
        }
    }

    /// Warmest grain of any column where the air leaves it, °C.
    fn warmest_where_air_leaves(&self, lane: usize, blocks: &[Block]) -> f64 {
        let down = self.spec.grain.group.direction == bed::Direction::Down;
        let last = |block: &Block| {
            let mut layers = block.layers(lane).filter(|layer| layer.dry_matter > 0.0);
            if down { layers.next() } else { layers.last() }
        };
        blocks.iter().filter_map(last).map(|layer| layer.temperature).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether drying of the batch is to stop: its mean has come to the target, or a probing says so.
    fn batch_is_dry(&mut self, lane: usize, blocks: &[Block], now: i64) -> bool {
        match self.spec.operations.stop {
            StopRule::Probe { every, depths } => self.probing(blocks, lane, now, (every, depths)),
            StopRule::Ideal | StopRule::Exhaust { .. } => self.mean_moisture() <= self.spec.programme.target,
        }
    }

    /// Empties the bin, and lets the next batch come or ends the season.
    fn unload(&mut self, lane: usize, blocks: &mut [Block], batches: &Batches) {
        self.close_step(lane, blocks);
        let target = self.spec.programme.target;
        self.batches_dry &= wet_basis(self.mean_moisture()) <= wet_basis(target) + STOP_TOLERANCE;
        let whole = self.held();
        self.draw_from_all(lane, blocks, whole);
        // Exactly empty, whatever rounding left.
        self.gone.dry_matter = self.filled;
        self.loaded = Default::default();
        let now = self.hour();
        self.result.finished_at = Some(now);
        if self.next_load == self.spec.loads.len() {
            return self.end_batches(now);
        }
        if now >= self.spec.programme.by {
            return self.give_up_batches();
        }
        self.phase = Phase::Filling;
        let next = &self.spec.loads[self.next_load];
        self.delay = (now - next.hour).max(0);
        self.admitted = (self.admitted + batches.loads_each).min(self.spec.loads.len());
    }

    /// The date of the goal has passed: what has not come does not come.
    fn give_up_batches(&mut self) {
        self.result.refused += self.spec.loads[self.next_load..].iter().map(|l| l.dry_matter).sum::<f64>();
        self.next_load = self.spec.loads.len();
        self.end_batches(self.hour());
    }

    fn end_batches(&mut self, now: i64) {
        let moisture = self.lot_moisture();
        let (wettest, driest) = self.gone.extremes();
        let r = &mut self.result;
        r.stopped_at = Some(now);
        r.dry_at_stop = self.batches_dry && r.refused == 0.0;
        (r.moisture_at_stop, r.wettest_at_stop, r.driest_at_stop) = (moisture, wettest, driest);
        self.done = true;
    }

    /// What the bin shows when it was last looked at; an empty bin keeps the look it had.
    pub(super) fn look(&mut self, lane: usize, blocks: &[Block]) {
        for (look, block) in self.looks.iter_mut().zip(blocks) {
            if self.spec.operations.batches.is_none() || block.top(lane).is_some() {
                *look = Look::at(block, lane);
            }
        }
    }
}
