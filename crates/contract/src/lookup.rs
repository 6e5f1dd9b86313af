//! The handbook answers.

pub mod gas;
pub mod power;

use advice::lookup::{self, equilibrium::Given, resistance::Direction};
use crops::{Crop, Library, Need};
use notice::Status;
use physics::grain::wet_basis;
use physics::states::MoistAirState;
use serde::Serialize;

/// `lookup air`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Spread {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// Which of moisture and humidity was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum Asked {
    /// Moisture, from the humidity of the air.
    Moisture,
    /// Humidity, from the moisture of the grain.
    Humidity,
}

/// `lookup equilibrium`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
    /// `vertical` or `horizontal`.
    pub direction: &'static str,
    /// Moisture for which the correction for wet grain was asked, fraction wet basis; null when it was not.
    pub moisture_wb: Option<f64>,
    /// Corrections asked for: their factors are in the gradient.
    pub corrections: Vec<Correction>,
    /// Row of the resistance table.
    pub relation: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the velocity lies inside the fitted range, and the corrections inside theirs.
    pub in_range: Option<bool>,
}

/// A factor on the published law.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Correction {
    /// `fines`, `direction` or `moisture`.
    pub what: &'static str,
    /// The factor.
    pub factor: f64,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence; null where no range is stated.
    pub in_range: Option<bool>,
}

/// `lookup storage`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CropList {
    /// A row a crop.
    pub crops: Vec<CropRow>,
}

/// What is known of one crop.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
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
    /// What each of these is, in a reader's words, in the same order.
    pub relation_words: Vec<String>,
    /// Ids of the published thin-layer laws.
    pub laws: Vec<String>,
}

/// One cell of the matrix.
#[derive(Debug, Clone, PartialEq, Default, Serialize, utoipa::ToSchema)]
pub struct CapabilityCell {
    /// `missing`, `low`, `medium` or `high`.
    pub confidence: String,
    /// What stands there.
    pub says: String,
}

impl From<MoistAirState> for AirState {
    fn from(state: MoistAirState) -> Self {
        let source = MoistAirState::source();
        Self {
            dry_bulb_c: state.dry_bulb,
            wet_bulb_c: state.wet_bulb,
            dew_point_c: (state.humidity_ratio > 0.0).then_some(state.dew_point),
            relative_humidity: state.relative_humidity,
            relative_humidity_over_water: state.relative_humidity_over_water,
            humidity_ratio: state.humidity_ratio,
            enthalpy_j_kg: state.enthalpy,
            specific_volume_m3_kg: state.specific_volume,
            density_kg_m3: state.density,
            pressure_pa: state.pressure,
            source: source.citation,
            source_status: source.status,
        }
    }
}

impl From<lookup::Spread> for Spread {
    fn from(spread: lookup::Spread) -> Self {
        Self { low: spread.low, high: spread.high }
    }
}

impl From<lookup::equilibrium::Equilibrium> for Equilibrium {
    fn from(of: lookup::equilibrium::Equilibrium) -> Self {
        Self {
            crop: of.crop,
            air_c: of.air,
            asked: match of.given {
                Given::Humidity(_) => Asked::Moisture,
                Given::Moisture(_) => Asked::Humidity,
            },
            moisture_wb: wet_basis(of.moisture),
            moisture_db: of.moisture,
            relative_humidity: of.humidity,
            relation: of.relation,
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
            spread: of.spread.into(),
            spread_of: of.spread_of,
        }
    }
}

impl From<lookup::resistance::Resistance> for Resistance {
    fn from(of: lookup::resistance::Resistance) -> Self {
        let correction = |c: lookup::resistance::Correction| Correction {
            what: c.what,
            factor: c.factor,
            source: c.source.citation,
            source_status: c.source.status,
            in_range: c.in_range,
        };
        Self {
            crop: of.crop,
            gradient_pa_m: of.gradient,
            velocity_m_s: of.velocity,
            static_pressure_pa: of.pressure,
            packing: of.packing,
            fines_factor: of.fines_factor,
            direction: match of.direction {
                Direction::Vertical => "vertical",
                Direction::Horizontal => "horizontal",
            },
            moisture_wb: of.moisture_wb,
            corrections: of.corrections.into_iter().map(correction).collect(),
            relation: of.relation,
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}

impl From<lookup::storage::Storage> for Storage {
    fn from(of: lookup::storage::Storage) -> Self {
        Self {
            crop: of.crop,
            moisture_wb: of.moisture_wb,
            temperature_c: of.temperature,
            days: Some(of.days),
            strict_days: of.strict_days,
            relation: of.relation,
            strict_relation: of.strict_relation,
            judges: of.judges,
            loss: of.loss,
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}

impl From<lookup::drying::Drying> for Drying {
    fn from(of: lookup::drying::Drying) -> Self {
        Self {
            crop: of.crop,
            moisture_wb: of.moisture_wb,
            moisture_ratio: of.ratio,
            relation: of.relation,
            equilibrium_wb: of.equilibrium_wb,
            equilibrium_relation: of.equilibrium_relation,
            moisture_wb_bounds: of.bounds.map(Into::into),
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}

impl From<lookup::grain::Grain> for Grain {
    fn from(of: lookup::grain::Grain) -> Self {
        let property = |p: lookup::grain::PropertySource| PropertySource {
            property: p.property,
            relation: p.relation,
            source: p.source.citation,
            source_status: p.source.status,
        };
        Self {
            crop: of.crop,
            moisture_wb: of.moisture_wb,
            temperature_c: of.temperature,
            bulk_density_kg_m3: of.bulk_density,
            specific_heat_j_kg_k: of.specific_heat,
            conductivity_w_m_k: of.conductivity,
            kernel_density_kg_m3: of.kernel_density,
            porosity: of.porosity,
            latent_heat_j_kg: of.latent_heat,
            bushel_kg: of.bushel,
            sources: of.sources.into_iter().map(property).collect(),
        }
    }
}

impl CropList {
    /// The matrix of all crops of a library, in its order.
    pub fn of(library: &Library) -> Self {
        Self { crops: library.crops().iter().map(CropRow::of).collect() }
    }

    /// The matrix of all crops that are compiled in.
    pub fn built_in() -> Self {
        Self::of(&Library::built_in())
    }
}

impl CropRow {
    /// The row of a crop.
    pub fn of(crop: &Crop) -> Self {
        let cell =
            |c: &crops::Capability| CapabilityCell { confidence: c.confidence.word().into(), says: c.says.clone() };
        let cells = crop.capability();
        let of = |need: Need| cells.iter().find(|c| c.need == need).map(cell).unwrap_or_default();
        Self {
            id: crop.id.clone(),
            name: crop.name.clone(),
            aliases: crop.aliases.clone(),
            grain: crop.grain,
            equilibrium: of(Need::Equilibrium),
            resistance: of(Need::Resistance),
            kinetics: of(Need::Kinetics),
            storability: of(Need::Storability),
            heat: of(Need::Heat),
            relations: crop.isotherms.iter().map(|set| set.id.clone()).collect(),
            relation_words: crop.isotherms.iter().map(crops::IsothermSet::words).collect(),
            laws: crop.kinetics.iter().flat_map(|k| &k.laws).map(|law| law.id().to_string()).collect(),
        }
    }
}
