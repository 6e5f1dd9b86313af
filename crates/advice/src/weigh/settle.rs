//! What comes of a race: the front, the choice, who is as good as it, and what beats the rest.

use super::answer::{Answer, Beaten, Standing, Unseen};
use super::race::{Out, Race, dominated};
use super::score::{Score, above_zero, uneven};

/// Level at which a difference of two outfits counts as one.
pub const DIFFERENT: f64 = 0.05;
/// Parts of the years for scoring a choice on years that did not make it.
const PARTS: usize = 4;

/// Whether an outfit reaches the wanted chance, over all its years.
pub(super) fn reaches(score: &Score, wanted: f64) -> bool {
    let of = score.years.len().max(1) as f64;
    !score.hopeless() && 1.0 - score.failures() as f64 / of >= wanted - 1e-12
}

/// The cheapest of those that reach the wanted chance, else the cheapest of those that fail least; scores over chosen years. One
/// that is not priced is taken only where none is: its cost is the least it can be, not what it is.
pub(crate) fn best(scores: &[(usize, &Score)], years: &[usize], wanted: f64) -> Option<usize> {
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
        .min_by(|a, b| {
            let priced = |score: &Score| !score.priced();
            priced(a.1).cmp(&priced(b.1)).then(of(a.1).1.total_cmp(&of(b.1).1)).then(a.0.cmp(&b.0))
        })
        .map(|(place, _)| *place)
}

/// Whether two outfits cannot be told apart by the years both have run: neither in cost nor in failures.
pub(super) fn alike(a: &Score, b: &Score) -> bool {
    let (worse, better) = a.discordant(b);
    let differences = a.differences(b);
    let turned: Vec<f64> = differences.iter().map(|d| -d).collect();
    2.0 * above_zero(&differences).min(above_zero(&turned)) > DIFFERENT && uneven(worse, better) > DIFFERENT
}

/// Finds the front, the choice and what beats the rest.
pub(super) fn settle(answer: &mut Answer, race: &Race) {
    let complete: Vec<usize> = (0..answer.outfits.len()).filter(|&p| race.scores[p].complete()).collect();
    let (mut hopeless, hopeful): (Vec<usize>, Vec<usize>) = complete.iter().partition(|&&p| race.scores[p].hopeless());
    let mut front: Vec<usize> = hopeful
        .iter()
        .copied()
        .filter(|&p| race.out[p].is_none() && !complete.iter().any(|&by| dominated(&race.scores[p], &race.scores[by])))
        .collect();
    let cheapest_first = |list: &mut Vec<usize>| {
        list.sort_by(|&a, &b| race.scores[a].cost().total_cmp(&race.scores[b].cost()).then(a.cmp(&b)));
    };
    cheapest_first(&mut front);
    cheapest_first(&mut hopeless);
    for place in 0..answer.outfits.len() {
        let score = &race.scores[place];
        answer.outfits[place].standing = match (front.contains(&place), race.out[place], score.complete()) {
            (true, ..) => Standing::Front,
            _ if score.hopeless() => Standing::Hopeless,
            (_, Some(out), _) => Standing::Beaten(beaten(race, place, out.by, Some(out))),
            (_, None, true) => {
                // The nearest of those that are no dearer and fail no oftener.
                let by = front.iter().rev().copied().find(|&by| dominated(score, &race.scores[by]));
                by.map_or(Standing::Unknown, |by| Standing::Beaten(beaten(race, place, by, None)))
            }
            _ => Standing::Unknown,
        };
    }
    let pairs: Vec<(usize, &Score)> = hopeful.iter().map(|&p| (p, &race.scores[p])).collect();
    let all: Vec<usize> = (0..answer.years.len()).collect();
    answer.chosen = best(&pairs, &all, answer.wanted);
    if let Some(chosen) = answer.chosen {
        answer.equal =
            hopeful.iter().copied().filter(|&p| p != chosen && alike(&race.scores[p], &race.scores[chosen])).collect();
        cheapest_first(&mut answer.equal);
    }
    answer.unseen = unseen(&pairs, answer.years.len(), answer.wanted);
    answer.front = front;
    answer.hopeless = hopeless;
}

/// What one outfit is beaten by.
pub(super) fn beaten(race: &Race, place: usize, by: usize, ended: Option<Out>) -> Beaten {
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
