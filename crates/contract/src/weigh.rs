//! `weigh`: the outfits worth buying for each bin, the others with what beats them, the excluded with their reasons.

use crate::document::SentenceJson;
use crate::matters::MattersJson;
use crate::proof::IntervalJson;
use crate::season::words;
use advice::weigh::answer::{Answer, Shown, Standing};
use advice::weigh::matters::Mattering;
use advice::weigh::race::FAMILY_LEVEL;
use advice::weigh::{Excluded, says};
use job::change::Change;
use physics::grain::wet_basis;
use serde::Serialize;

/// An amount of money.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MoneyJson {
    /// How much.
    pub amount: f64,
    /// ISO 4217 code.
    pub currency: String,
}

/// One line of the costs of a mean year.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CostLineJson {
    /// Stable name.
    pub label: &'static str,
    /// Money a year.
    pub amount: f64,
    /// How it came about: the formula with what went into it.
    pub how: SentenceJson,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// One outfit in one year.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct OutfitYearJson {
    /// Calendar year of the first load.
    pub year: i32,
    /// `met`, `held`, `failed`.
    pub outcome: &'static str,
    /// Why it failed.
    pub cause: Option<&'static str>,
    /// Cost for a measure of grain, owning and remedy included; null without prices.
    pub cost: Option<f64>,
    /// Remedy of a failed year, whole money; null in a year that did not fail, or where a price is missing.
    pub remedy: Option<f64>,
    /// How the remedy came about, or which price is missing.
    pub remedy_how: Option<SentenceJson>,
    /// Metered electricity, J.
    pub electricity_j: f64,
    /// Fuel, kg.
    pub fuel_kg: f64,
    /// Days from the first load to dry; null when it never was.
    pub days_to_target: Option<f64>,
    /// Storage life used, strict reading; null where nothing judges it.
    pub storage_life_used: Option<f64>,
    /// Mean moisture when drying stopped.
    pub mean_moisture_wb: f64,
}

/// What beats an outfit.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BeatenJson {
    /// Place of the better outfit in `outfits`, from 0.
    pub by: usize,
    /// Cost above it for a measure of grain, over the years both ran.
    pub dearer: f64,
    /// In how many more years it failed, of those.
    pub more_failures: i64,
    /// Years both ran.
    pub years: usize,
    /// Chance of so large a difference of cost by weather alone.
    pub chance_of_cost: f64,
    /// The same of failures.
    pub chance_of_failures: f64,
    /// `complete` when it ran all years, else `certain` or `probable`.
    pub known: &'static str,
}

/// A change of a site text, as the interface takes it.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct TextChangeJson {
    /// Path, as diagnostics write it.
    pub path: String,
    /// Value; an empty one takes away what is there.
    pub value_text: String,
}

impl From<Change> for TextChangeJson {
    fn from(change: Change) -> Self {
        Self { path: change.path, value_text: change.value_text }
    }
}

/// One outfit that ran.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct OutfitJson {
    /// Its name.
    pub name: String,
    /// Whether it stands in the site file.
    pub present: bool,
    /// Changes of the site text that make it the bin's outfit, in order; null where it must be written by hand (filling in layers).
    pub changes: Option<Vec<TextChangeJson>>,
    /// `front`, `beaten`, `hopeless` (failed in every year), `unknown` (cut short).
    pub standing: &'static str,
    /// What beats it.
    pub beaten: Option<BeatenJson>,
    /// Why it stands there.
    pub why: SentenceJson,
    /// Years run.
    pub years_run: usize,
    /// Years failed of those.
    pub failed: usize,
    /// Share of years met or held.
    pub probability: Option<f64>,
    /// What so many years say of that chance.
    pub interval: Option<IntervalJson>,
    /// Mean cost for the measure of the answer over the years run; null without prices.
    pub cost: Option<f64>,
    /// The same for a tonne at base moisture.
    pub cost_per_tonne: Option<f64>,
    /// Whether something it costs has no price: its cost is then the least it can be, and it is never called the cheapest.
    pub unpriced: bool,
    /// First cost of what is not owned; null when a price is not said.
    pub first_cost: Option<f64>,
    /// Lines of its mean year.
    pub lines: Vec<CostLineJson>,
    /// Airflow at the fan inlets with the bin full, m³/s.
    pub airflow_m3_s: f64,
    /// The same over the grain's volume, 1/s.
    pub specific_airflow_per_s: f64,
    /// Static pressure there, Pa.
    pub static_pressure_pa: f64,
    /// Electric input of the fans there, W.
    pub connected_load_w: f64,
    /// Current by the code's table, A.
    pub code_current_a: Option<f64>,
    /// Sound where a limit is said, dB(A), an estimate.
    pub sound_dba: Option<f64>,
    /// Mean electricity, J.
    pub electricity_j: f64,
    /// Mean fuel, kg.
    pub fuel_kg: f64,
    /// Calendar year of its worst season.
    pub worst_year: Option<i32>,
    /// Year by year, those run.
    pub years: Vec<OutfitYearJson>,
}

/// An outfit that was excluded.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ExcludedJson {
    /// Its name.
    pub name: String,
    /// Stable code.
    pub code: &'static str,
    /// Why, with the number.
    pub reason: SentenceJson,
}

impl ExcludedJson {
    /// The document of one.
    pub(crate) fn of(out: &Excluded) -> Self {
        Self { name: out.name.clone(), code: out.reason.code(), reason: out.reason.says().into() }
    }
}

/// The way of choosing, scored on years that did not choose.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct UnseenJson {
    /// Years failed.
    pub failed: usize,
    /// Of how many.
    pub of: usize,
    /// Mean cost for the measure.
    pub cost: Option<f64>,
    /// Parts into which the years were cut.
    pub parts: usize,
}

/// How far readings off the response surface lay from exact runs.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SurfaceJson {
    /// Seasons of the surface.
    pub seasons: usize,
    /// Outfits that ran all years and are compared.
    pub compared: usize,
    /// Mean difference of cost for the measure.
    pub cost_mean: f64,
    /// Largest.
    pub cost_largest: f64,
    /// Mean difference of the share of years failed.
    pub failures_mean: f64,
    /// Largest.
    pub failures_largest: f64,
}

/// The weighing of one bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct WeighJson {
    /// Bin.
    pub bin: String,
    /// The sentence.
    pub says: SentenceJson,
    /// ISO 4217 code of every amount; null without prices.
    pub currency: Option<String>,
    /// What costs are for: `bushel` at base moisture after shrink, or `tonne`.
    pub measure: &'static str,
    /// Base moisture.
    pub base_moisture_wb: Option<f64>,
    /// What has no price, so that marked costs are the least they can be; null where all is priced.
    pub unpriced_because: Option<String>,
    /// Years that every outfit met.
    pub years: Vec<i32>,
    /// Wanted chance.
    pub wanted: f64,
    /// Whether some outfit reaches it.
    pub goal_reached: bool,
    /// Candidates of the field.
    pub candidates: usize,
    /// Outfits that were excluded.
    pub excluded: Vec<ExcludedJson>,
    /// Outfits that the surface showed to be worse than those that ran.
    pub not_run: usize,
    /// How far the surface lay from the exact runs; null where everything ran exactly.
    pub surface: Option<SurfaceJson>,
    /// Outfits that ran.
    pub outfits: Vec<OutfitJson>,
    /// Places on the front, cheapest first.
    pub front: Vec<usize>,
    /// Places of outfits that failed in every year, cheapest first: none of them is good enough.
    pub hopeless: Vec<usize>,
    /// Place of the outfit worth buying; null when nothing ran all years, or everything failed in all of them.
    pub chosen: Option<usize>,
    /// Places whose difference from it is not significant, in order of cost.
    pub equal: Vec<usize>,
    /// The way of choosing on years that did not choose.
    pub unseen: Option<UnseenJson>,
    /// What matters for the outfit worth buying; null when it was not asked.
    pub matters: Option<MattersJson>,
    /// Whether only certain domination ended outfits.
    pub exact: bool,
    /// Family-wise level of probable domination.
    pub family_level: f64,
    /// Comparisons by which it was divided.
    pub comparisons: usize,
    /// Seasons run.
    pub seasons: usize,
    /// Layers of the grid.
    pub layers: usize,
    /// Whether it was cut short.
    pub partial: bool,
    /// The other bins of the site, when no bin was named.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(no_recursion)]
    pub further_bins: Vec<WeighJson>,
}

impl WeighJson {
    /// The document of a weighing.
    pub fn of(weighed: &Answer) -> Self {
        let priced = weighed.currency.is_some();
        Self {
            bin: weighed.bin.clone(),
            says: says::headline(weighed).into(),
            currency: weighed.currency.clone(),
            measure: weighed.measure,
            base_moisture_wb: weighed.base_moisture,
            unpriced_because: says::unpriced(weighed),
            years: weighed.years.clone(),
            wanted: weighed.wanted,
            goal_reached: weighed.goal_reached(),
            candidates: weighed.candidates,
            excluded: weighed.excluded.iter().map(ExcludedJson::of).collect(),
            not_run: weighed.not_run,
            surface: weighed.surface.as_ref().map(|check| SurfaceJson {
                seasons: check.seasons,
                compared: check.compared,
                cost_mean: check.cost.0,
                cost_largest: check.cost.1,
                failures_mean: check.failures.0,
                failures_largest: check.failures.1,
            }),
            outfits: (0..weighed.outfits.len()).map(|place| outfit(weighed, place)).collect(),
            front: weighed.front.clone(),
            hopeless: weighed.hopeless.clone(),
            chosen: weighed.chosen,
            equal: weighed.equal.clone(),
            unseen: weighed.unseen.as_ref().map(|unseen| UnseenJson {
                failed: unseen.failures,
                of: unseen.of,
                cost: priced.then_some(unseen.cost),
                parts: unseen.parts,
            }),
            matters: None,
            exact: weighed.exact,
            family_level: FAMILY_LEVEL,
            comparisons: weighed.comparisons,
            seasons: weighed.seasons,
            layers: weighed.layers,
            partial: weighed.partial,
            further_bins: Vec::new(),
        }
    }

    /// The same with what matters.
    pub fn with_matters(mut self, answer: &Answer, found: &Mattering) -> Self {
        self.matters = Some(MattersJson::of(answer, found));
        self.partial |= found.partial;
        self
    }
}

fn outfit(weighed: &Answer, place: usize) -> OutfitJson {
    let shown = &weighed.outfits[place];
    let score = &shown.score;
    let run = score.run().max(1) as f64;
    let cost = weighed.currency.is_some().then(|| score.cost());
    let mean = |pick: &dyn Fn(&advice::weigh::score::YearScore) -> f64| {
        score.years.iter().flatten().map(pick).sum::<f64>() / run
    };
    let (standing, beaten) = match &shown.standing {
        Standing::Front => ("front", None),
        Standing::Unknown => ("unknown", None),
        Standing::Hopeless => ("hopeless", None),
        Standing::Beaten(by) => ("beaten", Some(by)),
    };
    OutfitJson {
        name: shown.name.clone(),
        present: shown.present,
        changes: shown.changes.clone().map(|list| list.into_iter().map(TextChangeJson::from).collect()),
        standing,
        beaten: beaten.map(|by| BeatenJson {
            by: by.by,
            dearer: by.dearer,
            more_failures: by.more_failures,
            years: by.years,
            chance_of_cost: by.chance_of_cost,
            chance_of_failures: by.chance_of_failures,
            known: match by.ended {
                None => "complete",
                Some(out) if out.certain => "certain",
                Some(_) => "probable",
            },
        }),
        why: says::why(weighed, place).into(),
        years_run: score.run(),
        failed: score.failures(),
        probability: shown.chance(),
        interval: shown.interval().map(|i| IntervalJson {
            low: i.low,
            high: i.high,
            level: i.level,
            method: i.method.into(),
        }),
        cost,
        cost_per_tonne: cost.map(|cost| cost * score.measure / shown.tonnes),
        unpriced: shown.unpriced,
        first_cost: shown.first_cost,
        lines: shown
            .lines
            .iter()
            .map(|l| CostLineJson { label: l.label, amount: l.amount, how: l.how.clone().into(), source: l.source })
            .collect(),
        airflow_m3_s: shown.point.fan_airflow,
        specific_airflow_per_s: shown.specific_airflow,
        static_pressure_pa: shown.point.fan_static_pressure,
        connected_load_w: shown.point.input_power,
        code_current_a: shown.amperes,
        sound_dba: shown.sound,
        electricity_j: mean(&|year| year.electricity),
        fuel_kg: mean(&|year| year.fuel),
        worst_year: shown.worst().map(|year| year.year),
        years: years(weighed, shown),
    }
}

fn years(weighed: &Answer, shown: &Shown) -> Vec<OutfitYearJson> {
    let one = |year: &advice::weigh::score::YearScore| {
        let (outcome, cause) = words(year.verdict);
        let remedy = year.cost.as_ref().and_then(|cost| cost.remedy.as_ref());
        OutfitYearJson {
            year: year.year,
            outcome,
            cause,
            cost: weighed.currency.is_some().then(|| shown.score.cost_of(year)),
            remedy: remedy.and_then(|remedy| remedy.amount),
            remedy_how: remedy.map(|remedy| remedy.how.clone().into()),
            electricity_j: year.electricity,
            fuel_kg: year.fuel,
            days_to_target: year.days,
            storage_life_used: year.life,
            mean_moisture_wb: wet_basis(year.moisture),
        }
    };
    shown.score.years.iter().flatten().map(one).collect()
}
