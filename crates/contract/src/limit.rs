//! `limit`: how wet, how deep, how late, as a map.

use advice::limit::{Asked, Map};
use job::facts::MonthDay;
use serde::Serialize;

/// One cell of the map.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LimitCellJson {
    /// Years met or held.
    pub good: usize,
    /// Years judged.
    pub of: usize,
    /// Share of good years.
    pub probability: f64,
    /// Airflow over the grain's volume, the bin so full, 1/s.
    pub specific_airflow_per_s: f64,
}

/// One row of the map.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LimitRowJson {
    /// Mean moisture of the lots over the years.
    pub moisture_wb: f64,
    /// Middle day of the first load, `MM-DD`.
    pub from: String,
    /// Cells, in the order of the depths; null where the lot does not fit or the map was cut short.
    pub cells: Vec<Option<LimitCellJson>>,
    /// Deepest filling that reaches the wanted chance, between depths linear in the chance, m.
    pub deepest_m: Option<f64>,
}

/// The map of one bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LimitJson {
    /// Bin.
    pub bin: String,
    /// `moisture`, `depth`, `date`.
    pub asked: &'static str,
    /// Whether date and moisture move together by the dry-down of the field.
    pub together: bool,
    /// Why they do not, where they should.
    pub apart_because: Option<String>,
    /// Wanted chance.
    pub wanted: f64,
    /// Whether it is reached anywhere on the map.
    pub goal_reached: bool,
    /// Depths, m.
    pub depths_m: Vec<f64>,
    /// Rows: moistures or days.
    pub rows: Vec<LimitRowJson>,
    /// For each depth the wettest grain that reaches the wanted chance, between rows linear in the chance; null when asked for a date.
    pub wettest_wb: Option<Vec<Option<f64>>>,
    /// For each depth the latest day of the map that reaches it; null when not asked for a date.
    pub latest: Option<Vec<Option<String>>>,
    /// Layers of the grid.
    pub layers: usize,
    /// Whether it was cut short.
    pub partial: bool,
    /// The other bins of the site, when no bin was named.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(no_recursion)]
    pub further_bins: Vec<LimitJson>,
}

impl LimitJson {
    /// The document of a map.
    pub fn of(map: &Map) -> Self {
        let rows = map
            .rows
            .iter()
            .zip(&map.cells)
            .zip(map.deepest())
            .map(|((row, cells), deepest)| LimitRowJson {
                moisture_wb: row.moisture,
                from: day(row.from),
                cells: cells
                    .iter()
                    .map(|cell| {
                        cell.map(|cell| LimitCellJson {
                            good: cell.good,
                            of: cell.of,
                            probability: cell.chance(),
                            specific_airflow_per_s: cell.specific_airflow,
                        })
                    })
                    .collect(),
                deepest_m: deepest,
            })
            .collect();
        let dates = map.asked == Asked::Date;
        Self {
            bin: map.bin.clone(),
            asked: match map.asked {
                Asked::Moisture => "moisture",
                Asked::Depth => "depth",
                Asked::Date => "date",
            },
            together: map.together,
            apart_because: map.apart_because.clone(),
            wanted: map.wanted,
            goal_reached: map.reached(),
            depths_m: map.depths.clone(),
            rows,
            wettest_wb: (!dates).then(|| map.wettest()),
            latest: dates.then(|| map.latest().into_iter().map(|latest| latest.map(day)).collect()),
            layers: map.layers,
            partial: map.partial,
            further_bins: Vec::new(),
        }
    }
}

/// A day as `MM-DD`.
pub fn day(day: MonthDay) -> String {
    format!("{:02}-{:02}", day.month, day.day)
}
