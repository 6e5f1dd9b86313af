//! Duty of a burner.

use advice::heat::duty::{Design, Duty, Hour, SHARES, WeekHeat, YearHeat};
use job::clock;
use physics::burner_duty::FactorParts;
use serde::Serialize;

/// What an hour of weather asks of the burner.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct HourJson {
    /// When it begins.
    pub at: String,
    /// Outside air, °C.
    pub outside_c: f64,
    /// Its humidity ratio, kg/kg.
    pub humidity_ratio: f64,
    /// Barometric pressure, Pa.
    pub pressure_pa: f64,
    /// Airflow at the fan inlets, m³/s.
    pub airflow_m3_s: f64,
    /// Dry air past the burner, kg/s.
    pub dry_air_kg_s: f64,
    /// Rise by the fans, K.
    pub fan_heat_k: f64,
    /// Rise wanted of the burner, K.
    pub rise_k: f64,
    /// Heat wanted of it, W to the air.
    pub heat_w: f64,
    /// Air to the grain when the rise is met, °C.
    pub plenum_c: f64,
}

impl HourJson {
    fn of(h: &Hour, offset: i32) -> Self {
        Self {
            at: clock::instant(h.hour, offset),
            outside_c: h.temperature,
            humidity_ratio: h.humidity_ratio,
            pressure_pa: h.pressure,
            airflow_m3_s: h.airflow,
            dry_air_kg_s: h.dry_air,
            fan_heat_k: h.fan_heat,
            rise_k: h.rise,
            heat_w: h.heat,
            plenum_c: h.plenum(),
        }
    }
}

/// Why the exact heat differs from the customary one: factors whose product is exact over customary.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FactorPartsJson {
    /// Barometric pressure over the standard one.
    pub pressure: f64,
    /// Absolute temperature behind the customary density over that of the air at the fan inlet.
    pub temperature: f64,
    /// Dry air displaced by vapour.
    pub vapour: f64,
    /// Specific heat over the customary one.
    pub specific_heat: f64,
}

impl From<FactorParts> for FactorPartsJson {
    fn from(parts: FactorParts) -> Self {
        Self {
            pressure: parts.pressure,
            temperature: parts.temperature,
            vapour: parts.vapour,
            specific_heat: parts.specific_heat,
        }
    }
}

/// The design hour.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DesignHourJson {
    /// Share of the hours that ask for no more.
    pub share: f64,
    /// The hour.
    pub hour: HourJson,
    /// What 1.08 Btu/(h·cfm·°F) makes of the airflow at the fan inlets and the rise, W.
    pub customary_w: f64,
    /// Why it differs.
    pub why: FactorPartsJson,
    /// The same factor on the airflow in the hot plenum, W.
    pub customary_on_plenum_w: f64,
    /// Heat on the invoice (higher heating value) or electric power, W.
    pub invoiced_w: f64,
    /// Fuel, kg/s; null for electric heat.
    pub fuel_kg_s: Option<f64>,
    /// Fuel that the higher heating value would have said, kg/s.
    pub fuel_by_higher_kg_s: Option<f64>,
    /// Fuel as a liquid, m³/s, where it is sold as one.
    pub liquid_m3_s: Option<f64>,
    /// Fuel as a gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_m3_s: Option<f64>,
    /// Water of combustion put into the air, kg/kg.
    pub water_added: f64,
    /// Carbon dioxide put into the air, volume fraction.
    pub carbon_dioxide_added: f64,
    /// Relative humidity outside.
    pub humidity_outside: f64,
    /// Relative humidity of the air to the grain.
    pub humidity_plenum: f64,
    /// The same with as much dry heat.
    pub humidity_dry_heat: f64,
}

/// Heat wanted in a share of the hours.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DurationJson {
    /// Share of the hours that want no more.
    pub share: f64,
    /// Heat wanted, W.
    pub heat_w: f64,
}

/// One year's hours between the first load and the day by which the grain is to be dry.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct YearHeatJson {
    /// Calendar year of the first load.
    pub year: i32,
    /// Hours between the two days.
    pub hours: usize,
    /// Hours in which heat is wanted.
    pub lit_hours: usize,
    /// Hours in which the burner cannot give what is wanted.
    pub short_hours: usize,
    /// Hours in which the limit of the plenum holds the fire down or off.
    pub limited_hours: usize,
    /// Mean heat given while it is wanted, W.
    pub mean_w: f64,
    /// Largest heat wanted in an hour, W.
    pub peak_w: f64,
    /// Heat given, J.
    pub burner_energy_j: f64,
    /// Fuel for it, kg.
    pub fuel_kg: f64,
    /// Electricity for it, J.
    pub electricity_j: f64,
}

/// One week since the first load, over all years.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct WeekHeatJson {
    /// Days from the first load to its beginning.
    pub day: f64,
    /// Mean outside temperature, °C.
    pub outside_c: f64,
    /// Mean heat wanted, W.
    pub mean_w: f64,
    /// Nine hours in ten want no more, W.
    pub ninetieth_w: f64,
    /// Largest, W.
    pub largest_w: f64,
}

/// The duty of a burner with all lots in and all fans running, in every hour between the first load and the day by which the
/// grain is to be dry.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DutyJson {
    /// The design hour.
    pub design: DesignHourJson,
    /// The hour whose heat is the mean of those in which heat is wanted.
    pub usual: HourJson,
    /// Most heat the burner gives, W.
    pub installed_w: f64,
    /// Heat wanted by share of the hours, rising.
    pub duration: Vec<DurationJson>,
    /// Years.
    pub years: Vec<YearHeatJson>,
    /// Weeks since the first load.
    pub weeks: Vec<WeekHeatJson>,
}

impl DutyJson {
    /// The duty, instants with the offset (s) of the place.
    pub fn of(duty: &Duty, offset: i32) -> Self {
        Self {
            design: design(&duty.design, offset),
            usual: HourJson::of(&duty.usual, offset),
            installed_w: duty.installed,
            duration: SHARES.iter().zip(duty.duration).map(|(&share, heat_w)| DurationJson { share, heat_w }).collect(),
            years: duty.years.iter().map(year).collect(),
            weeks: duty.weeks.iter().map(week).collect(),
        }
    }
}

fn design(d: &Design, offset: i32) -> DesignHourJson {
    DesignHourJson {
        share: d.share,
        hour: HourJson::of(&d.hour, offset),
        customary_w: d.customary,
        why: d.parts.into(),
        customary_on_plenum_w: d.customary_on_plenum,
        invoiced_w: d.invoiced,
        fuel_kg_s: d.fuel,
        fuel_by_higher_kg_s: d.fuel_by_higher,
        liquid_m3_s: d.liquid,
        gas_m3_s: d.gas,
        water_added: d.water_added,
        carbon_dioxide_added: d.carbon_dioxide_added,
        humidity_outside: d.humidity_outside,
        humidity_plenum: d.humidity_plenum,
        humidity_dry_heat: d.humidity_dry_heat,
    }
}

fn year(y: &YearHeat) -> YearHeatJson {
    YearHeatJson {
        year: y.year,
        hours: y.hours,
        lit_hours: y.lit,
        short_hours: y.short,
        limited_hours: y.limited,
        mean_w: y.mean,
        peak_w: y.peak,
        burner_energy_j: y.heat,
        fuel_kg: y.fuel,
        electricity_j: y.electricity,
    }
}

fn week(w: &WeekHeat) -> WeekHeatJson {
    WeekHeatJson { day: w.day, outside_c: w.outside, mean_w: w.mean, ninetieth_w: w.ninetieth, largest_w: w.largest }
}
