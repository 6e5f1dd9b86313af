//! Which bin takes which load, day by day.

use job::facts::LoadOrder;
use job::{FarmBin, FarmLoad};
use season::{Load, SeasonRun};
use std::collections::VecDeque;

/// Dry matter that counts as nothing beside a plan: what rounding leaves.
const CRUMBS: f64 = 1e-9;
/// Hours of a day.
pub(super) const DAY: i64 = 24;

/// A bin while the harvest goes on.
pub(super) struct Live<'a> {
    pub bin: &'a FarmBin,
    /// Crop it takes.
    pub crop: &'a str,
    /// The season, from its first load on.
    pub run: Option<SeasonRun>,
    /// Dry matter it may take by its plan, kg.
    pub room: f64,
    /// Dry matter sent to it, kg.
    pub taken: f64,
    /// Its mass as harvested, kg.
    pub taken_wet: f64,
    /// No further load comes.
    pub closed: bool,
    /// What was sent.
    pub sent: Vec<Load>,
}

impl Live<'_> {
    /// Dry matter it may take now, kg: nothing when it is full, its grain is too far gone, or the layer below is not dry enough.
    fn takes(&self, most_life_used: f64) -> f64 {
        if !self.bin.takes || self.closed || self.room - self.taken <= CRUMBS * self.room {
            return 0.0;
        }
        let Some(run) = &self.run else { return self.until_layer_ends() };
        let Some(state) = run.state() else { return 0.0 };
        if state.life > most_life_used {
            return 0.0;
        }
        if let Some(layers) = &self.bin.layers {
            let begins = layers.ends.iter().any(|end| (self.taken - end).abs() <= CRUMBS * self.room);
            let all_in = state.dry_matter >= self.taken * (1.0 - CRUMBS);
            if begins && !(all_in && state.wettest <= layers.dry_enough) {
                return 0.0;
            }
        }
        self.until_layer_ends()
    }

    fn until_layer_ends(&self) -> f64 {
        let ends = self.bin.layers.iter().flat_map(|layers| layers.ends.iter().copied());
        let end = ends.chain([self.room]).find(|end| end - self.taken > CRUMBS * self.room);
        end.map_or(0.0, |end| end - self.taken)
    }

    /// Storage life used by its grain, in whole percent: less is no reason to prefer a bin.
    fn life(&self) -> i64 {
        let used = self.run.as_ref().and_then(SeasonRun::state).map_or(0.0, |state| state.life);
        (100.0 * used).round() as i64
    }
}

/// The bin that takes a load now and how much of it, by the rule of the farm.
pub(super) fn choose(bins: &[Live<'_>], crop: &str, order: LoadOrder, most_life_used: f64) -> Option<(usize, f64)> {
    let may = bins.iter().enumerate().filter(|(_, bin)| bin.crop == crop);
    let may = may.map(|(i, bin)| (i, bin, bin.takes(most_life_used))).filter(|(_, _, room)| *room > 0.0);
    let best = match order {
        LoadOrder::AsListed => may.min_by_key(|(i, ..)| *i),
        LoadOrder::MostLife => may.min_by(|(i, a, _), (j, b, _)| {
            let filled = |bin: &Live<'_>| bin.taken / bin.room;
            a.life().cmp(&b.life()).then(filled(a).total_cmp(&filled(b))).then(i.cmp(j))
        }),
    };
    best.map(|(i, _, room)| (i, room))
}

/// A load that waits: what is left of it, and the day for which it was planned.
#[derive(Debug, Clone)]
pub(super) struct Waiting {
    pub load: Load,
    pub day: i64,
}

impl Waiting {
    pub fn wet(&self) -> f64 {
        self.load.dry_matter * (1.0 + self.load.moisture)
    }
}

/// The loads of one crop on their way.
pub(super) struct Crop<'a> {
    pub id: &'a str,
    /// Planned and not yet due.
    planned: VecDeque<Waiting>,
    /// Due, in the order of the harvest.
    pub waiting: VecDeque<Waiting>,
    /// Hours after midnight of the loads of its busiest day: the harvest goes no faster.
    pattern: Vec<i64>,
    /// Loads that came today.
    came: usize,
}

impl<'a> Crop<'a> {
    /// The loads of a crop; `day_of` gives the day of an hour, `hour_of` its midnight.
    pub fn of(id: &'a str, loads: &[FarmLoad], clock: &Clock) -> Self {
        let planned: VecDeque<Waiting> = loads
            .iter()
            .filter(|load| load.crop == id)
            .map(|load| Waiting { load: load.load, day: clock.day(load.load.hour) })
            .collect();
        let mut busiest: &[Waiting] = &[];
        let all: Vec<Waiting> = planned.iter().cloned().collect();
        for day in all.chunk_by(|a, b| a.day == b.day) {
            if day.len() > busiest.len() {
                busiest = day;
            }
        }
        let pattern = busiest.iter().map(|w| w.load.hour - clock.midnight(w.day)).collect();
        Self { id, planned, waiting: VecDeque::new(), pattern, came: 0 }
    }

    /// Whether nothing is on its way any more.
    pub fn done(&self) -> bool {
        self.planned.is_empty() && self.waiting.is_empty()
    }

    /// First hour at which something happens on a day; `None` where nothing is due.
    pub fn first_hour(&self, day: i64, clock: &Clock) -> Option<i64> {
        let planned = self.planned.iter().take_while(|w| w.day == day).map(|w| w.load.hour).min();
        let waits =
            (!self.waiting.is_empty()).then(|| clock.midnight(day) + self.pattern.first().copied().unwrap_or(0));
        [planned, waits].into_iter().flatten().min()
    }

    /// Takes up the loads of a day. Where some waited, all of the day come at the hours of the busiest.
    pub fn begin_day(&mut self, day: i64, clock: &Clock) {
        let late = !self.waiting.is_empty();
        while self.planned.front().is_some_and(|w| w.day <= day) {
            self.waiting.extend(self.planned.pop_front());
        }
        if late {
            let midnight = clock.midnight(day);
            for (w, hour) in self.waiting.iter_mut().zip(&self.pattern) {
                w.load.hour = midnight + hour;
            }
        }
        self.came = 0;
    }

    /// The next load of today, where the harvest still goes on.
    pub fn next(&self) -> Option<&Waiting> {
        self.waiting.front().filter(|_| self.came < self.pattern.len())
    }

    /// The next load, or a part of it, has found its bin.
    pub fn placed(&mut self, dry_matter: f64) -> Option<Load> {
        let front = self.waiting.front_mut()?;
        if dry_matter >= front.load.dry_matter * (1.0 - CRUMBS) {
            self.came += 1;
            return self.waiting.pop_front().map(|w| w.load);
        }
        front.load.dry_matter -= dry_matter;
        Some(Load { dry_matter, ..front.load })
    }

    /// Gives up what has waited so long by the end of a day, or all of it.
    pub fn give_up(&mut self, day: i64, wait: i64, all: bool) -> Vec<Waiting> {
        let gone = |w: &Waiting| all || day - w.day >= wait;
        let (sold, kept): (Vec<_>, Vec<_>) = self.waiting.drain(..).partition(gone);
        self.waiting = kept.into();
        if all {
            return sold.into_iter().chain(self.planned.drain(..)).collect();
        }
        sold
    }
}

/// Days of a site by its standard time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    /// Whole hours by which standard time is ahead of UTC.
    offset: i64,
}

impl Clock {
    pub fn new(utc_offset: i32) -> Self {
        Self { offset: i64::from(utc_offset.div_euclid(3600)) }
    }

    pub fn day(&self, hour: i64) -> i64 {
        (hour + self.offset).div_euclid(DAY)
    }

    pub fn midnight(&self, day: i64) -> i64 {
        day * DAY - self.offset
    }
}
