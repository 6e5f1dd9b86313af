//! Fans heard at a distance: power by bands, the level at a dwelling with its uncertainty, the tone of the blades.

use super::{Answer, Faults, gas, refuse};
use notice::{Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source, Status};
use physics::fan_sound::{self, FanType, UNCERTAINTY};
use physics::sound::{self, LimitVerdict, Octaves, Surroundings};

/// Distances that plain spreading serves, m.
const DISTANCES: Range = Range::new(3.0, 300.0);
/// Distances asked for, m.
const ASKED: Range = Range::new(1.0, 2000.0);
/// Airflows of one fan, m³/s.
const AIRFLOWS: Range = Range::new(0.05, 200.0);
/// Pressures of one fan, Pa: to 40 in. of water.
const PRESSURES: Range = Range::new(10.0, 1e4);
/// Fans that run together.
const FANS: Range = Range::new(1.0, 100.0);
/// Total efficiencies of fans at a working point.
const EFFICIENCIES: Range = Range::new(0.05, 0.95);
/// Blades of a wheel.
const BLADES: Range = Range::new(2.0, 100.0);
/// Speeds, revolutions per second: 60 to 9,000 rpm.
const SPEEDS: Range = Range::new(1.0, 150.0);
/// Limits that rules set, dB(A).
const LIMITS: Range = Range::new(20.0, 120.0);

/// The question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Type of fan.
    pub kind: FanType,
    /// Airflow of one, m³/s.
    pub airflow: f64,
    /// Pressure of one, Pa.
    pub pressure: f64,
    /// Efficiency at its working point; left out, near its best point.
    pub efficiency: Option<f64>,
    /// Blades.
    pub blades: Option<f64>,
    /// Speed, revolutions per second.
    pub speed: Option<f64>,
    /// How many equal fans run.
    pub count: f64,
    /// Distance, m.
    pub distance: f64,
    /// What stands around.
    pub surroundings: Surroundings,
    /// Limit at that distance, dB(A).
    pub limit: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    /// Sound power of all fans by bands, dB.
    pub power: Octaves,
    /// Level at the distance by bands, dB.
    pub level: Octaves,
    /// Sound power, A-weighted, dB(A).
    pub power_a: f64,
    /// Level at the distance, A-weighted, dB(A).
    pub level_a: f64,
    /// How far it may be off, dB.
    pub uncertainty: f64,
    /// The same level by the second method, dB(A).
    pub second_level_a: Option<f64>,
    /// What working off the best point adds, dB.
    pub off_peak: f64,
    /// Tone of the blades, Hz.
    pub blade_tone: Option<f64>,
    /// Frequency of the band in which the tone falls, Hz.
    pub tone_band: f64,
    /// Verdict on the limit.
    pub verdict: Option<LimitVerdict>,
    /// Distance at which the limit is met even at the upper end of the uncertainty, m.
    pub distance_for_limit: Option<f64>,
    /// Time in a day that may be spent at the distance without protection, s, where the level is above 85 dB(A).
    pub exposure: Option<f64>,
    /// Where the method comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence.
    pub in_range: bool,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        gas::above_zero(&mut faults, "airflow", self.airflow, Kind::Airflow, AIRFLOWS);
        gas::above_zero(&mut faults, "pressure", self.pressure, Kind::Pressure, PRESSURES);
        gas::above_zero(&mut faults, "distance", self.distance, Kind::Length, ASKED);
        gas::whole(&mut faults, "count", self.count, FANS);
        if let Some(efficiency) = self.efficiency {
            faults.outside("efficiency", efficiency, Kind::Fraction, EFFICIENCIES);
        }
        if let Some(blades) = self.blades {
            gas::whole(&mut faults, "blades", blades, BLADES);
        }
        if let Some(speed) = self.speed {
            gas::above_zero(&mut faults, "speed", speed, Kind::Rotation, SPEEDS);
        }
        if let Some(limit) = self.limit {
            faults.outside("limit", limit, Kind::SoundLevel, LIMITS);
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question.
    pub fn answer(&self) -> Result<Answer<Sound>, Diagnostics> {
        refuse(self.faults())?;
        let off_peak = self.efficiency.map_or(0.0, fan_sound::off_peak);
        let several = 10.0 * self.count.log10();
        let power = fan_sound::by_bands(self.kind, self.airflow, self.pressure, off_peak + several);
        let spread = sound::distance_term(self.distance, self.surroundings);
        let level = power.shifted(spread);
        let blade_tone = self.blades.zip(self.speed).map(|(b, n)| fan_sound::blade_frequency(b, n));
        let tone = blade_tone.unwrap_or_else(|| self.kind.usual_tone_band());
        let second = fan_sound::by_specific_levels(self.kind, self.airflow, self.pressure, tone, off_peak + several);
        let level_a = level.a_weighted();
        let second_level_a = second.map(|s| s.shifted(spread).a_weighted());
        // The two methods are two opinions: where they are farther apart than either claims, the gap is the uncertainty.
        let uncertainty = second_level_a.map_or(UNCERTAINTY, |s| UNCERTAINTY.max((s - level_a).abs()));
        let verdict = self.limit.map(|limit| sound::against_limit(level_a, uncertainty, limit));
        let source = Source::new(
            "overall level and spectrum by type (Engineering ToolBox 2005), spherical spreading, A-weights",
            Status::Seen,
        );
        let mut remarks = Remarks::default();
        let evidence = super::Evidence { relation: "plain spreading", range: DISTANCES, source: &source };
        let in_range = evidence.holds(&mut remarks, "distance", self.distance, Kind::Length);
        self.remark(&mut remarks, level_a, uncertainty, verdict);
        self.remark_borrowed(&mut remarks, level_a, off_peak, uncertainty);
        let distance_for_limit =
            self.limit.map(|limit| sound::distance_for(power.a_weighted() + uncertainty, limit, self.surroundings));
        if distance_for_limit.is_some_and(|d| d > DISTANCES.high) {
            let says = Phrase::new(
                "the distance that keeps the limit for certain lies beyond the {far} that plain spreading serves: air and ground would \
                 bring it nearer",
            )
            .either("far", "1000 ft", "300 m");
            remarks.add(Remark::new("limit-far", says));
        }
        let result = Sound {
            power_a: power.a_weighted(),
            power,
            level,
            level_a,
            uncertainty,
            second_level_a,
            off_peak,
            blade_tone,
            tone_band: sound::BANDS[sound::band_of(tone)],
            verdict,
            distance_for_limit,
            exposure: (level_a + uncertainty > 85.0).then(|| sound::permitted_exposure(level_a + uncertainty)),
            source,
            in_range,
        };
        Ok(Answer { result, remarks })
    }

    /// Says when the verdict rests on what working off the best point adds: that term comes from another method.
    fn remark_borrowed(&self, remarks: &mut Remarks, level: f64, off_peak: f64, uncertainty: f64) {
        let Some(limit) = self.limit.filter(|_| off_peak > 0.0) else { return };
        let without = sound::against_limit(level - off_peak, uncertainty, limit);
        if without == sound::against_limit(level, uncertainty, limit) {
            return;
        }
        let word = match without {
            LimitVerdict::Kept => "kept",
            LimitVerdict::Uncertain => "uncertain",
            LimitVerdict::Exceeded => "exceeded",
        };
        let says = Phrase::new(
            "the verdict rests on the {borrowed} borrowed from another method for working off the best point; without it the limit would \
             be {without}",
        )
        .with("borrowed", Quantity::new(off_peak, Kind::SoundLevel))
        .text("without", word);
        remarks.add(Remark::new("verdict-on-borrowed-term", says));
    }

    fn remark(&self, remarks: &mut Remarks, level: f64, uncertainty: f64, verdict: Option<LimitVerdict>) {
        let db = |v: f64| Quantity::new(v, Kind::SoundLevel);
        let says =
            Phrase::new("an estimate from type and duty, good to ±{uncertainty}; a maker's own figures go before it")
                .with("uncertainty", db(uncertainty));
        remarks.add(Remark::new("sound-estimate", says));
        if self.efficiency.is_some() {
            let says =
                Phrase::new("what working off the best point adds is another method's term, taken along by judgement");
            remarks.add(Remark::new("off-peak-by-judgement", says));
        } else {
            let says = Phrase::new("taken near the fan's best point: away from it, or stalled, it is louder");
            remarks.add(Remark::new("best-point", says));
        }
        if verdict == Some(LimitVerdict::Uncertain) {
            let says = Phrase::new(
                "the limit lies within the uncertainty, the noise may be above it or below: only a measurement on the spot can tell",
            );
            remarks.add(Remark::new("limit-uncertain", says));
        }
        if level + uncertainty > 85.0 {
            let says = Phrase::new(
                "hearing is at risk here: protection, and an occupational hygienist's word, before anyone works",
            );
            let source = Source::new("29 CFR 1910.95", Status::Seen);
            remarks.add(Remark::new("hearing", says).from_source(source));
        }
        let says = Phrase::new("what is allowed at a dwelling is for the noise rules of the place to say");
        remarks.add(Remark::new("local-noise-rules", says));
    }
}
