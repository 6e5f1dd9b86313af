//! What those hear who watch a weighing: the field once it is sorted, then how the contenders stand after each round.

use super::exclude::Excluded;
use super::field::Field;
use super::race::Race;

/// How a contender stands while the race goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointState {
    /// Read off the response surface, not run yet: cost and failed years are about what they will be.
    Read,
    /// Still in the race.
    Running,
    /// Has run all years.
    Complete,
    /// Beaten, certainly or probably.
    Beaten,
    /// Has failed in every year, all of them run.
    Hopeless,
}

/// One contender as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Number of its candidate.
    pub candidate: usize,
    /// Its name.
    pub name: String,
    /// Mean cost for the measure over the years run; electricity in kWh without prices.
    pub cost: f64,
    /// Whether something it costs has no price.
    pub unpriced: bool,
    /// Years failed so far; of one that was only read off, about how many of all.
    pub failed: usize,
    /// Years run so far.
    pub run: usize,
    /// How it stands.
    pub state: PointState,
}

/// News of a weighing.
#[derive(Debug, Clone, PartialEq)]
pub enum News<'a> {
    /// What may be chosen, what of it fell out before any season ran, and how many are left.
    Sorted {
        /// Candidates.
        candidates: usize,
        /// Those that fell out.
        excluded: &'a [Excluded],
        /// Those that are left.
        left: usize,
        /// Years that each of them is to meet.
        years: &'a [i32],
    },
    /// How the contenders stand.
    Stands {
        /// The contenders that have run a year at least; before the first round of a large field, those read off.
        points: &'a [Point],
        /// Seasons run so far.
        seasons: usize,
    },
}

/// The contenders of a race that have run at all; `candidates` are their numbers in the field.
pub(super) fn points(field: &Field, candidates: &[usize], race: &Race) -> Vec<Point> {
    let one = |(place, &candidate): (usize, &usize)| {
        let score = &race.scores[place];
        let state = match (race.out[place], score.hopeless(), score.complete()) {
            (Some(_), ..) => PointState::Beaten,
            (None, true, _) => PointState::Hopeless,
            (None, false, true) => PointState::Complete,
            (None, false, false) => PointState::Running,
        };
        (score.run() > 0).then(|| Point {
            candidate,
            name: field.name(&field.candidates[candidate]),
            cost: score.cost(),
            unpriced: !score.priced(),
            failed: score.failures(),
            run: score.run(),
            state,
        })
    };
    candidates.iter().enumerate().filter_map(one).collect()
}
