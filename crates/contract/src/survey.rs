//! `survey`: a site said back. Bushels say which kind they are.

use crate::equipment::EquipmentJson;
use crate::heat::fuel_word;
use crate::process::process_word;
use job::facts::SupplyFacts;
use job::{BinJob, Job};
use season::Process;
use serde::Serialize;

/// One lot.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LotJson {
    /// Crop after aliases.
    pub crop: String,
    /// Moisture.
    pub moisture_wb: f64,
    /// Bulk density used, kg/m³ as filled.
    pub bulk_density_kg_m3: f64,
    /// Mass as filled (wet), kg.
    pub wet_mass_kg: f64,
    /// Dry matter, kg.
    pub dry_matter_kg: f64,
    /// Volume as filled, m³.
    pub volume_m3: f64,
    /// Volume bushels as filled.
    pub volume_bushels: f64,
    /// Legal bushels by weight as filled.
    pub legal_bushels_wet: Option<f64>,
    /// Legal bushels at base moisture after shrink.
    pub legal_bushels_base: Option<f64>,
    /// Level depth of the bin after this lot, m.
    pub depth_after_m: f64,
    /// The lot of each year where it differs from year to year; the figures above are then those of its mean moisture.
    pub by_year: Option<Vec<LotOfYearJson>>,
}

/// A lot as it was in one year.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LotOfYearJson {
    /// Calendar year of the first load.
    pub year: i32,
    /// First day of filling, `MM-DD`.
    pub from: String,
    /// Mean moisture.
    pub moisture_wb: f64,
    /// Temperature as filled, °C; null for the air at harvest and a little more.
    pub temperature_c: Option<f64>,
}

/// A fan where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FanPlaceJson {
    /// Key of the catalogue.
    pub id: String,
    /// Kind of fan.
    pub kind: &'static str,
    /// Rated power of the motor, W at the shaft.
    pub motor_power_w: f64,
}

/// A burner where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BurnerPlaceJson {
    /// Key of the catalogue.
    pub id: String,
    /// `discharge` or `inlet` side of the fan.
    pub side: &'static str,
}

/// Gas tanks of the site that a bin's burner draws from.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct TankPlaceJson {
    /// Word of the fuel.
    pub fuel: &'static str,
    /// How many.
    pub count: usize,
    /// Water capacity of one, m³.
    pub capacity_m3: f64,
    /// Whether liquid is drawn to a vaporizer.
    pub vaporizer: bool,
}

/// What a section of the bin shows besides the grain. Plenum and roof are usual forms, drawn only: no result depends on them.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DrawingJson {
    /// Height of the plenum under the floor, m.
    pub plenum_m: f64,
    /// Rise of the roof above the eave, m.
    pub roof_rise_m: f64,
    /// The floor in words.
    pub floor: &'static str,
    /// Whether the fans draw air down through the grain.
    pub suction: bool,
    /// Fans, first to last.
    pub fans: Vec<FanPlaceJson>,
    /// Burner.
    pub burner: Option<BurnerPlaceJson>,
    /// Tanks that it draws from; null without a flame or with gas from a main.
    pub tank: Option<TankPlaceJson>,
    /// What the bin is used for: `drying`, `aeration`, `batches`, `discharge`, `conditioning`.
    pub process: &'static str,
    /// Whether a stirring machine works in it.
    pub stirred: bool,
    /// Whether dry grain is drawn from its floor.
    pub counterflow: bool,
    /// Whether it is filled in layers, each when the one below is dry enough.
    pub layered: bool,
    /// Free area of the roof vents, m²; null for an open top.
    pub vent_area_m2: Option<f64>,
    /// Shares of the floor from slow to fast air: area share and air over the mean.
    #[schema(value_type = Vec<Vec<f64>>)]
    pub columns: Vec<[f64; 2]>,
}

/// One bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BinSurveyJson {
    /// Key in the site file.
    pub bin: String,
    /// Inner diameter, m.
    pub diameter_m: f64,
    /// Eave height, m.
    pub eave_m: f64,
    /// Floor area, m².
    pub floor_area_m2: f64,
    /// Volume level to the eave, m³.
    pub volume_to_eave_m3: f64,
    /// Volume bushels level to the eave.
    pub capacity_volume_bushels: f64,
    /// Cone above the eave at the filling angle, m³; not used by the model.
    pub cone_volume_m3: Option<f64>,
    /// Depth of all grain, m.
    pub depth_m: f64,
    /// Mass of all grain as filled, kg.
    pub wet_mass_kg: f64,
    /// Dry matter of all grain, kg.
    pub dry_matter_kg: f64,
    /// Water to be removed to the goal, kg.
    pub water_to_remove_kg: f64,
    /// Equilibrium set used.
    pub relation: String,
    /// Packing factor on the resistance.
    pub packing: f64,
    /// Fans, first to last.
    pub fans: Vec<String>,
    /// Whether any equipment is invented.
    pub demo: bool,
    /// Fans and burner, each once, with where their figures come from.
    pub equipment: Vec<EquipmentJson>,
    /// Lots.
    pub lots: Vec<LotJson>,
    /// What a section of it shows.
    pub drawing: DrawingJson,
    /// Years with complete weather for the whole season.
    pub years: Vec<i32>,
    /// Years left out, with reasons.
    pub left_out: Vec<crate::proof::LeftOutJson>,
}

/// Origin and licence of a weather record that is built in.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct WeatherOriginJson {
    /// Where and when it was measured.
    pub place: &'static str,
    /// Who measured it and who made the hourly table.
    pub makers: &'static str,
    /// Terms.
    pub licence: &'static str,
    /// What to know before relying on it.
    pub caution: &'static str,
}

/// A site.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SurveyJson {
    /// Name.
    pub site: String,
    /// Elevation, m; where a pressure is said, the one at which the standard atmosphere has it.
    pub elevation_m: f64,
    /// Mean barometric pressure, Pa, where it is said in place of the elevation.
    pub pressure_pa: Option<f64>,
    /// Weather record.
    pub weather: String,
    /// Whose work the record is and its terms; null for one that the user brought.
    pub weather_origin: Option<WeatherOriginJson>,
    /// Whether the record is a typical year.
    pub typical_year: bool,
    /// Bins in the order of the file.
    pub bins: Vec<BinSurveyJson>,
}

impl SurveyJson {
    /// The document of a site.
    pub fn of(job: &Job) -> Self {
        Self {
            site: job.name.clone(),
            elevation_m: job.place.elevation,
            pressure_pa: job.place.pressure,
            weather: job.weather_name.clone(),
            weather_origin: job.weather_origin.map(|origin| WeatherOriginJson {
                place: origin.place,
                makers: origin.makers,
                licence: origin.licence,
                caution: origin.caution,
            }),
            typical_year: job.typical,
            bins: job.bins.iter().map(|one| bin(job, one)).collect(),
        }
    }
}

fn bin(job: &Job, bin: &BinJob) -> BinSurveyJson {
    let s = &bin.survey;
    let target = bin.template.programme.target;
    let water: f64 = s.lots.iter().map(|l| l.wet_mass - l.dry_matter).sum();
    BinSurveyJson {
        bin: bin.name.clone(),
        diameter_m: bin.template.bin.diameter,
        eave_m: s.eave,
        floor_area_m2: s.floor_area,
        volume_to_eave_m3: s.volume_to_eave,
        capacity_volume_bushels: s.capacity_bushels(),
        cone_volume_m3: s.cone_volume,
        depth_m: s.depth(),
        wet_mass_kg: s.wet_mass(),
        dry_matter_kg: s.dry_matter(),
        water_to_remove_kg: (water - target * s.dry_matter()).max(0.0),
        relation: bin.relation.clone(),
        packing: bin.packing,
        fans: bin.template.system.outfit.fans().iter().map(|f| f.id.clone()).collect(),
        demo: bin.invented,
        equipment: EquipmentJson::of(bin),
        lots: s
            .lots
            .iter()
            .enumerate()
            .map(|(k, l)| LotJson {
                crop: l.crop.clone(),
                moisture_wb: l.moisture,
                bulk_density_kg_m3: l.bulk_density,
                wet_mass_kg: l.wet_mass,
                dry_matter_kg: l.dry_matter,
                volume_m3: l.volume,
                volume_bushels: l.volume / notice::quantity::BUSHEL_M3,
                legal_bushels_wet: l.bushels,
                legal_bushels_base: l.base_bushels,
                depth_after_m: l.depth_after,
                by_year: by_year(bin, k),
            })
            .collect(),
        drawing: drawing(job, bin),
        years: bin.years.iter().map(|(y, _)| *y).collect(),
        left_out: bin
            .left_out
            .iter()
            .map(|(year, reason)| crate::proof::LeftOutJson { year: *year, reason: reason.clone() })
            .collect(),
    }
}

fn drawing(job: &Job, bin: &BinJob) -> DrawingJson {
    let system = &bin.template.system;
    let operations = &bin.template.operations;
    DrawingJson {
        plenum_m: job::survey::DRAWN_PLENUM,
        roof_rise_m: job::survey::drawn_roof(bin.template.bin.diameter),
        floor: advice::way::floor_words(bin),
        suction: system.direction == equipment::Direction::Suction,
        fans: system
            .outfit
            .fans()
            .iter()
            .map(|f| FanPlaceJson {
                id: f.id.clone(),
                kind: job::catalogue::kind_word(f.kind),
                motor_power_w: f.motor_power,
            })
            .collect(),
        burner: bin
            .template
            .burner
            .as_ref()
            .map(|b| BurnerPlaceJson { id: b.id.clone(), side: crate::catalogue::side_word(b.side) }),
        tank: tank(job, bin),
        process: process_word(process(bin)),
        stirred: operations.stirring.is_some(),
        counterflow: operations.counterflow.is_some(),
        layered: operations.layers.is_some(),
        vent_area_m2: system.budget.vents.map(|v| v.area),
        columns: bin.template.bin.columns.iter().map(|c| [c.area, c.air]).collect(),
    }
}

/// The tanks behind a bin's flame.
fn tank(job: &Job, bin: &BinJob) -> Option<TankPlaceJson> {
    let (fuel, burner) = (job.fuel.as_ref()?, bin.template.burner.as_ref()?);
    let tanks = fuel.supply.tanks().filter(|_| burner.fuel == fuel.fuel)?;
    Some(TankPlaceJson {
        fuel: fuel_word(fuel.fuel),
        count: tanks.count,
        capacity_m3: tanks.capacity,
        vaporizer: matches!(fuel.supply, SupplyFacts::Liquid(..)),
    })
}

/// The process of a bin with its lots as they were said.
fn process(bin: &BinJob) -> Process {
    let case = &bin.template;
    let whole: f64 = case.loads.iter().map(|load| load.dry_matter).sum();
    let water: f64 = case.loads.iter().map(|load| load.dry_matter * load.moisture).sum();
    case.operations.process(water / whole.max(f64::MIN_POSITIVE), case.programme.target)
}

/// The lot of a number in each year; none where all lots are alike in every year.
fn by_year(bin: &BinJob, lot: usize) -> Option<Vec<LotOfYearJson>> {
    let row = |(year, lots): &(i32, Vec<job::LotOfYear>)| {
        lots.get(lot).map(|lot| LotOfYearJson {
            year: *year,
            from: format!("{:02}-{:02}", lot.from.month, lot.from.day),
            moisture_wb: lot.moisture,
            temperature_c: lot.temperature,
        })
    };
    (!bin.lots_of_years.is_empty()).then(|| bin.lots_of_years.iter().filter_map(row).collect())
}
