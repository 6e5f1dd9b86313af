//! A response surface for fields too large to run: seasons over delivered air once, every fan read off at its own working point.
//!
//! The bed does not know the fan. For each setting a few steady airflows, each with the fan heat that is usual at it, are run in
//! some of the years on the coarsest grid; chance of failure and cost of an outfit are then read off linearly in the logarithm of its
//! airflow. A glance at fewer airflows and years on a grid coarser still comes first, so that somebody who waits sees a picture at
//! once. All this only chooses who runs exactly: nothing read off is shown as a result, and how far the readings lay from the
//! exact runs is said.

use super::field::{Candidate, Field};
use super::score::{Score, YearScore};
use crate::money::Ledger;
use crate::proof::{LADDER, on_rung};
use ensemble::{Batch, Engine, Observer, Priority, Silent, side_by_side};
use equipment::{
    AirMap, AirPoint, AirSystem, Arrangement, CurveError, CurvePoint, Fan, FanCurve, FanKind, Origin, Outfit,
    STANDARD_DENSITY,
};
use physics::air::SPECIFIC_HEAT_DRY_AIR;
use season::{CaseSpec, Record};
use std::collections::HashMap;
use std::sync::Arc;

/// Airflows of each setting.
pub const NODES: usize = 5;
/// Years in which they are run.
pub const YEARS: usize = 7;
/// Layers of the first glance: too few to judge a season, enough to tell a fan that dries from one that does not.
const GLANCE_LAYERS: usize = 10;
/// Years of the first glance.
const GLANCE_YEARS: usize = 2;
/// Of the airflows of a setting every second is glanced at: the least, the middle and the most.
const GLANCE_EVERY: usize = 2;
/// Pressure up to which a steady fan holds its airflow, Pa: beyond any farm bin.
const HIGHEST_PRESSURE: f64 = 20e3;

/// An outfit to be read off: number of its candidate, working point, first cost.
pub type Run = (usize, AirPoint, Option<f64>);

/// What was read off for an outfit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Share of years failed.
    pub failures: f64,
    /// Cost for a measure of grain.
    pub cost: f64,
}

/// How far readings lay from exact runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Seasons of the surface.
    pub seasons: usize,
    /// Outfits that ran all years and are compared.
    pub compared: usize,
    /// Mean and largest difference of cost for a measure of grain.
    pub cost: (f64, f64),
    /// Mean and largest difference of the share of years failed.
    pub failures: (f64, f64),
}

/// One airflow of a setting.
#[derive(Debug, Clone, Copy)]
struct Node {
    /// ln of the airflow, m³/s.
    at: f64,
    failures: f64,
    /// Mean money of a year for electricity, whole, at this input power.
    electricity: f64,
    input: f64,
    /// Mean money of a year for everything else, whole.
    other: f64,
}

/// What came of the surface.
#[derive(Debug, Clone)]
pub struct Surface {
    /// Readings, in the order of the runs; `None` where the surface was cut short.
    pub readings: Vec<Option<Reading>>,
    /// Seasons run.
    pub seasons: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

/// Years of the first pass after the glance, of those of the surface. An airflow at which a setting failed in all of them is
/// not run in the others: it has been seen to fail, and its seasons are the longest.
const FIRST_PASS: [usize; 3] = [1, 3, 5];

/// Steady airflows of a setting, each with its shaft power, and what the air of the setting makes of each.
type Steady = Vec<((f64, f64), Option<Arc<AirMap<physics::resistance::BedResistance>>>)>;

/// The steady airflows of every setting. Settings in which the same fans meet the same air share theirs.
fn steadies(engine: &Engine, field: &Field, runs: &[Run]) -> Vec<Arc<Steady>> {
    let silent: Arc<dyn Observer> = Arc::new(Silent);
    let mut wanted: Vec<(usize, (f64, f64))> = Vec::new();
    for air in 0..field.settings.len() {
        let there = |run: &&Run| field.settings[field.candidates[run.0].setting].air == air;
        let of: Vec<&AirPoint> = runs.iter().filter(there).map(|run| &run.1).collect();
        wanted.extend(airflows(&of).into_iter().map(|node| (air, node)));
    }
    let made = side_by_side(engine.threads(), wanted.len(), &silent, |k| {
        let (air, (airflow, shaft)) = wanted[k];
        let bin = field.settings[air].bin.as_ref().ok()?;
        steady(&bin.template, airflow, shaft).ok().map(Arc::new)
    });
    let mut of_air: Vec<Steady> = vec![Vec::new(); field.settings.len()];
    for ((air, node), map) in wanted.into_iter().zip(made) {
        of_air[air].push((node, map));
    }
    let of_air: Vec<Arc<Steady>> = of_air.into_iter().map(Arc::new).collect();
    field.settings.iter().map(|setting| Arc::clone(&of_air[setting.air])).collect()
}

/// Which seasons of the surface run together.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Pass {
    Glance,
    First,
    Rest,
}

impl Pass {
    fn layers(self) -> usize {
        if self == Self::Glance { GLANCE_LAYERS } else { LADDER[0] }
    }

    /// Of `of` years of a bin, those of this pass.
    fn years(self, of: usize) -> Vec<usize> {
        let spread = |count: usize| (0..count).map(move |k| (2 * k + 1) * of / (2 * count));
        let first = |k: &usize| FIRST_PASS.contains(k) == (self == Self::First);
        match self {
            Self::Glance => spread(GLANCE_YEARS.min(of)).collect(),
            _ => {
                let all: Vec<usize> = spread(YEARS.min(of)).collect();
                (0..all.len()).filter(first).map(|k| all[k]).collect()
            }
        }
    }
}

/// Runs the surface under the outfits `runs` and reads each of them off. `told` hears the readings after each pass, with the
/// seasons run.
pub fn surface(
    engine: &Engine,
    field: &Field,
    runs: &[Run],
    ledgers: &[Option<Arc<Ledger>>],
    score: &dyn Fn(&Candidate, Option<f64>) -> Score,
    (observer, told): (&Arc<dyn Observer>, Told<'_>),
) -> Surface {
    let steadies = steadies(engine, field, runs);
    let nothing = || steadies.iter().map(|nodes| vec![Vec::new(); nodes.len()]).collect::<Vec<Vec<Vec<YearScore>>>>();
    let mut years = nothing();
    let mut found = Surface { readings: vec![None; runs.len()], seasons: 0, partial: false };
    for pass in [Pass::Glance, Pass::First, Pass::Rest] {
        if pass == Pass::First {
            // What was glanced at is too coarse to be counted.
            years = nothing();
        }
        let mut marks: Vec<(usize, usize, i32)> = Vec::new();
        let mut batch: Vec<Arc<CaseSpec>> = Vec::new();
        for (setting, there) in field.settings.iter().enumerate() {
            let Ok(bin) = &there.bin else { continue };
            for (node, (_, map)) in steadies[setting].iter().enumerate() {
                let Some(map) = map else { continue };
                let seen = &years[setting][node];
                let hopeless = pass == Pass::Rest && !seen.is_empty() && seen.iter().all(YearScore::failed);
                if hopeless || (pass == Pass::Glance && node % GLANCE_EVERY != 0) {
                    continue;
                }
                for (year, case) in pass.years(bin.years.len()).into_iter().map(|k| &bin.years[k]) {
                    let mut case = on_rung(case, pass.layers());
                    case.system = Arc::new(map.system().clone());
                    case.air = Arc::clone(map);
                    case.control.fans = 1;
                    marks.push((setting, node, *year));
                    batch.push(Arc::new(case));
                }
            }
        }
        let outcome = engine.run(Batch {
            cases: batch.clone(),
            record: Record::Summary,
            priority: Priority::Background,
            observer: Arc::clone(observer),
        });
        for (((setting, node, year), case), result) in marks.into_iter().zip(&batch).zip(&outcome.results) {
            if let Some(result) = result {
                years[setting][node].push(YearScore::of(year, case, result, ledgers[setting].as_deref()));
            }
        }
        let nodes: Vec<Vec<Node>> = steadies
            .iter()
            .zip(&years)
            .map(|(nodes, years)| nodes.iter().zip(years).filter_map(|((at, _), years)| node(*at, years)).collect())
            .collect();
        found.readings = runs
            .iter()
            .map(|(k, point, first_cost)| {
                let candidate = &field.candidates[*k];
                let empty = score(candidate, *first_cost);
                read(&nodes[candidate.setting], point, &empty)
            })
            .collect();
        found.seasons += outcome.results.iter().flatten().count();
        found.partial = outcome.cancelled;
        told(&found);
        if found.partial {
            break;
        }
    }
    found
}

/// Who hears of the readings.
pub type Told<'a> = &'a dyn Fn(&Surface);

/// Steady airflows between the least and the most of some working points, each with the shaft power usual there.
fn airflows(points: &[&AirPoint]) -> Vec<(f64, f64)> {
    let flows = || points.iter().map(|point| point.fan_airflow).filter(|flow| *flow > 0.0);
    let (low, high) = (flows().fold(f64::INFINITY, f64::min), flows().fold(0.0, f64::max));
    if high <= 0.0 {
        return Vec::new();
    }
    let count = if high > 1.001 * low { NODES } else { 1 };
    (0..count)
        .map(|k| {
            let share = k as f64 / (count.max(2) - 1) as f64;
            let airflow = low * (high / low).powf(share);
            let nearest = |point: &&&AirPoint| ((point.fan_airflow / airflow).ln().abs() * 1e9) as u64;
            let mut near: Vec<&&AirPoint> = points.iter().filter(|point| point.fan_airflow > 0.0).collect();
            near.sort_by_key(nearest);
            near.truncate(5);
            let mut rises: Vec<f64> = near.iter().map(|point| point.fan_heat).collect();
            rises.sort_by(f64::total_cmp);
            let rise = rises.get(rises.len() / 2).copied().unwrap_or(0.0);
            (airflow, (rise * STANDARD_DENSITY * airflow * SPECIFIC_HEAT_DRY_AIR).max(1.0))
        })
        .collect()
}

/// A fan that gives one airflow at any pressure, compiled for a bin: all its shaft power warms the air.
fn steady(
    template: &CaseSpec,
    airflow: f64,
    shaft: f64,
) -> Result<AirMap<physics::resistance::BedResistance>, CurveError> {
    let point = |pressure: f64, airflow: f64| CurvePoint { pressure, airflow, shaft_power: Some(shaft) };
    let points = [point(0.0, airflow), point(HIGHEST_PRESSURE, 0.98 * airflow)];
    let curve = FanCurve::new(&points, STANDARD_DENSITY, FanKind::Other)?;
    let fan = Fan::new("steady airflow", FanKind::Other, Origin::Invented, curve, shaft, 30.0)?;
    let there = &template.system;
    let outfit = Outfit::new(vec![fan], Arrangement::Parallel).map_err(|_| CurveError::NotFinite { index: 0 })?;
    let system = AirSystem::new(outfit, there.budget, there.bed_area, there.direction)
        .map_err(|_| CurveError::NotFinite { index: 0 })?;
    Ok(AirMap::new(&system, template.grain.resistance, None))
}

fn node((airflow, shaft): (f64, f64), years: &[YearScore]) -> Option<Node> {
    let of = years.len() as f64;
    if years.is_empty() {
        return None;
    }
    let electric = |year: &YearScore| year.cost.as_ref().map_or(year.running(), |cost| cost.electricity + cost.demand);
    let electricity = years.iter().map(electric).sum::<f64>() / of;
    Some(Node {
        at: airflow.ln(),
        failures: years.iter().filter(|year| year.failed()).count() as f64 / of,
        electricity,
        input: shaft / equipment::motor::default_efficiency(shaft),
        other: years.iter().map(YearScore::running).sum::<f64>() / of - electricity,
    })
}

/// Reads an outfit off the nodes of its setting.
fn read(nodes: &[Node], point: &AirPoint, empty: &Score) -> Option<Reading> {
    let (first, last) = (nodes.first()?, nodes.last()?);
    let at = point.fan_airflow.max(1e-6).ln().clamp(first.at, last.at);
    let right = nodes.iter().position(|node| node.at >= at).unwrap_or(nodes.len() - 1);
    let (a, b) = (&nodes[right.saturating_sub(1)], &nodes[right]);
    let share = if b.at > a.at { (at - a.at) / (b.at - a.at) } else { 0.0 };
    let between = |pick: &dyn Fn(&Node) -> f64| pick(a) + share * (pick(b) - pick(a));
    // Hours are those of the airflow; what they cost goes with the outfit's own power.
    let electricity = between(&|n| n.electricity / n.input) * point.input_power;
    Some(Reading {
        failures: between(&|n| n.failures),
        cost: (empty.owning + electricity + between(&|n| n.other)) / empty.measure,
    })
}

/// Of the cheapest at one level of failures so many at most are of one setting (one over this share): within a setting readings
/// err alike, between settings they do not, so that several settings have to be looked at.
const OF_ONE_SETTING: usize = 2;

/// Who runs exactly: of those at or below each share of failures the cheapest, not all of one setting; the first of the runs
/// always. `setting` says of which setting a run is.
pub fn contenders(readings: &[Option<Reading>], setting: &dyn Fn(usize) -> usize, most: usize) -> Vec<usize> {
    let levels = YEARS + 1;
    let each = (most.saturating_sub(1) / levels).max(1);
    let mut chosen = vec![0];
    for level in 0..levels {
        let limit = level as f64 / YEARS as f64 + 1e-9;
        let mut under: Vec<(f64, usize)> = readings
            .iter()
            .enumerate()
            .filter_map(|(place, reading)| Some((place, (*reading)?)))
            .filter(|(_, reading)| reading.failures <= limit)
            .map(|(place, reading)| (reading.cost, place))
            .collect();
        under.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut of_setting: HashMap<usize, usize> = HashMap::new();
        let mut taken = 0;
        for (_, place) in under {
            let there = of_setting.entry(setting(place)).or_default();
            if taken == each || *there == each.div_ceil(OF_ONE_SETTING) || chosen.contains(&place) {
                continue;
            }
            *there += 1;
            taken += 1;
            chosen.push(place);
        }
    }
    chosen.truncate(most);
    chosen.sort_unstable();
    chosen
}

/// Holds readings against the exact scores of those that ran all years.
pub fn check(readings: &[Option<Reading>], scores: &[Score], seasons: usize) -> Check {
    let pairs: Vec<(f64, f64)> = readings
        .iter()
        .zip(scores)
        .filter(|(_, score)| score.complete())
        .filter_map(|(reading, score)| {
            let reading = (*reading)?;
            let failed = score.failures() as f64 / score.run().max(1) as f64;
            Some(((reading.cost - score.cost()).abs(), (reading.failures - failed).abs()))
        })
        .collect();
    let of = pairs.len().max(1) as f64;
    let largest = |pick: fn(&(f64, f64)) -> f64| pairs.iter().map(pick).fold(0.0, f64::max);
    let mean = |pick: fn(&(f64, f64)) -> f64| pairs.iter().map(pick).sum::<f64>() / of;
    Check {
        seasons,
        compared: pairs.len(),
        cost: (mean(|p| p.0), largest(|p| p.0)),
        failures: (mean(|p| p.1), largest(|p| p.1)),
    }
}
