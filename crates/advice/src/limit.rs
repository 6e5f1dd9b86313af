//! How wet, how deep, how late: the chance of a good year over depth and moisture, or depth and day of harvest, for the outfit that
//! stands in the site file.
//!
//! Date and moisture of a harvest move together by the dry-down of the field, where one is recorded for the crop: who waits for drier
//! grain comes later into colder air. Leaves out losses in the field while it waits.

use crate::proof::{Accuracy, on_rung};
use crate::verdict::{Reading, judge};
use crate::weigh::exclude::working_point_of;
use ensemble::{Batch, Engine, Observer, Priority};
use job::facts::{Amount, FieldEnd, Harvest, LotFacts, MonthDay, SiteFacts};
use job::{Base, BinJob, Library, clock};
use numerics::quantile::quantile;
use season::{CaseSpec, Record};
use std::sync::Arc;

/// What the limit is asked of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// How wet.
    Moisture,
    /// How deep.
    Depth,
    /// How late.
    Date,
}

/// Depths of the map, shares of the wall.
const DEPTHS: [f64; 5] = [0.3, 0.45, 0.6, 0.8, 0.98];
/// Moistures of the map above the goal, fraction w.b.
const ABOVE: [f64; 6] = [0.02, 0.035, 0.05, 0.065, 0.08, 0.10];
/// Days of the map from the day that stands in the file.
const DAYS: [i64; 6] = [-20, -10, 0, 10, 20, 30];
/// Longest wait for a moisture beyond the day that stands in the file, days.
const LONGEST_WAIT: i64 = 40;
/// How far above the driest moisture of its rule a lot must lie to say when its field stood where, fraction w.b. (judgement):
/// fields rest at that moisture, and from there every earlier day looks alike.
const ABOVE_THE_END: f64 = 0.01;
/// Earliest day on which a field is taken to have the moisture at which its rule begins, days before the day in the file.
const EARLIEST: i64 = 80;

/// One row of the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Mean moisture over the years, w.b.
    pub moisture: f64,
    /// Middle day of the first load over the years.
    pub from: MonthDay,
}

/// One cell: a depth at a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Years met or held.
    pub good: usize,
    /// Years judged.
    pub of: usize,
    /// Airflow over the grain's volume, the bin so full, 1/s.
    pub specific_airflow: f64,
}

impl Cell {
    /// Share of good years.
    pub fn chance(&self) -> f64 {
        self.good as f64 / self.of.max(1) as f64
    }
}

/// The map.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// Bin.
    pub bin: String,
    /// What was asked.
    pub asked: Asked,
    /// Whether date and moisture move together.
    pub together: bool,
    /// Why they do not, where they should.
    pub apart_because: Option<String>,
    /// Wanted chance.
    pub wanted: f64,
    /// Depths, m, rising.
    pub depths: Vec<f64>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Cells by row, then depth; `None` where the lot does not fit or the map was cut short.
    pub cells: Vec<Vec<Option<Cell>>>,
    /// Layers of the grid.
    pub layers: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

impl Map {
    /// For each depth the wettest row from the first on that reaches the wanted chance, between rows linear in the chance.
    pub fn wettest(&self) -> Vec<Option<f64>> {
        (0..self.depths.len())
            .map(|d| {
                let row = |r: usize| self.cells[r][d].map(|cell| (self.rows[r].moisture, cell.chance()));
                last_good((0..self.rows.len()).map_while(row).collect(), self.wanted)
            })
            .collect()
    }

    /// For each row the deepest filling that reaches the wanted chance.
    pub fn deepest(&self) -> Vec<Option<f64>> {
        self.cells
            .iter()
            .map(|cells| {
                let points = self.depths.iter().zip(cells).map_while(|(depth, cell)| Some((*depth, (*cell)?.chance())));
                last_good(points.collect(), self.wanted)
            })
            .collect()
    }

    /// For each depth the latest day of the map that reaches the wanted chance.
    pub fn latest(&self) -> Vec<Option<MonthDay>> {
        (0..self.depths.len())
            .map(|d| {
                let good = |r: &usize| self.cells[*r][d].is_some_and(|cell| cell.chance() >= self.wanted - 1e-12);
                (0..self.rows.len()).rev().find(good).map(|r| self.rows[r].from)
            })
            .collect()
    }

    /// Whether the wanted chance is reached anywhere.
    pub fn reached(&self) -> bool {
        self.cells.iter().flatten().flatten().any(|cell| cell.chance() >= self.wanted - 1e-12)
    }
}

/// The value at which the chance first falls below what is wanted; the last when it never does; none when the first already lies
/// below.
fn last_good(points: Vec<(f64, f64)>, wanted: f64) -> Option<f64> {
    let mut before: Option<(f64, f64)> = None;
    for &(x, chance) in &points {
        if chance < wanted - 1e-12 {
            let (x0, p0) = before?;
            return Some(x0 + (x - x0) * (p0 - wanted) / (p0 - chance));
        }
        before = Some((x, chance));
    }
    before.map(|(x, _)| x)
}

/// Draws the map of one bin.
///
/// # Errors
/// Never for a site that resolves; what does not fit is an empty cell.
pub fn map(
    engine: &Engine,
    base: &Base,
    bin: usize,
    library: &dyn Library,
    (asked, together): (Asked, bool),
    observer: &Arc<dyn Observer>,
) -> Map {
    let facts = base.facts();
    let job = base.job();
    let there = &job.bins[bin];
    let anchor = if together { anchor(base, bin, library) } else { Err(String::new()) };
    let layers = Accuracy::Verdict.first_rung();
    let lots = ways(base, bin, asked, anchor.as_ref().ok());
    let depths: Vec<f64> = DEPTHS.iter().map(|share| share * facts.bins[bin].eave).collect();
    let mut rows = Vec::new();
    let mut filled: Vec<Vec<Option<Arc<BinJob>>>> = Vec::new();
    for way in &lots {
        let row: Vec<Option<Arc<BinJob>>> = depths
            .iter()
            .map(|&depth| resolve(base, bin, library, &|lot| way(lot), Some(depth)).map(Arc::new))
            .collect();
        let seen = row.iter().flatten().next().map_or_else(|| seen(there), |job| seen(job));
        rows.push(seen);
        filled.push(row);
    }
    let mut cases: Vec<Arc<CaseSpec>> = Vec::new();
    for job in filled.iter().flatten().flatten() {
        cases.extend(job.years.iter().map(|(_, case)| Arc::new(on_rung(case, layers))));
    }
    let outcome = engine.run(Batch {
        cases: cases.clone(),
        record: Record::Summary,
        priority: Priority::Background,
        observer: Arc::clone(observer),
    });
    let mut results = cases.iter().zip(&outcome.results);
    let cells = filled
        .iter()
        .map(|row| {
            row.iter()
                .map(|job| {
                    let job = job.as_ref()?;
                    let years: Vec<_> = results.by_ref().take(job.years.len()).collect();
                    let judged: Option<Vec<bool>> = years
                        .iter()
                        .map(|(case, result)| Some(judge(&case.programme, result.as_ref()?, Reading::Strict).good()))
                        .collect();
                    let judged = judged?;
                    let point = working_point_of(job, base.job().place.elevation);
                    Some(Cell {
                        good: judged.iter().filter(|good| **good).count(),
                        of: judged.len(),
                        specific_airflow: point.fan_airflow / job.survey.volume(),
                    })
                })
                .collect()
        })
        .collect();
    Map {
        bin: there.name.clone(),
        asked,
        together: anchor.is_ok(),
        apart_because: anchor.err().filter(|why| !why.is_empty()),
        wanted: job.chance,
        depths,
        rows,
        cells,
        layers,
        partial: outcome.cancelled,
    }
}

/// A way in which the lots of a row are made from those of the file.
type Way = Box<dyn Fn(&mut LotFacts)>;

/// The rows: moistures above the goal, or days about that of the file.
fn ways(base: &Base, bin: usize, asked: Asked, anchor: Option<&Anchor>) -> Vec<Way> {
    let facts = base.facts();
    let offset = facts.place.utc_offset;
    let first = facts.bins[bin].lots[0].from;
    match asked {
        Asked::Moisture | Asked::Depth => ABOVE
            .iter()
            .map(|above| facts.goal.mean_moisture + above)
            // Where the dry-down cannot say the day, a row would stand among days it does not belong to.
            .filter(|moisture| anchor.is_none_or(|anchor| (anchor.low..anchor.moisture).contains(moisture)))
            .map(|moisture| {
                let anchor = anchor.copied();
                let way: Way = Box::new(move |lot| match anchor {
                    Some(anchor) => {
                        lot.harvest = anchor.until(FieldEnd::Moisture(moisture));
                        lot.from = shifted(lot.from, LONGEST_WAIT, offset);
                        lot.moisture = moisture;
                    }
                    None => {
                        lot.harvest = Harvest::Same;
                        lot.moisture = moisture;
                    }
                });
                way
            })
            .collect(),
        Asked::Date => DAYS
            .iter()
            .map(|&days| shifted(first, days, offset))
            .filter(|from| anchor.is_none_or(|anchor| (from.month, from.day) > (anchor.on.month, anchor.on.day)))
            .map(|from| {
                let anchor = anchor.copied();
                let way: Way = Box::new(move |lot| {
                    lot.from = from;
                    lot.harvest = anchor.map_or(Harvest::Same, |anchor| anchor.until(FieldEnd::Day));
                });
                way
            })
            .collect(),
    }
}

/// A field: the day on which it has the moisture at which its rule begins.
#[derive(Debug, Clone, Copy)]
struct Anchor {
    on: MonthDay,
    moisture: f64,
    low: f64,
}

impl Anchor {
    fn until(&self, until: FieldEnd) -> Harvest {
        Harvest::Field { on: self.on, moisture: self.moisture, until }
    }
}

/// The field of a bin's first lot: as the file says it, else one that has dried to the lot's moisture by its day in the middle
/// one of the years.
fn anchor(base: &Base, bin: usize, library: &dyn Library) -> Result<Anchor, String> {
    let facts = base.facts();
    let lot = &facts.bins[bin].lots[0];
    let (crop, _) = library.crops().find(&lot.crop).map_err(|wrong| wrong.found)?;
    let rule =
        crop.dry_down.as_ref().ok_or_else(|| format!("no dry-down in the field is recorded for {}", crop.name))?;
    let range = rule.value.range();
    if let Harvest::Field { on, moisture, .. } = lot.harvest {
        return Ok(Anchor { on, moisture, low: range.low });
    }
    if lot.moisture < range.low + ABOVE_THE_END || lot.moisture >= range.high {
        return Err(format!(
            "the dry-down of {} is recorded from {:.0} to {:.0} %: a lot of {:.1} % does not say when its field was wetter",
            crop.name,
            100.0 * range.high,
            100.0 * range.low,
            100.0 * lot.moisture
        ));
    }
    let offset = facts.place.utc_offset;
    let middle_on_day = |before: i64| -> Option<f64> {
        let field = Anchor { on: shifted(lot.from, -before, offset), moisture: range.high, low: range.low };
        let job = resolve(
            base,
            bin,
            library,
            &|lot| {
                lot.harvest = field.until(FieldEnd::Day);
            },
            None,
        )?;
        // The middle year: fields that have come to rest at the end of the rule would pull a mean up.
        let all: Vec<f64> = job.lots_of_years.iter().flat_map(|(_, lots)| lots.iter().map(|l| l.moisture)).collect();
        quantile(&all, 0.5)
    };
    // Longer ago is drier by now.
    let (mut near, mut far) = (0, EARLIEST);
    while far - near > 1 {
        let middle = (near + far) / 2;
        match middle_on_day(middle) {
            Some(moisture) if moisture > lot.moisture => near = middle,
            _ => far = middle,
        }
    }
    Ok(Anchor { on: shifted(lot.from, -far, offset), moisture: range.high, low: range.low })
}

/// A day so many days later.
fn shifted(day: MonthDay, days: i64, offset: i32) -> MonthDay {
    // Any year without 29 February.
    clock::month_day(clock::utc_hour(2001, day, 0, offset) + 24 * days, offset)
}

/// The bin with its lots made otherwise, filled to a depth; nothing when that does not fit.
fn resolve(
    base: &Base,
    bin: usize,
    library: &dyn Library,
    way: &dyn Fn(&mut LotFacts),
    depth: Option<f64>,
) -> Option<BinJob> {
    let mut site: SiteFacts = base.facts().clone();
    site.bins.truncate(bin + 1);
    let present = &base.job().bins[bin].survey;
    let whole = present.depth();
    let mut below = 0.0;
    for (lot, surveyed) in site.bins[bin].lots.iter_mut().zip(&present.lots) {
        way(lot);
        if let Some(depth) = depth {
            lot.amount = Amount::Depth(depth * (surveyed.depth_after - below) / whole);
            below = surveyed.depth_after;
        }
    }
    base.resolve_facts(&site, library).ok()?.bins.pop().filter(|job| !job.years.is_empty())
}

/// Mean moisture of a bin's lots over its years, and the middle day of its first load.
fn seen(bin: &BinJob) -> Row {
    let mut first: Vec<i64> = Vec::new();
    for (_, case) in &bin.years {
        first.extend(case.loads.first().map(|load| load.hour));
    }
    let moisture = match bin.lots_of_years.is_empty() {
        true => bin.survey.moisture(),
        false => {
            let all: Vec<f64> =
                bin.lots_of_years.iter().flat_map(|(_, lots)| lots.iter().map(|l| l.moisture)).collect();
            all.iter().sum::<f64>() / all.len().max(1) as f64
        }
    };
    // By the day of the year: the calendar year of each is its own.
    let mut days: Vec<MonthDay> = first.iter().map(|hour| clock::month_day(*hour, 0)).collect();
    days.sort_unstable();
    Row { moisture, from: days.get(days.len() / 2).copied().unwrap_or(MonthDay { month: 1, day: 1 }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_lies_where_the_chance_falls_below_what_is_wanted() {
        assert_eq!(last_good(vec![(0.18, 1.0), (0.20, 0.8)], 0.9), Some(0.19));
        assert_eq!(last_good(vec![(0.18, 1.0), (0.20, 0.95)], 0.9), Some(0.20), "the end of the map");
        assert_eq!(last_good(vec![(0.18, 0.5), (0.20, 1.0)], 0.9), None, "a hole is not passed over");
    }
}
