//! Aeration: the stages of temperature that dry grain is brought through.

use super::Lane;
use super::programme::{HOT_SPOT, REWARMED, WORTH_MOVING};
use crate::operations::Process;
use crate::result::StepKind;
use bed::Block;
use equipment::{Control, Phase, Rule, Towards};

impl Lane {
    /// Puts the rule of the stage under way where the control has its rule of cooling; of grain that came dry, also where
    /// it has those of filling and drying.
    pub(super) fn stage_rules(&self, control: &mut Control) {
        let Some(aeration) = &self.spec.operations.aeration else { return };
        let mut rule = Rule::Off;
        if let Some(stage) = aeration.stage_at(self.hour()).map(|i| aeration.stages[i]) {
            rule = stage.rule;
            if let (Rule::AerationWindow { high, .. }, Towards::Warmer) = (&mut rule, stage.towards) {
                // What lags is still warmed, but with air that carries the mean no further than the stage wants it.
                let left = (stage.to - self.mean_temperature()).max(0.0);
                *high = high.min(stage.to - self.fan_heat.unwrap_or(0.0) + left);
            }
        }
        control.cooling = rule;
        if self.result.process == Process::Aeration {
            (control.filling, control.drying) = (rule, rule);
        }
    }

    /// Once an hour of cooling or holding: which stage is it, is the grain where the stage wants it?
    pub(super) fn mind_stages(&mut self, lane: usize, blocks: &[Block], now: i64) {
        let spec = std::sync::Arc::clone(&self.spec);
        let Some(aeration) = &spec.operations.aeration else { return };
        let Some(number) = aeration.stage_at(now) else {
            self.phase = Phase::Holding;
            return;
        };
        let stage = &aeration.stages[number];
        if self.stage != Some(number) {
            self.stage = Some(number);
            self.close_step(lane, blocks);
            let kind = if stage.towards == Towards::Colder { StepKind::Cooled } else { StepKind::Warmed };
            self.open_step(kind, Some(stage.to));
            self.phase = Phase::Cooling;
        }
        let (grain, warmest, coldest) = (self.mean_temperature(), self.warmest(), self.coldest());
        let air = |beyond: f64| self.week.mean().is_some_and(|air| air < beyond);
        let (there, gone_back) = match stage.towards {
            Towards::Colder => {
                let warm = grain > stage.to + REWARMED || warmest > grain + HOT_SPOT;
                (grain <= stage.to && warmest <= stage.to + HOT_SPOT, warm && air(warmest - WORTH_MOVING))
            }
            Towards::Warmer => (
                grain >= stage.to && coldest >= stage.to - HOT_SPOT,
                grain < stage.to - REWARMED && !air(coldest + WORTH_MOVING),
            ),
        };
        match self.phase {
            Phase::Cooling if there => {
                self.phase = Phase::Holding;
                self.reach_step(lane, blocks);
                if aeration.last_cooling() == Some(number) && !self.suspended {
                    self.result.cooled_at.get_or_insert(now);
                }
            }
            Phase::Holding if gone_back => self.phase = Phase::Cooling,
            _ => {}
        }
    }
}
