//! What the page is shown of a job: documents of `contract` with what a drawing needs beside them.

use advice::sentences::Topic;
use advice::{Accuracy, ModelRange, Proof, Tariff};
use contract::air::{AirJson, CurvesJson};
use contract::document::Document;
use contract::heat::HeatSiteJson;
use contract::proof::{ModelRangeJson, ProofJson};
use contract::season::{SeasonJson, cause_says, words};
use contract::survey::SurveyJson;
use job::{BinJob, Job, clock};
use notice::Remarks;
use numerics::quantile::quantile;
use physics::grain::wet_basis;
use season::{CaseSpec, SeasonResult};
use serde::Serialize;
use utoipa::ToSchema;

/// Points of a year's line at most.
const LINE_POINTS: usize = 200;

/// A site said back.
pub fn survey(job: &Job) -> Document<SurveyJson> {
    let mut remarks = Remarks::default();
    job.bins.iter().for_each(|bin| remarks.extend(bin.remarks.clone()));
    Document::new("survey/1", SurveyJson::of(job), &remarks)
}

/// The air of a bin: working points at every fill and the curves that cross there.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct BinAirView {
    /// The working points, as `air` says them.
    #[serde(flatten)]
    pub air: AirJson,
    /// Fan and system curves.
    pub curves: CurvesJson,
    /// Where the pressure goes with all lots in.
    pub budget: Vec<BudgetItem>,
}

/// A part of the pressure budget.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct BudgetItem {
    /// `grain`, `floor`, `spread` (crowding at a pad or at ducts), `transition`, `vents`.
    pub what: &'static str,
    /// Its part, Pa.
    pub pressure_pa: f64,
}

/// The air of a bin.
pub fn air(job: &Job, bin: &BinJob) -> Document<BinAirView> {
    let points = advice::air::fills(bin, job.place.elevation);
    let budget = points.fills.last().map_or(Vec::new(), |full| {
        let b = full.point.budget;
        let parts = [
            ("grain", b.grain),
            ("floor", b.floor),
            ("spread", b.spread),
            ("transition", b.transition),
            ("vents", b.vents),
        ];
        // A full floor has no crowding to show.
        let shown = parts.into_iter().filter(|(what, pressure)| *what != "spread" || *pressure > 0.0);
        shown.map(|(what, pressure_pa)| BudgetItem { what, pressure_pa }).collect()
    });
    let view = BinAirView { air: AirJson::of(bin, &points), curves: CurvesJson::of(bin, &points), budget };
    let mut remarks = bin.remarks.clone();
    remarks.extend(advice::way::remarks(bin, &points));
    Document::new("air/1", view, &remarks)
}

/// The heat of one bin, or of all, with the fuel train of the site.
pub fn heat(job: &Job, bin: Option<&str>) -> Document<HeatSiteJson> {
    HeatSiteJson::document(job, &advice::heat::of_site(job), bin)
}

/// A year as a line of mean moisture over the days from its first load.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct YearView {
    /// Calendar year of the first load.
    pub year: i32,
    /// `met`, `held`, `failed`.
    pub outcome: &'static str,
    /// Why it failed.
    pub cause: Option<&'static str>,
    /// The same in a reader's words.
    pub cause_says: Option<&'static str>,
    /// When the mean moisture was on target.
    pub finished_at: Option<String>,
    /// When drying stopped.
    pub stopped_at: Option<String>,
    /// Days from the first load to the target.
    pub days_to_target: Option<f64>,
    /// Mean moisture when drying stopped, else at the end.
    pub mean_moisture_wb: f64,
    /// Mean of the wettest tenth then.
    pub wettest_moisture_wb: f64,
    /// Storage life used, strict; null when not judged.
    pub life_used: Option<f64>,
    /// Pairs of days since the first load and mean moisture (w.b.).
    #[schema(value_type = Vec<Vec<f64>>)]
    pub line: Vec<[f64; 2]>,
}

fn rounded(value: f64, digits: f64) -> f64 {
    (value * digits).round() / digits
}

/// The line of a recorded season.
fn line(result: &SeasonResult) -> Vec<[f64; 2]> {
    let every = result.daily.len().div_ceil(LINE_POINTS).max(1);
    let day = |hour: i64| (hour - result.started_at) as f64 / 24.0;
    let points = result.daily.iter().step_by(every);
    points.map(|d| [rounded(day(d.hour), 1e3), rounded(wet_basis(d.mean_moisture), 1e6)]).collect()
}

/// A year judged.
pub fn year(year: i32, case: &CaseSpec, result: &SeasonResult, offset: i32) -> YearView {
    let verdict = advice::judge(&case.programme, result, advice::Reading::Strict);
    let (outcome, cause) = words(verdict);
    let instant = |hour: Option<i64>| hour.map(|h| clock::instant(h, offset));
    YearView {
        year,
        outcome,
        cause,
        cause_says: cause_says(verdict),
        finished_at: instant(result.finished_at),
        stopped_at: instant(result.stopped_at),
        days_to_target: result.finished_at.map(|h| (h - result.started_at) as f64 / 24.0),
        mean_moisture_wb: wet_basis(result.moisture_at_stop),
        wettest_moisture_wb: wet_basis(result.wettest_at_stop),
        life_used: result.life_strict,
        line: line(result),
    }
}

/// Mean moisture (w.b.) over the years on one day since the first load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct BandPoint {
    /// Days since the first load.
    pub day: f64,
    /// Lowest year.
    pub least_wb: f64,
    /// One year in ten is below.
    pub tenth_wb: f64,
    /// Half the years are below.
    pub median_wb: f64,
    /// One year in ten is above.
    pub ninetieth_wb: f64,
    /// Highest year.
    pub largest_wb: f64,
}

/// Bands over the years, day by day.
fn bands(proof: &Proof) -> Vec<BandPoint> {
    let days = proof.years.iter().map(|y| y.result.daily.len()).max().unwrap_or(0);
    let every = days.div_ceil(LINE_POINTS).max(1);
    let band = |k: usize| {
        let on_day = proof.years.iter().filter_map(|y| y.result.daily.get(k).map(|d| (y, d)));
        let first =
            proof.years.iter().find_map(|y| Some((y.result.daily.get(k)?.hour - y.result.started_at) as f64))?;
        let sample: Vec<f64> = on_day.map(|(_, d)| wet_basis(d.mean_moisture)).collect();
        let at = |share| quantile(&sample, share).map(|m| rounded(m, 1e6));
        Some(BandPoint {
            day: rounded(first / 24.0, 1e3),
            least_wb: at(0.0)?,
            tenth_wb: at(0.1)?,
            median_wb: at(0.5)?,
            ninetieth_wb: at(0.9)?,
            largest_wb: at(1.0)?,
        })
    };
    (0..days).step_by(every).filter_map(band).collect()
}

/// A sentence of a verdict.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct VerdictSentence {
    /// What it is about: `headline`, `goal`, `failures`, `close`, `sampling`, `model`, `days`, `life`, `overdrying`,
    /// `energy`, `unsettled`, `left-out`, `partial`.
    pub topic: &'static str,
    /// The sentence.
    #[serde(flatten)]
    pub sentence: contract::document::SentenceJson,
}

impl VerdictSentence {
    fn of(topic: Topic, says: notice::Phrase) -> Self {
        Self { topic: topic.word(), sentence: says.into() }
    }
}

/// All years of a bin, judged.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct RiskView {
    /// `preview` ("about", never printed) or `verdict`.
    pub accuracy: &'static str,
    /// The proof, as `prove` says it.
    #[serde(flatten)]
    pub proof: ProofJson,
    /// What it comes to, in sentences with blanks for quantities.
    pub sentences: Vec<VerdictSentence>,
    /// Bands of mean moisture over the years.
    pub bands: Vec<BandPoint>,
    /// The years as lines, at verdict accuracy; a preview has sent them one by one.
    pub lines: Vec<YearView>,
}

/// All years of a bin.
pub fn risk(
    job: &Job,
    bin: &BinJob,
    proof: &Proof,
    range: Option<&ModelRange>,
    accuracy: Accuracy,
) -> Document<RiskView> {
    let offset = job.place.utc_offset;
    let tariff = job.prices.as_ref().map(Tariff::of);
    let preview = accuracy == Accuracy::Preview;
    let lines = match preview {
        true => Vec::new(),
        false => {
            let of = |y: &advice::YearResult| Some(year(y.year, bin.year(y.year)?, &y.result, offset));
            proof.years.iter().filter_map(of).collect()
        }
    };
    let headline = (Topic::Headline, advice::sentences::headline(bin, proof, offset));
    let below = advice::sentences::by_topic(bin, proof, range, tariff.as_ref());
    let sentences = std::iter::once(headline).chain(below).map(|(topic, says)| VerdictSentence::of(topic, says));
    let view = RiskView {
        accuracy: if preview { "preview" } else { "verdict" },
        proof: ProofJson::of(bin, proof, range, offset, tariff.as_ref()),
        sentences: sentences.collect(),
        bands: bands(proof),
        lines,
    };
    let mut remarks = bin.remarks.clone();
    remarks.extend(proof.remarks());
    Document::new("risk/1", view, &remarks)
}

/// What the model leaves open, alone.
pub fn range(range: &ModelRange) -> ModelRangeJson {
    ModelRangeJson::of(range)
}

/// A season with the addresses of its maps.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct SeasonView {
    /// `preview` or `verdict`.
    pub accuracy: &'static str,
    /// The season, as `season` says it.
    #[serde(flatten)]
    pub season: SeasonJson,
    /// Addresses of its maps of depth and time.
    pub maps: MapAddresses,
}

/// Addresses of maps.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MapAddresses {
    /// Moisture, fraction w.b.
    pub moisture: String,
    /// Temperature, °C.
    pub temperature: String,
    /// Storage life used, strict reading.
    pub life: String,
}

impl MapAddresses {
    /// The addresses of a season kept under a token.
    pub fn of(token: &str) -> Self {
        let of = |quantity: &str| format!("/api/v1/seasons/{token}/maps?quantity={quantity}");
        Self { moisture: of("moisture"), temperature: of("temperature"), life: of("life") }
    }
}
