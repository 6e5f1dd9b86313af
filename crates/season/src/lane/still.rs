//! Rest in rings: gathers the hours without air and lets the rings conduct over several of them at once.

use super::{HOUR, Lane, Look};
use crate::result::Rings;
use crate::spec::{CaseSpec, StillAir};
use crate::surroundings::{self, Rise};
use bed::{Block, RingExchange};
use equipment::Phase;
use physics::sun;

/// Longest time gathered before the rings conduct, s. Over six hours grain a hand's breadth from the wall changes by less
/// than a tenth of what the air does.
const GATHERED: f64 = 6.0 * HOUR;

/// The rings of a case and what waits to be conducted.
#[derive(Debug, Clone)]
pub(super) struct Still {
    rings: RingExchange,
    /// Whether the kernel conducts nothing, so that the rings do.
    takes_over: bool,
    /// Of the hours that wait: seconds, and sums over them of the temperature outside and of what the sun does.
    waiting: (f64, f64, Rise),
    /// What the sun does today, and the first hour of weather that is no longer today.
    today: (Rise, usize),
    /// Seconds conducted, and the headspace less the air outside summed over them.
    rested: (f64, f64),
}

impl Still {
    /// Rings, where the case asks for them.
    pub(super) fn of(spec: &CaseSpec) -> Option<Self> {
        let StillAir::Rings { .. } = spec.bin.still else { return None };
        let shares: Vec<f64> = spec.bin.columns.iter().map(|column| column.area).collect();
        Some(Self {
            rings: RingExchange::new(0.5 * spec.bin.diameter, &shares, spec.grain.group.layers),
            takes_over: false,
            waiting: (0.0, 0.0, Rise::default()),
            today: (Rise::default(), 0),
            rested: (0.0, 0.0),
        })
    }
}

impl Lane {
    /// Before the tick that begins now: hands conduction over to the rings when its air is still and the bin is full,
    /// gathers its hours, and conducts what waits when air begins to move.
    pub(super) fn rings_before(&mut self, lane: usize, blocks: &mut [Block], (i, outside): (usize, f64), flux: f64) {
        if self.still.is_none() {
            return;
        }
        let takes_over = flux <= 0.0 && self.phase != Phase::Filling && self.all_in();
        if !takes_over {
            self.rings_conduct(lane, blocks);
        }
        let rise = if takes_over { self.rise_today(i) } else { Rise::default() };
        let step = self.step;
        let air_full = self.phase != Phase::Filling;
        let Some(still) = &mut self.still else { return };
        if takes_over != still.takes_over {
            still.takes_over = takes_over;
            let column = &self.spec.grain.column;
            let conducts = if takes_over { (0.0, 0.0) } else { (column.conductivity, column.wall_conductance) };
            blocks.iter_mut().for_each(|block| block.conduct(lane, conducts.0, conducts.1));
        }
        if takes_over {
            let (seconds, warmth, sun) = &mut still.waiting;
            *seconds += step;
            *warmth += outside * step;
            sun.wall += rise.wall * step;
            sun.roof += rise.roof * step;
        } else if flux > 0.0 {
            for (k, (block, share)) in blocks.iter().zip(&self.spec.bin.columns).enumerate() {
                let heat: f64 = block.layers(lane).map(|l| l.dry_matter * block.heat_capacity(lane, l.moisture)).sum();
                let share = if air_full { share.air } else { share.air_filling };
                let carried = flux * share * physics::air::SPECIFIC_HEAT_DRY_AIR * step / heat.max(1.0);
                still.rings.blown(k, carried);
            }
        }
    }

    /// After a tick: conducts what waits when it is long enough, or when somebody is about to look.
    pub(super) fn rings_after(&mut self, lane: usize, blocks: &mut [Block], looked_at: bool) {
        if self.still.as_ref().is_some_and(|still| looked_at || still.waiting.0 >= GATHERED) {
            self.rings_conduct(lane, blocks);
        }
    }

    /// Layers were moved or mixed.
    pub(super) fn rings_disturbed(&mut self) {
        if let Some(still) = &mut self.still {
            still.rings.even_out();
        }
    }

    /// What the rings met, for the result.
    pub(super) fn rings_met(&self) -> Option<Rings> {
        let still = self.still.as_ref()?;
        let (coldest, warmest) = still.rings.met()?;
        let (seconds, headspace) = still.rested;
        Some(Rings { hours: seconds / HOUR, coldest, warmest, headspace_rise: headspace / seconds })
    }

    fn rings_conduct(&mut self, lane: usize, blocks: &mut [Block]) {
        let Some(still) = &mut self.still else { return };
        let (seconds, warmth, sun) = std::mem::take(&mut still.waiting);
        if seconds <= 0.0 {
            return;
        }
        let outside = warmth / seconds;
        let rise = Rise { wall: sun.wall / seconds, roof: sun.roof / seconds };
        let conductivity = self.spec.grain.column.conductivity;
        let mut above = outside;
        let around = |grid: &bed::RingGrid| {
            above = surroundings::headspace(outside, &rise, grid.surface().unwrap_or(outside));
            surroundings::around(outside, &rise, above)
        };
        still.rings.rest((blocks, lane), conductivity, around, seconds);
        still.rested.0 += seconds;
        still.rested.1 += seconds * (above - outside);
        for (look, block) in self.looks.iter_mut().zip(blocks.iter()) {
            *look = Look::at(block, lane);
        }
    }

    /// What the sun does on the day of an hour of weather: from the swing of temperature between its midnights.
    fn rise_today(&mut self, i: usize) -> Rise {
        let StillAir::Rings { latitude: Some(latitude) } = self.spec.bin.still else { return Rise::default() };
        let Some(still) = &mut self.still else { return Rise::default() };
        if i < still.today.1 {
            return still.today.0;
        }
        let weather = &self.spec.weather;
        let from = i.saturating_sub(usize::from(weather.wall_hour[i]));
        let to = (i + super::hours_left_of_day(&weather.wall_hour, i)).min(weather.temperature.len());
        let (low, high) = weather.temperature[from..to]
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(*t), high.max(*t)));
        // Days since 1 January 1970, counted off in years: within a day of the calendar.
        let day = ((weather.start + i as i64) as f64 / 24.0).rem_euclid(365.25) + 1.0;
        still.today = (Rise::of(&sun::of_day(latitude, day, high - low, sun::INLAND)), to);
        still.today.0
    }
}
