//! All years of a bin: how many are met, held or failed, and what that says of the chance.

use crate::money::Tariff;
use crate::verdict::{Reading, Verdict, judge};
use ensemble::{Batch, Engine, Observer, Priority};
use notice::Remarks;
use numerics::interval::{Interval, clopper_pearson};
use numerics::quantile::{mean, quantile};
use season::{CaseSpec, Record, SeasonResult};
use std::sync::Arc;

/// Layers of the fixed ladder.
pub const LADDER: [usize; 5] = [20, 32, 48, 72, 108];
/// Confidence of the sampling interval over years.
pub const LEVEL: f64 = 0.95;

/// How finely the bed is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Accuracy {
    /// Lowest rung: for looking while dragging; marked "about", never stored or printed.
    Preview,
    /// The rung at which halving the grid moves no year's verdict, as far as two rungs can show.
    Verdict,
    /// A rung of the user's choosing.
    Layers(usize),
}

impl Accuracy {
    /// Rung to begin with.
    pub fn first_rung(self) -> usize {
        match self {
            Self::Preview => LADDER[0],
            Self::Verdict => LADDER[1],
            Self::Layers(n) => n,
        }
    }
}

/// What is to be proven.
#[derive(Debug, Clone)]
pub struct ProofInput {
    /// Years with complete weather, in order.
    pub years: Vec<(i32, Arc<CaseSpec>)>,
    /// Years left out, with the reason.
    pub left_out: Vec<(i32, String)>,
    /// Chance that is wanted.
    pub chance: f64,
}

impl ProofInput {
    /// The years of a bin.
    pub fn of(bin: &job::BinJob, chance: f64) -> Self {
        Self { years: bin.years.clone(), left_out: bin.left_out.clone(), chance }
    }
}

/// One year's result.
#[derive(Debug, Clone)]
pub struct YearResult {
    /// Calendar year of the first load.
    pub year: i32,
    /// What became of it, by the strict reading.
    pub verdict: Verdict,
    /// What it would be by the published reading.
    pub verdict_published: Verdict,
    /// Layers of the grid on which it was judged.
    pub layers: usize,
    /// Whether two rungs of the ladder agreed on the verdict (always true for a preview, which looks at one).
    pub settled: bool,
    /// The season.
    pub result: SeasonResult,
}

/// Which years a quantity is taken over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Years {
    /// All that were judged.
    All,
    /// Those met or held: a failed year runs its fans longer or gives up early, and speaks of no season that succeeds.
    Good,
}

/// A quantity over the years.
#[derive(Debug, Clone, PartialEq)]
pub struct Distribution {
    /// Number of years that have it.
    pub count: usize,
    /// Mean.
    pub mean: f64,
    /// Smallest.
    pub least: f64,
    /// One year in ten is below.
    pub tenth: f64,
    /// Half the years are below.
    pub median: f64,
    /// One year in ten is above.
    pub ninetieth: f64,
    /// Largest.
    pub largest: f64,
}

impl Distribution {
    /// Of a sample; `None` when it is empty.
    pub fn of(sample: &[f64]) -> Option<Self> {
        let at = |share| quantile(sample, share);
        Some(Self {
            count: sample.len(),
            mean: mean(sample)?,
            least: at(0.0)?,
            tenth: at(0.1)?,
            median: at(0.5)?,
            ninetieth: at(0.9)?,
            largest: at(1.0)?,
        })
    }
}

/// All years judged.
#[derive(Debug, Clone)]
pub struct Proof {
    /// Year by year.
    pub years: Vec<YearResult>,
    /// Years left out, with reasons.
    pub left_out: Vec<(i32, String)>,
    /// Years met.
    pub met: usize,
    /// Years held over winter.
    pub held: usize,
    /// Years failed.
    pub failed: usize,
    /// Share of years met or held.
    pub probability: Option<f64>,
    /// What so many years say of the chance: sampling alone.
    pub interval: Option<Interval>,
    /// Chance wanted.
    pub chance: f64,
    /// Whether it was cut short.
    pub partial: bool,
}

impl Proof {
    /// What is to be said of its seasons, each remark once with the years it was said of.
    pub fn remarks(&self) -> Remarks {
        Remarks::over_years(self.years.iter().map(|year| &year.result.remarks))
    }

    /// Years judged.
    pub fn of(&self) -> usize {
        self.years.len()
    }

    /// Whether the wanted chance was reached in the years seen.
    pub fn goal_reached(&self) -> bool {
        self.probability.is_some_and(|p| p >= self.chance - 1e-12)
    }

    /// Days from first load to dry.
    pub fn days(&self, years: Years) -> Option<Distribution> {
        self.over(years, |r| r.finished_at.map(|h| (h - r.started_at) as f64 / 24.0))
    }

    /// Storage life used by the strict reading.
    pub fn life(&self, years: Years) -> Option<Distribution> {
        self.over(years, |r| r.life_strict)
    }

    /// Metered electricity, J.
    pub fn energy(&self, years: Years) -> Option<Distribution> {
        self.over(years, |r| Some(r.electricity()))
    }

    /// Fan hours until drying stopped.
    pub fn fan_hours(&self, years: Years) -> Option<Distribution> {
        self.over(years, |r| Some(r.drying_fan_hours))
    }

    /// Cost of electricity and fuel, in the currency of the tariff.
    pub fn cost(&self, years: Years, tariff: &Tariff) -> Option<Distribution> {
        self.over(years, |r| tariff.cost(r).and_then(|cost| cost.total()))
    }

    /// A quantity of the seasons over the years that have it.
    pub fn over(&self, years: Years, pick: impl Fn(&SeasonResult) -> Option<f64>) -> Option<Distribution> {
        let wanted = |y: &&YearResult| years == Years::All || y.verdict.good();
        let sample: Vec<f64> = self.years.iter().filter(wanted).filter_map(|y| pick(&y.result)).collect();
        Distribution::of(&sample)
    }
}

/// A case on another rung of the ladder.
pub fn on_rung(case: &CaseSpec, layers: usize) -> CaseSpec {
    let mut case = case.clone();
    case.grain.group.layers = layers;
    case
}

/// Runs and judges all years.
///
/// At verdict accuracy every year is run on two neighbouring rungs of the ladder. Years whose verdict differs climb until
/// two neighbours agree or the ladder ends; what is reported is the finer of the two, and years that never settled say so.
pub fn prove(
    engine: &Engine,
    input: &ProofInput,
    accuracy: Accuracy,
    record: Record,
    priority: Priority,
    observer: &Arc<dyn Observer>,
) -> Proof {
    let run = |cases: Vec<Arc<CaseSpec>>, record: Record| {
        engine.run(Batch { cases, record, priority, observer: Arc::clone(observer) })
    };
    let first = accuracy.first_rung();
    let begin: Vec<_> = input.years.iter().map(|(_, case)| Arc::new(on_rung(case, first))).collect();
    let coarse_record = if accuracy == Accuracy::Verdict { Record::Summary } else { record };
    let outcome = run(begin, coarse_record);
    let mut partial = outcome.cancelled;
    let mut years: Vec<Option<YearResult>> = input
        .years
        .iter()
        .zip(outcome.results)
        .map(|((year, case), result)| result.map(|r| year_result(*year, case, r, first)))
        .collect();
    if accuracy == Accuracy::Verdict && !partial {
        let mut open: Vec<usize> = (0..years.len()).collect();
        for &layers in LADDER.iter().filter(|&&n| n > first) {
            if open.is_empty() || partial {
                break;
            }
            let cases: Vec<_> = open.iter().map(|&i| Arc::new(on_rung(&input.years[i].1, layers))).collect();
            let outcome = run(cases, record);
            partial = outcome.cancelled;
            let mut still_open = Vec::new();
            for (&i, result) in open.iter().zip(outcome.results) {
                let Some(result) = result else { continue };
                let (year, case) = &input.years[i];
                let mut finer = year_result(*year, case, result, layers);
                finer.settled = years[i].as_ref().is_some_and(|coarse| coarse.verdict == finer.verdict);
                if !finer.settled {
                    still_open.push(i);
                }
                years[i] = Some(finer);
            }
            open = still_open;
        }
    }
    collect(years.into_iter().flatten().collect(), input, partial)
}

fn year_result(year: i32, case: &CaseSpec, result: SeasonResult, layers: usize) -> YearResult {
    YearResult {
        year,
        verdict: judge(&case.programme, &result, Reading::Strict),
        verdict_published: judge(&case.programme, &result, Reading::Published),
        layers,
        settled: true,
        result,
    }
}

fn collect(years: Vec<YearResult>, input: &ProofInput, partial: bool) -> Proof {
    let count = |wanted: fn(Verdict) -> bool| years.iter().filter(|y| wanted(y.verdict)).count();
    let met = count(|v| v == Verdict::Met);
    let held = count(|v| v == Verdict::Held);
    let of = years.len();
    let good = met + held;
    Proof {
        met,
        held,
        failed: of - good,
        probability: (of > 0).then(|| good as f64 / of as f64),
        interval: (of > 0).then(|| clopper_pearson(good as u32, of as u32, LEVEL)),
        chance: input.chance,
        left_out: input.left_out.clone(),
        partial,
        years,
    }
}
