//! When drying stops: by the ideal rule, by probing, by the air that leaves.

use super::Lane;
use crate::operations::{Process, StopRule, meter_deviation, meter_share};
use crate::result::STOP_TOLERANCE;
use bed::Block;
use equipment::{AirReading, Memory, Phase, SensorPlace};
use numerics::random::Stream;
use physics::grain::{dry_basis, wet_basis};

impl Lane {
    /// Once an hour of drying: has it to stop? `settled`: the mean of a day is at the target.
    pub(super) fn mind_stop(&mut self, lane: usize, blocks: &[Block], now: i64, settled: bool) {
        if self.result.process == Process::Aeration {
            // It came dry: nothing has to be waited for.
            self.result.finished_at.get_or_insert(now);
            self.result.ideal_stop_at.get_or_insert(now);
            return self.stop(lane, blocks, now, true);
        }
        let goal = &self.spec.programme;
        let most = goal.target + goal.wettest_excess;
        // The mean may have risen again since it was first reached: what counts is now.
        let reached = self.result.finished_at.is_some() && settled;
        // Sorting the layers each hour would cost as much as drying them: only where the mean does not decide.
        let wettest = || self.extremes(lane, blocks).0;
        let ideal = match self.spec.operations.conditioning {
            Some(limit) => reached || wettest() > limit.most,
            None => reached && wettest() <= most,
        };
        if ideal {
            self.result.ideal_stop_at.get_or_insert(now);
        }
        let stops = match self.spec.operations.stop {
            StopRule::Ideal => ideal,
            StopRule::Probe { every, depths } => self.probing(blocks, lane, now, (every, depths)),
            StopRule::Exhaust { .. } => self.carried.mean().is_some_and(|water| water <= 0.0),
        };
        if stops {
            self.stop(lane, blocks, now, ideal);
        }
    }

    fn stop(&mut self, lane: usize, blocks: &[Block], now: i64, ideal: bool) {
        let goal = &self.spec.programme;
        let (wettest, driest) = self.extremes(lane, blocks);
        let mean = self.lot_moisture();
        let within = |moisture: f64, limit: f64| wet_basis(moisture) <= wet_basis(limit) + STOP_TOLERANCE;
        let dry = match self.spec.operations.conditioning {
            Some(limit) => within(goal.target, mean) && within(wettest, limit.most),
            None => ideal || within(mean, goal.target) && within(wettest, goal.target + goal.wettest_excess),
        };
        self.phase = Phase::Cooling;
        let r = &mut self.result;
        r.dry_at_stop = dry && r.refused == 0.0;
        r.stopped_at = Some(now);
        r.moisture_at_stop = mean;
        r.wettest_at_stop = wettest;
        r.driest_at_stop = driest;
        self.memory = Memory::default();
        if self.spec.operations.conditioning.is_some() {
            self.reach_step(lane, blocks);
            self.close_step(lane, blocks);
        }
    }

    /// Probes when it is time to. True when the readings say that the grain is dry.
    pub(super) fn probing(&mut self, blocks: &[Block], lane: usize, now: i64, (every, depths): (i64, usize)) -> bool {
        if self.probings == 0 {
            self.next_probing = self.next_probing.max(self.last_load + every);
        }
        if now < self.next_probing {
            return false;
        }
        self.next_probing = now + every;
        self.probings += 1;
        let sensors = &self.spec.operations.sensors;
        // The errors of a probing are those of its number, whatever the outfit and whenever it comes.
        let mut samples = sensors.samples.map(|seed| Stream::new(seed ^ self.probings.wrapping_mul(0x9e37_79b9)));
        let (mut mean, mut highest) = (0.0, f64::NEG_INFINITY);
        for (block, column) in blocks.iter().zip(&self.spec.bin.columns) {
            for k in 0..depths {
                let share = (k as f64 + 0.5) / depths as f64;
                let moisture = wet_basis(moisture_at(block, lane, share));
                let luck = samples.as_mut().map_or(0.0, Stream::normal) * meter_share().1;
                let shown = moisture + meter_deviation(moisture) * (luck + sensors.meter * meter_share().0);
                mean += column.area * shown / depths as f64;
                highest = highest.max(shown);
            }
        }
        let goal = &self.spec.programme;
        let (target, most) = (wet_basis(goal.target), wet_basis(goal.target + goal.wettest_excess));
        // Single samples scatter: the highest of many is allowed to by two deviations of one.
        let scatter = if samples.is_some() { 2.0 * meter_share().1 * meter_deviation(most) } else { 0.0 };
        let dry = match (self.spec.operations.conditioning, &self.spec.operations.batches) {
            (Some(limit), _) => mean >= target || highest > wet_basis(limit.most) + scatter,
            // A batch is mixed as it leaves: its mean decides.
            (None, Some(_)) => mean <= target,
            (None, None) => mean <= target && highest <= most + scatter,
        };
        if dry {
            self.result.read_at_stop = Some(dry_basis(mean));
        }
        dry
    }

    /// A moisture (d.b.) as the meter of this year reads it, without the luck of the sample.
    pub(super) fn read(&self, moisture: f64) -> f64 {
        let bias = self.spec.operations.sensors.meter * meter_share().0;
        if bias == 0.0 {
            return moisture;
        }
        let wet = wet_basis(moisture);
        dry_basis((wet + bias * meter_deviation(wet)).clamp(0.0, 0.9))
    }

    /// Notes what two sensors make of the water that the air of a tick took along.
    pub(super) fn note_carried(&mut self, entering: &AirReading, leaving: &AirReading, pressure: f64) {
        if self.phase != Phase::Drying || !matches!(self.spec.operations.stop, StopRule::Exhaust { .. }) {
            return;
        }
        let errors = self.spec.operations.sensors.of_air(self.second / super::HOUR);
        let ratio =
            |air: &AirReading, place: SensorPlace| air.shown_with(&errors[place.number()]).humidity_ratio(pressure);
        self.carried.push(ratio(leaving, SensorPlace::Exhaust) - ratio(entering, SensorPlace::AfterBurner));
    }
}

/// Moisture (d.b.) at a share of the dry matter, from the floor up.
fn moisture_at(block: &Block, lane: usize, share: f64) -> f64 {
    let (mean, dry) = block.mean_moisture(lane);
    let mut below = 0.0;
    for layer in block.layers(lane) {
        below += layer.dry_matter;
        if below >= share * dry {
            return layer.moisture;
        }
    }
    mean
}
