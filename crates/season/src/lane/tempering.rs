//! Hot grain from a dryer: at rest without air, then cooled.

use super::Lane;
use crate::operations::{COOLED_WITHIN, HOT_GRAIN};
use crate::result::StepKind;
use bed::Block;
use equipment::{Control, Phase, Rule};
use physics::storability::StorageLaw;

impl Lane {
    /// No fan while hot grain is to rest: while the bin fills, and until the tempering is over.
    pub(super) fn tempering_rules(&self, control: &mut Control) {
        if self.spec.operations.discharge.is_some_and(|d| d.tempering > 0) {
            control.filling = Rule::Off;
            control.holding = if self.tempered_until.is_some() { Rule::Off } else { control.holding };
        }
    }

    /// The last load is in: rests from now, or goes on being cooled. Returns the phase that follows filling.
    pub(super) fn filled_hot(&mut self, now: i64) -> Phase {
        match self.spec.operations.discharge {
            Some(discharge) if discharge.tempering > 0 => {
                self.tempered_until = Some(now + discharge.tempering);
                self.open_step(StepKind::Tempered, None);
                Phase::Holding
            }
            _ => Phase::Drying,
        }
    }

    /// Once an hour: is the tempering over? True while the grain rests.
    pub(super) fn mind_tempering(&mut self, lane: usize, blocks: &[Block], now: i64) -> bool {
        let Some(until) = self.tempered_until else { return false };
        if now < until {
            return true;
        }
        self.tempered_until = None;
        self.reach_step(lane, blocks);
        self.close_step(lane, blocks);
        self.open_step(StepKind::CooledHot, None);
        self.phase = Phase::Drying;
        false
    }

    /// Once an hour of drying: has hot grain come to the air that enters it? True when there is none (any more).
    pub(super) fn mind_cooled_hot(&mut self, lane: usize, blocks: &[Block]) -> bool {
        if self.spec.operations.discharge.is_none() || self.step_open.is_none() {
            return true;
        }
        let cooled = self.seen.is_some_and(|seen| self.warmest() <= seen.inlet.temperature + COOLED_WITHIN);
        if cooled {
            self.reach_step(lane, blocks);
            self.close_step(lane, blocks);
        }
        cooled
    }

    /// At the begin of a tick: gives back what hot layers were aged too fast in the one before.
    pub(super) fn mind_hot_life(&mut self, lane: usize, blocks: &mut [Block]) {
        if self.spec.operations.discharge.is_none() {
            return;
        }
        let group = &self.spec.grain.group;
        for (k, i, was) in std::mem::take(&mut self.hot) {
            let now = blocks[k].layer(lane, i);
            let aged = |laws: &[StorageLaw], before: f64, after: f64| {
                let pace = laws.iter().map(|law| law.rate(was.moisture, HOT_GRAIN)).fold(0.0, f64::max);
                after.min(before + pace * self.step)
            };
            let published = aged(&group.published, was.life_published, now.life_published);
            let strict = aged(&group.strict, was.life_strict, now.life_strict);
            let gone = now.life_published - was.life_published;
            let share = if gone > 0.0 { (published - was.life_published) / gone } else { 1.0 };
            let equivalent = was.equivalent_time + share * (now.equivalent_time - was.equivalent_time);
            blocks[k].set_age(lane, i, (published, strict), equivalent);
        }
    }

    /// At the end of what is done before a tick: which layers are hot.
    pub(super) fn note_hot(&mut self, lane: usize, blocks: &[Block]) {
        if self.spec.operations.discharge.is_none() {
            return;
        }
        for (k, block) in blocks.iter().enumerate() {
            let hot = block.layers(lane).enumerate().filter(|(_, layer)| layer.temperature > HOT_GRAIN);
            self.hot.extend(hot.map(|(i, layer)| (k, i, layer)));
        }
    }
}
