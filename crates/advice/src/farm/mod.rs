//! The whole farm: all bins of a site together, in one year. Loads are sent day by day to the bin that may take them; fans and
//! burners share one service and one supply of gas; what no bin may take waits in the field and is sold wet in the end.
//!
//! The bins advance hour by hour together, because the decisions of a day see how far each has come. A farm of one bin whose
//! loads all fit is that bin alone, bit for bit.
//!
//! Leaves out: the field that dries on while grain waits (it keeps its moisture), hauling between bins, fans that wait for
//! each other at a service that is too small (hours above it are counted).

mod assign;
mod cost;
mod service;
mod tank;

pub use cost::FarmCost;
pub use service::{Service, ServiceHour};
pub use tank::{Delivery, Level, TankYear};

use crate::proof::on_rung;
use crate::verdict::{Reading, Verdict, judge};
use assign::{Clock, Crop, Live, choose};
use ensemble::{Observer, side_by_side};
use job::{BinJob, FarmBin, FarmYear, Job};
use notice::{Phrase, Remark, Remarks};
use season::{CaseSpec, Record, SeasonResult, SeasonRun};
use service::Meter;
use std::sync::Arc;
use tank::Tanks;

/// Layers of the bins: the rung of a single season.
pub const LAYERS: usize = 48;

/// What a day of the harvest brought.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmDay {
    /// Hour at which the day begins, by standard time.
    pub hour: i64,
    /// Sent to each bin, kg as harvested.
    pub taken: Vec<f64>,
    /// Storage life used in each bin when the day's loads came, strict reading; `None` while it is empty.
    pub life: Vec<Option<f64>>,
    /// In the field at the end of the day though it was due, kg.
    pub waiting: f64,
    /// Sold wet on the day, kg.
    pub sold: f64,
}

/// A bin after the year.
#[derive(Debug, Clone)]
pub struct FarmBinYear {
    /// Its case, with the loads that came.
    pub case: Arc<CaseSpec>,
    /// The season; `None` for a bin that got nothing.
    pub result: Option<SeasonResult>,
    /// What became of it; `None` likewise.
    pub verdict: Option<Verdict>,
    /// Whether it took loads of the farm; else it had its own.
    pub takes: bool,
    /// Dry matter that was sent to it, kg.
    pub taken: f64,
    /// The same as harvested, kg.
    pub taken_wet: f64,
    /// Dry matter that its plan has room for, kg.
    pub room: f64,
}

/// A farm after a year.
#[derive(Debug, Clone)]
pub struct FarmSeason {
    /// Calendar year of the first load.
    pub year: i32,
    /// Bins in the order of the file.
    pub bins: Vec<FarmBinYear>,
    /// Days of the harvest.
    pub days: Vec<FarmDay>,
    /// Dry matter of the harvest that the farm had to place, kg.
    pub harvest: f64,
    /// The same as harvested, kg.
    pub harvest_wet: f64,
    /// Sold wet: dry matter, kg, and as harvested, kg.
    pub sold: (f64, f64),
    /// Most that waited at the end of a day, kg as harvested.
    pub most_waiting: f64,
    /// The service.
    pub service: Service,
    /// The tanks, where gas is drawn from any.
    pub tank: Option<TankYear>,
    /// What it costs, where prices are known.
    pub cost: Option<FarmCost>,
}

impl FarmSeason {
    /// Whether every bin that got grain ended well and nothing had to be sold wet.
    pub fn good(&self) -> bool {
        self.sold.0 == 0.0 && self.bins.iter().filter_map(|bin| bin.verdict).all(Verdict::good)
    }

    /// Bins met or held, and failed.
    pub fn counts(&self) -> (usize, usize) {
        let of = |good: bool| self.bins.iter().filter_map(|bin| bin.verdict).filter(|v| v.good() == good).count();
        (of(true), of(false))
    }
}

/// Runs years of the farm on so many threads, in the order asked for; a year is `None` where the observer cut it short.
pub fn years(
    job: &Job,
    years: &[(i32, FarmYear)],
    (layers, record): (usize, Record),
    threads: usize,
    observer: &Arc<dyn Observer>,
) -> Vec<Option<FarmSeason>> {
    side_by_side(threads, years.len(), observer, |i| {
        let (year, farm) = &years[i];
        season(job, *year, farm, (layers, record), &|| observer.cancelled())
    })
}

/// Runs one year of the farm; `None` when it was cut short.
pub fn season(
    job: &Job,
    year: i32,
    farm: &FarmYear,
    (layers, record): (usize, Record),
    cancelled: &dyn Fn() -> bool,
) -> Option<FarmSeason> {
    let plans: Vec<FarmBin> =
        farm.bins.iter().map(|bin| FarmBin { case: Arc::new(on_rung(&bin.case, layers)), ..bin.clone() }).collect();
    let clock = Clock::new(job.place.utc_offset);
    let mut bins: Vec<Live<'_>> = plans.iter().zip(&job.bins).map(|(bin, of)| live(bin, of, record)).collect();
    let mut crops: Vec<Crop<'_>> = Vec::new();
    for load in &farm.loads {
        if !crops.iter().any(|crop| crop.id == load.crop) {
            crops.push(Crop::of(&load.crop, &farm.loads, &clock));
        }
    }
    let own = bins.iter().filter(|bin| bin.run.is_some()).flat_map(|bin| bin.bin.case.loads.first());
    let start = own.map(|load| load.hour).chain(farm.loads.first().map(|load| load.load.hour)).min()?;
    let end = plans.iter().map(|bin| bin.case.programme.hold_until).max()?;
    let by = plans.iter().filter(|bin| bin.takes).map(|bin| bin.case.programme.by).min().unwrap_or(end);
    let mut meter = Meter::new(start, (end - start).max(0) as usize, bins.len());
    let mut tanks = tanks(job, &plans);
    let (mut days, mut sold, mut most_waiting) = (Vec::new(), (0.0, 0.0), 0.0f64);
    let mut decided = i64::MIN;
    for hour in start..end {
        let day = clock.day(hour);
        if day != decided && crops.iter().filter_map(|crop| crop.first_hour(day, &clock)).any(|first| first <= hour) {
            decided = day;
            let today = one_day(job, &mut bins, &mut crops, (day, hour >= by, record), (&clock, &mut sold));
            most_waiting = most_waiting.max(today.waiting);
            days.push(today);
            if cancelled() {
                return None;
            }
        }
        let cut = tanks.as_mut().is_some_and(|tanks| tanks.begin(hour));
        for (i, bin) in bins.iter_mut().enumerate() {
            let Some(run) = &mut bin.run else { continue };
            run.cut_fuel(cut && burns(&bin.bin.case));
            run.advance_telling(hour + 1, |draw| meter.count(i, &draw));
        }
        if let Some(tanks) = &mut tanks {
            tanks.end(hour, meter.fuel(hour), (cut, clock.day(hour + 1) != day));
        }
    }
    let month_of = |i: usize| {
        let weather = &plans.iter().max_by_key(|bin| bin.case.weather.month.len()).unwrap_or(&plans[0]).case.weather;
        let at = start + i as i64 - weather.start;
        let last = weather.month.len().saturating_sub(1);
        usize::from(weather.month.get((at.max(0) as usize).min(last)).copied().unwrap_or(1))
    };
    let service = meter.service(job.power.as_ref(), month_of);
    let bins: Vec<FarmBinYear> = bins.into_iter().map(finished).collect();
    let dry = |w: &job::FarmLoad| w.load.dry_matter;
    let mut found = FarmSeason {
        year,
        days,
        harvest: farm.loads.iter().map(dry).sum(),
        harvest_wet: farm.loads.iter().map(job::FarmLoad::wet_mass).sum(),
        sold,
        most_waiting,
        service,
        tank: tanks.map(Tanks::finish),
        cost: None,
        bins,
    };
    found.cost = cost::of(job, &found);
    Some(found)
}

/// A bin before the year: those with their own lots run from the begin.
fn live<'a>(bin: &'a FarmBin, of: &'a BinJob, record: Record) -> Live<'a> {
    let room = bin.room();
    let run = (!bin.takes).then(|| SeasonRun::new(&bin.case, record));
    Live { bin, crop: &of.crop_id, run, room, taken: 0.0, taken_wet: 0.0, closed: !bin.takes, sent: Vec::new() }
}

/// Whether a bin has a flame.
fn burns(case: &CaseSpec) -> bool {
    case.burner.as_ref().is_some_and(|burner| burner.fuel.combustion().is_some())
}

/// The tanks of the site, where its burners draw from any.
fn tanks(job: &Job, plans: &[FarmBin]) -> Option<Tanks> {
    let facts = job.fuel.as_ref().and_then(|fuel| fuel.supply.tanks().map(|tanks| (fuel, *tanks)));
    let (fuel, tanks) = facts?;
    let gas = fuel.fuel.combustion()?;
    let full = |case: &CaseSpec| {
        let burner = case.burner.as_ref().filter(|_| burns(case))?;
        Some(gas.direct_use(burner.capacity / burner.indirect_efficiency.unwrap_or(1.0)))
    };
    let full: f64 = plans.iter().filter_map(|bin| full(&bin.case)).sum();
    (full > 0.0).then(|| Tanks::new(tanks, gas.liquid_density.unwrap_or(1.0), full))
}

/// Sends the loads of a day; what is left waits or is sold.
fn one_day(
    job: &Job,
    bins: &mut [Live<'_>],
    crops: &mut [Crop<'_>],
    (day, over, record): (i64, bool, Record),
    (clock, sold): (&Clock, &mut (f64, f64)),
) -> FarmDay {
    let farm = &job.farm;
    let life = bins.iter().map(|bin| bin.run.as_ref().and_then(SeasonRun::state).map(|state| state.life)).collect();
    let mut today = FarmDay { hour: clock.midnight(day), taken: vec![0.0; bins.len()], life, waiting: 0.0, sold: 0.0 };
    for crop in crops.iter_mut() {
        crop.begin_day(day, clock);
        while let Some(next) = crop.next().filter(|_| !over) {
            let wanted = next.load.dry_matter;
            let Some((i, room)) = choose(bins, crop.id, farm.order, farm.most_life_used) else { break };
            // What rounding leaves of the room is no reason to part a load.
            let part = if room >= wanted * (1.0 - 1e-9) { wanted } else { room };
            let Some(load) = crop.placed(part) else { break };
            let bin = &mut bins[i];
            let run = bin.run.get_or_insert_with(|| SeasonRun::awaiting(&bin.bin.case, record, load.hour));
            run.take(load);
            bin.taken += load.dry_matter;
            let wet = load.dry_matter * (1.0 + load.moisture);
            bin.taken_wet += wet;
            bin.sent.push(load);
            today.taken[i] += wet;
        }
        for gone in crop.give_up(day, farm.wait, over) {
            *sold = (sold.0 + gone.load.dry_matter, sold.1 + gone.wet());
            today.sold += gone.wet();
        }
        today.waiting += crop.waiting.iter().map(assign::Waiting::wet).sum::<f64>();
    }
    for bin in bins.iter_mut().filter(|bin| !bin.closed) {
        let full = bin.room - bin.taken <= 1e-9 * bin.room;
        if full || crops.iter().all(|crop| crop.id != bin.crop || crop.done()) {
            bin.closed = true;
            bin.run.iter_mut().for_each(SeasonRun::close);
        }
    }
    today
}

fn finished(bin: Live<'_>) -> FarmBinYear {
    let mut case = Arc::clone(&bin.bin.case);
    if bin.bin.takes {
        Arc::make_mut(&mut case).loads = Arc::new(bin.sent);
    }
    let result = bin.run.map(SeasonRun::finish);
    let verdict = result.as_ref().map(|result| judge(&case.programme, result, Reading::Strict));
    FarmBinYear {
        verdict,
        takes: bin.bin.takes,
        taken: bin.taken,
        taken_wet: bin.taken_wet,
        room: bin.room,
        result,
        case,
    }
}

/// What is to be said of the way a farm is looked at, whatever the year.
pub fn remarks(job: &Job) -> Remarks {
    let mut remarks = Remarks::default();
    let mut add = |code, says| remarks.add(Remark::new(code, Phrase::new(says)));
    add(
        "farm-field",
        "grain that waits in the field keeps its moisture here; it would dry on in fair weather and lose ears in foul",
    );
    add(
        "farm-peak",
        "peaks are the sum of the highest power of each bin within an hour; a service sees less where they do not meet",
    );
    if job.power.is_some() {
        add(
            "farm-current",
            "currents are those of the power at the usual power factor of motors near full load (0.85 on three phases, 0.92 on \
             one); starting is not in them, and a licensed electrician and the local code decide on the service",
        );
    }
    if job.fuel.as_ref().is_some_and(|fuel| fuel.supply.tanks().is_some()) {
        add(
            "farm-tank",
            "tanks begin the year full; they are ordered when they come to the share at which they are refilled and filled when \
             the delivery comes; the last twentieth of a tank is not drawn",
        );
    }
    remarks
}
