//! The air is off: how long the grain keeps, which bin comes first, what half the air buys, what the stop has cost.
//!
//! The season of the year is run to the stop; from there the same grain goes on under several supplies of air side by side,
//! in the weather as it was. Sun on the wall and convection in the still grain are left out, so a hot spot between two
//! sensors comes sooner than what is said here.
//!
//! # Caution
//! A generator back-fed into a dead line kills linemen: transfer switch, sizing and starting belong to a licensed
//! electrician. After power returns fans and augers may start by themselves: nobody enters the bin.

use crate::proof::on_rung;
use bed::{Air, Block, Direction, GroupParams, LayerState, Parcel, Respiration};
use equipment::{Heat, MapQuery};
use job::{BinJob, clock};
use numerics::WIDTH;
use season::{CaseSpec, Record, SeasonRun};
use std::sync::Arc;

/// Layers of the season before the stop.
const LAYERS: usize = 48;
/// Longest look ahead, hours.
pub const HORIZON: usize = 60 * 24;
/// Rise of a layer by its own heat since the stop that counts as self-heating, K: 10 °F, as a rise of 10 °F in a week in one
/// place is taken for spoilage (page of a testing laboratory, seen, low authority).
pub const HEATING: f64 = 10.0 / 1.8;

/// Where grain warms without any air moved: heat that comes in from the weather and from warmer layers warms it too, so the
/// same grain is carried on beside it without its own heat, and only what it is warmer by is self-heating.
struct Cold(Vec<Block>);

impl Cold {
    fn of(case: &CaseSpec, columns: &[Vec<LayerState>]) -> Self {
        let group = GroupParams { respiration: Respiration::None, ..case.grain.group.clone() };
        Self(columns.iter().map(|layers| block_of(case, &group, layers)).collect())
    }

    /// Whether some layer is warmer than its twin by [`HEATING`].
    fn is_left_behind(&self, blocks: &[Block]) -> bool {
        let warmer = |(own, cold): (&Block, &Block)| {
            own.layers(0).zip(cold.layers(0)).any(|(l, c)| l.temperature > c.temperature + HEATING)
        };
        blocks.iter().zip(&self.0).any(warmer)
    }
}

/// A supply of air after the stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Supply {
    /// None.
    None,
    /// Half of the fans, all the time, the burner off; at least one. Only where there are two or more. The openings of idle
    /// fans are covered: through an open one beside a running one the air flows back.
    HalfOfFans,
    /// All fans, six hours on and six off, the burner off: a generator that serves two bins in turn.
    HalfOfTime,
    /// The season as it would have gone on: all fans, burner and control.
    All,
}

/// What comes of a supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Which.
    pub supply: Supply,
    /// Hours until some layer has warmed by [`HEATING`]; `None` within the look ahead.
    pub heating: Option<f64>,
    /// Hours until the layer furthest gone has used the storage life allowed (strict reading); 0 when it has already.
    pub spent: Option<f64>,
    /// Storage life used by that layer at the stop.
    pub life_before: f64,
    /// The same when air returns, or 72 hours after the stop when that is not said.
    pub life_after: f64,
    /// Height above the floor of the layer furthest gone then, share of the grain below it.
    pub deciding: f64,
    /// Mean moisture then, fraction dry basis.
    pub moisture_after: f64,
    /// Warmest layer then, °C.
    pub warmest_after: f64,
    /// Hours looked ahead.
    pub looked: usize,
}

impl Course {
    /// Hours until the first of the two, the earlier the more urgent.
    pub fn hours_left(&self) -> Option<f64> {
        match (self.heating, self.spent) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (one, None) | (None, one) => one,
        }
    }
}

/// A bin without air.
#[derive(Debug, Clone)]
pub struct Outage {
    /// Calendar year of its season.
    pub year: i32,
    /// Hour of the stop, hours since 1970-01-01T00:00Z.
    pub at: i64,
    /// Hours until air returns, when said; else the hours of `life_after`.
    pub stretch: usize,
    /// Grain in the bin at the stop, kg of dry matter.
    pub dry_matter: f64,
    /// Its mean moisture, dry basis.
    pub moisture: f64,
    /// Its warmest layer, °C.
    pub warmest: f64,
    /// Mean outdoor temperature from the stop until air returns, °C.
    pub outdoor: f64,
    /// Storage life allowed.
    pub allowed: f64,
    /// Whether a published law gives the heat of this grain: without one self-heating is not foretold at all.
    pub heats: bool,
    /// The supplies side by side, none first.
    pub courses: Vec<Course>,
}

impl Outage {
    /// The course of a supply.
    pub fn course(&self, supply: Supply) -> Option<&Course> {
        self.courses.iter().find(|c| c.supply == supply)
    }

    /// Storage life that the stop itself costs the layer that decides: without air less with all of it, over the stretch; 0
    /// when the layer is no worse off without.
    pub fn cost(&self) -> Option<f64> {
        self.difference().map(|difference| difference.max(0.0))
    }

    /// Storage life that the layer that decides was spared by the stop, where warmer or wetter weather would have cost it more
    /// under air: luck of the weather, no reason to stop.
    pub fn spared(&self) -> Option<f64> {
        self.difference().map(|difference| -difference).filter(|spared| *spared > 0.0)
    }

    fn difference(&self) -> Option<f64> {
        Some(self.course(Supply::None)?.life_after - self.course(Supply::All)?.life_after)
    }
}

/// Why a stop cannot be looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoOutage {
    /// No season with complete weather holds that hour; (first, last) hour of the nearest season in the record.
    OutsideSeasons(Option<(i64, i64)>),
    /// The bin is empty then.
    Empty,
    /// No published storage relation judges the crop.
    NotJudged,
}

/// Looks at a stop at an hour (since 1970-01-01T00:00Z), with air back after `stretch` hours when that is known.
///
/// # Errors
/// [`NoOutage`].
pub fn outage(bin: &BinJob, at: i64, stretch: Option<usize>) -> Result<Outage, NoOutage> {
    let spans = bin.years.iter().filter_map(|(year, case)| {
        let first = case.loads.first()?.hour;
        Some((*year, case, first, case.programme.hold_until))
    });
    let mut nearest = None;
    let mut found = None;
    for (year, case, first, last) in spans {
        if (first..last).contains(&at) {
            found = Some((year, case));
        }
        let far = |(low, high): (i64, i64)| (low - at).abs().min((high - at).abs());
        if nearest.is_none_or(|known| far((first, last)) < far(known)) {
            nearest = Some((first, last));
        }
    }
    let (year, case) = found.ok_or(NoOutage::OutsideSeasons(nearest))?;
    if bin.judges.is_empty() {
        return Err(NoOutage::NotJudged);
    }
    let case = Arc::new(on_rung(case, LAYERS));
    let mut run = SeasonRun::new(&case, Record::Summary);
    run.advance_to(at);
    let columns: Vec<Vec<LayerState>> = (0..case.bin.columns.len()).map(|c| run.observe(c)).collect();
    if columns.iter().any(Vec::is_empty) {
        return Err(NoOutage::Empty);
    }
    let shares: Vec<f64> = case.bin.columns.iter().map(|c| c.area).collect();
    let over = |of: &dyn Fn(&LayerState) -> f64| -> f64 {
        columns.iter().zip(&shares).map(|(layers, area)| area * layers.iter().map(of).sum::<f64>()).sum()
    };
    let dry = over(&|l| l.dry_matter);
    let moisture = over(&|l| l.dry_matter * l.moisture) / dry;
    let warmest = columns.iter().flatten().map(|l| l.temperature).fold(f64::NEG_INFINITY, f64::max);
    let after = stretch.unwrap_or(72);
    let mut supplies = vec![Supply::None];
    if case.system.outfit.fans().len() > 1 {
        supplies.push(Supply::HalfOfFans);
    }
    supplies.extend([Supply::HalfOfTime, Supply::All]);
    let allowed = case.programme.life_allowed;
    let course = |supply| match supply {
        Supply::All => as_planned(&case, &run, at, after),
        _ => course(&case, &columns, at, after, supply),
    };
    let courses = supplies.into_iter().map(course).collect();
    Ok(Outage {
        year,
        at,
        stretch: after,
        dry_matter: dry * case.bin.floor_area,
        moisture,
        warmest,
        outdoor: outdoor(&case, at, after),
        allowed,
        heats: case.grain.group.respiration != Respiration::None,
        courses,
    })
}

/// All bins that hold grain then, the most urgent first, and in words those that were left out.
pub fn of_bins<'j>(
    bins: &[&'j BinJob],
    at: i64,
    stretch: Option<usize>,
    offset_s: i32,
) -> (Vec<(&'j BinJob, Outage)>, Vec<String>) {
    let (mut found, mut left_out): (Vec<(&BinJob, Outage)>, Vec<String>) = (Vec::new(), Vec::new());
    for bin in bins {
        match outage(bin, at, stretch) {
            Ok(one) => found.push((bin, one)),
            Err(NoOutage::Empty) => left_out.push(format!("bin {} is empty then", bin.name)),
            Err(NoOutage::NotJudged) => left_out.push(format!("bin {}: no storage relation judges its crop", bin.name)),
            Err(NoOutage::OutsideSeasons(nearest)) => left_out.push(match nearest {
                Some((first, last)) => format!(
                    "bin {} has no season then; the nearest runs from {} to {}",
                    bin.name,
                    clock::date(first, offset_s),
                    clock::date(last, offset_s)
                ),
                None => format!("bin {} has no complete season in the weather", bin.name),
            }),
        }
    }
    let left = |o: &Outage| o.course(Supply::None).and_then(Course::hours_left).unwrap_or(f64::INFINITY);
    found.sort_by(|a, b| left(&a.1).total_cmp(&left(&b.1)));
    (found, left_out)
}

/// Carries the grain on under a supply, hour by hour.
fn course(case: &CaseSpec, columns: &[Vec<LayerState>], at: i64, after: usize, supply: Supply) -> Course {
    let lane = 0;
    let mut blocks: Vec<Block> = columns.iter().map(|layers| block_of(case, &case.grain.group, layers)).collect();
    // Under air, warm weather warms grain too, and air carries its own heat away; only still grain heats by itself.
    let mut cold = (supply == Supply::None).then(|| Cold::of(case, columns));
    let worst = |blocks: &[Block]| worst(blocks.iter().map(|b| b.layers(lane)));
    let life = |blocks: &[Block]| worst(blocks).0;
    let allowed = case.programme.life_allowed;
    let life_before = life(&blocks);
    let depth = columns
        .iter()
        .zip(&case.bin.columns)
        .map(|(layers, c)| c.area * layers.iter().map(|l| l.dry_matter).sum::<f64>())
        .sum::<f64>()
        / case.grain.dry_density;
    let weather = &case.weather;
    let begin = (at - weather.start).max(0) as usize;
    let ahead = weather.temperature.len().saturating_sub(begin).min(HORIZON.max(after));
    let fans = case.system.outfit.fans().len();
    let mut course = Course {
        supply,
        heating: None,
        spent: (life_before >= allowed).then_some(0.0),
        life_before,
        life_after: life_before,
        deciding: 0.0,
        moisture_after: f64::NAN,
        warmest_after: f64::NAN,
        looked: ahead,
    };
    for hour in 0..ahead {
        let running = match supply {
            Supply::None => 0,
            Supply::HalfOfFans => (fans / 2).max(1),
            Supply::HalfOfTime if (hour / 6) % 2 == 1 => 0,
            Supply::HalfOfTime | Supply::All => fans,
        };
        step(case, &mut blocks, begin + hour, running, depth);
        if let Some(cold) = &mut cold {
            step(case, &mut cold.0, begin + hour, running, depth);
        }
        if hour + 1 == after || (hour + 1 == ahead && ahead < after) {
            (course.life_after, course.deciding) = worst(&blocks);
            course.warmest_after = blocks.iter().map(|b| b.temperatures(lane).2).fold(f64::NEG_INFINITY, f64::max);
            course.moisture_after =
                blocks.iter().zip(&case.bin.columns).map(|(b, c)| c.area * b.mean_moisture(lane).0).sum();
        }
        if course.spent.is_none() && life(&blocks) >= allowed {
            course.spent = Some(hour as f64 + 1.0);
        }
        if course.heating.is_none() && cold.as_ref().is_some_and(|cold| cold.is_left_behind(&blocks)) {
            course.heating = Some(hour as f64 + 1.0);
        }
        let told = course.spent.is_some() && (course.heating.is_some() || supply != Supply::None);
        if hour + 1 >= after && told {
            break;
        }
    }
    course
}

/// Life used by the layer furthest gone, and the share of its column's grain that lies below its middle.
fn worst<L: Iterator<Item = LayerState> + Clone>(columns: impl Iterator<Item = L>) -> (f64, f64) {
    let mut found = (0.0, 0.0);
    for layers in columns {
        let whole: f64 = layers.clone().map(|l| l.dry_matter).sum();
        let mut below = 0.0;
        for layer in layers {
            if layer.life_strict > found.0 {
                found = (layer.life_strict, (below + 0.5 * layer.dry_matter) / whole);
            }
            below += layer.dry_matter;
        }
    }
    found
}

/// Mean outdoor temperature over a stretch, °C.
fn outdoor(case: &CaseSpec, at: i64, stretch: usize) -> f64 {
    let begin = (at - case.weather.start).max(0) as usize;
    let hours: Vec<f64> = case.weather.temperature.iter().skip(begin).take(stretch).copied().collect();
    hours.iter().sum::<f64>() / hours.len().max(1) as f64
}

/// The season goes on as it was planned.
fn as_planned(case: &CaseSpec, run: &SeasonRun, at: i64, after: usize) -> Course {
    let mut run = run.snapshot();
    let allowed = case.programme.life_allowed;
    let look =
        |run: &SeasonRun| -> Vec<Vec<LayerState>> { (0..case.bin.columns.len()).map(|c| run.observe(c)).collect() };
    let worst = |columns: &[Vec<LayerState>]| worst(columns.iter().map(|layers| layers.iter().copied()));
    let life = |columns: &[Vec<LayerState>]| worst(columns).0;
    let now = look(&run);
    let life_before = life(&now);
    let looked =
        (case.weather.temperature.len() as i64 - (at - case.weather.start)).clamp(0, HORIZON.max(after) as i64);
    let mut course = Course {
        supply: Supply::All,
        heating: None,
        spent: (life_before >= allowed).then_some(0.0),
        life_before,
        life_after: life_before,
        deciding: 0.0,
        moisture_after: f64::NAN,
        warmest_after: f64::NAN,
        looked: looked as usize,
    };
    let mut last = now;
    for hour in 1..=looked {
        run.advance_to(at + hour);
        let columns = look(&run);
        // A bin that was emptied meanwhile, or a season at its end: what was seen last stands.
        let empty = columns.iter().any(Vec::is_empty);
        if !empty {
            last = columns;
        }
        if hour as usize == after || (empty && (hour as usize) < after) {
            (course.life_after, course.deciding) = worst(&last);
            course.warmest_after = last.iter().flatten().map(|l| l.temperature).fold(f64::NEG_INFINITY, f64::max);
            let dry = |layers: &[LayerState]| layers.iter().map(|l| l.dry_matter).sum::<f64>();
            let mean =
                |layers: &[LayerState]| layers.iter().map(|l| l.dry_matter * l.moisture).sum::<f64>() / dry(layers);
            course.moisture_after = last.iter().zip(&case.bin.columns).map(|(l, c)| c.area * mean(l)).sum();
        }
        if course.spent.is_none() && life(&last) >= allowed {
            course.spent = Some(hour as f64);
        }
        if empty || (hour as usize >= after && course.spent.is_some()) {
            break;
        }
    }
    course
}

/// The layers of a column in a block of its own, in its first lane.
fn block_of(case: &CaseSpec, group: &GroupParams, layers: &[LayerState]) -> Block {
    let mut block = Block::new(group.clone(), &case.grain.column);
    block.empty(0, &case.grain.column);
    for layer in layers {
        let parcel = Parcel {
            dry_matter: layer.dry_matter,
            shell: layer.shell,
            core: layer.core,
            enthalpy: block.enthalpy_of(0, layer.moisture, layer.temperature),
            life_published: layer.life_published,
            life_strict: layer.life_strict,
            equivalent_time: layer.equivalent_time,
        };
        // Each layer begins a slot of its own: the slots are as many as they were.
        let added = block.add(0, &parcel, layer.dry_matter);
        debug_assert!(added.is_ok());
    }
    block
}

/// One hour under so many fans.
fn step(case: &CaseSpec, blocks: &mut [Block], i: usize, fans: usize, depth: f64) {
    let weather = &case.weather;
    let (t, w, p) = (weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]);
    let suction = case.grain.group.direction == Direction::Down;
    let point = (fans > 0).then(|| {
        let query = match suction {
            true => MapQuery::suction(t, w, p, (t, w), depth, fans),
            false => MapQuery::new(t, w, p, 0.0, &Heat::NONE, depth, fans),
        };
        case.air.at(&query)
    });
    let (flow, heat) = point.map_or((0.0, 0.0), |p| (p.dry_air_flow, p.fan_heat));
    for (block, column) in blocks.iter_mut().zip(&case.bin.columns) {
        let mut air = Air {
            temperature: [t + heat; WIDTH],
            humidity_ratio: [w; WIDTH],
            pressure: [p; WIDTH],
            outside: [t; WIDTH],
            ..Air::default()
        };
        air.flux[0] = flow / case.bin.floor_area * column.air;
        air.seconds[0] = 3600.0;
        block.advance(&air);
    }
}
