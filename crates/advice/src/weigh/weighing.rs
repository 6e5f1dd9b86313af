//! Weighing one bin: excluded first, then a surface where too many are left, then the race, then what came of it.

use super::answer::{Answer, Shown, Standing};
use super::exclude::{self, Excluded};
use super::field::{AirKey, Candidate, Field, Setting};
use super::news::{News, Point, PointState, points};
use super::race::{Contender, Race, Rules, race};
use super::score::Score;
use super::surface::Surface;
use super::{settle, surface};
use crate::money::{Ledger, YearCost};
use crate::proof::{Accuracy, on_rung};
use ensemble::{Engine, Observer};
use equipment::AirPoint;
use job::Job;
use std::collections::HashMap;
use std::sync::Arc;

/// Most outfits that are run without being read off first where the race may end who is probably beaten; in a larger field a
/// surface says which run.
const MOST_RACING: usize = 120;
/// The same where everybody runs until certainly beaten.
const MOST_CERTAIN: usize = 400;
/// Contenders of a field that is read off: six at each level of failures. Enough for the surface's own error, which is said, and
/// few enough for an answer in seconds.
const READ_OFF_CONTENDERS: usize = 49;

/// How a bin is weighed, and who is told.
pub struct Asking<'a> {
    /// Which rules end a contender.
    pub rules: Rules,
    /// Most contenders that run without being read off first: [`Rules::most`].
    pub most: usize,
    /// Told how many seasons have run, and asked whether to go on.
    pub observer: &'a Arc<dyn Observer>,
    /// Told how the race stands.
    pub told: &'a dyn Fn(News<'_>),
}

impl<'a> Asking<'a> {
    /// A weighing of which nobody hears before its end.
    pub fn quietly(rules: Rules, observer: &'a Arc<dyn Observer>) -> Self {
        Self { rules, most: rules.most(), observer, told: &|_| {} }
    }
}

impl Rules {
    /// Most outfits that are run without being read off first.
    pub fn most(self) -> usize {
        match self {
            Self::Certain => MOST_CERTAIN,
            Self::Probable => MOST_RACING,
        }
    }
}

/// An outfit that is left to run: number of its candidate, working point, first cost.
type Run = (usize, AirPoint, Option<f64>);

/// Weighs everything that may be chosen for one bin of a job.
pub fn weigh(engine: &Engine, job: &Job, field: &Field, asking: &Asking<'_>) -> Answer {
    let layers = Accuracy::Verdict.first_rung();
    let years = common_years(field);
    let ledgers: Vec<Option<Arc<Ledger>>> = field
        .settings
        .iter()
        .map(|setting| {
            let bin = setting.bin.as_ref().ok()?;
            Some(Arc::new(Ledger::of(bin, job.prices.as_ref()?, job.remedy.as_ref())))
        })
        .collect();
    let per_bushel = ledgers.iter().flatten().all(|ledger| ledger.bushels().is_some());
    let spread = job.prices.as_ref().is_some_and(|prices| prices.costs.ownership.is_some());
    let (mut runs, excluded) = sorted(job, field);
    (asking.told)(News::Sorted {
        candidates: field.candidates.len(),
        excluded: &excluded,
        left: runs.len(),
        years: &years,
    });
    let empty = |candidate: &Candidate, first_cost: Option<f64>| {
        let ledger = ledgers[candidate.setting].as_deref();
        let (bushels, tonnes) = grain(field, candidate, ledger);
        Score {
            owning: ledger.map_or(0.0, |ledger| ledger.owning(first_cost.unwrap_or(0.0))),
            bought: ledger.is_none() || first_cost.is_some_and(|cost| spread || cost == 0.0),
            measure: if per_bushel { bushels.unwrap_or(tonnes) } else { tonnes },
            years: vec![None; years.len()],
        }
    };
    let all = runs.len();
    let mut cut_short = false;
    let mut read_off = None;
    if runs.len() > asking.most {
        let most = asking.most.min(READ_OFF_CONTENDERS);
        let settings: Vec<usize> = runs.iter().map(|run| field.candidates[run.0].setting).collect();
        let chosen_of = |surface: &Surface| surface::contenders(&surface.readings, &|place| settings[place], most);
        let told = |surface: &Surface| {
            let chosen = chosen_of(surface);
            let read: Vec<Point> = chosen
                .iter()
                .filter_map(|&place| {
                    let ((candidate, _, first_cost), reading) = (runs[place], surface.readings[place]?);
                    let of = &field.candidates[candidate];
                    Some(Point {
                        candidate,
                        name: field.name(of),
                        cost: reading.cost,
                        unpriced: !empty(of, first_cost).bought,
                        failed: (reading.failures * years.len() as f64).round() as usize,
                        run: 0,
                        state: PointState::Read,
                    })
                })
                .collect();
            (asking.told)(News::Stands { points: &read, seasons: surface.seasons });
        };
        let surface = surface::surface(engine, field, &runs, &ledgers, &empty, (asking.observer, &told));
        let chosen = chosen_of(&surface);
        cut_short = surface.partial;
        runs = chosen.iter().map(|&place| runs[place]).collect();
        let readings: Vec<_> = chosen.iter().map(|&place| surface.readings[place]).collect();
        read_off = Some((readings, surface.seasons));
    }
    let not_run = all - runs.len();
    let mut maps = field.maps(runs.iter().map(|run| &field.candidates[run.0]), engine.threads());
    let contenders: Vec<Contender> = runs
        .iter()
        .map(|&(k, _, first_cost)| {
            let candidate = &field.candidates[k];
            let cases = field.years_on(candidate, &mut maps).into_iter().filter(|(year, _)| years.contains(year));
            Contender {
                cases: cases.map(|(year, case)| (year, Arc::new(on_rung(&case, layers)))).collect(),
                empty: empty(candidate, first_cost),
                ledger: ledgers[candidate.setting].clone(),
            }
        })
        .collect();
    let numbers: Vec<usize> = runs.iter().map(|run| run.0).collect();
    let stands = |race: &Race| {
        (asking.told)(News::Stands { points: &points(field, &numbers, race), seasons: race.seasons });
    };
    let race = race(engine, &contenders, years.len(), asking.rules, (asking.observer, &stands));
    let outfits: Vec<Shown> = runs
        .iter()
        .enumerate()
        .map(|(place, (k, point, first_cost))| {
            let ledger = ledgers[field.candidates[*k].setting].as_deref();
            shown(field, *k, *point, *first_cost, &race.scores[place], ledger)
        })
        .collect();
    let mut answer = Answer {
        bin: field.settings[0].bin.as_ref().map(|bin| bin.name.clone()).unwrap_or_default(),
        currency: job.prices.as_ref().map(|prices| prices.currency.clone()),
        measure: if per_bushel && ledgers.iter().any(Option::is_some) { "bushel" } else { "tonne" },
        base_moisture: ledgers.iter().flatten().next().map(|ledger| ledger.base),
        spread,
        years,
        wanted: job.chance,
        candidates: field.candidates.len(),
        excluded,
        not_run,
        surface: read_off.map(|(readings, seasons)| surface::check(&readings, &race.scores, seasons)),
        outfits,
        front: Vec::new(),
        hopeless: Vec::new(),
        chosen: None,
        equal: Vec::new(),
        unseen: None,
        seasons: race.seasons,
        layers,
        exact: asking.rules == Rules::Certain,
        comparisons: race.comparisons,
        partial: race.partial || cut_short,
    };
    settle::settle(&mut answer, &race);
    answer
}

/// Sorts the field: who may run, and who falls out with the reason.
fn sorted(job: &Job, field: &Field) -> (Vec<Run>, Vec<Excluded>) {
    // Outside air does not know what stands in it: settings filled alike share what theirs can carry.
    let mut carrying: Vec<Vec<(f64, f64)>> = Vec::new();
    for setting in &field.settings {
        let like = |other: &Setting| other.filling == setting.filling && other.bin.is_ok();
        let known = field.settings.iter().take(carrying.len()).position(like).map(|k| carrying[k].clone());
        let of = || setting.bin.as_ref().map(|bin| exclude::carrying(bin)).unwrap_or_default();
        carrying.push(known.unwrap_or_else(of));
    }
    let costs = job.prices.as_ref().map(|prices| &prices.costs);
    let priced = costs.is_some_and(|costs| !costs.equipment.is_empty()) || field.allowed.budget.is_some();
    // The same fans under other controls work at the same point.
    let mut known: HashMap<AirKey, Option<AirPoint>> = HashMap::new();
    let (mut runs, mut excluded) = (Vec::new(), Vec::new());
    for (k, candidate) in field.candidates.iter().enumerate() {
        let point = *known
            .entry(field.air_key(candidate))
            .or_insert_with(|| exclude::working_point(field, candidate, job.place.elevation));
        let first_cost = costs.and_then(|costs| field.first_cost(candidate, costs));
        // What stands there is run whatever is said against it, so that the others can be held against it.
        let there = candidate.present && field.setting(candidate).bin.is_ok();
        match exclude::reason(field, candidate, point.as_ref(), &carrying[candidate.setting], (first_cost, priced)) {
            Some(reason) if !there => {
                excluded.push(Excluded { candidate: k, name: field.name(candidate), reason });
            }
            _ => runs.extend(point.map(|point| (k, point, first_cost))),
        }
    }
    (runs, excluded)
}

/// Years that every setting has, in order.
fn common_years(field: &Field) -> Vec<i32> {
    let mut bins = field.settings.iter().filter_map(|setting| setting.bin.as_ref().ok());
    let Some(first) = bins.next() else { return Vec::new() };
    let mut years: Vec<i32> = first.years.iter().map(|(year, _)| *year).collect();
    bins.for_each(|bin| years.retain(|year| bin.year(*year).is_some()));
    years
}

/// Grain of a candidate at base moisture: bushels where there are such, and tonnes; without prices dry matter at the goal.
fn grain(field: &Field, candidate: &Candidate, ledger: Option<&Ledger>) -> (Option<f64>, f64) {
    match (ledger, &field.setting(candidate).bin) {
        (Some(ledger), _) => (ledger.bushels(), ledger.tonnes()),
        (None, Ok(bin)) => (None, bin.survey.dry_matter() * (1.0 + bin.template.programme.target) / 1000.0),
        (None, Err(_)) => (None, 1.0),
    }
}

fn shown(
    field: &Field,
    k: usize,
    point: AirPoint,
    first_cost: Option<f64>,
    score: &Score,
    ledger: Option<&Ledger>,
) -> Shown {
    let candidate = &field.candidates[k];
    let bin = field.setting(candidate).bin.as_ref().ok();
    let volume = bin.map_or(1.0, |bin| bin.survey.volume());
    let costs: Vec<YearCost> = score.years.iter().flatten().filter_map(|year| year.cost.clone()).collect();
    let (bushels, tonnes) = grain(field, candidate, ledger);
    let allowed = &field.allowed;
    Shown {
        candidate: k,
        name: field.name(candidate),
        present: candidate.present,
        changes: field.changes(candidate),
        specific_airflow: point.fan_airflow / volume,
        amperes: allowed.supply.as_ref().and_then(|supply| exclude::code_current(candidate, supply)),
        sound: allowed.quiet.map(|quiet| exclude::sound_at(candidate, &point, &quiet)),
        point,
        first_cost,
        lines: ledger.map(|ledger| ledger.lines(first_cost.unwrap_or(0.0), &costs)).unwrap_or_default(),
        unpriced: !score.priced(),
        bushels,
        tonnes,
        score: score.clone(),
        standing: Standing::Unknown,
    }
}
