//! The programme: from filling to drying, through winter where it must be, to cooling and holding.

use super::Lane;
use super::trailing::Trailing;
use crate::spec::CarryOver;
use bed::Block;
use equipment::{Memory, Phase};

/// Hours over which the mean moisture is averaged before it counts as reached (part of what "finished" means).
pub(super) const SETTLING_HOURS: usize = 24;
/// Hours of outside air that say whether it is winter (judgement).
pub(super) const WEEK_HOURS: usize = 168;
/// Hours between two readings of the wettest probe (judgement: a probe is read a few times a day).
const PROBE_HOURS: u32 = 6;
/// Held grain is cooled again when its mean is warmer than wanted by this much, K (judgement), ...
pub(super) const REWARMED: f64 = 4.0;
/// ... or when its warmest layer is warmer than the mean by this much, K (judgement), ...
pub(super) const HOT_SPOT: f64 = 5.0;
/// ... and the air of a week is colder than the warmest layer by this much, K (judgement).
pub(super) const WORTH_MOVING: f64 = 3.0;
/// Drying suspended by winter goes on after this many hours at the earliest, so that a thaw in midwinter does not restart
/// it (judgement: extension advice finishes in April or May).
const LEAST_WINTER_HOURS: i64 = 90 * 24;

impl Lane {
    /// Once an hour: is it dry, is it cold, is it winter?
    pub(super) fn each_hour(&mut self, lane: usize, blocks: &[Block], now: i64, outside: f64) {
        self.week.push(outside);
        let settled = self.settle(now);
        self.probe_age += 1;
        if self.probe_age >= PROBE_HOURS {
            self.probe_age = 0;
            self.wettest_probe = self.extremes(lane, blocks).0;
            self.note_wettest();
        }
        if self.spec.operations.batches.is_some() {
            // Decided tick by tick.
            return;
        }
        let filled = self.all_in();
        if filled && self.phase == Phase::Filling {
            self.phase = self.filled_hot(now);
        }
        if self.mind_tempering(lane, blocks, now) {
            return;
        }
        if filled && settled {
            self.result.finished_at.get_or_insert(now);
        }
        match self.phase {
            Phase::Drying => {
                // The fan that cools hot grain is not stopped by its being dry.
                if !self.mind_cooled_hot(lane, blocks) {
                    return;
                }
                self.mind_stop(lane, blocks, now, settled);
                if self.phase == Phase::Drying {
                    self.mind_winter(now);
                }
            }
            Phase::Cooling | Phase::Holding => {
                match self.spec.operations.aeration {
                    Some(_) => self.mind_stages(lane, blocks, now),
                    None => self.mind_cooling(now),
                }
                if self.suspended {
                    self.mind_spring(now);
                }
            }
            Phase::Filling => {}
        }
    }

    /// Notes how wet the wettest tenth is, from the first probing of the full bin until drying stops.
    fn note_wettest(&mut self) {
        if self.all_in() && self.result.stopped_at.is_none() {
            let (first, most) = &mut self.result.wettest_met;
            if *first == 0.0 {
                *first = self.wettest_probe;
            }
            *most = most.max(self.wettest_probe);
        }
    }

    /// Takes the hour's moisture into the windows of a day. True when the mean of the whole bin is at the target: at or
    /// below it, or at or above it where grain is rewetted.
    fn settle(&mut self, now: i64) -> bool {
        let target = self.spec.programme.target;
        let mean = self.lot_moisture();
        let rewets = self.spec.operations.conditioning.is_some();
        let dry = |window: &Trailing| window.mean().is_some_and(|m| if rewets { m >= target } else { m <= target });
        let (whole, columns) = self.settling.split_last_mut().expect("one window more than columns");
        for ((window, look), finished) in columns.iter_mut().zip(&self.looks).zip(&mut self.finished_column) {
            window.push(look.mean_moisture);
            if now > self.last_load && finished.is_none() && dry(window) {
                *finished = Some(now);
            }
        }
        whole.push(mean);
        dry(whole)
    }

    /// From cooling to holding when the grain is as cold as wanted (later also when the air of a week is warmer than any of
    /// it); back to cooling when it has warmed or heats somewhere and the air of a week could help.
    fn mind_cooling(&mut self, now: i64) {
        let goal = &self.spec.programme;
        // Asked only where it decides: a sum over a week, each hour of a winter.
        let week = || self.week.mean();
        let (grain, warmest) = (self.mean_temperature(), self.warmest());
        if self.phase == Phase::Cooling {
            let cold = grain <= goal.cool_to && warmest <= goal.cool_to + HOT_SPOT;
            // Cooled for winter alone is not the end; given up is.
            if cold && !self.suspended {
                self.result.cooled_at.get_or_insert(now);
            }
            if cold || (self.result.cooled_at.is_some() && week().is_some_and(|air| air > warmest)) {
                self.phase = Phase::Holding;
            }
        } else {
            let warm = grain > goal.cool_to + REWARMED || warmest > grain + HOT_SPOT;
            if warm && week().is_some_and(|air| air < warmest - WORTH_MOVING) {
                self.phase = Phase::Cooling;
            }
        }
    }

    /// Ends drying for the season: suspends it when the air of a week is too cold, where it may go on in spring; otherwise
    /// gives it up once the date of the goal has passed, since the year is lost and winter air would only wet the grain.
    fn mind_winter(&mut self, now: i64) {
        let goal = &self.spec.programme;
        if goal.carry_over == CarryOver::Never && now >= goal.by {
            self.phase = Phase::Cooling;
        }
        if self.winter_has_come() {
            self.suspended = true;
            self.result.suspended_at.get_or_insert(now);
            self.phase = Phase::Cooling;
        }
    }

    /// Whether the air of a week is too cold to dry, where drying may go on in spring.
    pub(super) fn winter_has_come(&self) -> bool {
        match self.spec.programme.carry_over {
            CarryOver::CoolAndHold { stop_below, .. } => self.week.mean().is_some_and(|t| t < stop_below),
            CarryOver::Never => false,
        }
    }

    /// Takes drying up again when the air of a week is warm enough.
    fn mind_spring(&mut self, now: i64) {
        if let CarryOver::CoolAndHold { resume_above, .. } = self.spec.programme.carry_over
            && self.result.suspended_at.is_some_and(|first| now - first >= LEAST_WINTER_HOURS)
            && self.week.mean().is_some_and(|t| t > resume_above)
        {
            self.suspended = false;
            self.phase = Phase::Drying;
            self.memory = Memory::default();
        }
    }
}
