//! `farm`: all bins of a site together.

use crate::season::{Money, SeasonJson, words};
use advice::farm::{FarmBinYear, FarmSeason};
use advice::{Tariff, sentences};
use job::facts::LoadOrder;
use job::{BinJob, Job, clock};
use serde::Serialize;

/// The bins of a site as one farm, in one year or in all.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmJson {
    /// Name of the site.
    pub site: String,
    /// Names of the bins, in the order of every list of bins.
    pub bins: Vec<String>,
    /// Mass of a legal bushel, kg; null where bins hold different crops or the crop has none.
    pub bushel_kg: Option<f64>,
    /// Which bin takes a load when several may: `most-life`, `as-listed`.
    pub order: &'static str,
    /// Storage life used at which a bin takes no further load.
    pub most_life_used: f64,
    /// Days that a load waits in the field before it is sold wet.
    pub wait_days: i64,
    /// Whether the harvest is said apart; else it is the lots of the bins.
    pub harvest_said: bool,
    /// Years that could be asked for.
    pub years_known: Vec<i32>,
    /// Years left out.
    pub left_out: Vec<FarmLeftOutJson>,
    /// The years asked for.
    pub years: Vec<FarmYearJson>,
}

/// A year left out.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmLeftOutJson {
    /// Year.
    pub year: i32,
    /// Why.
    pub reason: String,
}

/// A year of the farm.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmYearJson {
    /// Calendar year of the first load.
    pub year: i32,
    /// Whether every bin that got grain ended well and nothing was sold wet.
    pub good: bool,
    /// The harvest to be placed, kg as harvested.
    pub harvest_kg: f64,
    /// The same in legal bushels by weight; null where bins hold different crops or the crop has none.
    pub harvest_bushels: Option<f64>,
    /// Sold wet, kg as harvested.
    pub sold_wet_kg: f64,
    /// Most that waited in the field at the end of a day, kg as harvested.
    pub most_waiting_kg: f64,
    /// Bins.
    pub bins: Vec<FarmBinJson>,
    /// Days of the harvest.
    pub days: Vec<FarmDayJson>,
    /// The service.
    pub service: FarmServiceJson,
    /// Tanks; null where no gas is drawn from any.
    pub tank: Option<FarmTankJson>,
    /// Costs; null without prices.
    pub cost: Option<FarmCostJson>,
}

/// A bin of the farm after a year.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmBinJson {
    /// Name.
    pub bin: String,
    /// Crop id.
    pub crop: String,
    /// Whether it took loads of the farm; else it had its own lots.
    pub takes_harvest: bool,
    /// What it got over what its plan has room for; null for a bin with its own lots.
    pub filled_share: Option<f64>,
    /// Grain it got, kg as harvested; null for a bin with its own lots.
    pub taken_kg: Option<f64>,
    /// `met`, `held`, `failed`; null for a bin that got nothing.
    pub outcome: Option<&'static str>,
    /// Why it failed.
    pub cause: Option<&'static str>,
    /// When the mean moisture came to the target.
    pub finished_at: Option<String>,
    /// Storage life used at the end, strict reading.
    pub life_used: Option<f64>,
    /// Metered electricity of the season, J.
    pub electricity_j: Option<f64>,
    /// Fuel, kg.
    pub fuel_kg: Option<f64>,
    /// Hours in which the burner did not meet what was asked, empty tanks counted.
    pub burner_short_hours: Option<f64>,
    /// The season in full, where one year was asked for.
    pub season: Option<SeasonJson>,
}

/// A day of the harvest.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmDayJson {
    /// Midnight at which it begins.
    pub at: String,
    /// Sent to each bin, kg as harvested.
    pub taken_kg: Vec<f64>,
    /// Storage life used in each bin when the loads came; null while it is empty.
    pub life_used: Vec<Option<f64>>,
    /// In the field at the end of the day though it was due, kg.
    pub waiting_kg: f64,
    /// Sold wet, kg.
    pub sold_kg: f64,
}

/// The service of the farm.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmServiceJson {
    /// Highest power of all bins together.
    pub peak_w: f64,
    /// The hour of it.
    pub peak_at: String,
    /// Current then, other load counted; null where nothing is said of the supply.
    pub peak_a: Option<f64>,
    /// Rated current; null where it is not said.
    pub service_a: Option<f64>,
    /// Other load that runs at the same time.
    pub other_w: f64,
    /// Hours in which the current would pass the rating.
    pub hours_over: usize,
    /// Sum of the highest power of each bin on its own.
    pub peaks_apart_w: f64,
    /// Highest power of all bins by month, January first.
    pub monthly_peak_w: [f64; 12],
    /// Day by day: mean and highest power.
    pub days: Vec<FarmPowerJson>,
    /// Hour by hour, where asked for.
    pub hours: Vec<FarmPowerJson>,
}

/// Power over a stretch of time.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmPowerJson {
    /// Its begin.
    pub at: String,
    /// Mean.
    pub mean_w: f64,
    /// Highest.
    pub highest_w: f64,
}

/// The tanks of the farm.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmTankJson {
    /// Water capacity of all.
    pub capacity_m3: f64,
    /// Share at which they are reordered.
    pub reserve: f64,
    /// Lowest share.
    pub lowest: f64,
    /// Days below the reserve.
    pub days_below_reserve: usize,
    /// Hours in which burners were shut off because the tanks could not carry another hour.
    pub hours_empty: usize,
    /// Liquid burnt.
    pub burnt_m3: f64,
    /// Deliveries.
    pub deliveries: Vec<FarmDeliveryJson>,
    /// Share at the end of each day.
    pub levels: Vec<FarmLevelJson>,
}

/// A delivery.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmDeliveryJson {
    /// When it was ordered.
    pub ordered_at: String,
    /// When it came.
    pub came_at: String,
    /// Liquid.
    pub volume_m3: f64,
}

/// Level of the tanks.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmLevelJson {
    /// End of a day.
    pub at: String,
    /// Liquid over capacity.
    pub fill: f64,
}

/// Costs of a year.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FarmCostJson {
    /// All that has a price.
    pub total: Money,
    /// Whether something that costs has none.
    pub unpriced: bool,
    /// Energy.
    pub electricity: f64,
    /// Demand charge of all bins on one meter.
    pub demand: f64,
    /// Demand charge if each bin had a meter of its own.
    pub demand_apart: f64,
    /// Fuel; null without a price.
    pub fuel: Option<f64>,
    /// What selling wet brought less than the same grain dry; null without prices for it.
    pub sold_wet: Option<f64>,
}

impl FarmJson {
    /// The document of years that were run; `full` for a single year with its seasons, `hourly` with the hours of the service.
    pub fn of(job: &Job, years: &[FarmSeason], full: bool, hourly: bool) -> Self {
        let farm = &job.farm;
        Self {
            site: job.name.clone(),
            bins: job.bins.iter().map(|bin| bin.name.clone()).collect(),
            bushel_kg: bushel(job),
            order: match farm.order {
                LoadOrder::MostLife => "most-life",
                LoadOrder::AsListed => "as-listed",
            },
            most_life_used: farm.most_life_used,
            wait_days: farm.wait,
            harvest_said: farm.harvest_said,
            years_known: farm.years.iter().map(|(year, _)| *year).collect(),
            left_out: farm
                .left_out
                .iter()
                .map(|(year, reason)| FarmLeftOutJson { year: *year, reason: reason.clone() })
                .collect(),
            years: years.iter().map(|season| FarmYearJson::of(job, season, full, hourly)).collect(),
        }
    }
}

/// All that decides how the bins of a farm share its loads and its tank.
fn identity(job: &Job) -> String {
    let bins: String = job.bins.iter().map(|bin| bin.identity("farm")).collect();
    let farm = &job.farm;
    let loads: Vec<_> = farm.years.iter().map(|(year, of)| (year, &of.loads)).collect();
    format!("{bins} {:?} {} {} {:?} {loads:?}", farm.order, farm.most_life_used, farm.wait, job.fuel)
}

/// Kilograms of a legal bushel, where all bins hold one crop that has one.
pub fn bushel(job: &Job) -> Option<f64> {
    let first = job.bins.first()?;
    let alike = job.bins.iter().all(|bin| bin.crop_id == first.crop_id);
    first.bushel.as_ref().filter(|_| alike).map(|bushel| bushel.mass)
}

impl FarmYearJson {
    fn of(job: &Job, season: &FarmSeason, full: bool, hourly: bool) -> Self {
        let offset = job.place.utc_offset;
        let at = |hour: i64| clock::instant(hour, offset);
        let tariff = job.prices.as_ref().map(Tariff::of);
        // What becomes of a bin depends on all of them.
        let farm = if full { identity(job) } else { String::new() };
        let full_bin = full.then_some((farm.as_str(), tariff.as_ref()));
        let bins = job.bins.iter().zip(&season.bins);
        Self {
            year: season.year,
            good: season.good(),
            harvest_kg: season.harvest_wet,
            harvest_bushels: bushel(job).map(|mass| season.harvest_wet / mass),
            sold_wet_kg: season.sold.1,
            most_waiting_kg: season.most_waiting,
            bins: bins.map(|(bin, of)| bin_json(bin, of, season.year, offset, full_bin)).collect(),
            days: season
                .days
                .iter()
                .map(|day| FarmDayJson {
                    at: at(day.hour),
                    taken_kg: day.taken.clone(),
                    life_used: day.life.clone(),
                    waiting_kg: day.waiting,
                    sold_kg: day.sold,
                })
                .collect(),
            service: service(season, &at, full, hourly),
            tank: season.tank.as_ref().map(|tank| FarmTankJson {
                capacity_m3: tank.capacity,
                reserve: tank.reserve,
                lowest: tank.lowest,
                days_below_reserve: tank.days_below,
                hours_empty: tank.hours_empty,
                burnt_m3: tank.burnt,
                deliveries: tank
                    .deliveries
                    .iter()
                    .map(|d| FarmDeliveryJson { ordered_at: at(d.ordered), came_at: at(d.came), volume_m3: d.volume })
                    .collect(),
                levels: tank.levels.iter().map(|l| FarmLevelJson { at: at(l.hour), fill: l.fill }).collect(),
            }),
            cost: season.cost.as_ref().map(|cost| FarmCostJson {
                total: Money { amount: cost.total(), currency: cost.currency.clone() },
                unpriced: cost.unpriced(),
                electricity: cost.electricity,
                demand: cost.demand,
                demand_apart: cost.demand_apart,
                fuel: cost.fuel,
                sold_wet: cost.sold_wet,
            }),
        }
    }
}

/// A bin; the season in full where the identity of the farm and a tariff (or none) are handed over.
fn bin_json(
    bin: &BinJob,
    of: &FarmBinYear,
    year: i32,
    offset: i32,
    full: Option<(&str, Option<&Tariff>)>,
) -> FarmBinJson {
    let (outcome, cause) = of.verdict.map(words).unzip();
    let r = of.result.as_ref();
    FarmBinJson {
        bin: bin.name.clone(),
        crop: bin.crop_id.clone(),
        takes_harvest: of.takes,
        filled_share: of.takes.then(|| of.taken / of.room),
        taken_kg: of.takes.then_some(of.taken_wet),
        outcome,
        cause: cause.flatten(),
        finished_at: r.and_then(|r| r.finished_at).map(|hour| clock::instant(hour, offset)),
        life_used: r.and_then(|r| r.life_strict),
        electricity_j: r.map(season::SeasonResult::electricity),
        fuel_kg: r.map(|r| r.fuel),
        burner_short_hours: r.map(|r| r.burner_short_hours),
        season: r.zip(full).map(|(r, (farm, tariff))| SeasonJson {
            run: bin.identity(&format!("{} layers in {farm}", of.case.grain.group.layers)),
            ..SeasonJson::of(bin, year, &of.case, r, offset, tariff)
        }),
    }
}

fn service(season: &FarmSeason, at: &impl Fn(i64) -> String, full: bool, hourly: bool) -> FarmServiceJson {
    let service = &season.service;
    let hour = |h: &advice::farm::ServiceHour| FarmPowerJson { at: at(h.hour), mean_w: h.mean, highest_w: h.highest };
    let day = |day: &[advice::farm::ServiceHour]| FarmPowerJson {
        at: at(day[0].hour),
        mean_w: day.iter().map(|h| h.mean).sum::<f64>() / day.len() as f64,
        highest_w: day.iter().map(|h| h.highest).fold(0.0, f64::max),
    };
    FarmServiceJson {
        peak_w: service.peak,
        peak_at: at(service.peak_at),
        peak_a: service.peak_current,
        service_a: service.service,
        other_w: service.other,
        hours_over: service.hours_over,
        peaks_apart_w: service.apart,
        monthly_peak_w: service.monthly_peak,
        days: if full { service.hours.chunks(24).map(day).collect() } else { Vec::new() },
        hours: if hourly { service.hours.iter().map(hour).collect() } else { Vec::new() },
    }
}

/// What became of a bin, in a reader's words.
pub fn outcome_says(of: &FarmBinYear) -> String {
    match of.verdict {
        None => "empty".to_string(),
        Some(advice::Verdict::Met) => "met".to_string(),
        Some(advice::Verdict::Held) => "held".to_string(),
        Some(advice::Verdict::Failed(cause)) => format!("failed: {}", sentences::cause_says(cause)),
    }
}
