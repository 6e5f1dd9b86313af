//! `heat SITE`: what the burner of a bin is asked, how ways of firing meet it, and what stands behind.

mod duty;
mod firing;
mod place;
mod power;
mod sound;
mod train;

pub use duty::{DesignHourJson, DurationJson, DutyJson, FactorPartsJson, HourJson, WeekHeatJson, YearHeatJson};
pub use firing::{FiringJson, FiringRowJson, SharedRowJson, firing_word, load_word, sharing_word};
pub use place::PlacedJson;
pub use power::{
    BinPowerJson, DemandJson, FanMotorJson, LoadAtTemperatureJson, MonthPeakJson, MotorPointJson, SitePowerJson,
};
pub use sound::{DwellingJson, SoundPlanJson, SoundSourceJson, YardSoundJson, verdict_word};
pub use train::{
    AtBurnerJson, ElementJson, PieceJson, SmallestPipeJson, StockJson, TankRowJson, TanksJson, TrainJson, element_word,
    material_word,
};

use crate::document::Document;
use crate::equipment::EquipmentJson;
use advice::heat::{BinHeat, SiteHeat};
use equipment::{BurnerRule, BurnerSide, Fuel};
use job::{BinJob, Job};
use notice::Remarks;
use serde::Serialize;

/// A burner.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FiredBurnerJson {
    /// Key of the catalogue.
    pub id: String,
    /// `propane`, `natural-gas`, `electric`.
    pub fuel: &'static str,
    /// `discharge`: after the fan; `inlet`: before it.
    pub side: &'static str,
    /// `on-off`, `high-low`, `modulating`.
    pub firing: &'static str,
    /// Most heat to the air, W.
    pub capacity_w: f64,
    /// Least steady fire, share of it.
    pub minimum_fire: f64,
    /// Efficiency on the lower heating value of an indirect heater; null for a direct flame or electric heat.
    pub indirect_efficiency: Option<f64>,
    /// Limit of the plenum, °C.
    pub temperature_limit_c: Option<f64>,
    /// What the control asks: `off`, `rise`, `thermostat`, `humidistat`, `both`.
    pub asked: &'static str,
    /// Rise asked, K.
    pub rise_k: Option<f64>,
    /// Plenum temperature asked or not to be passed, °C.
    pub set_c: Option<f64>,
    /// Relative humidity not to be passed upwards.
    pub set_relative_humidity: Option<f64>,
}

impl FiredBurnerJson {
    /// The burner of a bin, where it has one.
    pub fn of(bin: &BinJob) -> Option<Self> {
        let burner = bin.template.burner.as_ref()?;
        let (asked, rise_k, set_c, set_relative_humidity) = match bin.template.control.burner {
            BurnerRule::Off => ("off", None, None, None),
            BurnerRule::FixedRise(rise) => ("rise", Some(rise), None, None),
            BurnerRule::Thermostat(set) => ("thermostat", None, Some(set), None),
            BurnerRule::Humidistat(set) => ("humidistat", None, None, Some(set)),
            BurnerRule::HumidistatWithin { humidity, temperature } => ("both", None, Some(temperature), Some(humidity)),
        };
        Some(Self {
            id: burner.id.clone(),
            fuel: fuel_word(burner.fuel),
            side: side_word(burner.side),
            firing: firing_word(burner.firing),
            capacity_w: burner.capacity,
            minimum_fire: burner.minimum_fire,
            indirect_efficiency: burner.indirect_efficiency,
            temperature_limit_c: burner.temperature_limit,
            asked,
            rise_k,
            set_c,
            set_relative_humidity,
        })
    }
}

/// Word of a fuel.
pub fn fuel_word(fuel: Fuel) -> &'static str {
    match fuel {
        Fuel::Propane => "propane",
        Fuel::NaturalGas => "natural-gas",
        Fuel::Electric => "electric",
    }
}

/// Word of a side of the fan.
pub fn side_word(side: BurnerSide) -> &'static str {
    match side {
        BurnerSide::Discharge => "discharge",
        BurnerSide::Inlet => "inlet",
    }
}

/// The heat of one bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BinHeatJson {
    /// Bin.
    pub bin: String,
    /// Crop after aliases.
    pub crop: String,
    /// Mean barometric pressure of the place, Pa.
    pub pressure_pa: f64,
    /// Burner; null without one.
    pub burner: Option<FiredBurnerJson>,
    /// Duty of the burner; null when it is never asked for heat.
    pub duty: Option<DutyJson>,
    /// The design hour without fire, with the burner after the fan, with it before; empty where there is no duty, or with suction.
    pub place: Vec<PlacedJson>,
    /// Ways of firing compared; null where there is no duty.
    pub firing: Option<FiringJson>,
    /// Motors over the hours of all seasons; null without weather.
    pub power: Option<BinPowerJson>,
    /// Whether any equipment is invented.
    pub demo: bool,
    /// Fans and burner, each once, with where their figures come from.
    pub equipment: Vec<EquipmentJson>,
}

/// The heat of all bins asked for.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct HeatSiteJson {
    /// Bins.
    pub bins: Vec<BinHeatJson>,
    /// Supply and line of the fuel, with all burners of the site; null where the site says nothing of it.
    pub train: Option<TrainJson>,
    /// Electricity with everything on; null where the site says nothing of its supply.
    pub power: Option<SitePowerJson>,
    /// Largest power by month, and its charge.
    pub demand: DemandJson,
    /// Sound in the yard; null where the site says nothing of it.
    pub sound: Option<YardSoundJson>,
}

impl HeatSiteJson {
    /// The document of a site's heat, or of one of its bins; the train is that of all burners in either case.
    pub fn document(job: &Job, heat: &SiteHeat, bin: Option<&str>) -> Document<Self> {
        let mut remarks = Remarks::default();
        let shown = job.bins.iter().zip(&heat.bins).filter(|(of, _)| bin.is_none_or(|name| name == of.name));
        let bins = shown.map(|(of, heat)| {
            remarks.extend(of.remarks.clone());
            remarks.extend(heat.remarks.clone());
            BinHeatJson::of(job, of, heat)
        });
        let bins = bins.collect();
        remarks.extend(heat.remarks.clone());
        let train = heat.train.as_ref().map(|train| TrainJson::of(train, job.place.utc_offset));
        let common = &heat.common;
        remarks.extend(common.remarks.clone());
        let currency = job.prices.as_ref().map(|prices| prices.currency.as_str());
        let whole = Self {
            bins,
            train,
            power: common.power.as_ref().map(SitePowerJson::of),
            demand: DemandJson::of(&common.demand, currency),
            sound: common.sound.as_ref().map(YardSoundJson::of),
        };
        Document::new("heat/1", whole, &remarks)
    }
}

impl BinHeatJson {
    /// The document of a bin's heat.
    pub fn of(job: &Job, bin: &BinJob, heat: &BinHeat) -> Self {
        Self {
            bin: bin.name.clone(),
            crop: bin.crop_id.clone(),
            pressure_pa: heat.barometric,
            burner: FiredBurnerJson::of(bin),
            duty: heat.duty.as_ref().map(|duty| DutyJson::of(duty, job.place.utc_offset)),
            place: heat.place.iter().flatten().map(PlacedJson::of).collect(),
            firing: heat.firing.as_ref().map(FiringJson::of),
            power: heat.power.as_ref().map(|power| BinPowerJson::of(power, job.power.is_some())),
            demo: bin.invented,
            equipment: EquipmentJson::of(bin),
        }
    }
}
