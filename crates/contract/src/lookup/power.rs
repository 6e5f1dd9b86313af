//! Handbook answers on motors and sound.

use advice::lookup;
use equipment::motor_load::LoadVerdict;
use notice::Status;
use physics::sound::{BANDS, LimitVerdict};
use serde::Serialize;

/// `lookup motor`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Motor {
    /// Rated power at the shaft, W.
    pub rated_w: f64,
    /// Volts between lines.
    pub volts: f64,
    /// Power at the shaft, W.
    pub shaft_w: f64,
    /// Shaft power over the rating.
    pub load: f64,
    /// How the load stands to the plate: `within`, `in-service-factor`, `over`.
    pub judged: Judged,
    /// Efficiency there.
    pub efficiency: f64,
    /// Power factor there.
    pub power_factor: f64,
    /// Electric power, W.
    pub input_w: f64,
    /// Running current, A: what flows.
    pub running_current_a: f64,
    /// Full-load current of the code's table, A: sizes conductors, never energy.
    pub code_current_a: Option<f64>,
    /// Least current of a conductor by the code's factor, A.
    pub conductor_current_a: Option<f64>,
    /// Service factor used.
    pub service_factor: f64,
    /// Code letter used.
    pub code_letter: String,
    /// Least current of the locked rotor, A.
    pub locked_rotor_low_a: f64,
    /// Most current of the locked rotor, A; null where the letter has no end.
    pub locked_rotor_high_a: Option<f64>,
    /// Starting power a generator must bear for this motor, VA.
    pub starting_va: f64,
    /// Engine power of a generator for the running load, W, from.
    pub engine_low_w: f64,
    /// And to.
    pub engine_high_w: f64,
    /// What the feeder loses.
    pub feeder: Option<FeederDrop>,
    /// Where the figures come from.
    pub source: String,
    /// How well they are confirmed.
    pub source_status: Status,
}

/// How a load stands to a motor's plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Judged {
    /// At or below the rating.
    Within,
    /// Above the rating, within the service factor.
    InServiceFactor,
    /// Beyond the service factor.
    Over,
}

/// Voltage lost in a feeder.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FeederDrop {
    /// At the running current, V.
    pub drop_v: f64,
    /// The same as a share of the supply.
    pub share: f64,
    /// At start, share of the supply.
    pub share_at_start: f64,
}

/// `lookup sound`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Sound {
    /// Centres of the bands, Hz.
    pub bands_hz: [f64; 8],
    /// Sound power of all fans by bands, dB.
    pub power_db: [f64; 8],
    /// Level at the distance by bands, dB.
    pub level_db: [f64; 8],
    /// Sound power, dB(A).
    pub power_dba: f64,
    /// Level at the distance, dB(A).
    pub level_dba: f64,
    /// How far it may be off, dB.
    pub uncertainty_db: f64,
    /// The same level by the second method, dB(A).
    pub second_level_dba: Option<f64>,
    /// What working off the best point adds, dB.
    pub off_peak_db: f64,
    /// Tone of the blades, Hz.
    pub blade_tone_hz: Option<f64>,
    /// Centre of the band in which the tone falls, Hz.
    pub tone_band_hz: f64,
    /// Verdict on the limit: `kept`, `uncertain`, `exceeded`.
    pub verdict: Option<AgainstLimit>,
    /// Distance at which the limit is met even at the upper end of the uncertainty, m.
    pub distance_for_limit_m: Option<f64>,
    /// Time in a day that may be spent there without protection, s, where 85 dB(A) may be passed.
    pub permitted_exposure_s: Option<f64>,
    /// Where the method comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence.
    pub in_range: Option<bool>,
}

/// What a limit says to an uncertain level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum AgainstLimit {
    /// Below even at the upper end.
    Kept,
    /// The limit lies within the uncertainty.
    Uncertain,
    /// Above even at the lower end.
    Exceeded,
}

impl From<lookup::motor::Motor> for Motor {
    fn from(of: lookup::motor::Motor) -> Self {
        Self {
            rated_w: of.plate.rated,
            volts: of.plate.volts,
            shaft_w: of.shaft,
            load: of.load.load,
            judged: match of.load.judged {
                LoadVerdict::Within => Judged::Within,
                LoadVerdict::InServiceFactor => Judged::InServiceFactor,
                LoadVerdict::Over => Judged::Over,
            },
            efficiency: of.load.efficiency,
            power_factor: of.load.power_factor,
            input_w: of.load.input,
            running_current_a: of.load.current,
            code_current_a: of.code_current,
            conductor_current_a: of.conductor_current,
            service_factor: of.plate.service_factor,
            code_letter: of.code_letter.to_string(),
            locked_rotor_low_a: of.locked_rotor.0,
            locked_rotor_high_a: of.locked_rotor.1,
            starting_va: of.generator.starting,
            engine_low_w: of.generator.engine.0,
            engine_high_w: of.generator.engine.1,
            feeder: of.drop.map(|d| FeederDrop { drop_v: d.volts, share: d.share, share_at_start: d.at_start }),
            source: of.source.citation,
            source_status: of.source.status,
        }
    }
}

impl From<lookup::sound::Sound> for Sound {
    fn from(of: lookup::sound::Sound) -> Self {
        Self {
            bands_hz: BANDS,
            power_db: of.power.0,
            level_db: of.level.0,
            power_dba: of.power_a,
            level_dba: of.level_a,
            uncertainty_db: of.uncertainty,
            second_level_dba: of.second_level_a,
            off_peak_db: of.off_peak,
            blade_tone_hz: of.blade_tone,
            tone_band_hz: of.tone_band,
            verdict: of.verdict.map(|v| match v {
                LimitVerdict::Kept => AgainstLimit::Kept,
                LimitVerdict::Uncertain => AgainstLimit::Uncertain,
                LimitVerdict::Exceeded => AgainstLimit::Exceeded,
            }),
            distance_for_limit_m: of.distance_for_limit,
            permitted_exposure_s: of.exposure,
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}
