//! A response surface for fields too large to run: seasons over delivered air once, every fan read off at its own working point.
//!
//! The bed does not know the fan. For each setting a few steady airflows, each with the fan heat that is usual at it, are run in
//! some of the years on the coarsest grid; chance of failure and cost of an outfit are then read off linearly in the logarithm of its
//! airflow. This only chooses who runs exactly: nothing read off is shown as a result, and how far the readings lay from the
//! exact runs is said.

use super::field::{Candidate, Field};
use super::score::{Score, YearScore};
use crate::money::Ledger;
use crate::proof::{LADDER, on_rung};
use ensemble::{Batch, Engine, Observer, Priority};
use equipment::{
    AirMap, AirPoint, AirSystem, Arrangement, CurveError, CurvePoint, Fan, FanCurve, FanKind, Origin, Outfit,
    STANDARD_DENSITY,
};
use physics::air::SPECIFIC_HEAT_DRY_AIR;
use season::{CaseSpec, Record};
use std::sync::Arc;

/// Airflows of each setting.
pub const NODES: usize = 5;
/// Years in which they are run.
pub const YEARS: usize = 7;
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

/// Years of the first pass, of those of the surface: enough for a first answer.
const FIRST_PASS: [usize; 3] = [1, 3, 5];

/// Runs the surface under the outfits `runs` and reads each of them off. `told` hears the readings after the first few years, and
/// again at the end, with the seasons run.
pub fn surface(
    engine: &Engine,
    field: &Field,
    runs: &[Run],
    ledgers: &[Option<Arc<Ledger>>],
    score: &dyn Fn(&Candidate, Option<f64>) -> Score,
    (observer, told): (&Arc<dyn Observer>, Told<'_>),
) -> Surface {
    let mut cases: Vec<Planned> = Vec::new();
    let mut places: Vec<Vec<(f64, f64)>> = Vec::new();
    for (setting, there) in field.settings.iter().enumerate() {
        let of: Vec<&AirPoint> =
            runs.iter().filter(|run| field.candidates[run.0].setting == setting).map(|run| &run.1).collect();
        let nodes = airflows(&of);
        let Ok(bin) = &there.bin else {
            places.push(Vec::new());
            continue;
        };
        for (node, &(airflow, shaft)) in nodes.iter().enumerate() {
            let Ok(map) = steady(&bin.template, airflow, shaft).map(Arc::new) else { continue };
            for k in 0..YEARS.min(bin.years.len()) {
                let (year, case) = &bin.years[(2 * k + 1) * bin.years.len() / (2 * YEARS.min(bin.years.len()))];
                let mut case = on_rung(case, LADDER[0]);
                case.system = Arc::new(map.system().clone());
                case.air = Arc::clone(&map);
                case.control.fans = 1;
                cases.push(Planned { setting, node, year: *year, pass: usize::from(!FIRST_PASS.contains(&k)), case });
            }
        }
        places.push(nodes);
    }
    let mut years: Vec<Vec<Vec<YearScore>>> = places.iter().map(|nodes| vec![Vec::new(); nodes.len()]).collect();
    let mut found = Surface { readings: vec![None; runs.len()], seasons: 0, partial: false };
    for pass in 0..2 {
        let (now, later): (Vec<Planned>, Vec<Planned>) = cases.into_iter().partition(|planned| planned.pass == pass);
        cases = later;
        let marks: Vec<(usize, usize, i32)> = now.iter().map(|p| (p.setting, p.node, p.year)).collect();
        let batch: Vec<Arc<CaseSpec>> = now.into_iter().map(|planned| Arc::new(planned.case)).collect();
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
        let nodes: Vec<Vec<Node>> = places
            .iter()
            .zip(&years)
            .map(|(places, years)| places.iter().zip(years).filter_map(|(place, years)| node(*place, years)).collect())
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

/// A season of the surface before it runs.
struct Planned {
    setting: usize,
    node: usize,
    year: i32,
    pass: usize,
    case: CaseSpec,
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

/// Who runs exactly: of those at or below each share of failures the cheapest, the first of the runs always.
pub fn contenders(readings: &[Option<Reading>], most: usize) -> Vec<usize> {
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
        chosen.extend(
            under
                .iter()
                .map(|(_, place)| *place)
                .filter(|place| !chosen.contains(place))
                .take(each)
                .collect::<Vec<_>>(),
        );
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
