//! `season`: one weather year of a bin.

use crate::document::{Said, said};
use crate::process::{StepJson, process_word, steps};
use advice::evidence::{self, SourceUse};
use advice::{Cause, Reading, Tariff, Verdict, judge};
use job::{BinJob, clock};
use notice::{Status, UnitSystem};
use physics::grain::wet_basis;
use season::result::Drawn;
use season::{CaseSpec, Daily, Hourly, Phase, SeasonResult, StopRule};
use serde::Serialize;

/// Money.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Money {
    /// Amount.
    pub amount: f64,
    /// ISO 4217 code.
    pub currency: String,
}

/// Balance residuals.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BalanceJson {
    /// |in − out − stored| of water over what was moved and stored.
    pub water: f64,
    /// Likewise in energy.
    pub energy: f64,
}

/// Grain drawn from the floor.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DrawnJson {
    /// Where it went.
    pub to: String,
    /// Dry matter, kg.
    pub dry_matter_kg: f64,
    /// Draws.
    pub draws: u32,
    /// Mean moisture as it left.
    pub mean_moisture_wb: f64,
    /// Standard deviation of the moisture between draws and parts of the bin, as a fraction d.b.
    pub deviation_db: f64,
    /// Wettest draw.
    pub wettest_moisture_wb: f64,
    /// Driest draw.
    pub driest_moisture_wb: f64,
    /// Mean temperature as it left.
    pub mean_temperature_c: f64,
    /// First draw.
    pub first_at: String,
    /// Last draw.
    pub last_at: String,
}

/// The end of a case, or of one of its columns. Moistures are those when drying stopped (at the end when it did not);
/// keys that make no sense for a column are null there.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Summary {
    /// `met`, `held`, `failed`; null for a column.
    pub outcome: Option<&'static str>,
    /// Why it failed: `no-airflow`, `too-hot`, `storage-life`, `wet-part`, `not-dry`, `not-cold`, `not-wetted`.
    pub cause: Option<&'static str>,
    /// The same in a reader's words.
    pub cause_says: Option<&'static str>,
    /// When the 24 h mean of the mean moisture first reached the target.
    pub finished_at: Option<String>,
    /// Days from the first load to that.
    pub days_to_target: Option<f64>,
    /// When drying stopped; by the ideal rule, mean and wettest tenth within the goal.
    pub stopped_at: Option<String>,
    /// By which rule drying is stopped: `ideal`, `probe`, `exhaust`; null for a column.
    pub stop_rule: Option<&'static str>,
    /// When the ideal rule, which nobody can see, would have stopped it; null when another rule did before.
    pub ideal_stop_at: Option<String>,
    /// Mean of the probe readings that stopped drying; null where no probe did.
    pub read_moisture_wb: Option<f64>,
    /// Hours that loads waited for the layer below to dry.
    pub waited_hours: Option<f64>,
    /// Dry matter that never came in because the layer below was not dry in time, kg.
    pub refused_dry_matter_kg: Option<f64>,
    /// Rounds of the stirring machine.
    pub stirring_rounds: Option<u32>,
    /// Metered electricity of the stirring machine, J.
    pub stirring_energy_j: Option<f64>,
    /// When winter suspended drying.
    pub suspended_at: Option<String>,
    /// When the grain was as cold as wanted.
    pub cooled_at: Option<String>,
    /// Mean moisture.
    pub mean_moisture_wb: f64,
    /// Mean of the wettest tenth.
    pub wettest_moisture_wb: f64,
    /// Mean of the driest tenth.
    pub driest_moisture_wb: f64,
    /// Mean moisture at the end of the season.
    pub end_moisture_wb: f64,
    /// Storage life used at the end of the season by the worst tenth, strict reading; null when not judged.
    pub storage_life_used: Option<f64>,
    /// The same by the published reading.
    pub storage_life_used_published: Option<f64>,
    /// Mean dry-matter loss by the published law; null without one.
    pub dry_matter_loss: Option<f64>,
    /// Hours the fans ran, the whole season.
    pub fan_hours: Option<f64>,
    /// Hours they ran until drying stopped.
    pub drying_fan_hours: Option<f64>,
    /// Metered electricity of the fans, J.
    pub fan_energy_j: Option<f64>,
    /// Heat of the burner to the air, J.
    pub burner_energy_j: Option<f64>,
    /// Metered electricity for heat, J.
    pub heater_electricity_j: Option<f64>,
    /// Fuel, kg.
    pub fuel_kg: Option<f64>,
    /// Cost of electricity and fuel; null without prices.
    pub energy_cost: Option<Money>,
    /// Energy to the air and metered for each kg of water taken out (heat of the burner and electricity), J/kg; null for a
    /// column and where no water left.
    pub energy_per_water_j_kg: Option<f64>,
    /// Dry matter of all batches a day, kg/d; null where none was finished.
    pub throughput_kg_d: Option<f64>,
    /// Grain drawn from the floor; null when none was.
    pub drawn: Option<DrawnJson>,
    /// Water given to the air, kg.
    pub water_removed_kg: Option<f64>,
    /// Balance residuals.
    pub balance: BalanceJson,
}

/// One column.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ColumnJson {
    /// Share of the floor area.
    pub area_share: f64,
    /// Air flux over the mean flux.
    pub air_share: f64,
    /// Its end.
    pub summary: Summary,
}

/// One day, ending at its midnight.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DailyJson {
    /// Instant at which the day ends.
    pub at: String,
    /// Mean moisture.
    pub mean_moisture_wb: f64,
    /// Wettest tenth.
    pub wettest_moisture_wb: f64,
    /// Driest tenth.
    pub driest_moisture_wb: f64,
    /// Mean grain temperature.
    pub mean_temperature_c: f64,
    /// Coldest layer.
    pub coldest_c: f64,
    /// Warmest layer.
    pub warmest_c: f64,
    /// Storage life used, strict.
    pub storage_life_used: f64,
    /// Storage life used, published.
    pub storage_life_used_published: f64,
    /// Fan hours of the day.
    pub fan_hours: f64,
    /// Metered electricity of the fans, J.
    pub fan_energy_j: f64,
    /// Heat of the burner to the air, J.
    pub burner_energy_j: f64,
    /// Mean outside temperature.
    pub ambient_c: f64,
    /// `filling`, `drying`, `cooling`, `holding`.
    pub phase: &'static str,
}

/// One control tick.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct HourlyJson {
    /// Instant at which it begins.
    pub at: String,
    /// Outside air.
    pub ambient_c: f64,
    /// Outside relative humidity.
    pub ambient_relative_humidity: f64,
    /// Air entering the grain.
    pub plenum_c: f64,
    /// Its relative humidity.
    pub plenum_relative_humidity: f64,
    /// Air leaving the grain.
    pub exhaust_c: f64,
    /// Fans running.
    pub fans: usize,
    /// Dry air through the grain, kg/s.
    pub dry_air_flow_kg_s: f64,
    /// Plenum pressure, Pa.
    pub plenum_pressure_pa: f64,
    /// Rise by the burner, K.
    pub burner_rise_k: f64,
    /// Mean moisture.
    pub mean_moisture_wb: f64,
    /// Mean grain temperature.
    pub mean_temperature_c: f64,
}

/// A relation behind the results, and whether its use lay inside the values it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SourceJson {
    /// What it serves, and which one it is.
    pub what: String,
    /// Where it comes from.
    pub citation: String,
    /// How well it is confirmed.
    pub status: Status,
    /// Whether all of its use lay inside; null when no range is stated or nothing was run.
    pub in_range: Option<bool>,
    /// What was met outside, in SI.
    pub outside: Vec<String>,
}

/// Relations as documents say them.
pub fn sources(uses: Vec<SourceUse>) -> Vec<SourceJson> {
    let one = |u: SourceUse| SourceJson {
        what: u.what,
        citation: u.source.citation,
        status: u.source.status,
        in_range: u.in_range,
        outside: u.outside.iter().map(|says| says.render(UnitSystem::Si)).collect(),
    };
    uses.into_iter().map(one).collect()
}

/// A season of one bin.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SeasonJson {
    /// Bin.
    pub bin: String,
    /// Crop after aliases.
    pub crop: String,
    /// Calendar year of the first load.
    pub year: i32,
    /// Layers of the grid.
    pub layers: usize,
    /// Identity of the run.
    pub run: String,
    /// First load.
    pub started_at: String,
    /// End of the season.
    pub ended_at: String,
    /// What the bin was used for: `drying`, `aeration`, `batches`, `discharge`, `conditioning`.
    pub process: &'static str,
    /// The end of the case.
    pub summary: Summary,
    /// Steps of the process, in order; empty for plain drying.
    pub steps: Vec<StepJson>,
    /// Columns from slowest to fastest air.
    pub columns: Vec<ColumnJson>,
    /// Day by day.
    pub daily: Vec<DailyJson>,
    /// Tick by tick, when asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub hourly: Vec<HourlyJson>,
    /// What is said of this bin.
    pub said: Vec<Said>,
    /// Relations behind it.
    pub sources: Vec<SourceJson>,
    /// The other bins of the site, when no bin was named.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(no_recursion)]
    pub further_bins: Vec<SeasonJson>,
}

/// Word of a verdict and of its cause.
pub fn words(verdict: Verdict) -> (&'static str, Option<&'static str>) {
    match verdict {
        Verdict::Met => ("met", None),
        Verdict::Held => ("held", None),
        Verdict::Failed(cause) => ("failed", Some(cause_word(cause))),
    }
}

/// Why a case failed, in a reader's words.
pub fn cause_says(verdict: Verdict) -> Option<&'static str> {
    match verdict {
        Verdict::Failed(cause) => Some(advice::sentences::cause_says(cause)),
        Verdict::Met | Verdict::Held => None,
    }
}

/// Word of a cause.
pub fn cause_word(cause: Cause) -> &'static str {
    match cause {
        Cause::NoAirflow => "no-airflow",
        Cause::StorageLife => "storage-life",
        Cause::WetPart => "wet-part",
        Cause::NotDry => "not-dry",
        Cause::NotCold => "not-cold",
        Cause::NotWetted => "not-wetted",
        Cause::TooHot => "too-hot",
    }
}

fn phase_word(phase: Phase) -> &'static str {
    match phase {
        Phase::Filling => "filling",
        Phase::Drying => "drying",
        Phase::Cooling => "cooling",
        Phase::Holding => "holding",
    }
}

fn stop_word(rule: &StopRule) -> &'static str {
    match rule {
        StopRule::Ideal => "ideal",
        StopRule::Probe { .. } => "probe",
        StopRule::Exhaust { .. } => "exhaust",
    }
}

/// The end of a case.
pub fn summary(case: &CaseSpec, r: &SeasonResult, offset: i32, tariff: Option<&Tariff>) -> Summary {
    let verdict = judge(&case.programme, r, Reading::Strict);
    let (outcome, cause) = words(verdict);
    let at = |hour: Option<i64>| hour.map(|h| clock::instant(h, offset));
    let cost = tariff
        .and_then(|t| t.cost(r).and_then(|c| c.total()).map(|amount| Money { amount, currency: t.currency.clone() }));
    Summary {
        outcome: Some(outcome),
        cause,
        cause_says: cause_says(verdict),
        finished_at: at(r.finished_at),
        days_to_target: r.finished_at.map(|h| (h - r.started_at) as f64 / 24.0),
        stopped_at: at(r.stopped_at),
        stop_rule: Some(stop_word(&r.stop_rule)),
        ideal_stop_at: at(r.ideal_stop_at),
        read_moisture_wb: r.read_at_stop.map(wet_basis),
        waited_hours: Some(r.waited_hours),
        refused_dry_matter_kg: Some(r.refused),
        stirring_rounds: Some(r.stirring_rounds),
        stirring_energy_j: Some(r.stirring_energy),
        suspended_at: at(r.suspended_at),
        cooled_at: at(r.cooled_at),
        mean_moisture_wb: wet_basis(r.moisture_at_stop),
        wettest_moisture_wb: wet_basis(r.wettest_at_stop),
        driest_moisture_wb: wet_basis(r.driest_at_stop),
        end_moisture_wb: wet_basis(r.mean_moisture),
        storage_life_used: r.life_strict,
        storage_life_used_published: r.life_published,
        dry_matter_loss: r.dry_matter_loss,
        fan_hours: Some(r.air.running),
        drying_fan_hours: Some(r.drying_fan_hours),
        fan_energy_j: Some(r.fan_energy),
        burner_energy_j: Some(r.burner_energy),
        heater_electricity_j: Some(r.heater_electricity),
        fuel_kg: Some(r.fuel),
        energy_cost: cost,
        energy_per_water_j_kg: r.energy_per_water(),
        throughput_kg_d: r.throughput().map(|each| 86_400.0 * each),
        drawn: r.drawn.as_ref().map(|d| drawn(d, offset)),
        water_removed_kg: Some(r.water_removed),
        balance: BalanceJson { water: r.residual.0, energy: r.residual.1 },
    }
}

impl SeasonJson {
    /// The document of a season.
    pub fn of(
        bin: &BinJob,
        year: i32,
        case: &CaseSpec,
        r: &SeasonResult,
        offset: i32,
        tariff: Option<&Tariff>,
    ) -> Self {
        let judged = r.life_strict.is_some();
        let columns = r
            .columns
            .iter()
            .map(|c| ColumnJson {
                area_share: c.area,
                air_share: c.air,
                summary: Summary {
                    outcome: None,
                    cause: None,
                    cause_says: None,
                    finished_at: c.finished_at.map(|h| clock::instant(h, offset)),
                    days_to_target: c.finished_at.map(|h| (h - r.started_at) as f64 / 24.0),
                    stopped_at: None,
                    stop_rule: None,
                    ideal_stop_at: None,
                    read_moisture_wb: None,
                    waited_hours: None,
                    refused_dry_matter_kg: None,
                    stirring_rounds: None,
                    stirring_energy_j: None,
                    suspended_at: None,
                    cooled_at: None,
                    mean_moisture_wb: wet_basis(c.mean_moisture),
                    wettest_moisture_wb: wet_basis(c.wettest),
                    driest_moisture_wb: wet_basis(c.driest),
                    end_moisture_wb: wet_basis(c.mean_moisture),
                    storage_life_used: judged.then_some(c.life_strict),
                    storage_life_used_published: judged.then_some(c.life_published),
                    dry_matter_loss: None,
                    fan_hours: None,
                    drying_fan_hours: None,
                    fan_energy_j: None,
                    burner_energy_j: None,
                    heater_electricity_j: None,
                    fuel_kg: None,
                    energy_cost: None,
                    energy_per_water_j_kg: None,
                    throughput_kg_d: None,
                    drawn: None,
                    water_removed_kg: None,
                    balance: BalanceJson { water: c.water_residual, energy: c.energy_residual },
                },
            })
            .collect();
        Self {
            bin: bin.name.clone(),
            crop: bin.crop_id.clone(),
            year,
            layers: case.grain.group.layers,
            run: bin.identity(&format!("{} layers", case.grain.group.layers)),
            started_at: clock::instant(r.started_at, offset),
            ended_at: clock::instant(r.ended_at, offset),
            process: process_word(r.process),
            summary: summary(case, r, offset, tariff),
            steps: steps(r, offset),
            columns,
            daily: r.daily.iter().map(|d| daily(d, offset)).collect(),
            hourly: r.hourly.iter().map(|h| hourly(h, offset)).collect(),
            said: said(&r.remarks),
            sources: sources(evidence::uses(bin, std::iter::once((case, r)))),
            further_bins: Vec::new(),
        }
    }
}

fn drawn(d: &Drawn, offset: i32) -> DrawnJson {
    DrawnJson {
        to: d.to.clone(),
        dry_matter_kg: d.dry_matter,
        draws: d.draws,
        mean_moisture_wb: wet_basis(d.mean_moisture),
        deviation_db: d.deviation,
        wettest_moisture_wb: wet_basis(d.wettest),
        driest_moisture_wb: wet_basis(d.driest),
        mean_temperature_c: d.mean_temperature,
        first_at: clock::instant(d.first_at, offset),
        last_at: clock::instant(d.last_at, offset),
    }
}

fn daily(d: &Daily, offset: i32) -> DailyJson {
    DailyJson {
        at: clock::instant(d.hour, offset),
        mean_moisture_wb: wet_basis(d.mean_moisture),
        wettest_moisture_wb: wet_basis(d.wettest),
        driest_moisture_wb: wet_basis(d.driest),
        mean_temperature_c: d.mean_temperature,
        coldest_c: d.coldest,
        warmest_c: d.warmest,
        storage_life_used: d.life_strict,
        storage_life_used_published: d.life_published,
        fan_hours: d.fan_hours,
        fan_energy_j: d.fan_energy,
        burner_energy_j: d.burner_energy,
        ambient_c: d.ambient_temperature,
        phase: phase_word(d.phase),
    }
}

fn hourly(h: &Hourly, offset: i32) -> HourlyJson {
    HourlyJson {
        at: clock::instant_of_second(h.second, offset),
        ambient_c: h.ambient_temperature,
        ambient_relative_humidity: h.ambient_humidity,
        plenum_c: h.plenum_temperature,
        plenum_relative_humidity: h.plenum_humidity,
        exhaust_c: h.exhaust_temperature,
        fans: h.fans,
        dry_air_flow_kg_s: h.dry_air_flow,
        plenum_pressure_pa: h.plenum_pressure,
        burner_rise_k: h.burner_rise,
        mean_moisture_wb: wet_basis(h.mean_moisture),
        mean_temperature_c: h.mean_temperature,
    }
}
