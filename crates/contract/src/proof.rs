//! `prove`: all weather years of a bin.

use crate::season::{SourceJson, Summary, sources, summary, words};
use advice::{Distribution, ModelRange, Proof, Tariff, Years};
use job::BinJob;
use serde::Serialize;

/// One year.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct YearJson {
    /// Calendar year of the first load.
    pub year: i32,
    /// `met`, `held`, `failed`.
    pub outcome: &'static str,
    /// Why it failed.
    pub cause: Option<&'static str>,
    /// Outcome by the published reading of the storage relations.
    pub outcome_published: &'static str,
    /// Layers of the grid on which it was judged.
    pub layers: usize,
    /// Whether two rungs of the grid ladder agreed on the outcome.
    pub settled: bool,
    /// Its end.
    pub summary: Summary,
}

/// An interval of a chance.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct IntervalJson {
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
    /// Confidence.
    pub level: f64,
    /// Method.
    pub method: String,
}

/// One choice of the model.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct EntryJson {
    /// What was chosen; of a moisture set its id.
    pub name: String,
    /// What was chosen, in a reader's words.
    pub label: String,
    /// Kind of choice.
    pub kind: String,
    /// Years met.
    pub met: usize,
    /// Years held.
    pub held: usize,
    /// Years failed.
    pub failed: usize,
    /// Share of years met or held.
    pub probability: f64,
}

/// What the model leaves open.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ModelRangeJson {
    /// Lowest share of good years with one choice changed.
    pub low: f64,
    /// Highest share.
    pub high: f64,
    /// As chosen, on the grid of this comparison.
    pub base: EntryJson,
    /// One choice changed at a time.
    pub entries: Vec<EntryJson>,
    /// Every choice at its worst at once; null when fewer than two make it worse.
    pub worst: Option<EntryJson>,
    /// Layers of the grid used for the comparison.
    pub layers: usize,
}

/// A quantity over the years that have it.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DistributionJson {
    /// Years that have it.
    pub count: usize,
    /// Mean.
    pub mean: f64,
    /// Smallest.
    pub least: f64,
    /// One year in ten is below.
    pub tenth: f64,
    /// Median.
    pub median: f64,
    /// One year in ten is above.
    pub ninetieth: f64,
    /// Largest.
    pub largest: f64,
}

/// Distributions over the years; null where no year has the quantity.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DistributionsJson {
    /// Days from first load to dry.
    pub days_to_target: Option<DistributionJson>,
    /// Storage life used, strict.
    pub storage_life_used: Option<DistributionJson>,
    /// Metered electricity, J.
    pub electricity_j: Option<DistributionJson>,
    /// Heat of the burner to the air, J.
    pub burner_energy_j: Option<DistributionJson>,
    /// Fuel, kg.
    pub fuel_kg: Option<DistributionJson>,
    /// Fan hours until drying stopped.
    pub drying_fan_hours: Option<DistributionJson>,
    /// Mean moisture when drying stopped.
    pub mean_moisture_wb: Option<DistributionJson>,
    /// Cost of electricity and fuel; null without prices.
    pub energy_cost: Option<CostDistributionJson>,
}

/// A cost over the years.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CostDistributionJson {
    /// ISO 4217 code of every amount.
    pub currency: String,
    /// The amounts.
    pub amount: DistributionJson,
}

/// The years of one kind of control.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ControlSideJson {
    /// Years met or held.
    pub good: usize,
    /// Median of metered electricity and heat of the burner, J.
    pub energy_j: f64,
    /// Median of the fan hours until drying stopped.
    pub drying_fan_hours: f64,
    /// Median distance of the mean from the goal when drying stopped, as a fraction w.b.
    pub off_target_wb: f64,
    /// Median difference between wettest and driest tenth then, as a fraction w.b.
    pub spread_wb: f64,
}

/// What of a control's advantage survives its sensors.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ControlJson {
    /// Fans that run all the time.
    pub continuous: ControlSideJson,
    /// The control with perfect sensors.
    pub perfect: ControlSideJson,
    /// The control with the sensors of the site.
    pub own: ControlSideJson,
    /// Share of the energy saved with perfect sensors that its own save too; null where perfect ones save next to nothing.
    pub survives: Option<f64>,
}

impl ControlJson {
    fn of(found: &advice::Advantage) -> Self {
        let side = |s: &advice::ControlSide| ControlSideJson {
            good: s.good,
            energy_j: s.energy,
            drying_fan_hours: s.fan_hours,
            off_target_wb: s.off_target,
            spread_wb: s.spread,
        };
        Self {
            continuous: side(&found.continuous),
            perfect: side(&found.perfect),
            own: side(&found.own),
            survives: found.survives(),
        }
    }
}

/// A year left out.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LeftOutJson {
    /// Calendar year.
    pub year: i32,
    /// Why.
    pub reason: String,
}

/// The proof of one bin.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ProofJson {
    /// Bin.
    pub bin: String,
    /// Crop after aliases.
    pub crop: String,
    /// Identity of the run.
    pub run: String,
    /// Year by year.
    pub years: Vec<YearJson>,
    /// Years met.
    pub met: usize,
    /// Years held over winter and finished in spring.
    pub held: usize,
    /// Years failed.
    pub failed: usize,
    /// Years judged.
    pub of: usize,
    /// Share of years met or held.
    pub probability: Option<f64>,
    /// Wanted chance.
    pub wanted: f64,
    /// Whether the wanted chance was reached.
    pub goal_reached: bool,
    /// What so many years say of the chance: sampling alone.
    pub interval: Option<IntervalJson>,
    /// What the model leaves open; null when it was cut short.
    pub model_range: Option<ModelRangeJson>,
    /// What the control saves with perfect sensors and with its own; null where it reads nothing while it dries, or nobody asked.
    pub control: Option<ControlJson>,
    /// Over the years.
    pub distributions: DistributionsJson,
    /// Over the good years alone, met or held: what a season costs that does what it should.
    pub distributions_good: DistributionsJson,
    /// Years left out, with reasons.
    pub left_out: Vec<LeftOutJson>,
    /// Relations behind it, held against what all years met.
    pub sources: Vec<SourceJson>,
    /// Whether it was cut short.
    pub partial: bool,
    /// The other bins of the site, when no bin was named.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(no_recursion)]
    pub further_bins: Vec<ProofJson>,
}

impl ProofJson {
    /// The same with what the control is worth.
    pub fn with_control(mut self, found: Option<&advice::Advantage>) -> Self {
        self.control = found.map(ControlJson::of);
        self
    }

    /// The document of a proof.
    pub fn of(bin: &BinJob, proof: &Proof, range: Option<&ModelRange>, offset: i32, tariff: Option<&Tariff>) -> Self {
        let years = proof
            .years
            .iter()
            .filter_map(|y| {
                let case = bin.year(y.year)?;
                let (outcome, cause) = words(y.verdict);
                Some(YearJson {
                    year: y.year,
                    outcome,
                    cause,
                    outcome_published: words(y.verdict_published).0,
                    layers: y.layers,
                    settled: y.settled,
                    summary: summary(case, &y.result, offset, tariff),
                })
            })
            .collect();
        Self {
            bin: bin.name.clone(),
            crop: bin.crop_id.clone(),
            run: bin.identity("verdict"),
            years,
            met: proof.met,
            held: proof.held,
            failed: proof.failed,
            of: proof.of(),
            probability: proof.probability,
            wanted: proof.chance,
            goal_reached: proof.goal_reached(),
            interval: proof.interval.as_ref().map(|i| IntervalJson {
                low: i.low,
                high: i.high,
                level: i.level,
                method: i.method.into(),
            }),
            model_range: range.map(ModelRangeJson::of),
            control: None,
            distributions: distributions(proof, Years::All, tariff),
            distributions_good: distributions(proof, Years::Good, tariff),
            left_out: proof
                .left_out
                .iter()
                .map(|(year, reason)| LeftOutJson { year: *year, reason: reason.clone() })
                .collect(),
            sources: sources(advice::evidence::of_proof(bin, proof)),
            partial: proof.partial,
            further_bins: Vec::new(),
        }
    }
}

fn distributions(proof: &Proof, years: Years, tariff: Option<&Tariff>) -> DistributionsJson {
    DistributionsJson {
        days_to_target: proof.days(years).map(distribution),
        storage_life_used: proof.life(years).map(distribution),
        electricity_j: proof.energy(years).map(distribution),
        burner_energy_j: proof.over(years, |r| Some(r.burner_energy)).map(distribution),
        fuel_kg: proof.over(years, |r| Some(r.fuel)).map(distribution),
        drying_fan_hours: proof.fan_hours(years).map(distribution),
        mean_moisture_wb: proof.over(years, |r| Some(physics::grain::wet_basis(r.moisture_at_stop))).map(distribution),
        energy_cost: tariff.and_then(|t| {
            let amount = distribution(proof.cost(years, t)?);
            Some(CostDistributionJson { currency: t.currency.clone(), amount })
        }),
    }
}

fn distribution(d: Distribution) -> DistributionJson {
    let Distribution { count, mean, least, tenth, median, ninetieth, largest } = d;
    DistributionJson { count, mean, least, tenth, median, ninetieth, largest }
}

impl ModelRangeJson {
    /// From what the years became with each choice.
    pub fn of(range: &ModelRange) -> Self {
        let entry = |e: &advice::RangeEntry| EntryJson {
            name: e.name.clone(),
            label: e.label.clone(),
            kind: e.kind.into(),
            met: e.met,
            held: e.held,
            failed: e.failed,
            probability: e.probability(),
        };
        Self {
            low: range.low,
            high: range.high,
            base: entry(&range.base),
            entries: range.entries.iter().map(entry).collect(),
            worst: range.worst.as_ref().map(entry),
            layers: range.layers,
        }
    }
}
