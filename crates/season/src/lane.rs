//! One case in its lane: what happens at a tick, before the bed moves and after.

use crate::result::{AirHours, ColumnResult, Daily, Hourly, Profile, SeasonResult};
use crate::run::Record;
use crate::spec::{CarryOver, CaseSpec, HARVEST_WARMTH, TARIFF_SLOTS};
use bed::{Air, Block, Direction, Exhaust, Respiration, profile};
use equipment::{
    AirReading, BurnerSide, Command, FiringResult, Heat, HeatAmount, MapPoint, MapQuery, Memory, Observation, Outcome,
    Phase, Rule,
};
use notice::{Kind, Phrase, Quantity, Remark, Remarks};
use std::sync::Arc;

const HOUR: f64 = 3600.0;
/// Hours over which the mean moisture is averaged before it counts as reached.
const SETTLING_HOURS: usize = 24;
/// Hours of outside air that say whether it is winter.
const WEEK_HOURS: usize = 168;
/// Ticks between two readings of the wettest probe.
const PROBE_TICKS: u32 = 6;
/// Held grain is cooled again when its mean is warmer than wanted by this much, K, or its warmest layer warmer than the
/// mean by the second, and the air of a week colder than the warmest layer by the third (judgement).
const REWARMED: f64 = 4.0;
const HOT_SPOT: f64 = 5.0;
const WORTH_COOLING: f64 = 3.0;
/// Drying suspended by winter goes on after this many hours at the earliest, so that a thaw in midwinter does not restart
/// it (judgement: extension advice finishes in April or May).
const LEAST_WINTER_HOURS: i64 = 90 * 24;

/// Mean of the last values pushed.
#[derive(Debug, Clone)]
struct Trailing {
    values: Vec<f64>,
    next: usize,
    length: usize,
}

impl Trailing {
    fn new(length: usize) -> Self {
        Self { values: Vec::with_capacity(length), next: 0, length }
    }

    fn push(&mut self, value: f64) {
        if self.values.len() < self.length {
            self.values.push(value);
        } else {
            self.values[self.next] = value;
            self.next = (self.next + 1) % self.length;
        }
    }

    /// The mean, once the window is full.
    fn mean(&self) -> Option<f64> {
        (self.values.len() == self.length).then(|| self.values.iter().sum::<f64>() / self.length as f64)
    }
}

/// What the current tick decided.
#[derive(Debug, Clone, Copy)]
struct Decided {
    point: MapPoint,
    firing: FiringResult,
    fans: usize,
    inlet: AirReading,
}

/// Sums since midnight.
#[derive(Debug, Clone, Copy, Default)]
struct Today {
    seconds: f64,
    fan_hours: f64,
    fan_energy: f64,
    burner_energy: f64,
    ambient: f64,
}

/// What one column showed when last looked at.
#[derive(Debug, Clone, Copy, Default)]
struct Look {
    mean_moisture: f64,
    temperature: (f64, f64, f64),
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
    /// Dry matter of a full layer, kg/m².
    full: f64,
    /// Dry matter put in so far, kg/m².
    filled: f64,
    phase: Phase,
    suspended: bool,
    memory: Memory,
    decided: Option<Decided>,
    /// Last tick's plenum and exhaust, for the control.
    seen: Option<(AirReading, AirReading, AirReading)>,
    fan_heat: Option<f64>,
    probe_age: u32,
    wettest_probe: f64,
    looks: Vec<Look>,
    settling: Vec<Trailing>,
    week: Trailing,
    today: Today,
    finished_column: Vec<Option<i64>>,
    profiles: Vec<Vec<Profile>>,
    result: SeasonResult,
}

impl Lane {
    pub fn new(number: usize, spec: Arc<CaseSpec>, record: Record) -> Self {
        let columns = spec.bin.columns.len();
        let first = spec.loads.first().map_or(spec.weather.start, |l| l.hour);
        let last = spec.loads.iter().map(|l| l.hour).max().unwrap_or(first);
        let whole: f64 = spec.loads.iter().map(|l| l.dry_matter).sum::<f64>() / spec.bin.floor_area;
        Self {
            number,
            record,
            second: 0.0,
            step: 0.0,
            first_hour: first,
            last_load: last,
            next_load: 0,
            full: whole / spec.grain.group.layers as f64,
            filled: 0.0,
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
            profiles: vec![Vec::new(); columns],
            result: blank(first, last),
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

    /// Index into the weather, held at the last hour there is.
    fn index(&self) -> usize {
        let i = (self.hour() - self.spec.weather.start).max(0) as usize;
        i.min(self.spec.weather.temperature.len() - 1)
    }

    /// Loads, control and air of the tick that begins now.
    pub fn before(&mut self, lane: usize, blocks: &mut [Block], air: &mut [Air]) {
        self.fill(lane, blocks);
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
        if !held || self.next_load < self.spec.loads.len() || self.record == Record::Everything {
            return 1;
        }
        let to_midnight = 24 - usize::from(weather.wall_hour[i].min(23));
        let to_end = (self.spec.programme.hold_until - self.hour()).max(1) as usize;
        to_midnight.min(to_end)
    }

    /// Puts in the loads that are due.
    fn fill(&mut self, lane: usize, blocks: &mut [Block]) {
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
                *look = Look { mean_moisture: block.mean_moisture(lane).0, temperature: block.temperatures(lane) };
            }
            self.wettest_probe = self.wettest_probe.max(load.moisture);
        }
    }

    fn command(&mut self, ambient: AirReading, i: usize) -> Command {
        let fan_heat = self.fan_heat.unwrap_or_else(|| self.predicted_fan_heat(i));
        let mean = |f: &dyn Fn(&Look) -> f64| -> f64 {
            self.looks.iter().zip(&self.spec.bin.columns).map(|(l, c)| f(l) * c.area).sum()
        };
        let observation = Observation {
            hour_of_day: self.spec.weather.wall_hour[i],
            tick_hours: self.spec.tick_seconds / HOUR,
            ambient,
            plenum_predicted: ambient.warmed(fan_heat),
            plenum: self.seen.map(|s| s.0),
            plenum_heated: self.seen.map(|s| s.1),
            exhaust: self.seen.map(|s| s.2),
            grain_mean_moisture: mean(&|l| l.mean_moisture),
            wettest_probe_moisture: self.wettest_probe,
            grain_temperature_mean: mean(&|l| l.temperature.0),
            grain_temperature_min: self.looks.iter().map(|l| l.temperature.1).fold(f64::INFINITY, f64::min),
            grain_temperature_max: self.looks.iter().map(|l| l.temperature.2).fold(f64::NEG_INFINITY, f64::max),
            phase: self.phase,
        };
        self.spec.control.decide(&observation, &mut self.memory)
    }

    /// Fan heat that a standing fan would give, from the map.
    fn predicted_fan_heat(&mut self, i: usize) -> f64 {
        let weather = &self.spec.weather;
        let (t, w, p) = (weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]);
        let query = MapQuery::new(t, w, p, 0.0, &Heat::NONE, self.depth(), self.spec.control.fans);
        let heat = self.spec.air.at(&query).fan_heat;
        self.fan_heat = Some(heat);
        heat
    }

    /// Depth of the grain now, shrink included, m.
    fn depth(&self) -> f64 {
        let grain = &self.spec.grain;
        let wet = |m: f64| m / (1.0 + m);
        let lost = wet(grain.density_moisture) - wet(self.mean_moisture());
        self.filled / grain.dry_density * (1.0 - grain.shrink * lost)
    }

    fn mean_moisture(&self) -> f64 {
        self.looks.iter().zip(&self.spec.bin.columns).map(|(l, c)| l.mean_moisture * c.area).sum()
    }

    /// The working point and firing of this tick.
    fn work(&mut self, spec: &CaseSpec, command: Command, (t, w, p): (f64, f64, f64)) -> Decided {
        let depth = self.depth();
        let suction = spec.grain.group.direction == Direction::Down;
        let fans = if self.filled > 0.0 { command.fans } else { 0 };
        let heat = spec.burner.as_ref().map_or(Heat::NONE, |b| Heat {
            amount: HeatAmount::None,
            side: b.side,
            water_per_joule: b.water_per_joule(),
        });
        let ask = |rise: f64| {
            let query = if suction {
                let exit = self.seen.map_or((t, w), |s| (s.2.temperature, s.2.humidity_ratio(p)));
                MapQuery::suction(t, w, p, exit, depth, fans)
            } else {
                MapQuery::new(t, w, p, rise, &heat, depth, fans)
            };
            spec.air.at(&query)
        };
        let mut point = ask(0.0);
        let mut firing = FiringResult::NONE;
        if let (Some(burner), true) = (&spec.burner, point.dry_air_flow > 0.0) {
            // The rise changes the airflow a little and the airflow the rise: twice round is well below a per mille.
            for _ in 0..2 {
                let before = if burner.side == BurnerSide::Inlet { t } else { t + point.fan_heat };
                firing = burner.fire(command.burner, before, w, p, point.dry_air_flow);
                if firing.rise <= 0.0 {
                    break;
                }
                point = ask(firing.rise);
            }
        }
        if point.fan_heat > 0.0 {
            self.fan_heat = Some(point.fan_heat);
        }
        let inlet = AirReading::of(t + firing.rise + point.fan_heat, w + firing.water_added, p);
        Decided { point, firing, fans, inlet }
    }

    /// Tallies, judgement and records of the tick that just passed. True at the end of the season.
    pub fn after(&mut self, lane: usize, blocks: &[Block], exhausts: &[Option<Exhaust>]) -> bool {
        let Some(decided) = self.decided.take() else { return false };
        let spec = Arc::clone(&self.spec);
        let i = self.index();
        let seconds = self.step;
        self.tally(&decided, i, seconds);

        let (t, p) = (spec.weather.temperature[i], spec.weather.pressure[i]);
        let mut exhaust = (0.0, 0.0);
        for (column, out) in spec.bin.columns.iter().zip(exhausts) {
            if let Some(out) = out {
                exhaust.0 += column.area * out.temperature[lane];
                exhaust.1 += column.area * out.humidity_ratio[lane];
            }
        }
        let flowing = decided.point.dry_air_flow > 0.0;
        self.seen = flowing.then(|| {
            let after_fan = AirReading::of(t + decided.point.fan_heat, spec.weather.humidity_ratio[i], p);
            (after_fan, decided.inlet, AirReading::of(exhaust.0, exhaust.1, p))
        });

        for (look, block) in self.looks.iter_mut().zip(blocks) {
            *look = Look { mean_moisture: block.mean_moisture(lane).0, temperature: block.temperatures(lane) };
        }
        if self.record == Record::Everything {
            let mean_temperature =
                self.looks.iter().zip(&spec.bin.columns).map(|(l, c)| l.temperature.0 * c.area).sum();
            self.result.hourly.push(Hourly {
                second: self.first_hour * 3600 + self.second as i64,
                ambient_temperature: t,
                ambient_humidity: spec.weather.relative_humidity[i],
                plenum_temperature: decided.inlet.temperature,
                plenum_humidity: decided.inlet.relative_humidity,
                exhaust_temperature: exhaust.0,
                fans: decided.fans,
                dry_air_flow: decided.point.dry_air_flow,
                plenum_pressure: decided.point.plenum_pressure,
                burner_rise: decided.firing.rise,
                mean_moisture: self.mean_moisture(),
                mean_temperature,
            });
        }

        let before = self.hour();
        self.second += seconds;
        let now = self.hour();
        for hour in before..now {
            let at = ((hour - spec.weather.start).max(0) as usize).min(spec.weather.temperature.len() - 1);
            self.each_hour(lane, blocks, hour + 1, spec.weather.temperature[at]);
        }
        if now > before && spec.weather.wall_hour[self.index()] == 0 {
            self.each_day(lane, blocks, now);
        }
        now >= spec.programme.hold_until
    }

    fn tally(&mut self, decided: &Decided, i: usize, seconds: f64) {
        let hours = seconds / HOUR;
        let r = &mut self.result;
        let weather = &self.spec.weather;
        if decided.fans > 0 {
            let flags = decided.point.flags;
            let count = |yes: bool| if yes { hours } else { 0.0 };
            r.air.running += hours;
            r.air.unstable += count(decided.point.outcome == Outcome::Unstable);
            r.air.held += count(decided.point.outcome == Outcome::HeldBelowFirst);
            r.air.beyond += count(decided.point.outcome == Outcome::BeyondCurve);
            r.air.overload += count(flags.overload);
            r.air.outside_resistance += count(flags.outside_resistance);
            if r.stopped_at.is_none() {
                r.drying_fan_hours += hours;
            }
            self.today.fan_hours += hours;
        }
        let electric = decided.point.input_power + decided.firing.electric_power;
        r.fan_energy += decided.point.input_power * seconds;
        r.heater_electricity += decided.firing.electric_power * seconds;
        r.burner_energy += decided.firing.heat * seconds;
        r.fuel += decided.firing.fuel * seconds;
        if decided.firing.short {
            r.burner_short_hours += hours;
        }
        r.energy_by_slot[usize::from(weather.tariff_slot[i]).min(TARIFF_SLOTS - 1)] += electric * seconds;
        let month = usize::from(weather.month[i].clamp(1, 12)) - 1;
        r.monthly_peak[month] = r.monthly_peak[month].max(electric);
        self.today.seconds += seconds;
        self.today.fan_energy += decided.point.input_power * seconds;
        self.today.burner_energy += decided.firing.heat * seconds;
        self.today.ambient += weather.temperature[i] * seconds;
    }

    /// Once an hour: is it dry, is it cold, is it winter?
    fn each_hour(&mut self, lane: usize, blocks: &[Block], now: i64, outside: f64) {
        let spec = Arc::clone(&self.spec);
        let goal = &spec.programme;
        self.week.push(outside);
        let (whole, columns) = self.settling.split_last_mut().expect("one window more than columns");
        let mean: f64 = self.looks.iter().zip(&spec.bin.columns).map(|(l, c)| l.mean_moisture * c.area).sum();
        whole.push(mean);
        for (k, window) in columns.iter_mut().enumerate() {
            window.push(self.looks[k].mean_moisture);
            if self.finished_column[k].is_none()
                && now > self.last_load
                && window.mean().is_some_and(|m| m <= goal.target)
            {
                self.finished_column[k] = Some(now);
            }
        }
        let settled = whole.mean();
        self.probe_age += 1;
        if self.probe_age >= PROBE_TICKS {
            self.probe_age = 0;
            self.wettest_probe = self.extremes(lane, blocks).0;
        }

        if self.phase == Phase::Filling && self.next_load == spec.loads.len() {
            self.phase = Phase::Drying;
        }
        let filled = self.next_load == spec.loads.len();
        if filled && self.result.finished_at.is_none() && settled.is_some_and(|m| m <= goal.target) {
            self.result.finished_at = Some(now);
        }
        let temperature: f64 = self.looks.iter().zip(&spec.bin.columns).map(|(l, c)| l.temperature.0 * c.area).sum();
        match self.phase {
            Phase::Drying => {
                // The mean may have risen again since it was first reached: what counts is now.
                if self.result.finished_at.is_some() && settled.is_some_and(|m| m <= goal.target) {
                    let (wettest, driest) = self.extremes(lane, blocks);
                    if wettest <= goal.target + goal.wettest_excess {
                        self.stop(now, wettest, driest);
                    }
                }
                if self.phase == Phase::Drying {
                    self.mind_winter(now);
                }
            }
            Phase::Cooling | Phase::Holding => {
                self.mind_cooling(now, temperature);
                if self.suspended {
                    self.mind_spring(now);
                }
            }
            Phase::Filling => {}
        }
    }

    fn stop(&mut self, now: i64, wettest: f64, driest: f64) {
        self.phase = Phase::Cooling;
        self.result.stopped_at = Some(now);
        self.result.moisture_at_stop = self.mean_moisture();
        self.result.wettest_at_stop = wettest;
        self.result.driest_at_stop = driest;
        self.memory = Memory::default();
    }

    /// From cooling to holding when the grain is as cold as wanted (later also when the air of a week is warmer than any of
    /// it); back to cooling when it has warmed or heats somewhere and the air of a week could help.
    fn mind_cooling(&mut self, now: i64, grain: f64) {
        let goal = &self.spec.programme;
        let week = self.week.mean();
        let warmest = self.looks.iter().map(|l| l.temperature.2).fold(f64::NEG_INFINITY, f64::max);
        if self.phase == Phase::Cooling {
            let cold = grain <= goal.cool_to && warmest <= goal.cool_to + HOT_SPOT;
            if cold && self.result.stopped_at.is_some() {
                self.result.cooled_at.get_or_insert(now);
            }
            if cold || (self.result.cooled_at.is_some() && week.is_some_and(|air| air > warmest)) {
                self.phase = Phase::Holding;
            }
        } else {
            let warm = grain > goal.cool_to + REWARMED || warmest > grain + HOT_SPOT;
            if warm && week.is_some_and(|air| air < warmest - WORTH_COOLING) {
                self.phase = Phase::Cooling;
            }
        }
    }

    fn mind_winter(&mut self, now: i64) {
        if let CarryOver::CoolAndHold { stop_below, .. } = self.spec.programme.carry_over
            && self.week.mean().is_some_and(|t| t < stop_below)
        {
            self.suspended = true;
            self.result.suspended_at.get_or_insert(now);
            self.phase = Phase::Cooling;
        }
    }

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

    /// Wettest and driest tenth: the worst of the columns.
    fn extremes(&self, lane: usize, blocks: &[Block]) -> (f64, f64) {
        let mut worst = (f64::NEG_INFINITY, f64::INFINITY);
        for block in blocks {
            let layers: Vec<_> = block.layers(lane).collect();
            if let Some((wet, dry)) = profile::extremes(&layers, self.spec.grain.dry_density) {
                worst = (worst.0.max(wet), worst.1.min(dry));
            }
        }
        worst
    }

    /// Storage life used by the worst tenth of a column, published and strict.
    fn lives(&self, lane: usize, block: &Block) -> (f64, f64) {
        let layers: Vec<_> = block.layers(lane).collect();
        profile::life_of_worst(&layers, self.spec.grain.dry_density).unwrap_or((0.0, 0.0))
    }

    fn each_day(&mut self, lane: usize, blocks: &[Block], now: i64) {
        let worse = |a: (f64, f64), b: (f64, f64)| (a.0.max(b.0), a.1.max(b.1));
        let lives = blocks.iter().map(|b| self.lives(lane, b)).fold((0.0, 0.0), worse);
        if lives.1 > self.spec.programme.life_allowed && self.result.spent_at.is_none() {
            self.result.spent_at = Some(now);
        }
        if self.record >= Record::Daily && self.today.seconds > 0.0 {
            let (wettest, driest) = self.extremes(lane, blocks);
            let shares = &self.spec.bin.columns;
            let temperature = self.looks.iter().zip(shares).map(|(l, c)| l.temperature.0 * c.area).sum();
            self.result.daily.push(Daily {
                hour: now,
                mean_moisture: self.mean_moisture(),
                wettest,
                driest,
                mean_temperature: temperature,
                coldest: self.looks.iter().map(|l| l.temperature.1).fold(f64::INFINITY, f64::min),
                warmest: self.looks.iter().map(|l| l.temperature.2).fold(f64::NEG_INFINITY, f64::max),
                life_published: lives.0,
                life_strict: lives.1,
                fan_hours: self.today.fan_hours,
                fan_energy: self.today.fan_energy,
                burner_energy: self.today.burner_energy,
                ambient_temperature: self.today.ambient / self.today.seconds,
                phase: self.phase,
            });
        }
        if self.record >= Record::Profiles {
            for (profiles, block) in self.profiles.iter_mut().zip(blocks) {
                let all: Vec<_> = (0..block.slots()).map(|k| block.layer(lane, k)).collect();
                let show = |f: fn(&bed::LayerState) -> f64| -> Vec<f64> {
                    all.iter().map(|l| if l.dry_matter > 0.0 { f(l) } else { f64::NAN }).collect()
                };
                profiles.push(Profile {
                    hour: now,
                    depth: all.iter().map(|l| l.dry_matter).sum::<f64>() / self.spec.grain.dry_density,
                    moisture: show(|l| l.moisture),
                    temperature: show(|l| l.temperature),
                    life: show(|l| l.life_strict),
                });
            }
        }
        self.today = Today::default();
    }

    /// The result, at the end.
    pub fn finish(mut self, lane: usize, blocks: &[Block]) -> SeasonResult {
        let now = self.hour();
        self.each_day(lane, blocks, now);
        let (wettest, driest) = self.extremes(lane, blocks);
        let spec = Arc::clone(&self.spec);
        let area = spec.bin.floor_area;
        let profiles = std::mem::take(&mut self.profiles);
        let mean_moisture = self.mean_moisture();
        let r = &mut self.result;
        r.ended_at = now;
        r.mean_moisture = mean_moisture;
        if r.stopped_at.is_none() {
            (r.moisture_at_stop, r.wettest_at_stop, r.driest_at_stop) = (mean_moisture, wettest, driest);
        }
        r.dry_matter = self.filled * area;
        let (mut lost, mut worst) = (0.0, (0.0f64, 0.0f64));
        for (k, (block, share)) in blocks.iter().zip(&spec.bin.columns).enumerate() {
            let layers: Vec<_> = block.layers(lane).collect();
            let (wet, dry) = profile::extremes(&layers, spec.grain.dry_density).unwrap_or((0.0, 0.0));
            let residual = block.residual(lane);
            let extremes = block.extremes(lane);
            let (published, strict) = profile::life_of_worst(&layers, spec.grain.dry_density).unwrap_or((0.0, 0.0));
            worst = (worst.0.max(published), worst.1.max(strict));
            let dry_matter: f64 = layers.iter().map(|l| l.dry_matter).sum();
            lost += share.area
                * layers.iter().map(|l| l.dry_matter * physics::storability::corn_loss(l.equivalent_time)).sum::<f64>()
                / dry_matter.max(1e-9);
            r.water_removed += block.balance(lane).water_to_air * share.area * area;
            r.residual = (r.residual.0.max(residual.water), r.residual.1.max(residual.energy));
            r.temperature_range =
                (r.temperature_range.0.min(extremes.temperature.0), r.temperature_range.1.max(extremes.temperature.1));
            r.moisture_range =
                (r.moisture_range.0.min(extremes.moisture.0), r.moisture_range.1.max(extremes.moisture.1));
            r.columns.push(ColumnResult {
                area: share.area,
                air: share.air,
                finished_at: self.finished_column[k],
                mean_moisture: self.looks[k].mean_moisture,
                wettest: wet,
                driest: dry,
                life_published: published,
                life_strict: strict,
                water_residual: residual.water,
                energy_residual: residual.energy,
                profiles: profiles.get(k).cloned().unwrap_or_default(),
            });
        }
        r.life_published = (!spec.grain.group.published.is_empty()).then_some(worst.0);
        r.life_strict = (!spec.grain.group.strict.is_empty()).then_some(worst.1);
        r.dry_matter_loss = match spec.grain.group.respiration {
            Respiration::Corn { .. } => Some(lost),
            Respiration::None => None,
        };
        remark(r, &spec);
        self.result
    }
}

/// Remarks that follow from what was met.
fn remark(r: &mut SeasonResult, spec: &CaseSpec) {
    let hours = |h: f64| Quantity::new(h * HOUR, Kind::Hours);
    let mut say = |code: &str, phrase: Phrase| r.remarks.add(Remark::new(code, phrase));
    if r.ended_at > r.stopped_at.unwrap_or(i64::MAX) || r.suspended_at.is_some() {
        say(
            "still-air",
            Phrase::new(
                "with the fan off heat leaves by conduction along the column and through one wall node; no sun on the wall, no \
                 natural convection: no figures for a warm spring follow from this",
            ),
        );
    }
    if r.air.unstable > 0.0 {
        say("stall", Phrase::new("a fan worked left of its peak for {hours}").with("hours", hours(r.air.unstable)));
    }
    if r.air.beyond > 0.0 {
        say(
            "beyond-curve",
            Phrase::new("the fans could not hold the pressure for {hours}: no airflow was counted")
                .with("hours", hours(r.air.beyond)),
        );
    }
    if r.air.overload > 0.0 {
        say(
            "overload",
            Phrase::new("a motor ran above its rating times service factor for {hours}")
                .with("hours", hours(r.air.overload)),
        );
    }
    if r.air.outside_resistance > 0.0 {
        say(
            "resistance-range",
            Phrase::new("the air velocity in the grain lay outside the evidence of the resistance law for {hours}")
                .with("hours", hours(r.air.outside_resistance)),
        );
    }
    if r.burner_short_hours > 0.0 {
        say(
            "burner-short",
            Phrase::new("the burner could not give what was asked for {hours}")
                .with("hours", hours(r.burner_short_hours)),
        );
    }
    for law in &spec.grain.group.strict {
        let range = law.range();
        let wet = |m: f64| m / (1.0 + m);
        let (low, high) = (wet(r.moisture_range.0), wet(r.moisture_range.1));
        if high > range.moisture_wb.high || low < range.moisture_wb.low {
            r.remarks.add(
                Remark::new(
                    "storage-range",
                    Phrase::new("moisture met, {low} to {high}, goes beyond the range of a storage relation")
                        .with("low", Quantity::new(low, Kind::MoistureWetBasis))
                        .with("high", Quantity::new(high, Kind::MoistureWetBasis)),
                )
                .from_source(law.source()),
            );
        }
    }
    if r.residual.0 > 1e-9 || r.residual.1 > 1e-9 {
        r.remarks.add(Remark::new("balance", Phrase::new("a balance of water or energy did not close to 1e-9")));
    }
}

fn blank(first: i64, last: i64) -> SeasonResult {
    SeasonResult {
        started_at: first,
        filled_at: last,
        finished_at: None,
        stopped_at: None,
        cooled_at: None,
        suspended_at: None,
        spent_at: None,
        ended_at: first,
        mean_moisture: 0.0,
        moisture_at_stop: 0.0,
        wettest_at_stop: 0.0,
        driest_at_stop: 0.0,
        life_published: None,
        life_strict: None,
        dry_matter_loss: None,
        dry_matter: 0.0,
        water_removed: 0.0,
        air: AirHours::default(),
        drying_fan_hours: 0.0,
        fan_energy: 0.0,
        energy_by_slot: [0.0; TARIFF_SLOTS],
        monthly_peak: [0.0; 12],
        burner_energy: 0.0,
        heater_electricity: 0.0,
        fuel: 0.0,
        burner_short_hours: 0.0,
        residual: (0.0, 0.0),
        temperature_range: (f64::INFINITY, f64::NEG_INFINITY),
        moisture_range: (f64::INFINITY, f64::NEG_INFINITY),
        columns: Vec::new(),
        daily: Vec::new(),
        hourly: Vec::new(),
        remarks: Remarks::default(),
    }
}
