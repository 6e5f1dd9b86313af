//! What matters for the outfit worth buying: one assumption at a time, where the choice changes, shares of the variance.

use crate::document::SentenceJson;
use advice::weigh::Answer;
use advice::weigh::breaks::{Axis, Because};
use advice::weigh::matters::{Effect, Mattering};
use advice::weigh::says;
use serde::Serialize;

/// One assumption at another value.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct EffectJson {
    /// What was changed.
    pub name: String,
    /// Cost for the measure then; null without prices.
    pub cost: Option<f64>,
    /// What that is more than as assumed.
    pub dearer: Option<f64>,
    /// Share of years failed then.
    pub failed_share: f64,
    /// What that is more than as assumed.
    pub more_failed_share: f64,
}

/// A place at which the choice changes.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BreakJson {
    /// `moisture` (points above what the file says, fraction w.b.), `day` (days later), `electricity`, `fuel`, `first-cost` (times
    /// the price of the file).
    pub axis: &'static str,
    /// Last step at which the choice stays; the same as `at` where the place is exact.
    pub from: f64,
    /// First step at which it is another.
    pub to: f64,
    /// The place, linear between the two.
    pub at: f64,
    /// Place of the outfit that takes over, in `outfits`; null where none of those looked at is good enough.
    pub then: Option<usize>,
    /// `cheaper`, `surer`.
    pub because: &'static str,
    /// The same in words.
    pub says: SentenceJson,
}

/// An axis along which the choice stays, as far as was looked.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct StaysJson {
    /// As in a break.
    pub axis: &'static str,
    /// Lowest that was looked at.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// What one assumption brings to the variance by itself.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ShareJson {
    /// What varies, with its range.
    pub name: String,
    /// Share of the variance of cost.
    pub cost_share: f64,
    /// Standard error of it.
    pub cost_error: f64,
    /// Share of the variance of the share of failed years.
    pub failures_share: f64,
    /// Standard error of it.
    pub failures_error: f64,
}

/// Shares of the variance, the largest of cost first.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SharesJson {
    /// The shares; what they leave of 1 is products of assumptions and steps.
    pub list: Vec<ShareJson>,
    /// Points that were run in all years; between them a polynomial of the second degree is read.
    pub points: usize,
    /// Standard deviation of cost over the points, for the measure.
    pub cost_deviation: f64,
    /// Standard deviation of the share of failed years.
    pub failures_deviation: f64,
    /// Part of the variance of cost that the polynomial tells of points it has not seen.
    pub cost_told: f64,
    /// The same of failed years.
    pub failures_told: f64,
}

/// What matters for the outfit worth buying.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MattersJson {
    /// One assumption changed at a time, the largest change of cost first.
    pub effects: Vec<EffectJson>,
    /// Where the choice changes.
    pub breaks: Vec<BreakJson>,
    /// Along what it stays.
    pub stays: Vec<StaysJson>,
    /// Outfits that were run at other moistures and days.
    pub breaks_among: usize,
    /// Shares of the variance; null where too few points resolve.
    pub shares: Option<SharesJson>,
}

impl MattersJson {
    /// The document of what matters in an answer.
    pub fn of(answer: &Answer, found: &Mattering) -> Self {
        let priced = answer.currency.is_some();
        let effect = |effect: &Effect| EffectJson {
            name: effect.name.clone(),
            cost: priced.then_some(effect.cost),
            dearer: priced.then_some(effect.cost - effect.cost_before),
            failed_share: effect.failures,
            more_failed_share: effect.failures - effect.failures_before,
        };
        let breaks = &found.breaks;
        Self {
            effects: found.effects.iter().map(effect).collect(),
            breaks: breaks
                .found
                .iter()
                .map(|at| BreakJson {
                    axis: word(at.axis),
                    from: at.from,
                    to: at.to,
                    at: at.at,
                    then: at.then,
                    because: match at.because {
                        Because::Cheaper => "cheaper",
                        Because::Surer => "surer",
                    },
                    says: says::breaking(answer, at).into(),
                })
                .collect(),
            stays: breaks.stays.iter().map(|&(axis, low, high)| StaysJson { axis: word(axis), low, high }).collect(),
            breaks_among: breaks.outfits,
            shares: found.shares.as_ref().map(|shares| SharesJson {
                list: shares
                    .list
                    .iter()
                    .map(|share| ShareJson {
                        name: share.name.clone(),
                        cost_share: share.cost.0,
                        cost_error: share.cost.1,
                        failures_share: share.failures.0,
                        failures_error: share.failures.1,
                    })
                    .collect(),
                points: shares.points,
                cost_deviation: shares.spread.0,
                failures_deviation: shares.spread.1,
                cost_told: shares.told.0,
                failures_told: shares.told.1,
            }),
        }
    }
}

fn word(axis: Axis) -> &'static str {
    match axis {
        Axis::Moisture => "moisture",
        Axis::Day => "day",
        Axis::Electricity => "electricity",
        Axis::Fuel => "fuel",
        Axis::FirstCost => "first-cost",
    }
}
