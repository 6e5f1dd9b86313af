//! The race: all contenders meet the same years, in rounds, in one fixed order of years; who is beaten falls out at the end of a
//! round.
//!
//! Scouts run first: the present outfit and, for each number of failures after the first years, the cheapest. Their bad years stand
//! first in the order, so that a contender that cannot help there shows it early. After each round the leaders of those still
//! running go through all years as well, so that the others are held against the best there is. *Certainly* beaten is who cannot
//! come level with a complete outfit however its other years turn out; *probably* beaten who failed in as many years already as a
//! complete outfit in all, and costs more at the stated level over all comparisons made. With the first rule alone the answer is
//! that of running everything.

use super::score::{Score, YearScore, above_zero};
use ensemble::{Batch, Engine, Observer, Priority};
use season::{CaseSpec, Record};
use std::sync::Arc;

/// Family-wise level of the second rule.
pub const FAMILY_LEVEL: f64 = 0.05;
/// Years of the first round and of those after it; the last round takes what is left.
const ROUNDS: [usize; 4] = [3, 4, 4, 6];
/// Years that the second rule wants to have seen: means of fewer are too far from a normal law for its test (judgement).
const LEAST_YEARS: usize = 6;
/// Contenders that go through all years before the rounds begin, beside the present outfit.
const SCOUTS: usize = 3;
/// Leaders that go through all years after a round.
const LEADERS: usize = 2;
/// Complete outfits that a contender is held against by the second rule in one round: the cheapest at each number of failures, the
/// surest first.
const JUDGES: usize = 4;

/// Which rules end a contender.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rules {
    /// Certain ones alone.
    Certain,
    /// Probable ones too.
    Probable,
}

/// Why a contender did not run all years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Out {
    /// By whom: number of a contender that has run all years.
    pub by: usize,
    /// Whether it could not have come level; else it is so at this level, all comparisons counted.
    pub certain: bool,
    /// Years it had run.
    pub after: usize,
}

/// A contender: its years in the order of the calendar, and what scores them.
#[derive(Debug, Clone)]
pub struct Contender {
    /// The years.
    pub cases: Vec<(i32, Arc<CaseSpec>)>,
    /// What scores them.
    pub ledger: Option<Arc<crate::money::Ledger>>,
    /// Its score before any year has run.
    pub empty: Score,
}

/// What came of a race.
#[derive(Debug, Clone, PartialEq)]
pub struct Race {
    /// Scores, in the order of the contenders.
    pub scores: Vec<Score>,
    /// Who fell out, and why.
    pub out: Vec<Option<Out>>,
    /// Seasons run.
    pub seasons: usize,
    /// Comparisons that the level of the second rule was divided by.
    pub comparisons: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

/// Who hears how a race stands after each round.
pub type Told<'a> = &'a dyn Fn(&Race);

struct Running<'a> {
    engine: &'a Engine,
    observer: &'a Arc<dyn Observer>,
    told: Told<'a>,
    contenders: &'a [Contender],
    race: Race,
}

/// Runs a race over years `0..years` (places in every contender's list). `told` hears how it stands after each round.
pub fn race(
    engine: &Engine,
    contenders: &[Contender],
    years: usize,
    rules: Rules,
    (observer, told): (&Arc<dyn Observer>, Told<'_>),
) -> Race {
    let race = Race {
        scores: contenders.iter().map(|c| c.empty.clone()).collect(),
        out: vec![None; contenders.len()],
        seasons: 0,
        comparisons: contenders.len() * (ROUNDS.len() + 1) * JUDGES,
        partial: false,
    };
    let mut running = Running { engine, observer, told, contenders, race };
    let everyone: Vec<usize> = (0..contenders.len()).collect();
    // Spread over the record, so that no decade decides alone.
    let first: Vec<usize> =
        (0..ROUNDS[0].min(years)).map(|k| (2 * k + 1) * years / (2 * ROUNDS[0].min(years))).collect();
    running.run(&everyone, &first);
    let all: Vec<usize> = (0..years).collect();
    let mut scouts: Vec<usize> = if contenders.is_empty() { Vec::new() } else { vec![0] };
    scouts.extend(running.leaders(SCOUTS).into_iter().filter(|&c| c != 0));
    scouts.sort_unstable();
    running.run(&scouts, &all);
    let order = running.order(&scouts, &first);
    running.eliminate(rules);
    let mut from = 0;
    for size in ROUNDS[1..].iter().copied().chain([years]) {
        let round = &order[from..(from + size).min(order.len())];
        from += round.len();
        let left: Vec<usize> = everyone.iter().copied().filter(|&c| running.race.out[c].is_none()).collect();
        running.run(&left, round);
        running.eliminate(rules);
        let leaders = running.leaders(LEADERS);
        running.run(&leaders, &all);
        running.eliminate(rules);
    }
    running.race
}

impl Running<'_> {
    /// Runs years of contenders that have not run yet.
    fn run(&mut self, contenders: &[usize], years: &[usize]) {
        if self.race.partial {
            return;
        }
        let places: Vec<(usize, usize)> = contenders
            .iter()
            .flat_map(|&c| years.iter().map(move |&y| (c, y)))
            .filter(|&(c, y)| self.race.scores[c].years[y].is_none())
            .collect();
        let cases = places.iter().map(|&(c, y)| Arc::clone(&self.contenders[c].cases[y].1)).collect();
        let outcome = self.engine.run(Batch {
            cases,
            record: Record::Summary,
            priority: Priority::Background,
            observer: Arc::clone(self.observer),
        });
        self.race.partial |= outcome.cancelled;
        for (&(c, y), result) in places.iter().zip(&outcome.results) {
            let Some(result) = result else { continue };
            self.race.seasons += 1;
            let contender = &self.contenders[c];
            let (year, case) = &contender.cases[y];
            self.race.scores[c].years[y] = Some(YearScore::of(*year, case, result, contender.ledger.as_deref()));
        }
        (self.told)(&self.race);
    }

    /// Of those still running, for each number of failures so far the cheapest that is cheaper than all that fail less; the surest
    /// first, at most so many.
    fn leaders(&self, most: usize) -> Vec<usize> {
        let scores = &self.race.scores;
        let left = (0..scores.len()).filter(|&c| self.race.out[c].is_none() && !scores[c].complete()).collect();
        let mut leaders = cheapest_by_failures(scores, left);
        leaders.truncate(most);
        leaders
    }

    /// Years not run by everyone yet: those first in which most scouts failed, then those with most storage life used.
    fn order(&self, scouts: &[usize], first: &[usize]) -> Vec<usize> {
        let hard = |y: usize| {
            let seen = || scouts.iter().filter_map(move |&s| self.race.scores[s].years[y].as_ref());
            let life = seen().filter_map(|year| year.life).fold(0.0, f64::max);
            (seen().filter(|year| year.failed()).count(), life)
        };
        let years = self.race.scores.first().map_or(0, |score| score.years.len());
        let mut order: Vec<usize> = (0..years).filter(|y| !first.contains(y)).collect();
        order.sort_by(|&a, &b| {
            let ((fa, la), (fb, lb)) = (hard(a), hard(b));
            fb.cmp(&fa).then(lb.total_cmp(&la)).then(a.cmp(&b))
        });
        order
    }

    /// Takes out who is beaten by a complete outfit.
    fn eliminate(&mut self, rules: Rules) {
        if self.race.partial {
            return;
        }
        let complete: Vec<usize> = (0..self.race.scores.len()).filter(|&c| self.race.scores[c].complete()).collect();
        let mut judges = cheapest_by_failures(&self.race.scores, complete.clone());
        judges.truncate(JUDGES);
        for c in 0..self.race.scores.len() {
            let score = &self.race.scores[c];
            if self.race.out[c].is_some() || score.complete() {
                continue;
            }
            let better = |&&b: &&usize| beats(&self.race.scores[b], score);
            let certain = complete.iter().find(better).map(|&by| Out { by, certain: true, after: score.run() });
            let level = FAMILY_LEVEL / self.race.comparisons.max(1) as f64;
            let probable = || {
                let likely = |&&b: &&usize| {
                    let other = &self.race.scores[b];
                    let differences = score.differences(other);
                    differences.len() >= LEAST_YEARS
                        && comparable(other, score)
                        && score.failures() >= other.failures()
                        && above_zero(&differences) < level
                };
                judges.iter().find(likely).map(|&by| Out { by, certain: false, after: score.run() })
            };
            self.race.out[c] = match rules {
                Rules::Certain => certain,
                Rules::Probable => certain.or_else(probable),
            };
        }
        (self.told)(&self.race);
    }
}

/// Of some contenders those that are cheaper than all of them that fail less: the surest first. What has no price is taken only
/// where nothing else fails as little.
fn cheapest_by_failures(scores: &[Score], mut of: Vec<usize>) -> Vec<usize> {
    let key = |c: usize| (scores[c].failures(), !scores[c].priced());
    of.sort_by(|&a, &b| key(a).cmp(&key(b)).then(scores[a].cost().total_cmp(&scores[b].cost())).then(a.cmp(&b)));
    let mut chosen: Vec<usize> = Vec::new();
    for c in of {
        let better = |&last: &usize| {
            key(c).0 > key(last).0 && scores[c].cost() < scores[last].cost() && comparable(&scores[c], &scores[last])
        };
        if chosen.last().is_none_or(better) {
            chosen.push(c);
        }
    }
    chosen
}

/// Whether an outfit may be called cheaper than another: what has no price counts as nothing, so it wins no comparison with one
/// that is priced.
fn comparable(cheaper: &Score, other: &Score) -> bool {
    cheaper.priced() || !other.priced()
}

/// Whether a complete outfit beats another however that one's other years turn out: no more failures, no dearer, and better in one of
/// the two.
fn beats(complete: &Score, other: &Score) -> bool {
    if !comparable(complete, other) {
        return false;
    }
    let (fewer, cheaper) = (complete.failures(), complete.cost());
    let (failures, cost) = (other.failures(), other.least_cost());
    fewer <= failures && cheaper <= cost && (fewer < failures || cheaper < cost)
}

/// Whether one complete outfit is dominated by another.
pub fn dominated(score: &Score, by: &Score) -> bool {
    beats(by, score)
}
