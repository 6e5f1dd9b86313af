//! Sound of the fans in the yard.

use advice::heat::sound::{AtDwelling, SiteSound, SourceOfSound};
use physics::sound::{BANDS, LimitVerdict};
use serde::Serialize;

/// The fans of one bin as a source.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SoundSourceJson {
    /// Bin.
    pub bin: String,
    /// East of the yard's own point, m.
    pub east_m: f64,
    /// North of it, m.
    pub north_m: f64,
    /// Fans that run.
    pub fans: usize,
    /// Sound power of all of them by bands, dB re 1 pW.
    pub power_db: Vec<f64>,
    /// A-weighted, dB(A).
    pub power_dba: f64,
    /// A-weighted by the second method, dB(A); null from a maker's data.
    pub second_power_dba: Option<f64>,
    /// Whether the maker's data were taken.
    pub from_maker: bool,
    /// What working off the best point adds, dB.
    pub off_peak_db: f64,
    /// Tone of the blades, Hz.
    pub tone_hz: f64,
    /// Whether that follows from the number of blades; else the usual band of the type.
    pub tone_known: bool,
    /// What ground and wall add, dB.
    pub surroundings_db: f64,
}

/// The level at a dwelling.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DwellingJson {
    /// Name.
    pub name: String,
    /// East, m; null where only the distance is known.
    pub east_m: Option<f64>,
    /// North, m.
    pub north_m: Option<f64>,
    /// Distance to the nearest fans, m.
    pub distance_m: f64,
    /// Level by bands, dB.
    pub level_db: Vec<f64>,
    /// Level, dB(A).
    pub level_dba: f64,
    /// How far it may be off, dB.
    pub uncertainty_db: f64,
    /// `kept`, `exceeded`, `cannot-tell`; null without a limit by day.
    pub by_day: Option<&'static str>,
    /// The same by night.
    pub by_night: Option<&'static str>,
}

/// Levels over the yard.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SoundPlanJson {
    /// East of the columns, m, rising.
    pub east_m: Vec<f64>,
    /// North of the rows, m, rising.
    pub north_m: Vec<f64>,
    /// Levels, dB(A): one list for each row.
    pub levels_dba: Vec<Vec<f64>>,
}

/// Sound of a site with all fans running and all lots in.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct YardSoundJson {
    /// Centre frequencies of the bands, Hz.
    pub bands_hz: Vec<f64>,
    /// Limit by day, dB(A).
    pub limit_day_dba: Option<f64>,
    /// Limit by night, dB(A).
    pub limit_night_dba: Option<f64>,
    /// Bins.
    pub sources: Vec<SoundSourceJson>,
    /// Dwellings, the loudest first.
    pub dwellings: Vec<DwellingJson>,
    /// The yard, for a plan with lines of equal level.
    pub plan: SoundPlanJson,
}

impl YardSoundJson {
    /// The sound of a site.
    pub fn of(sound: &SiteSound) -> Self {
        Self {
            bands_hz: BANDS.to_vec(),
            limit_day_dba: sound.limits.0,
            limit_night_dba: sound.limits.1,
            sources: sound.sources.iter().map(source).collect(),
            dwellings: sound.dwellings.iter().map(dwelling).collect(),
            plan: SoundPlanJson {
                east_m: sound.plan.east.clone(),
                north_m: sound.plan.north.clone(),
                levels_dba: sound.plan.levels.clone(),
            },
        }
    }
}

fn source(s: &SourceOfSound) -> SoundSourceJson {
    SoundSourceJson {
        bin: s.bin.clone(),
        east_m: s.at.0,
        north_m: s.at.1,
        fans: s.fans,
        power_db: s.power.0.to_vec(),
        power_dba: s.power.a_weighted(),
        second_power_dba: s.second.map(|o| o.a_weighted()),
        from_maker: s.maker,
        off_peak_db: s.off_peak,
        tone_hz: s.tone,
        tone_known: s.tone_known,
        surroundings_db: s.surroundings.directivity(),
    }
}

fn dwelling(d: &AtDwelling) -> DwellingJson {
    DwellingJson {
        name: d.name.clone(),
        east_m: d.at.map(|p| p.0),
        north_m: d.at.map(|p| p.1),
        distance_m: d.distance,
        level_db: d.bands.0.to_vec(),
        level_dba: d.level,
        uncertainty_db: d.uncertainty,
        by_day: d.day.map(verdict_word),
        by_night: d.night.map(verdict_word),
    }
}

/// Word of a verdict on a limit.
pub fn verdict_word(verdict: LimitVerdict) -> &'static str {
    match verdict {
        LimitVerdict::Kept => "kept",
        LimitVerdict::Exceeded => "exceeded",
        LimitVerdict::Uncertain => "cannot-tell",
    }
}
