//! The handbook answers.

use notice::{Source, Status};
use serde::Serialize;

/// `lookup air`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AirState {
    /// Dry bulb, °C.
    pub dry_bulb_c: f64,
    /// Wet bulb, °C.
    pub wet_bulb_c: f64,
    /// Dew point, frost point below 0.01 °C; null in air without water.
    pub dew_point_c: Option<f64>,
    /// Relative humidity, fraction; over ice below 0.01 °C.
    pub relative_humidity: f64,
    /// Humidity ratio, kg/kg dry air.
    pub humidity_ratio: f64,
    /// Enthalpy, J/kg dry air, dry air and liquid water at 0 °C as datum.
    pub enthalpy_j_kg: f64,
    /// Specific volume, m³/kg dry air.
    pub specific_volume_m3_kg: f64,
    /// Barometric pressure used, Pa.
    pub pressure_pa: f64,
}

/// The lowest and highest answer among the published sets of a crop.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Evidence {
    /// Citation.
    pub citation: String,
    /// How well the figure taken from it is confirmed.
    pub status: Status,
}

impl From<&Source> for Evidence {
    fn from(source: &Source) -> Self {
        Self { citation: source.citation.clone(), status: source.status }
    }
}

/// `lookup equilibrium`. Which of moisture and humidity was asked for is seen from the question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Equilibrium {
    /// Crop after aliases.
    pub crop: String,
    /// Temperature, °C.
    pub air_c: f64,
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Moisture, fraction dry basis.
    pub moisture_db: f64,
    /// Relative humidity, fraction, over liquid water.
    pub relative_humidity: f64,
    /// Id of the relation used.
    pub relation: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence; null where the source states no range.
    pub in_range: Option<bool>,
    /// Spread of the asked quantity between all published sets of the crop: moisture wet basis, or humidity.
    pub spread: Spread,
}

/// `lookup resistance`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Resistance {
    /// Crop after aliases.
    pub crop: String,
    /// Pressure gradient, Pa/m.
    pub gradient_pa_m: f64,
    /// Superficial velocity, m/s.
    pub velocity_m_s: f64,
    /// Static pressure over the depth, Pa; null when no depth was given.
    pub static_pressure_pa: Option<f64>,
    /// Packing multiplier used.
    pub packing: f64,
    /// Factor for fines used.
    pub fines_factor: f64,
    /// Row of the resistance table.
    pub relation: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the velocity lies inside the fitted range.
    pub in_range: Option<bool>,
}

/// `lookup storage`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Storage {
    /// Crop after aliases.
    pub crop: String,
    /// Days by the published relation; null when it never runs out.
    pub days: Option<f64>,
    /// Days by the strict reading, which verdicts use.
    pub strict_days: Option<f64>,
    /// Id of the relation used.
    pub relation: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence.
    pub in_range: Option<bool>,
}

/// `lookup drying`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drying {
    /// Crop after aliases.
    pub crop: String,
    /// Moisture at the end, fraction wet basis.
    pub moisture_wb: f64,
    /// (M − Me)/(M0 − Me), dry basis.
    pub moisture_ratio: f64,
    /// Id of the law used.
    pub relation: String,
    /// Equilibrium moisture used, fraction wet basis.
    pub equilibrium_wb: f64,
    /// Where the law comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence.
    pub in_range: Option<bool>,
}

/// `lookup grain`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Grain {
    /// Crop after aliases.
    pub crop: String,
    /// Bulk density as filled, kg/m³.
    pub bulk_density_kg_m3: Option<f64>,
    /// Specific heat, J/(kg K) of wet grain.
    pub specific_heat_j_kg_k: Option<f64>,
    /// Thermal conductivity of the bulk, W/(m K).
    pub conductivity_w_m_k: Option<f64>,
    /// Density of the kernels, kg/m³.
    pub kernel_density_kg_m3: Option<f64>,
    /// Share of air in the bulk.
    pub porosity: Option<f64>,
    /// Latent heat of the grain's water at this moisture and temperature, J/kg.
    pub latent_heat_j_kg: Option<f64>,
    /// Mass of the legal bushel, kg.
    pub bushel_kg: Option<f64>,
}
