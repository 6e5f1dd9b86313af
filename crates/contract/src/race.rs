//! News of a weighing while it runs: the field once it is sorted, then how the contenders stand after each round.

use crate::weigh::ExcludedJson;
use advice::weigh::News;
use advice::weigh::news::{Point, PointState};
use serde::Serialize;

/// The field of a weighing once it is sorted: the first news of a race.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SortedJson {
    /// Candidates of the field.
    pub candidates: usize,
    /// Those that fell out before any season ran.
    pub excluded: Vec<ExcludedJson>,
    /// Those that are left.
    pub left: usize,
    /// Years that each of them is to meet.
    pub years: Vec<i32>,
    /// ISO 4217 code of every cost; null without prices: costs are then kWh.
    pub currency: Option<String>,
}

/// How one contender stands while the race goes on.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct RacePointJson {
    /// Its name; the same as in the answer.
    pub name: String,
    /// Mean cost for the measure over the years run so far; kWh without prices.
    pub cost: f64,
    /// Whether something it costs has no price.
    pub unpriced: bool,
    /// Years failed so far.
    pub failed: usize,
    /// Years run so far.
    pub years_run: usize,
    /// `read` (off the response surface, not run yet: `failed` is about how many of all years), `running`, `complete`, `beaten`,
    /// `hopeless` (failed in every year).
    pub state: &'static str,
}

/// How the race stands after a round.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct StandsJson {
    /// Seasons run so far.
    pub seasons: usize,
    /// The contenders that have run a year at least.
    pub points: Vec<RacePointJson>,
}

/// News of a race, for a stream.
#[derive(Debug, Clone, PartialEq)]
pub enum NewsJson {
    /// The field is sorted.
    Sorted(SortedJson),
    /// How it stands.
    Stands(StandsJson),
}

impl NewsJson {
    /// News of a race whose costs are in a currency.
    pub fn of(news: &News<'_>, currency: Option<&str>) -> Self {
        match news {
            News::Sorted { candidates, excluded, left, years } => Self::Sorted(SortedJson {
                candidates: *candidates,
                excluded: excluded.iter().map(ExcludedJson::of).collect(),
                left: *left,
                years: years.to_vec(),
                currency: currency.map(Into::into),
            }),
            News::Stands { points, seasons } => {
                Self::Stands(StandsJson { seasons: *seasons, points: points.iter().map(point).collect() })
            }
        }
    }
}

fn point(point: &Point) -> RacePointJson {
    RacePointJson {
        name: point.name.clone(),
        cost: point.cost,
        unpriced: point.unpriced,
        failed: point.failed,
        years_run: point.run,
        state: match point.state {
            PointState::Read => "read",
            PointState::Running => "running",
            PointState::Complete => "complete",
            PointState::Beaten => "beaten",
            PointState::Hopeless => "hopeless",
        },
    }
}
