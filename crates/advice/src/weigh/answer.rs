//! The answer: the front of cost against chance of failure, the outfit worth buying with the reason, and the others with what beats
//! them, by how much and how surely.

use super::exclude::Excluded;
use super::race::Out;
use super::score::{Score, YearScore};
use super::settle::reaches;
use super::surface::Check;
use crate::money::CostLine;
use crate::proof::LEVEL;
use crate::verdict::{Cause, Verdict};
use equipment::AirPoint;
use job::change::Change;
use numerics::interval::{Interval, clopper_pearson};

/// Where an outfit stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Standing {
    /// Nothing is both cheaper and surer.
    Front,
    /// Beaten.
    Beaten(Beaten),
    /// Failed in every year: cheap or not, no outfit for this grain.
    Hopeless,
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
    /// Changes of the site file that make it the bin's outfit; nothing where it must be written by hand.
    pub changes: Option<Vec<Change>>,
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
    /// Whether something it costs has no price: its cost is then the least it can be.
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

    /// Causes of its failed years, the most frequent first.
    pub fn causes(&self) -> Vec<(Cause, usize)> {
        let mut counts: Vec<(Cause, usize)> = Vec::new();
        for year in self.score.years.iter().flatten() {
            let Verdict::Failed(cause) = year.verdict else { continue };
            match counts.iter_mut().find(|(other, _)| *other == cause) {
                Some((_, count)) => *count += 1,
                None => counts.push((cause, 1)),
            }
        }
        counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        counts
    }

    /// The worst year: the dearest of the failed ones, else the one that used most storage life.
    pub fn worst(&self) -> Option<&YearScore> {
        self.score.years.iter().flatten().max_by(|a, b| {
            let key = |y: &YearScore| (y.failed(), if y.failed() { y.running() } else { y.life.unwrap_or(0.0) });
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
    /// Whether first costs are spread over years at all (`[prices.ownership]`).
    pub spread: bool,
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
    /// Places of outfits that failed in every year, cheapest first.
    pub hopeless: Vec<usize>,
    /// The outfit worth buying; `None` when nothing ran all years, or everything failed in all of them.
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
