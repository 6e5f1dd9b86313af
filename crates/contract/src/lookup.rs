//! The handbook answers.

use notice::Status;
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
    /// Relative humidity over liquid water at any temperature, fraction: the convention of weather files.
    pub relative_humidity_over_water: f64,
    /// Humidity ratio, kg/kg dry air.
    pub humidity_ratio: f64,
    /// Enthalpy, J/kg dry air, dry air and liquid water at 0 °C as datum.
    pub enthalpy_j_kg: f64,
    /// Specific volume, m³/kg dry air.
    pub specific_volume_m3_kg: f64,
    /// Density of the mixture, kg/m³.
    pub density_kg_m3: f64,
    /// Barometric pressure used, Pa.
    pub pressure_pa: f64,
    /// Where the equations come from.
    pub source: String,
    /// How well they are confirmed.
    pub source_status: Status,
}

/// The lowest and highest answer among the published sets of a crop.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// Which of moisture and humidity was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Asked {
    /// Moisture, from the humidity of the air.
    Moisture,
    /// Humidity, from the moisture of the grain.
    Humidity,
}

/// `lookup equilibrium`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Equilibrium {
    /// Crop after aliases.
    pub crop: String,
    /// Temperature, °C.
    pub air_c: f64,
    /// What was asked for.
    pub asked: Asked,
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
    /// Ids of the sets compared.
    pub spread_of: Vec<String>,
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
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Days by the published relation; null when it never runs out.
    pub days: Option<f64>,
    /// Days by the strict reading, which verdicts use.
    pub strict_days: Option<f64>,
    /// Id of the relation used.
    pub relation: String,
    /// Id of the relation that gives the strict reading.
    pub strict_relation: Option<String>,
    /// What the relation is about.
    pub judges: String,
    /// Dry-matter loss allowed, fraction, where the relation knows it.
    pub loss: Option<f64>,
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
    /// Id of the isotherm it comes from.
    pub equilibrium_relation: String,
    /// Moistures that the slowest and the fastest known law give, where the crop has none of its own.
    pub moisture_wb_bounds: Option<Spread>,
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
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
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
    /// Where each figure comes from.
    pub sources: Vec<PropertySource>,
}

/// Where one property comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PropertySource {
    /// The property.
    pub property: String,
    /// Id of the row.
    pub relation: String,
    /// Citation.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
}

/// `lookup crops`: the capability matrix.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CropList {
    /// A row a crop.
    pub crops: Vec<CropRow>,
}

/// What is known of one crop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CropRow {
    /// Name in files and options.
    pub id: String,
    /// Name in sentences.
    pub name: String,
    /// Other names.
    pub aliases: Vec<String>,
    /// Whether it lies in bins as grain; of the others only resistance is recorded.
    pub grain: bool,
    /// Equilibrium.
    pub equilibrium: CapabilityCell,
    /// Resistance to airflow.
    pub resistance: CapabilityCell,
    /// Drying rate.
    pub kinetics: CapabilityCell,
    /// How long it keeps.
    pub storability: CapabilityCell,
    /// Density, specific heat, conductivity.
    pub heat: CapabilityCell,
    /// Ids of the equilibrium sets.
    pub relations: Vec<String>,
    /// Ids of the published thin-layer laws.
    pub laws: Vec<String>,
}

/// One cell of the matrix.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct CapabilityCell {
    /// `missing`, `low`, `medium` or `high`.
    pub confidence: String,
    /// What stands there.
    pub says: String,
}
