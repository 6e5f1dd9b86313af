//! One case in its lane: what happens at a tick, before the bed moves and after.

mod aerating;
mod air;
mod awaiting;
mod batches;
mod closing;
mod condensing;
mod drawing;
mod loads;
mod midnight;
mod programme;
mod remarks;
mod steps;
mod still;
mod stirring;
mod stopping;
mod tallies;
mod tempering;
mod trailing;

use crate::operations::StopRule;
use crate::result::{Profile, SeasonResult};
use crate::run::{Draw, Record};
use crate::spec::CaseSpec;
use air::{Decided, Seen};
use batches::Cooling;
use bed::{Air, Block, Exhaust, LayerState};
use drawing::Gone;
use equipment::{AirReading, Memory, Phase, Rule};
use midnight::{day_begins, hours_left_of_day};
use programme::{SETTLING_HOURS, WEEK_HOURS};
use std::sync::Arc;
use steps::{Loaded, OpenStep};
use still::Still;
use tallies::Today;
use trailing::Trailing;

const HOUR: f64 = 3600.0;

/// What one column showed when last looked at.
#[derive(Debug, Clone, Copy, Default)]
struct Look {
    mean_moisture: f64,
    /// Mean, lowest, highest.
    temperature: (f64, f64, f64),
}

impl Look {
    fn at(block: &Block, lane: usize) -> Self {
        Self { mean_moisture: block.mean_moisture(lane).0, temperature: block.temperatures(lane) }
    }
}

/// A case under way.
#[derive(Debug, Clone)]
pub(crate) struct Lane {
    number: usize,
    spec: Arc<CaseSpec>,
    record: Record,
    /// Seconds since the hour of the first load.
    second: f64,
    /// Length of the tick under way, s.
    step: f64,
    first_hour: i64,
    last_load: i64,
    next_load: usize,
    /// More loads may come than are known: a farm sends them day by day.
    open: bool,
    /// No fuel reaches the burner: the tank is empty.
    fuel_cut: bool,
    /// What the last tick drew from service and tank.
    draw: Draw,
    /// Dry matter of a full layer, kg/m².
    full: f64,
    /// Dry matter put in so far, kg/m².
    filled: f64,
    /// Grain that has left.
    gone: Gone,
    phase: Phase,
    suspended: bool,
    memory: Memory,
    decided: Option<Decided>,
    /// The air of the last tick, for the control; `None` while the fans stood.
    seen: Option<Seen>,
    fan_heat: Option<f64>,
    probe_age: u32,
    wettest_probe: f64,
    looks: Vec<Look>,
    /// Mean moisture of the last day: one window for each column, then one for the whole bin.
    settling: Vec<Trailing>,
    /// Water that the leaving air carries beyond the entering air, as the sensors show it, kg/kg.
    carried: Trailing,
    next_probing: i64,
    probings: u64,
    /// End of the round of stirring under way.
    next_stir: i64,
    /// Stirring that waited for the front has begun.
    stirring_again: bool,
    /// Loads that may come in, counted from the first: up to where the next layer waits.
    admitted: usize,
    /// Hours by which loads come later than they were sent.
    delay: i64,
    week: Trailing,
    today: Today,
    /// Sums over the loads since the bin was last empty.
    loaded: Loaded,
    /// The step of the process under way.
    step_open: Option<OpenStep>,
    /// Stage of aeration under way.
    stage: Option<usize>,
    /// Hour until which hot grain rests, while it does.
    tempered_until: Option<i64>,
    /// Layers of hot grain as they were when the tick under way began: column, slot, state.
    hot: Vec<(usize, usize, LayerState)>,
    /// Second at which the batch in the bin is out.
    unloaded_at: f64,
    /// Cooling of the batch in the bin.
    cooling: Cooling,
    /// Whether all batches so far were dry when they left.
    batches_dry: bool,
    /// Nothing comes any more: the season is over before its horizon.
    done: bool,
    finished_column: Vec<Option<i64>>,
    /// Rings that conduct while the air is still, where the case asks for them.
    still: Option<Still>,
    profiles: Vec<Vec<Profile>>,
    result: SeasonResult,
}

impl Lane {
    pub fn new(number: usize, spec: Arc<CaseSpec>, record: Record) -> Self {
        let columns = spec.bin.columns.len();
        let first = spec.loads.first().map_or(spec.weather.start, |l| l.hour);
        let last = spec.loads.iter().map(|l| l.hour).max().unwrap_or(first);
        let tick_hours = spec.tick_seconds / HOUR;
        let compared = match spec.operations.stop {
            StopRule::Exhaust { hours } => (hours as f64 / tick_hours).round().max(1.0) as usize,
            _ => 1,
        };
        let operations = &spec.operations;
        let admitted = match (&operations.layers, &operations.batches) {
            (Some(layers), _) => layers.starts.first().copied().unwrap_or(spec.loads.len()),
            (None, Some(batches)) => batches.loads_each.clamp(1, spec.loads.len().max(1)),
            (None, None) => spec.loads.len(),
        };
        let mut result = SeasonResult::begun(first, last);
        result.stop_rule = spec.operations.stop;
        let whole: f64 = spec.loads.iter().map(|l| l.dry_matter).sum::<f64>() / spec.bin.floor_area;
        let water: f64 = spec.loads.iter().map(|l| l.dry_matter * l.moisture).sum::<f64>() / spec.bin.floor_area;
        result.process = operations.process(water / whole, spec.programme.target);
        // At once there is no more in the bin than one batch.
        let at_once = match &operations.batches {
            Some(_) => spec.loads[..admitted].iter().map(|l| l.dry_matter).sum::<f64>() / spec.bin.floor_area,
            None => whole,
        };
        Self {
            number,
            record,
            second: 0.0,
            step: 0.0,
            first_hour: first,
            // Nobody knows when the last layer comes.
            last_load: if operations.layers.is_some() || operations.batches.is_some() { i64::MAX } else { last },
            next_load: 0,
            open: false,
            fuel_cut: false,
            draw: Draw::default(),
            full: at_once / spec.grain.group.layers as f64,
            filled: 0.0,
            gone: Gone::of(columns),
            phase: Phase::Filling,
            suspended: false,
            memory: Memory::default(),
            decided: None,
            seen: None,
            fan_heat: None,
            probe_age: 0,
            wettest_probe: 0.0,
            looks: vec![Look::default(); columns],
            settling: vec![Trailing::new(SETTLING_HOURS); columns + 1],
            week: Trailing::new(WEEK_HOURS),
            today: Today::default(),
            finished_column: vec![None; columns],
            still: Still::of(&spec),
            profiles: vec![Vec::new(); columns],
            carried: Trailing::new(compared),
            next_probing: 0,
            probings: 0,
            next_stir: spec.operations.stirring.map_or(first, |s| first + s.every),
            stirring_again: false,
            admitted,
            delay: 0,
            loaded: Loaded::default(),
            step_open: None,
            stage: None,
            tempered_until: None,
            hot: Vec::new(),
            unloaded_at: 0.0,
            cooling: Cooling::default(),
            batches_dry: true,
            done: false,
            result,
            spec,
        }
    }

    pub fn number(&self) -> usize {
        self.number
    }

    /// The hour it has reached.
    pub fn hour(&self) -> i64 {
        self.first_hour + (self.second / HOUR).floor() as i64
    }

    /// Index of an hour into the weather, held at the last hour there is.
    fn index_of(&self, hour: i64) -> usize {
        let i = (hour - self.spec.weather.start).max(0) as usize;
        i.min(self.spec.weather.temperature.len() - 1)
    }

    fn index(&self) -> usize {
        self.index_of(self.hour())
    }

    /// Mean over the columns by their share of the floor.
    fn over_columns(&self, value: impl Fn(&Look) -> f64) -> f64 {
        self.looks.iter().zip(&self.spec.bin.columns).map(|(look, column)| value(look) * column.area).sum()
    }

    fn mean_moisture(&self) -> f64 {
        self.over_columns(|l| l.mean_moisture)
    }

    /// Dry matter in the bin, kg/m².
    fn held(&self) -> f64 {
        self.filled - self.gone.dry_matter
    }

    fn mean_temperature(&self) -> f64 {
        self.over_columns(|l| l.temperature.0)
    }

    fn coldest(&self) -> f64 {
        self.looks.iter().map(|l| l.temperature.1).fold(f64::INFINITY, f64::min)
    }

    fn warmest(&self) -> f64 {
        self.looks.iter().map(|l| l.temperature.2).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Loads, control and air of the tick that begins now.
    pub fn before(&mut self, lane: usize, blocks: &mut [Block], air: &mut [Air]) {
        self.mind_hot_life(lane, blocks);
        self.mind_batches(lane, blocks);
        self.fill(lane, blocks);
        self.stir(lane, blocks);
        self.draw(lane, blocks);
        self.note_hot(lane, blocks);
        let spec = Arc::clone(&self.spec);
        let weather = &spec.weather;
        let i = self.index();
        let hours = self.hours_at_rest(i);
        self.step = if hours > 1 { hours as f64 * HOUR } else { spec.tick_seconds };
        let stretch = &weather.temperature[i..(i + hours).min(weather.temperature.len())];
        let t = stretch.iter().sum::<f64>() / stretch.len() as f64;
        let (w, p) = (weather.humidity_ratio[i], weather.pressure[i]);
        let ambient = AirReading { temperature: t, relative_humidity: weather.relative_humidity[i] };
        let command = self.command(ambient, i);
        let decided = self.work(&spec, command, (t, w, p));
        let flux = decided.point.dry_air_flow / spec.bin.floor_area;
        self.rings_before(lane, blocks, (i, t), flux);
        let water = w + decided.firing.water_added;
        for (air, column) in air.iter_mut().zip(&spec.bin.columns) {
            air.temperature[lane] = decided.inlet.temperature;
            air.humidity_ratio[lane] = water;
            // Levelling and coring follow the last load; until then the spout decides where the air goes.
            let share = if self.phase == Phase::Filling { column.air_filling } else { column.air };
            air.flux[lane] = flux * share;
            air.pressure[lane] = p;
            air.seconds[lane] = self.step;
            air.outside[lane] = t;
        }
        self.decided = Some(decided);
    }

    /// Hours that can pass in one step because nothing can happen in them: grain that is held with its fan locked off
    /// changes by slow conduction only, so the bed takes the stretch to midnight at once, with the mean of the air.
    fn hours_at_rest(&self, i: usize) -> usize {
        let weather = &self.spec.weather;
        let held = self.phase == Phase::Holding && self.spec.control.holding == Rule::Off && !self.memory.running;
        if self.tempered_until.is_some() || self.spec.operations.batches.is_some() {
            return 1;
        }
        if !held || !self.all_in() || self.record == Record::Everything {
            return 1;
        }
        let to_midnight = hours_left_of_day(&weather.wall_hour, i);
        let to_end = (self.spec.programme.hold_until - self.hour()).max(1) as usize;
        to_midnight.min(to_end)
    }

    /// Tallies, judgement and records of the tick that just passed. True at the end of the season.
    pub fn after(&mut self, lane: usize, blocks: &mut [Block], exhausts: &[Exhaust]) -> bool {
        let Some(decided) = self.decided.take() else { return false };
        let spec = Arc::clone(&self.spec);
        let i = self.index();
        self.tally(&decided, i, self.step);
        let exhaust = self.see(&decided, i, lane, exhausts);
        let next = self.first_hour + ((self.second + self.step) / HOUR).floor() as i64;
        let day_ends = next > self.hour() && day_begins(&spec.weather.wall_hour, self.index_of(next));
        self.rings_after(lane, blocks, day_ends || next >= spec.programme.hold_until);
        let blocks = &*blocks;
        self.mind_roof(&decided, i, exhaust.1);
        self.look(lane, blocks);
        if self.record == Record::Everything {
            self.each_tick(&decided, i, exhaust);
        }

        let before = self.hour();
        self.second += self.step;
        let now = self.hour();
        for hour in before..now {
            let outside = spec.weather.temperature[self.index_of(hour)];
            self.each_hour(lane, blocks, hour + 1, outside);
        }
        if now > before && day_begins(&spec.weather.wall_hour, self.index()) {
            self.each_day(lane, blocks, now);
        }
        self.done || now >= spec.programme.hold_until
    }
}
