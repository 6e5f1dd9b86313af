//! Maps of depth and time as bytes: a JSON header, then little-endian `f32`.
//!
//! | bytes | what |
//! | --- | --- |
//! | 4 | length n of the header, `u32` little-endian |
//! | n | header, JSON, UTF-8 |
//! | 0 to 3 | zeros, so that the numbers begin at a multiple of 4 |
//! | 4 × Σ rows × cols | for each column of grain its rows from the floor up, each row over time; NaN where no grain lies |

use physics::grain::wet_basis;
use season::{Profile, SeasonResult};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Most points over time; a season has one a day.
const MOST_TIMES: usize = 400;

/// What a map shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum MapQuantity {
    /// Moisture, fraction w.b.
    Moisture,
    /// Temperature, °C.
    Temperature,
    /// Storage life used, strict reading.
    Life,
}

/// A column of grain in a map.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MapColumn {
    /// `even air`, or `slow air`, `middle`, `fast air`.
    pub name: &'static str,
    /// Share of the floor.
    pub area_share: f64,
    /// Air over the mean.
    pub air_share: f64,
    /// Layers, from the floor up.
    pub rows: usize,
    /// Points in time.
    pub cols: usize,
}

/// The header of a map.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MapHeader {
    /// What is shown.
    pub quantity: MapQuantity,
    /// Columns of grain, in the order of their numbers.
    pub columns: Vec<MapColumn>,
    /// Points in time, hours since 1970-01-01T00:00Z.
    pub hours: Vec<i64>,
    /// Edges of the layers above the floor when all grain is in, m: one more than rows.
    pub depths_m: Vec<f64>,
    /// Depth of the grain at each point in time, m (first column).
    pub surface_m: Vec<f64>,
    /// Lowest value; null in an empty map.
    pub low: Option<f64>,
    /// Highest value.
    pub high: Option<f64>,
}

/// Name of a column of a bin of so many.
pub fn column_name(index: usize, of: usize) -> &'static str {
    match (index, of) {
        (_, 1) => "even air",
        (0, _) => "slow air",
        (1, 3) => "middle",
        _ => "fast air",
    }
}

/// The map of a recorded season.
///
/// # Errors
/// When the header cannot be written, which a season never causes.
pub fn map(result: &SeasonResult, quantity: MapQuantity) -> Result<Vec<u8>, serde_json::Error> {
    let pick = |p: &Profile, k: usize| match quantity {
        MapQuantity::Moisture => wet_basis(p.moisture[k]),
        MapQuantity::Temperature => p.temperature[k],
        MapQuantity::Life => p.life[k],
    };
    let days = result.columns.first().map_or(0, |c| c.profiles.len());
    let every = days.div_ceil(MOST_TIMES).max(1);
    let mut numbers: Vec<f32> = Vec::new();
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let columns = result
        .columns
        .iter()
        .enumerate()
        .map(|(index, column)| {
            let profiles: Vec<&Profile> = column.profiles.iter().step_by(every).collect();
            let rows = profiles.first().map_or(0, |p| p.moisture.len());
            for row in 0..rows {
                for profile in &profiles {
                    let grain = profile.moisture[row].is_finite();
                    let value = if grain { pick(profile, row) } else { f64::NAN };
                    (low, high) = (low.min(value), high.max(value));
                    numbers.push(value as f32);
                }
            }
            MapColumn {
                name: column_name(index, result.columns.len()),
                area_share: column.area,
                air_share: column.air,
                rows,
                cols: profiles.len(),
            }
        })
        .collect::<Vec<_>>();
    let times: Vec<&Profile> =
        result.columns.first().map_or(Vec::new(), |c| c.profiles.iter().step_by(every).collect());
    let deepest = times.iter().map(|p| p.depth).fold(0.0, f64::max);
    let rows = columns.first().map_or(0, |c| c.rows);
    let header = MapHeader {
        quantity,
        hours: times.iter().map(|p| p.hour).collect(),
        depths_m: (0..=rows).map(|k| deepest * k as f64 / rows.max(1) as f64).collect(),
        surface_m: times.iter().map(|p| p.depth).collect(),
        low: low.is_finite().then_some(low),
        high: high.is_finite().then_some(high),
        columns,
    };
    let header = serde_json::to_vec(&header)?;
    let begin = (4 + header.len()).next_multiple_of(4);
    let mut bytes = Vec::with_capacity(begin + 4 * numbers.len());
    bytes.extend((header.len() as u32).to_le_bytes());
    bytes.extend(&header);
    bytes.resize(begin, 0);
    numbers.iter().for_each(|number| bytes.extend(number.to_le_bytes()));
    Ok(bytes)
}
