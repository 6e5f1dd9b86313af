//! Sound of the fans in the yard: power by bands from type and working point, the level at each dwelling against the limits.
//!
//! Everything holds for all fans of all bins running with all lots in, in October air: the steady sound of drying. Leaves out
//! barriers, wind and silencers, and what a bin shades.
//!
//! # Caution
//! An estimate within 8 to 10 dB. What is allowed at a dwelling is for the noise rules of the place to say.

use equipment::{AirPoint, Fan, FanKind, MemberPoint};
use job::facts::{DwellingPlace, YardBin, YardFacts};
use job::{BinJob, Job};
use notice::{Kind, Phrase, Quantity, Remark, Remarks, Source, Status};
use physics::fan_sound::{self, FanType, UNCERTAINTY};
use physics::sound::{self, LimitVerdict, Octaves, Surroundings};

/// Uncertainty of a level from a maker's own sound power, dB: what spreading outdoors leaves (judgement).
const MAKERS_UNCERTAINTY: f64 = 4.0;
/// Nearest and farthest distance that plain spreading serves, m.
const DISTANCES: (f64, f64) = (3.0, 300.0);
/// Points of the plan along each side.
const POINTS: usize = 31;
/// Yard shown around bins and dwellings, m.
const MARGIN: f64 = 40.0;
/// Nearest point of the plan to a source that is still worked out, m.
const NEAREST: f64 = 3.0;

/// The fans of one bin as a source.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceOfSound {
    /// Bin.
    pub bin: String,
    /// East and north, m.
    pub at: (f64, f64),
    /// Fans that run.
    pub fans: usize,
    /// Sound power of all of them by bands, dB.
    pub power: Octaves,
    /// The same by the second method; none from a maker's data or where the method has none.
    pub second: Option<Octaves>,
    /// Whether the maker's data were taken.
    pub maker: bool,
    /// What working off the best point adds to the loudest of them, dB.
    pub off_peak: f64,
    /// Tone of the blades, Hz; the usual band's frequency where the blades are not said.
    pub tone: f64,
    /// Whether the blades were said.
    pub tone_known: bool,
    /// What stands around.
    pub surroundings: Surroundings,
}

/// The level at a dwelling.
#[derive(Debug, Clone, PartialEq)]
pub struct AtDwelling {
    /// Name.
    pub name: String,
    /// East and north, m, where they are known.
    pub at: Option<(f64, f64)>,
    /// Distance to the nearest fans, m.
    pub distance: f64,
    /// Level by bands, dB.
    pub bands: Octaves,
    /// Level, dB(A).
    pub level: f64,
    /// How far it may be off, dB.
    pub uncertainty: f64,
    /// Against the limit by day.
    pub day: Option<LimitVerdict>,
    /// Against the limit by night.
    pub night: Option<LimitVerdict>,
}

/// Levels over the yard, for drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// East of the columns, m, rising.
    pub east: Vec<f64>,
    /// North of the rows, m, rising.
    pub north: Vec<f64>,
    /// Levels, dB(A): one list for each row.
    pub levels: Vec<Vec<f64>>,
}

/// Sound of a site.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteSound {
    /// Limits by day and night, dB(A).
    pub limits: (Option<f64>, Option<f64>),
    /// Bins.
    pub sources: Vec<SourceOfSound>,
    /// Dwellings, the loudest first.
    pub dwellings: Vec<AtDwelling>,
    /// The yard.
    pub plan: Plan,
}

/// Works out the sound of a site; nothing where nothing is said of the yard or no air moves.
pub fn of(job: &Job, remarks: &mut Remarks) -> Option<SiteSound> {
    let yard = job.yard.as_ref()?;
    let sources: Vec<SourceOfSound> = yard
        .bins
        .iter()
        .filter_map(|place| {
            let bin = job.bin(Some(&place.bin))?;
            source(job, bin, place, yard.hard_ground)
        })
        .collect();
    if sources.is_empty() {
        return None;
    }
    let mut dwellings: Vec<AtDwelling> =
        yard.dwellings.iter().map(|d| dwelling(yard, &sources, &d.name, d.at)).collect();
    dwellings.sort_by(|a, b| b.level.total_cmp(&a.level));
    let plan = plan(&sources, &dwellings);
    let found = SiteSound { limits: (yard.limit_day, yard.limit_night), sources, dwellings, plan };
    remark(job, yard, &found, remarks);
    Some(found)
}

/// The type whose spectrum stands for a kind of fan; inline wheels are centrifugal, unknown ones are taken as the loudest type.
pub fn fan_type(kind: FanKind) -> FanType {
    match kind {
        FanKind::TubeAxial | FanKind::Other => FanType::TubeAxial,
        FanKind::InlineCentrifugal
        | FanKind::CentrifugalLowSpeed
        | FanKind::CentrifugalHighSpeed
        | FanKind::DoubleInletCentrifugal => FanType::BackwardCurved,
    }
}

/// What a fan's distance from its best point adds, dB: the term of the method there less that at the best point.
fn off_peak(fan: &Fan, member: &MemberPoint) -> f64 {
    let eta = member.airflow * member.pressure / member.shaft_power.max(f64::MIN_POSITIVE);
    let best = fan
        .curve
        .points()
        .filter(|(_, stable)| *stable)
        .map(|(p, _)| fan.curve.static_efficiency(p.airflow))
        .fold(0.0, f64::max);
    let term = |eta: f64| fan_sound::off_peak(eta.clamp(0.02, 0.98));
    (term(eta) - term(best)).max(0.0)
}

fn source(job: &Job, bin: &BinJob, place: &YardBin, hard_ground: bool) -> Option<SourceOfSound> {
    let air = crate::air::fills(bin, job.place.elevation);
    source_at(bin, &air.fills.last()?.point, place, hard_ground)
}

/// Level (dB(A)) of a bin's fans at a working point and a distance (m), and how far it may be off.
pub fn level_beside(job: &Job, bin: &BinJob, point: &AirPoint, distance: f64) -> Option<(f64, f64)> {
    let yard = job.yard.as_ref();
    let own = yard.and_then(|yard| yard.bins.iter().find(|place| place.bin == bin.name));
    // A bin that has no place in the yard stands on a yard like others: hard, with its own wall behind the fans.
    let unsaid = YardBin { bin: bin.name.clone(), at: (0.0, 0.0), wall: true, blades: None, maker: None };
    let source = source_at(bin, point, own.unwrap_or(&unsaid), yard.is_none_or(|yard| yard.hard_ground))?;
    let (bands, uncertainty) = level(&[source], |_| distance);
    Some((bands.a_weighted(), uncertainty))
}

fn source_at(bin: &BinJob, point: &AirPoint, place: &YardBin, hard_ground: bool) -> Option<SourceOfSound> {
    let fans = bin.template.system.outfit.fans();
    let (mut powers, mut seconds, mut worst) = (Vec::new(), Vec::new(), 0.0f64);
    let first = fans.first()?;
    let blades = place.blades.map(|n| fan_sound::blade_frequency(f64::from(n), first.speed));
    for (fan, member) in fans.iter().zip(&point.members).filter(|(_, m)| m.airflow > 0.0 && m.pressure > 0.0) {
        let kind = fan_type(fan.kind);
        let extra = off_peak(fan, member);
        worst = worst.max(extra);
        let tone = place
            .blades
            .map_or_else(|| kind.usual_tone_band(), |n| fan_sound::blade_frequency(f64::from(n), fan.speed));
        powers.push(place.maker.unwrap_or_else(|| fan_sound::by_bands(kind, member.airflow, member.pressure, extra)));
        seconds.extend(fan_sound::by_specific_levels(kind, member.airflow, member.pressure, tone, extra));
    }
    if powers.is_empty() {
        return None;
    }
    let second = (place.maker.is_none() && seconds.len() == powers.len()).then(|| Octaves::together(&seconds));
    Some(SourceOfSound {
        bin: bin.name.clone(),
        at: place.at,
        fans: powers.len(),
        power: Octaves::together(&powers),
        second,
        maker: place.maker.is_some(),
        off_peak: worst,
        tone: blades.unwrap_or_else(|| fan_type(first.kind).usual_tone_band()),
        tone_known: blades.is_some(),
        surroundings: match (hard_ground, place.wall) {
            // A wall throws back what soft ground swallows.
            (true, true) => Surroundings::GroundAndWall,
            (true, false) | (false, true) => Surroundings::Ground,
            (false, false) => Surroundings::Free,
        },
    })
}

/// Level of all sources with the uncertainty that the two methods leave, at distances that `to` gives, m.
fn level(sources: &[SourceOfSound], to: impl Fn(&SourceOfSound) -> f64) -> (Octaves, f64) {
    let spread = |s: &SourceOfSound, power: Octaves| power.shifted(sound::distance_term(to(s), s.surroundings));
    let first: Vec<Octaves> = sources.iter().map(|s| spread(s, s.power)).collect();
    let second: Vec<Octaves> = sources.iter().map(|s| spread(s, s.second.unwrap_or(s.power))).collect();
    let (bands, other) = (Octaves::together(&first), Octaves::together(&second));
    let stated = if sources.iter().all(|s| s.maker) { MAKERS_UNCERTAINTY } else { UNCERTAINTY };
    // Two opinions: where they are farther apart than either claims, the gap is the uncertainty.
    (bands, stated.max((other.a_weighted() - bands.a_weighted()).abs()))
}

fn dwelling(yard: &YardFacts, sources: &[SourceOfSound], name: &str, place: DwellingPlace) -> AtDwelling {
    let to = |s: &SourceOfSound| match place {
        DwellingPlace::Distance(d) => d,
        DwellingPlace::Position(east, north, up) => (s.at.0 - east).hypot(s.at.1 - north).hypot(up),
    };
    let (bands, uncertainty) = level(sources, to);
    let a = bands.a_weighted();
    let against = |limit: Option<f64>| limit.map(|limit| sound::against_limit(a, uncertainty, limit));
    AtDwelling {
        name: name.to_string(),
        at: match place {
            DwellingPlace::Distance(_) => None,
            DwellingPlace::Position(east, north, _) => Some((east, north)),
        },
        distance: sources.iter().map(to).fold(f64::INFINITY, f64::min),
        bands,
        level: a,
        uncertainty,
        day: against(yard.limit_day),
        night: against(yard.limit_night),
    }
}

fn plan(sources: &[SourceOfSound], dwellings: &[AtDwelling]) -> Plan {
    let places = || sources.iter().map(|s| s.at).chain(dwellings.iter().filter_map(|d| d.at));
    let far = dwellings.iter().filter(|d| d.at.is_none()).map(|d| d.distance).fold(0.0, f64::max);
    let margin = MARGIN.max(far.min(DISTANCES.1));
    let axis = |of: fn((f64, f64)) -> f64| -> Vec<f64> {
        let low = places().map(of).fold(f64::INFINITY, f64::min) - margin;
        let high = places().map(of).fold(f64::NEG_INFINITY, f64::max) + margin;
        (0..POINTS).map(|i| low + (high - low) * i as f64 / (POINTS - 1) as f64).collect()
    };
    let (east, north) = (axis(|p| p.0), axis(|p| p.1));
    let at = |x: f64, y: f64| level(sources, |s| (s.at.0 - x).hypot(s.at.1 - y).max(NEAREST)).0.a_weighted();
    let levels = north.iter().map(|y| east.iter().map(|x| at(*x, *y)).collect()).collect();
    Plan { east, north, levels }
}

fn remark(job: &Job, yard: &YardFacts, found: &SiteSound, remarks: &mut Remarks) {
    let db = |v: f64| Quantity::new(v, Kind::SoundLevel);
    let length = |v: f64| Quantity::new(v, Kind::Length);
    let method = Source::new(
        "overall level and spectrum by type (Engineering ToolBox 2005), spherical spreading, A-weights",
        Status::Seen,
    );
    if found.sources.iter().any(|s| !s.maker) {
        let says = Phrase::new(
            "sound from type and duty of the fans, good to ±{uncertainty} at best; a maker's own sound power by octave goes before it",
        )
        .with("uncertainty", db(UNCERTAINTY));
        remarks.add(Remark::new("sound-estimate", says).from_source(method));
    }
    let unplaced: Vec<&str> =
        job.bins.iter().map(|b| b.name.as_str()).filter(|name| !yard.bins.iter().any(|p| p.bin == *name)).collect();
    if !unplaced.is_empty() {
        let says = Phrase::new("bins that have no place in the yard are not heard in it: {bins}")
            .text("bins", unplaced.join(", "));
        remarks.add(Remark::new("bins-unplaced", says));
    }
    if let Some(source) = found.sources.iter().filter(|s| !s.maker).max_by(|a, b| a.off_peak.total_cmp(&b.off_peak))
        && source.off_peak > 3.0
    {
        let says = Phrase::new(
            "the fans of {bin} work away from their best point, which makes them louder by {more} (by judgement)",
        )
        .text("bin", &source.bin)
        .with("more", db(source.off_peak));
        remarks.add(Remark::new("off-peak-louder", says));
    }
    for d in &found.dwellings {
        if d.distance < DISTANCES.0 || d.distance > DISTANCES.1 {
            let says = Phrase::new("{name} at {distance} is outside the {near} to {far} that plain spreading serves")
                .text("name", &d.name)
                .with("distance", length(d.distance))
                .either("near", "10 ft", "3 m")
                .either("far", "1000 ft", "300 m");
            remarks.add(Remark::new("spreading-outside", says));
        }
    }
    let loudest = found.dwellings.first();
    for (when, limit, verdict) in [
        ("day", yard.limit_day, loudest.and_then(|d| d.day)),
        ("night", yard.limit_night, loudest.and_then(|d| d.night)),
    ] {
        let (Some(d), Some(limit)) = (loudest, limit) else { continue };
        match verdict {
            Some(LimitVerdict::Exceeded) => {
                let says = Phrase::new(
                    "at {name} the fans come to {level}, above the limit of {limit} by {when} even at the lower end: neighbours will \
                     complain before the grain is dry; a slower wheel, a silencer (it costs pressure), another side of the bin or more \
                     distance",
                )
                .text("name", &d.name)
                .with("level", db(d.level))
                .with("limit", db(limit))
                .text("when", when);
                remarks.add(Remark::new(&format!("sound-exceeded-{when}"), says));
            }
            Some(LimitVerdict::Uncertain) => {
                let says = Phrase::new(
                    "at {name} {level} ± {uncertainty} may lie above the limit of {limit} by {when} or below: only a measurement on the spot can tell",
                )
                .text("name", &d.name)
                .with("level", db(d.level))
                .with("uncertainty", db(d.uncertainty))
                .with("limit", db(limit))
                .text("when", when);
                remarks.add(Remark::new(&format!("sound-uncertain-{when}"), says));
            }
            _ => {}
        }
    }
    let says = Phrase::new(
        "noise: the rules of the place decide what is allowed at a dwelling; wear hearing protection near running fans",
    );
    remarks.add(Remark::new("local-noise-rules", says));
}
