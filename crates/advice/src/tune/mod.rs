//! A control beyond practice for the outfit that stands there: of the rules that a panel takes, the one that costs least at the wanted
//! risk, found over the years and scored on years and sensors that did not find it.
//!
//! Every rule of [`rules`] is run in all years with the sensors of the site. The years are cut in two, every second one; a rule is found
//! on each half and scored on the other with sensors whose errors are drawn anew. What that comes to is the promise; the rule that is
//! given is then found on all years. Leaves out rules that see the weather to come.

pub mod rules;
pub mod says;

use crate::money::Ledger;
use crate::proof::{Accuracy, on_rung};
use crate::weigh::score::{Score, YearScore, above_zero, uneven};
use crate::weigh::settle::best;
use ensemble::{Batch, Engine, Observer, Priority};
use job::change::Change;
use job::{Base, Library};
use physics::grain::wet_basis;
use rules::PanelRule;
use season::operations::{Band, SensorErrors};
use season::{CaseSpec, Record};
use std::sync::Arc;

/// Seed of the sensors by which rules are scored: another than that by which they are found.
const OTHER_SENSORS: u64 = 0x6f_74_68_65_72;
/// Parts into which the years are cut.
pub const PARTS: usize = 2;

/// A rule with what became of it in all years.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The rule.
    pub rule: PanelRule,
    /// As the table `control` of a site file.
    pub text: String,
    /// Its years with the sensors of the site.
    pub score: Score,
    /// Its years with other sensors; nothing for those that were only tried.
    pub unseen: Option<Score>,
}

/// The found way of control against another rule, on years and sensors that did not find it.
#[derive(Debug, Clone, PartialEq)]
pub struct Against {
    /// Place of the other rule among the tried ones.
    pub other: usize,
    /// Years.
    pub years: usize,
    /// Years failed: with the way found, with the other.
    pub failures: (usize, usize),
    /// What it saves a year for the measure; below zero where it costs more.
    pub saves: f64,
    /// Chance that as much comes of these years alone (paired t, one side, of whichever is cheaper).
    pub chance_of_cost: f64,
    /// The same of the failures (exact test of pairs, two sides).
    pub chance_of_failures: f64,
}

/// What came of tuning a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Tuning {
    /// Bin.
    pub bin: String,
    /// Currency; nothing without prices: costs are then kWh.
    pub currency: Option<String>,
    /// What costs are for: `bushel` or `tonne`.
    pub measure: &'static str,
    /// Wanted chance.
    pub wanted: f64,
    /// Years.
    pub years: Vec<i32>,
    /// Rules tried; the usual ones first.
    pub tried: Vec<Tried>,
    /// Place of the rule found on all years; nothing where none is good in any year.
    pub found: Option<usize>,
    /// Places of the rules found on each half of the years.
    pub halves: Vec<usize>,
    /// The way of finding, with the year's rule found on the other half, against the usual rules; those that are scored.
    pub against: Vec<Against>,
    /// Years that failed with rules found without them, of all.
    pub unseen_failures: usize,
    /// Mean cost of the same.
    pub unseen_cost: f64,
    /// Sensors by which rules were scored.
    pub sensors: Band,
    /// Whether the site says that its sensors are ideal, so that usual ones were taken for scoring.
    pub ideal: bool,
    /// Layers of the grid.
    pub layers: usize,
    /// Seasons run.
    pub seasons: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

/// Looks for the rule of a bin.
///
/// # Errors
/// Where the crop has no moisture table that a control could hold.
pub fn tune(
    engine: &Engine,
    (base, bin): (&Base, usize),
    library: &dyn Library,
    observer: &Arc<dyn Observer>,
) -> Result<Tuning, Box<notice::Diagnostic>> {
    let (job, facts) = (base.job(), &base.facts().bins[bin]);
    let resolved = &job.bins[bin];
    let (crop, _) = library.crops().find(&facts.lots[0].crop)?;
    let at = || notice::Place::file(format!("bins.{}.lots", facts.name));
    let set = crop.isotherm(facts.lots[0].relation.as_deref()).map_err(|missing| Box::new(missing.diagnostic(at())))?;
    let goal = wet_basis(resolved.template.programme.target);
    let tried = rules::rules(&facts.outfit.control, goal, set.form, facts.outfit.burner.is_some());
    let ledger = job.prices.as_ref().map(|prices| Ledger::of(resolved, prices, job.remedy.as_ref()));
    let measure = match &ledger {
        Some(ledger) => ledger.bushels().unwrap_or(ledger.tonnes()),
        None => resolved.survey.dry_matter() * (1.0 + resolved.template.programme.target) / 1000.0,
    };
    let band = facts.outfit.sensors.unwrap_or(Band::USUAL);
    let layers = Accuracy::Verdict.first_rung();
    let work = Work { engine, ledger: ledger.as_ref(), measure, layers, observer };
    let of_site = |rule: &PanelRule| of_rule(&resolved.years, rule, |_, case| case.operations.sensors);
    let (scores, cut) = work.run(tried.iter().map(of_site).collect());
    let mut tuning = Tuning {
        bin: resolved.name.clone(),
        currency: job.prices.as_ref().map(|prices| prices.currency.clone()),
        measure: if ledger.as_ref().is_some_and(|l| l.bushels().is_some()) { "bushel" } else { "tonne" },
        wanted: job.chance,
        years: resolved.years.iter().map(|(year, _)| *year).collect(),
        tried: tried
            .into_iter()
            .zip(scores)
            .map(|(rule, score)| Tried {
                text: job::outfit_text::control(&rule.control).unwrap_or_default(),
                rule,
                score,
                unseen: None,
            })
            .collect(),
        found: None,
        halves: Vec::new(),
        against: Vec::new(),
        unseen_failures: 0,
        unseen_cost: 0.0,
        sensors: band,
        ideal: facts.outfit.sensors.is_none(),
        layers,
        seasons: 0,
        partial: cut,
    };
    tuning.count();
    if cut {
        return Ok(tuning);
    }
    tuning.find();
    // Scored with other sensors: what was found, on each half and on all, and the usual rules.
    let mut scored: Vec<usize> = (0..tuning.tried.len()).filter(|&k| tuning.tried[k].rule.usual.is_some()).collect();
    scored.extend(tuning.halves.iter().chain(&tuning.found).copied());
    scored.sort_unstable();
    scored.dedup();
    let other = |year: i32, _: &CaseSpec| SensorErrors::drawn(OTHER_SENSORS ^ ((year as u64) << 32), band);
    let cases = scored.iter().map(|&k| of_rule(&resolved.years, &tuning.tried[k].rule, other)).collect();
    let (scores, cut) = work.run(cases);
    for (&place, score) in scored.iter().zip(scores) {
        tuning.tried[place].unseen = score.complete().then_some(score);
    }
    tuning.partial = cut;
    tuning.count();
    if !cut {
        tuning.hold();
    }
    Ok(tuning)
}

struct Work<'a> {
    engine: &'a Engine,
    ledger: Option<&'a Ledger>,
    measure: f64,
    layers: usize,
    observer: &'a Arc<dyn Observer>,
}

impl Work<'_> {
    /// Runs the years of rules together; the flag says whether it was cut short.
    fn run(&self, rules: Vec<Vec<(i32, CaseSpec)>>) -> (Vec<Score>, bool) {
        let cases: Vec<Vec<(i32, Arc<CaseSpec>)>> = rules
            .into_iter()
            .map(|years| years.into_iter().map(|(y, case)| (y, Arc::new(on_rung(&case, self.layers)))).collect())
            .collect();
        let outcome = self.engine.run(Batch {
            cases: cases.iter().flatten().map(|(_, case)| Arc::clone(case)).collect(),
            record: Record::Summary,
            priority: Priority::Background,
            observer: Arc::clone(self.observer),
        });
        let mut results = outcome.results.iter();
        let scores = cases
            .iter()
            .map(|years| Score {
                owning: 0.0,
                bought: true,
                measure: self.measure,
                years: years
                    .iter()
                    .zip(results.by_ref())
                    .map(|((year, case), result)| Some(YearScore::of(*year, case, result.as_ref()?, self.ledger)))
                    .collect(),
            })
            .collect();
        (scores, outcome.cancelled)
    }
}

/// The years of a rule, with the sensors of each.
fn of_rule(
    years: &[(i32, Arc<CaseSpec>)],
    rule: &PanelRule,
    sensors: impl Fn(i32, &CaseSpec) -> SensorErrors,
) -> Vec<(i32, CaseSpec)> {
    years
        .iter()
        .map(|(year, case)| {
            let mut other = CaseSpec::clone(case);
            other.control = equipment::Control { fans: case.control.fans, ..rule.control };
            other.operations.sensors = sensors(*year, case);
            (*year, other)
        })
        .collect()
}

impl Tuning {
    /// Whether the way of finding reaches the wanted chance on years and sensors that did not find the rule.
    pub fn goal_reached(&self) -> bool {
        let of = self.years.len().max(1) as f64;
        !self.against.is_empty() && 1.0 - self.unseen_failures as f64 / of >= self.wanted - 1e-12
    }

    /// The changes of the site text that set the found rule.
    pub fn changes(&self) -> Option<Vec<Change>> {
        let path = || format!("bins.{}.outfit.control", self.bin);
        let text = self.tried[self.found?].text.clone();
        // A table is taken away whole before another one takes its place.
        Some(vec![Change { path: path(), value_text: String::new() }, Change { path: path(), value_text: text }])
    }

    fn count(&mut self) {
        self.seasons = self.tried.iter().map(|t| t.score.run() + t.unseen.as_ref().map_or(0, Score::run)).sum();
    }

    /// Finds a rule on all years and one on each half.
    fn find(&mut self) {
        let all: Vec<usize> = (0..self.years.len()).collect();
        let half = |part: usize| -> Vec<usize> { all.iter().copied().filter(|year| year % PARTS != part).collect() };
        let scores: Vec<(usize, &Score)> = self
            .tried
            .iter()
            .map(|tried| &tried.score)
            .enumerate()
            .filter(|(_, score)| score.complete() && !score.hopeless())
            .collect();
        self.found = best(&scores, &all, self.wanted);
        self.halves = (0..PARTS).filter_map(|part| best(&scores, &half(part), self.wanted)).collect();
    }

    /// Holds the way of finding against the usual rules: each year with the rule that the other years found.
    fn hold(&mut self) {
        if self.halves.len() != PARTS {
            return;
        }
        let of = |place: usize| self.tried[place].unseen.as_ref();
        let years = self.years.len();
        let mut own = Vec::with_capacity(years);
        for year in 0..years {
            let Some(score) = of(self.halves[year % PARTS]) else { return };
            own.push(score.years[year].clone());
        }
        let Some(first) = of(self.halves[0]) else { return };
        let own = Score { owning: 0.0, bought: true, measure: first.measure, years: own };
        let usual: Vec<usize> = (0..self.tried.len()).filter(|&k| self.tried[k].rule.usual.is_some()).collect();
        self.against = usual
            .into_iter()
            .filter_map(|other| {
                let score = of(other)?;
                let differences = score.differences(&own);
                let saves = differences.iter().sum::<f64>() / differences.len().max(1) as f64;
                let turned: Vec<f64> = differences.iter().map(|d| d * saves.signum()).collect();
                let (worse, better) = own.discordant(score);
                Some(Against {
                    other,
                    years: differences.len(),
                    failures: (own.failures(), score.failures()),
                    saves,
                    chance_of_cost: above_zero(&turned),
                    chance_of_failures: uneven(worse, better),
                })
            })
            .collect();
        self.unseen_failures = own.failures();
        self.unseen_cost = own.cost();
    }
}
