//! `tune`: a control beyond practice for the outfit that stands there, as a rule of a panel.

use crate::document::SentenceJson;
use crate::weigh::TextChangeJson;
use advice::tune::{PARTS, Tried, Tuning, says};
use serde::Serialize;

/// A rule that was tried.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PanelRuleJson {
    /// The table `control` of a site file.
    pub control: String,
    /// In a grower's words.
    pub says: SentenceJson,
    /// Thresholds that are set.
    pub thresholds: usize,
    /// Name of a rule that is usual in practice; null for one that was only tried.
    pub usual: Option<&'static str>,
    /// Years failed, with the sensors of the site.
    pub failed: usize,
    /// Mean cost for the measure; kWh without prices.
    pub cost: f64,
    /// Years failed with sensors whose errors are drawn anew; null for one that was only tried.
    pub failed_other_sensors: Option<usize>,
    /// Mean cost then.
    pub cost_other_sensors: Option<f64>,
}

/// The way of finding a rule against one of practice, each year with the rule that the other half of the years found.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct AgainstJson {
    /// Name of the rule of practice.
    pub usual: &'static str,
    /// Years.
    pub years: usize,
    /// Years failed with rules found without them.
    pub failed: usize,
    /// Years failed with the rule of practice.
    pub failed_usual: usize,
    /// What the found rules save for the measure; below zero where they cost more.
    pub saves: f64,
    /// Chance that as much comes of these years alone.
    pub chance_of_cost: f64,
    /// The same of the failures.
    pub chance_of_failures: f64,
}

/// What came of tuning one bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct TuneJson {
    /// Bin.
    pub bin: String,
    /// The sentence.
    pub says: SentenceJson,
    /// Whether it is worth setting at all, against fans that run all the time; null where that was not reached.
    pub worth: Option<SentenceJson>,
    /// ISO 4217 code of costs; null without prices: kWh then.
    pub currency: Option<String>,
    /// What costs are for: `bushel` at base moisture after shrink, or `tonne`. Owning the outfit is not in them.
    pub measure: &'static str,
    /// Wanted chance.
    pub wanted: f64,
    /// Whether the found rule reaches it on years and sensors that did not find it.
    pub goal_reached: bool,
    /// Years.
    pub years: Vec<i32>,
    /// Rules tried, the usual ones first.
    pub tried: Vec<PanelRuleJson>,
    /// Place of the rule found on all years; null where none is good in any year.
    pub found: Option<usize>,
    /// Changes of the site text that set it; null where nothing was found.
    pub changes: Option<Vec<TextChangeJson>>,
    /// Places of the rules found on each half of the years.
    pub halves: Vec<usize>,
    /// Parts into which the years were cut: every second one.
    pub parts: usize,
    /// Years that failed with rules found without them.
    pub unseen_failed: usize,
    /// Mean cost of the same.
    pub unseen_cost: f64,
    /// Against the rules of practice.
    pub against: Vec<AgainstJson>,
    /// Error of the humidity sensors by which rules were scored, within it in 19 of 20.
    pub sensor_humidity: f64,
    /// Error of the temperature sensors, K.
    pub sensor_temperature_k: f64,
    /// Whether the site says that its sensors are ideal, so that usual ones were taken for scoring.
    pub sensors_ideal: bool,
    /// Layers of the grid.
    pub layers: usize,
    /// Seasons run.
    pub seasons: usize,
    /// Whether it was cut short.
    pub partial: bool,
    /// The other bins of the site, when no bin was named.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(no_recursion)]
    pub further_bins: Vec<TuneJson>,
}

impl TuneJson {
    /// The document of a tuning.
    pub fn of(tuning: &Tuning) -> Self {
        Self {
            bin: tuning.bin.clone(),
            says: says::headline(tuning).into(),
            worth: says::worth(tuning).map(Into::into),
            currency: tuning.currency.clone(),
            measure: tuning.measure,
            wanted: tuning.wanted,
            goal_reached: tuning.goal_reached(),
            years: tuning.years.clone(),
            tried: tuning.tried.iter().map(tried).collect(),
            found: tuning.found,
            changes: tuning.changes().map(|list| list.into_iter().map(TextChangeJson::from).collect()),
            halves: tuning.halves.clone(),
            parts: PARTS,
            unseen_failed: tuning.unseen_failures,
            unseen_cost: tuning.unseen_cost,
            against: tuning
                .against
                .iter()
                .map(|against| AgainstJson {
                    usual: tuning.tried[against.other].rule.usual.unwrap_or_default(),
                    years: against.years,
                    failed: against.failures.0,
                    failed_usual: against.failures.1,
                    saves: against.saves,
                    chance_of_cost: against.chance_of_cost,
                    chance_of_failures: against.chance_of_failures,
                })
                .collect(),
            sensor_humidity: tuning.sensors.humidity,
            sensor_temperature_k: tuning.sensors.temperature,
            sensors_ideal: tuning.ideal,
            layers: tuning.layers,
            seasons: tuning.seasons,
            partial: tuning.partial,
            further_bins: Vec::new(),
        }
    }
}

fn tried(tried: &Tried) -> PanelRuleJson {
    PanelRuleJson {
        control: tried.text.clone(),
        says: says::rule(&tried.rule.control).into(),
        thresholds: tried.rule.thresholds,
        usual: tried.rule.usual,
        failed: tried.score.failures(),
        cost: tried.score.cost(),
        failed_other_sensors: tried.unseen.as_ref().map(|score| score.failures()),
        cost_other_sensors: tried.unseen.as_ref().map(|score| score.cost()),
    }
}
