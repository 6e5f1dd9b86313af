//! The answer: the front of cost against chance of failure, the outfit worth buying with the reason, and the others with what beats
//! them, by how much and how surely.

use super::exclude::{self, Excluded};
use super::field::{Candidate, Field};
use super::race::{Contender, Out, Race, Rules, dominated, race};
use super::score::{Score, above_zero, uneven};
use super::surface::{self, Check};
use crate::money::{CostLine, Ledger, YearCost};
use crate::proof::{Accuracy, LEVEL, on_rung};
use ensemble::{Engine, Observer};
use equipment::AirPoint;
use job::Job;
use notice::Phrase;
use numerics::interval::{Interval, clopper_pearson};
use std::sync::Arc;

/// Most contenders that run exactly; in a larger field a surface says which.
pub const MOST_CONTENDERS: usize = 400;
/// Level at which a difference of two outfits counts as one.
pub const DIFFERENT: f64 = 0.05;
/// Parts of the years for scoring a choice on years that did not make it.
const PARTS: usize = 4;

/// Where an outfit stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Standing {
    /// Nothing is both cheaper and surer.
    Front,
    /// Beaten.
    Beaten(Beaten),
    /// Cut short before it was known.
    Unknown,
}

/// By what an outfit is beaten, by how much and how surely.
#[derive(Debug, Clone, PartialEq)]
pub struct Beaten {
    /// Place of the better one in the list of outfits.
    pub by: usize,
    /// How much more it costs for a measure of grain, over the years both have run.
    pub dearer: f64,
    /// In how many more years it failed, of those.
    pub more_failures: i64,
    /// Years both have run.
    pub years: usize,
    /// Chance that so large a difference of cost comes of weather alone (paired t, one side).
    pub chance_of_cost: f64,
    /// The same of failures (exact test of pairs, two sides).
    pub chance_of_failures: f64,
    /// Whether it ran all years, or was certainly or probably beaten before.
    pub ended: Option<Out>,
}

/// One outfit that was run.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Number of its candidate.
    pub candidate: usize,
    /// Its name.
    pub name: String,
    /// Whether it is what stands in the site file.
    pub present: bool,
    /// Working point, the bin full.
    pub point: AirPoint,
    /// Airflow at the inlets over the grain's volume, 1/s.
    pub specific_airflow: f64,
    /// Current by the code's table, A; `None` without a supply or where it knows no such motor.
    pub amperes: Option<f64>,
    /// Sound at the house, dB(A), where a limit is said.
    pub sound: Option<f64>,
    /// First cost of what is not owned; `None` when a price is not said.
    pub first_cost: Option<f64>,
    /// Its years.
    pub score: Score,
    /// Lines of its mean year, whole money; empty without prices.
    pub lines: Vec<CostLine>,
    /// Grain of its filling at base moisture: legal bushels where there are such, tonnes.
    pub bushels: Option<f64>,
    /// Tonnes.
    pub tonnes: f64,
    /// Where it stands.
    pub standing: Standing,
    /// Whether something it costs has no price.
    pub unpriced: bool,
}

impl Shown {
    /// Share of years not failed.
    pub fn chance(&self) -> Option<f64> {
        let run = self.score.run();
        (run > 0).then(|| 1.0 - self.score.failures() as f64 / run as f64)
    }

    /// What so many years say of that chance.
    pub fn interval(&self) -> Option<Interval> {
        let run = self.score.run();
        (run > 0).then(|| clopper_pearson((run - self.score.failures()) as u32, run as u32, LEVEL))
    }

    /// The worst year: the dearest of the failed ones, else the one that used most storage life.
    pub fn worst(&self) -> Option<&super::score::YearScore> {
        self.score.years.iter().flatten().max_by(|a, b| {
            let key = |y: &super::score::YearScore| {
                (y.failed(), if y.failed() { y.running() } else { y.life.unwrap_or(0.0) })
            };
            let ((fa, xa), (fb, xb)) = (key(a), key(b));
            fa.cmp(&fb).then(xa.total_cmp(&xb))
        })
    }
}

/// The choice scored on years that did not make it.
#[derive(Debug, Clone, PartialEq)]
pub struct Unseen {
    /// Years failed.
    pub failures: usize,
    /// Of how many.
    pub of: usize,
    /// Mean cost for a measure of grain.
    pub cost: f64,
    /// Parts into which the years were cut.
    pub parts: usize,
}

/// What came of weighing a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Bin.
    pub bin: String,
    /// Currency; `None` without prices: outfits are then put in order by electricity, kWh.
    pub currency: Option<String>,
    /// What costs are for: `bushel` at base moisture after shrink, or `tonne`.
    pub measure: &'static str,
    /// Base moisture, w.b.; `None` without prices.
    pub base_moisture: Option<f64>,
    /// Years that every outfit met.
    pub years: Vec<i32>,
    /// Wanted chance.
    pub wanted: f64,
    /// Candidates of the field.
    pub candidates: usize,
    /// Outfits that physics or the site excludes.
    pub excluded: Vec<Excluded>,
    /// Outfits that the surface showed to be worse than those that ran.
    pub not_run: usize,
    /// How far the surface lay from the exact runs, where it was needed.
    pub surface: Option<Check>,
    /// Outfits that ran, in the order of the field.
    pub outfits: Vec<Shown>,
    /// Places on the front, cheapest first.
    pub front: Vec<usize>,
    /// The outfit worth buying; `None` when nothing ran all years.
    pub chosen: Option<usize>,
    /// Outfits whose difference from it is not significant, in order of cost.
    pub equal: Vec<usize>,
    /// The way of choosing, scored on years that did not choose.
    pub unseen: Option<Unseen>,
    /// Seasons run.
    pub seasons: usize,
    /// Layers of the grid.
    pub layers: usize,
    /// Whether the second rule was left out.
    pub exact: bool,
    /// Comparisons by which its level was divided.
    pub comparisons: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

impl Answer {
    /// Whether some outfit reaches the wanted chance.
    pub fn goal_reached(&self) -> bool {
        self.chosen.is_some_and(|place| reaches(&self.outfits[place].score, self.wanted))
    }
}

/// Weighs everything that may be chosen for one bin of a job.
pub fn weigh(engine: &Engine, job: &Job, field: &Field, rules: Rules, observer: &Arc<dyn Observer>) -> Answer {
    weigh_at_most(engine, job, field, (rules, MOST_CONTENDERS), observer)
}

/// The same with another number of contenders that run exactly.
pub fn weigh_at_most(
    engine: &Engine,
    job: &Job,
    field: &Field,
    (rules, most): (Rules, usize),
    observer: &Arc<dyn Observer>,
) -> Answer {
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
    let carrying: Vec<_> =
        field.settings.iter().map(|s| s.bin.as_ref().map(|b| exclude::carrying(b)).unwrap_or_default()).collect();
    let mut excluded = Vec::new();
    let mut runs: Vec<(usize, AirPoint, Option<f64>)> = Vec::new();
    for (k, candidate) in field.candidates.iter().enumerate() {
        let point = exclude::working_point(field, candidate, job.place.elevation);
        let costs = job.prices.as_ref().map(|prices| &prices.costs);
        let first_cost = costs.and_then(|costs| field.first_cost(candidate, costs));
        // What stands there is run whatever is said against it, so that the others can be held against it.
        let there = candidate.present && field.setting(candidate).bin.is_ok();
        let priced = costs.is_some_and(|costs| !costs.equipment.is_empty()) || field.allowed.budget.is_some();
        match exclude::reason(field, candidate, point.as_ref(), &carrying[candidate.setting], (first_cost, priced)) {
            Some(reason) if !there => {
                excluded.push(Excluded { candidate: k, name: field.name(candidate), reason });
            }
            _ => runs.extend(point.map(|point| (k, point, first_cost))),
        }
    }
    let empty = |candidate: &Candidate, first_cost: Option<f64>| {
        let ledger = ledgers[candidate.setting].as_deref();
        let (bushels, tonnes) = grain(field, candidate, ledger);
        Score {
            owning: ledger.map_or(0.0, |ledger| ledger.owning(first_cost.unwrap_or(0.0))),
            measure: if per_bushel { bushels.unwrap_or(tonnes) } else { tonnes },
            years: vec![None; years.len()],
        }
    };
    let all = runs.len();
    let mut cut_short = false;
    let mut read_off = None;
    if runs.len() > most {
        let surface = surface::surface(engine, field, &runs, &ledgers, &empty, observer);
        let chosen = surface::contenders(&surface.readings, most);
        cut_short = surface.partial;
        runs = chosen.iter().map(|&place| runs[place]).collect();
        let readings: Vec<_> = chosen.iter().map(|&place| surface.readings[place]).collect();
        read_off = Some((readings, surface.seasons));
    }
    let not_run = all - runs.len();
    let contenders: Vec<Contender> = runs
        .iter()
        .map(|&(k, _, first_cost)| {
            let candidate = &field.candidates[k];
            let cases = field.years(candidate).into_iter().filter(|(year, _)| years.contains(year));
            let Score { owning, measure, .. } = empty(candidate, first_cost);
            Contender {
                cases: cases.map(|(year, case)| (year, Arc::new(on_rung(&case, layers)))).collect(),
                owning,
                measure,
                ledger: ledgers[candidate.setting].clone(),
            }
        })
        .collect();
    let race = race(engine, &contenders, years.len(), rules, observer);
    let outfits: Vec<Shown> = runs
        .iter()
        .enumerate()
        .map(|(place, (k, point, first_cost))| {
            shown(field, *k, *point, *first_cost, &race.scores[place], ledgers[field.candidates[*k].setting].as_deref())
        })
        .collect();
    let currency = job.prices.as_ref().map(|prices| prices.currency.clone());
    let mut answer = Answer {
        bin: field.settings[0].bin.as_ref().map(|bin| bin.name.clone()).unwrap_or_default(),
        currency,
        measure: if per_bushel && ledgers.iter().any(Option::is_some) { "bushel" } else { "tonne" },
        base_moisture: ledgers.iter().flatten().next().map(|ledger| ledger.base),
        years,
        wanted: job.chance,
        candidates: field.candidates.len(),
        excluded,
        not_run,
        surface: read_off.map(|(readings, seasons)| surface::check(&readings, &race.scores, seasons)),
        outfits,
        front: Vec::new(),
        chosen: None,
        equal: Vec::new(),
        unseen: None,
        seasons: race.seasons,
        layers,
        exact: rules == Rules::Certain,
        comparisons: race.comparisons,
        partial: race.partial || cut_short,
    };
    settle(&mut answer, &race);
    answer
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
        specific_airflow: point.fan_airflow / volume,
        amperes: allowed.supply.as_ref().and_then(|supply| exclude::code_current(candidate, supply)),
        sound: allowed.quiet.map(|quiet| exclude::sound_at(candidate, &point, quiet.distance)),
        point,
        first_cost,
        lines: ledger.map(|ledger| ledger.lines(first_cost.unwrap_or(0.0), &costs)).unwrap_or_default(),
        unpriced: (first_cost.is_none() && ledger.is_some_and(|l| l.costs().ownership.is_some()))
            || costs.iter().any(YearCost::unpriced),
        bushels,
        tonnes,
        score: score.clone(),
        standing: Standing::Unknown,
    }
}

fn reaches(score: &Score, wanted: f64) -> bool {
    let of = score.years.len().max(1) as f64;
    1.0 - score.failures() as f64 / of >= wanted - 1e-12
}

/// The cheapest of those that reach the wanted chance, else the cheapest of those that fail least; scores over chosen years.
fn best(scores: &[(usize, &Score)], years: &[usize], wanted: f64) -> Option<usize> {
    let of = |score: &Score| {
        let run: Vec<_> = years.iter().filter_map(|&y| score.years[y].as_ref()).collect();
        let failures = run.iter().filter(|year| year.failed()).count();
        let cost = run.iter().map(|year| score.cost_of(year)).sum::<f64>() / run.len().max(1) as f64;
        (failures, cost)
    };
    let allowed = ((1.0 - wanted) * years.len() as f64 + 1e-9).floor() as usize;
    let least = scores.iter().map(|(_, score)| of(score).0).min()?;
    let most = allowed.max(least);
    scores
        .iter()
        .filter(|(_, score)| of(score).0 <= most)
        .min_by(|a, b| of(a.1).1.total_cmp(&of(b.1).1).then(a.0.cmp(&b.0)))
        .map(|(place, _)| *place)
}

/// Finds the front, the choice and what beats the rest.
fn settle(answer: &mut Answer, race: &Race) {
    let complete: Vec<usize> = (0..answer.outfits.len()).filter(|&p| race.scores[p].complete()).collect();
    let mut front: Vec<usize> = complete
        .iter()
        .copied()
        .filter(|&p| race.out[p].is_none() && !complete.iter().any(|&by| dominated(&race.scores[p], &race.scores[by])))
        .collect();
    front.sort_by(|&a, &b| race.scores[a].cost().total_cmp(&race.scores[b].cost()).then(a.cmp(&b)));
    for place in 0..answer.outfits.len() {
        let score = &race.scores[place];
        answer.outfits[place].standing = match (front.contains(&place), race.out[place], score.complete()) {
            (true, ..) => Standing::Front,
            (_, Some(out), _) => Standing::Beaten(beaten(race, place, out.by, Some(out))),
            (_, None, true) => {
                // The nearest of those that are no dearer and fail no oftener.
                let by = front.iter().rev().copied().find(|&by| dominated(score, &race.scores[by]));
                by.map_or(Standing::Unknown, |by| Standing::Beaten(beaten(race, place, by, None)))
            }
            _ => Standing::Unknown,
        };
    }
    let pairs: Vec<(usize, &Score)> = complete.iter().map(|&p| (p, &race.scores[p])).collect();
    let all: Vec<usize> = (0..answer.years.len()).collect();
    answer.chosen = best(&pairs, &all, answer.wanted);
    if let Some(chosen) = answer.chosen {
        let of = &race.scores[chosen];
        answer.equal = complete
            .iter()
            .copied()
            .filter(|&p| p != chosen)
            .filter(|&p| {
                let (worse, better) = race.scores[p].discordant(of);
                let differences = race.scores[p].differences(of);
                let away =
                    above_zero(&differences).min(above_zero(&differences.iter().map(|d| -d).collect::<Vec<_>>()));
                2.0 * away > DIFFERENT && uneven(worse, better) > DIFFERENT
            })
            .collect();
        answer.equal.sort_by(|&a, &b| race.scores[a].cost().total_cmp(&race.scores[b].cost()).then(a.cmp(&b)));
    }
    answer.unseen = unseen(&pairs, answer.years.len(), answer.wanted);
    answer.front = front;
}

fn beaten(race: &Race, place: usize, by: usize, ended: Option<Out>) -> Beaten {
    let (score, other) = (&race.scores[place], &race.scores[by]);
    let differences = score.differences(other);
    let (worse, better) = score.discordant(other);
    Beaten {
        by,
        dearer: differences.iter().sum::<f64>() / differences.len().max(1) as f64,
        more_failures: worse as i64 - better as i64,
        years: differences.len(),
        chance_of_cost: above_zero(&differences),
        chance_of_failures: uneven(worse, better),
        ended,
    }
}

/// Chooses without each part of the years and scores the choice on that part.
fn unseen(scores: &[(usize, &Score)], years: usize, wanted: f64) -> Option<Unseen> {
    if years < 2 * PARTS || scores.is_empty() {
        return None;
    }
    let (mut failures, mut cost) = (0, 0.0);
    for part in 0..PARTS {
        let (kept, left): (Vec<usize>, Vec<usize>) = (0..years).partition(|year| year % PARTS != part);
        let place = best(scores, &kept, wanted)?;
        let score = scores.iter().find(|(p, _)| *p == place)?.1;
        for year in left.iter().filter_map(|&year| score.years[year].as_ref()) {
            failures += usize::from(year.failed());
            cost += score.cost_of(year);
        }
    }
    Some(Unseen { failures, of: years, cost: cost / years as f64, parts: PARTS })
}

/// Money for a measure, in words.
pub fn money(answer: &Answer, amount: f64) -> String {
    match &answer.currency {
        Some(code) if answer.measure == "bushel" => format!("{amount:.3} {code} a bushel"),
        Some(code) => format!("{amount:.2} {code} a tonne"),
        None => format!("{amount:.1} kWh a tonne"),
    }
}

/// The sentence of the answer.
pub fn headline(answer: &Answer) -> Phrase {
    let Some(chosen) = answer.chosen else {
        return Phrase::new("bin {bin}: no outfit has run all years").text("bin", &answer.bin);
    };
    let shown = &answer.outfits[chosen];
    let sentence = match answer.goal_reached() {
        true if shown.present => {
            "bin {bin}: keep what stands there, {name}: the cheapest outfit that reaches the wanted {wanted} %, {cost}, {failed} of \
             {of} years failed"
        }
        true => {
            "bin {bin}: {name} is the cheapest outfit that reaches the wanted {wanted} %: {cost}, {failed} of {of} years failed"
        }
        false => {
            "bin {bin}: nothing reaches the wanted {wanted} %; {name} comes nearest: {cost}, {failed} of {of} years failed"
        }
    };
    Phrase::new(sentence)
        .text("bin", &answer.bin)
        .text("name", &shown.name)
        .text("wanted", format!("{:.0}", 100.0 * answer.wanted))
        .text("cost", money(answer, shown.score.cost()))
        .count("failed", shown.score.failures())
        .count("of", shown.score.run())
}

/// Why an outfit stands where it stands.
pub fn why(answer: &Answer, place: usize) -> Phrase {
    match &answer.outfits[place].standing {
        Standing::Front => Phrase::new("nothing that ran is both cheaper and surer"),
        Standing::Unknown => Phrase::new("not known: the weighing was cut short"),
        Standing::Beaten(by) => {
            let how = match by.ended {
                Some(Out { certain: true, after, .. }) => format!("certain after {after} years"),
                Some(Out { after, .. }) => {
                    format!(
                        "probable after {after} years, at {:.0} % over all comparisons",
                        100.0 * (1.0 - super::race::FAMILY_LEVEL)
                    )
                }
                None => format!(
                    "over all {} years; chance of so large a difference by weather alone {}",
                    by.years,
                    chance(by.chance_of_cost)
                ),
            };
            let failures = match by.more_failures {
                0 => "fails no less often".to_string(),
                more if more > 0 => format!("fails in {more} more years"),
                fewer => format!("fails in {} fewer of the years run", -fewer),
            };
            let cost = match by.dearer >= 0.0 {
                true => format!("{} dearer", money(answer, by.dearer)),
                false => format!("{} cheaper in the years run", money(answer, -by.dearer)),
            };
            Phrase::new("{cost} than {other} and {failures}: {how}")
                .text("cost", cost)
                .text("other", &answer.outfits[by.by].name)
                .text("failures", failures)
                .text("how", how)
        }
    }
}

fn chance(p: f64) -> String {
    if p < 0.001 { "below 0.1 %".into() } else { format!("{:.1} %", 100.0 * p) }
}
