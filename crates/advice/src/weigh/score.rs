//! What became of an outfit in one year, and over the years it has run.

use crate::money::{Ledger, YearCost};
use crate::verdict::{Reading, Verdict, judge};
use season::{CaseSpec, SeasonResult};

/// One outfit in one year.
#[derive(Debug, Clone, PartialEq)]
pub struct YearScore {
    /// Calendar year of the first load.
    pub year: i32,
    /// What became of it.
    pub verdict: Verdict,
    /// What it cost beside owning the outfit; `None` without prices.
    pub cost: Option<YearCost>,
    /// Metered electricity, J.
    pub electricity: f64,
    /// Fuel, kg.
    pub fuel: f64,
    /// Days from the first load to dry.
    pub days: Option<f64>,
    /// Storage life used, strict reading.
    pub life: Option<f64>,
    /// Mean moisture when drying stopped, d.b.
    pub moisture: f64,
}

impl YearScore {
    /// Scores a season.
    pub fn of(year: i32, case: &CaseSpec, result: &SeasonResult, ledger: Option<&Ledger>) -> Self {
        let verdict = judge(&case.programme, result, Reading::Strict);
        Self {
            year,
            verdict,
            cost: ledger.map(|ledger| ledger.year(result, verdict)),
            electricity: result.electricity(),
            fuel: result.fuel,
            days: result.finished_at.map(|hour| (hour - result.started_at) as f64 / 24.0),
            life: result.life_strict,
            moisture: result.moisture_at_stop,
        }
    }

    /// Whether it failed.
    pub fn failed(&self) -> bool {
        !self.verdict.good()
    }

    /// Money of the year beside owning; without prices its electricity in kWh, so that outfits can still be put in order.
    pub fn running(&self) -> f64 {
        self.cost.as_ref().map_or(self.electricity / 3.6e6, YearCost::total)
    }
}

/// An outfit over the years it has run; places of years not run are empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// Owning, money a year.
    pub owning: f64,
    /// Whether owning holds all that the outfit costs to buy, or no money is counted at all.
    pub bought: bool,
    /// Measure by which costs are divided: bushels at base moisture, or tonnes.
    pub measure: f64,
    /// Year by year, in the order of the calendar.
    pub years: Vec<Option<YearScore>>,
}

impl Score {
    /// Years run.
    pub fn run(&self) -> usize {
        self.years.iter().flatten().count()
    }

    /// Whether all years have run.
    pub fn complete(&self) -> bool {
        self.years.iter().all(Option::is_some)
    }

    /// Years failed so far.
    pub fn failures(&self) -> usize {
        self.years.iter().flatten().filter(|year| year.failed()).count()
    }

    /// Whether it failed in every year, all of them run: no outfit at all.
    pub fn hopeless(&self) -> bool {
        self.complete() && !self.years.is_empty() && self.failures() == self.years.len()
    }

    /// Whether all it costs has a price so far. What is not priced counts as nothing, so that a cost is the least it can be.
    pub fn priced(&self) -> bool {
        self.bought && self.years.iter().flatten().all(|year| year.cost.as_ref().is_none_or(|cost| !cost.unpriced()))
    }

    /// Cost of one year for a measure of grain.
    pub fn cost_of(&self, year: &YearScore) -> f64 {
        (self.owning + year.running()) / self.measure
    }

    /// Mean cost for a measure of grain over the years run.
    pub fn cost(&self) -> f64 {
        let run = self.run().max(1) as f64;
        (self.owning + self.years.iter().flatten().map(YearScore::running).sum::<f64>() / run) / self.measure
    }

    /// The least that the mean cost over all years can become: years not run cost nothing beside owning.
    pub fn least_cost(&self) -> f64 {
        let all = self.years.len().max(1) as f64;
        (self.owning + self.years.iter().flatten().map(YearScore::running).sum::<f64>() / all) / self.measure
    }

    /// Differences of cost with another in the years that both have run.
    pub fn differences(&self, other: &Self) -> Vec<f64> {
        let pairs = self.years.iter().zip(&other.years);
        pairs.filter_map(|(a, b)| Some(self.cost_of(a.as_ref()?) - other.cost_of(b.as_ref()?))).collect()
    }

    /// Years in which this one failed and the other did not, and the other way round, of those both have run.
    pub fn discordant(&self, other: &Self) -> (usize, usize) {
        let pairs = self.years.iter().zip(&other.years).filter_map(|(a, b)| Some((a.as_ref()?, b.as_ref()?)));
        pairs.fold((0, 0), |(worse, better), (a, b)| match (a.failed(), b.failed()) {
            (true, false) => (worse + 1, better),
            (false, true) => (worse, better + 1),
            _ => (worse, better),
        })
    }
}

/// Chance that a mean as far above zero comes of differences that have none (paired t, one side); 1 for fewer than three.
pub fn above_zero(differences: &[f64]) -> f64 {
    let n = differences.len() as f64;
    if n < 3.0 {
        return 1.0;
    }
    let mean = differences.iter().sum::<f64>() / n;
    let variance = differences.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (n - 1.0);
    if variance <= 0.0 {
        return if mean > 0.0 { 0.0 } else { 1.0 };
    }
    numerics::student::above(mean / (variance / n).sqrt(), n - 1.0)
}

/// Chance that coins fall at least as unevenly as (worse, better), two sides: the exact test of paired failures.
pub fn uneven(worse: usize, better: usize) -> f64 {
    let n = worse + better;
    let most = worse.max(better);
    let mut choose = 1.0;
    let mut tail = 0.0;
    for k in 0..=n {
        if k >= most {
            tail += choose;
        }
        choose *= (n - k) as f64 / (k + 1) as f64;
    }
    (2.0 * tail * 0.5f64.powi(n as i32)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: six coins all alike two ways in 64; the t of (1, 2, 3) is 2 √3, 0.0371 above it at two degrees of freedom.
    #[test]
    fn tests_of_pairs_agree_with_closed_forms() {
        assert!((uneven(6, 0) - 2.0 / 64.0).abs() < 1e-12);
        assert_eq!(uneven(0, 0), 1.0);
        assert_eq!(uneven(1, 1), 1.0);
        let t = 2.0 * 3f64.sqrt();
        let want = 0.5 - t / (2.0 * (2.0 + t * t).sqrt());
        assert!((above_zero(&[1.0, 2.0, 3.0]) - want).abs() < 1e-12);
        assert_eq!(above_zero(&[1.0, 2.0]), 1.0);
        assert_eq!(above_zero(&[1.0, 1.0, 1.0]), 0.0);
    }
}
