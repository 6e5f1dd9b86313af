//! `air SITE`: the working point of a bin at every fill.

use crate::equipment::EquipmentJson;
use job::BinJob;
use serde::Serialize;

/// One item of a pressure budget.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BudgetItemJson {
    /// `inlet`, `screen`, `straight duct`, `elbow`, `transition`, `perforated ducts`, `transition and duct` (stated as a number),
    /// `perforated floor`, `perforated pad`, `wall of the ducts`, `spreading into the grain`, `grain`, `headspace and roof vents`.
    pub item: &'static str,
    /// Pressure it takes, Pa.
    pub pressure_pa: f64,
    /// Velocity in its own section, m/s; null where it has none.
    pub velocity_m_s: Option<f64>,
}

impl From<advice::way::BudgetItem> for BudgetItemJson {
    fn from(item: advice::way::BudgetItem) -> Self {
        Self { item: item.name, pressure_pa: item.pressure, velocity_m_s: item.velocity }
    }
}

/// One fill.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FillJson {
    /// Share of the lots that is in.
    pub fill: f64,
    /// Level depth, m.
    pub depth_m: f64,
    /// Volume bushels in.
    pub volume_bushels: f64,
    /// `works`, `held-below-first`, `unstable`, `beyond-curve`, `off`.
    pub outcome: &'static str,
    /// The same in a reader's words.
    pub outcome_says: &'static str,
    /// Airflow at the fan inlets, m³/s.
    pub airflow_m3_s: f64,
    /// The same per m³ of grain as filled, 1/s.
    pub specific_airflow_1_s: f64,
    /// The same per volume bushel as filled, cfm/bu.
    pub specific_airflow_cfm_bu: f64,
    /// Face velocity in the grain, m/s.
    pub velocity_m_s: f64,
    /// Static pressure of the fans, Pa.
    pub static_pressure_pa: f64,
    /// The pressure budget item by item, from the open air to the open air; it sums to the static pressure.
    pub budget: Vec<BudgetItemJson>,
    /// Transition and duct, Pa.
    pub transition_pa: f64,
    /// Perforated floor, Pa.
    pub floor_pa: f64,
    /// Crowding of the air at a pad or at ducts, Pa; 0 on a full floor.
    pub spread_pa: f64,
    /// Grain, Pa.
    pub grain_pa: f64,
    /// Vents, Pa.
    pub vents_pa: f64,
    /// Shaft power of all fans, W.
    pub shaft_power_w: f64,
    /// Electric input of all fans, W.
    pub input_power_w: f64,
    /// Most loaded motor over its rating.
    pub motor_load: f64,
    /// Rise of the air by the fans, K.
    pub fan_heat_k: f64,
    /// Left of the peak.
    pub unstable: bool,
    /// Some motor above rating times service factor.
    pub overload: bool,
    /// Power rests on an estimate.
    pub estimated_power: bool,
    /// Velocity outside the evidence of the resistance law.
    pub outside_resistance: bool,
}

/// The air of one bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct AirJson {
    /// Bin.
    pub bin: String,
    /// Crop after aliases.
    pub crop: String,
    /// Fans, first to last.
    pub fans: Vec<String>,
    /// Packing factor used.
    pub packing: f64,
    /// Outside air the points hold for, °C.
    pub ambient_c: f64,
    /// Its relative humidity.
    pub ambient_relative_humidity: f64,
    /// Barometric pressure, Pa.
    pub pressure_pa: f64,
    /// Bulk density used for the airflow per volume, kg/m³.
    pub bulk_density_kg_m3: f64,
    /// Fills, rising.
    pub fills: Vec<FillJson>,
    /// Whether any equipment is invented.
    pub demo: bool,
    /// Fans and burner, each once, with where their figures come from.
    pub equipment: Vec<EquipmentJson>,
}

/// The air of all bins asked for.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct AirSiteJson {
    /// Bins.
    pub bins: Vec<AirJson>,
}

/// A curve to draw: pairs of airflow at the inlets (m³/s) and static pressure (Pa).
pub type CurveJson = Vec<[f64; 2]>;

/// The curve of all fans together.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct OutfitCurveJson {
    /// Fan, or how many fans how arranged.
    pub label: String,
    /// The side to rely on.
    #[schema(value_type = Vec<Vec<f64>>)]
    pub stable: CurveJson,
    /// Tabulated points left of the peak; empty for unlike fans.
    #[schema(value_type = Vec<Vec<f64>>)]
    pub unstable: CurveJson,
}

/// What bin and grain ask at one fill.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SystemCurveJson {
    /// `50 % full`.
    pub label: String,
    /// Share of the lots that is in.
    pub fill: f64,
    /// Points at rising airflow.
    #[schema(value_type = Vec<Vec<f64>>)]
    pub points: CurveJson,
}

/// Curves whose crossings are the working points.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CurvesJson {
    /// The fans.
    pub fan: OutfitCurveJson,
    /// Bin and grain at every fill.
    pub systems: Vec<SystemCurveJson>,
    /// Density of the air at the inlets for which they stand, kg/m³.
    pub air_density_kg_m3: f64,
}

impl CurvesJson {
    /// The curves of a bin.
    pub fn of(bin: &BinJob, air: &advice::air::BinAir) -> Self {
        let pairs = |points: Vec<(f64, f64)>| points.into_iter().map(|(q, p)| [q, p]).collect();
        let fan = advice::curves::outfit(bin, air);
        let systems = advice::curves::systems(bin, air);
        Self {
            fan: OutfitCurveJson { label: fan.label, stable: pairs(fan.stable), unstable: pairs(fan.unstable) },
            systems: systems
                .into_iter()
                .map(|s| SystemCurveJson {
                    label: format!("{:.0} % full", 100.0 * s.fill),
                    fill: s.fill,
                    points: pairs(s.points),
                })
                .collect(),
            air_density_kg_m3: advice::curves::density(air),
        }
    }
}

impl AirJson {
    /// The document of a bin's fills.
    pub fn of(bin: &BinJob, air: &advice::air::BinAir) -> Self {
        Self {
            bin: bin.name.clone(),
            crop: bin.crop_id.clone(),
            fans: bin.template.system.outfit.fans().iter().map(|f| f.id.clone()).collect(),
            packing: bin.packing,
            ambient_c: air.temperature,
            ambient_relative_humidity: air.relative_humidity,
            pressure_pa: air.pressure,
            bulk_density_kg_m3: bin.survey.wet_mass() / bin.survey.volume(),
            fills: air.fills.iter().map(|f| fill(bin, f)).collect(),
            demo: bin.invented,
            equipment: EquipmentJson::of(bin),
        }
    }
}

fn fill(bin: &BinJob, f: &advice::air::FillPoint) -> FillJson {
    let p = &f.point;
    FillJson {
        fill: f.fill,
        depth_m: f.depth,
        volume_bushels: f.volume / notice::quantity::BUSHEL_M3,
        outcome: outcome_word(p.outcome),
        outcome_says: advice::air::outcome_says(p.outcome),
        airflow_m3_s: p.fan_airflow,
        specific_airflow_1_s: p.fan_airflow / f.volume,
        specific_airflow_cfm_bu: p.fan_airflow / f.volume * notice::quantity::BUSHEL_M3 / notice::quantity::CFM_M3_S,
        velocity_m_s: f.velocity,
        static_pressure_pa: p.fan_static_pressure,
        budget: advice::way::budget(bin, p).into_iter().map(BudgetItemJson::from).collect(),
        transition_pa: p.budget.transition,
        floor_pa: p.budget.floor,
        spread_pa: p.budget.spread,
        grain_pa: p.budget.grain,
        vents_pa: p.budget.vents,
        shaft_power_w: p.shaft_power,
        input_power_w: p.input_power,
        motor_load: f.motor_load,
        fan_heat_k: p.fan_heat,
        unstable: p.flags.unstable,
        overload: p.flags.overload,
        estimated_power: p.flags.estimated_power,
        outside_resistance: p.flags.outside_resistance,
    }
}

/// Word of an outcome.
pub fn outcome_word(outcome: equipment::Outcome) -> &'static str {
    match outcome {
        equipment::Outcome::Works => "works",
        equipment::Outcome::HeldBelowFirst => "held-below-first",
        equipment::Outcome::Unstable => "unstable",
        equipment::Outcome::BeyondCurve => "beyond-curve",
        equipment::Outcome::Off => "off",
    }
}
