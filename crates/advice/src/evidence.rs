//! Whether each relation behind a bin was used inside the values it rests on, judged from the extremes that seasons met.

use job::{BinJob, evidence::RestsOn};
use notice::{Kind, Phrase, Quantity, Range, Source};
use physics::grain::wet_basis;
use season::{CaseSpec, SeasonResult};

/// A relation and its use.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceUse {
    /// What it serves, and which one it is.
    pub what: String,
    /// Where it comes from.
    pub source: Source,
    /// Whether all of its use lay inside; `None` when no range is stated or nothing was run.
    pub in_range: Option<bool>,
    /// What was met outside.
    pub outside: Vec<Phrase>,
}

/// Lowest and highest of what seasons met.
#[derive(Debug, Clone, Copy)]
struct Met(f64, f64);

impl Met {
    const NOTHING: Self = Self(f64::INFINITY, f64::NEG_INFINITY);

    fn and(self, (low, high): (f64, f64)) -> Self {
        Self(self.0.min(low), self.1.max(high))
    }

    /// Whether it lies inside; adds what does not to the list. `None` when nothing was met.
    fn inside(self, what: &str, range: Range, kind: Kind, outside: &mut Vec<Phrase>) -> Option<bool> {
        if self.0 > self.1 {
            return None;
        }
        // Values typed in other units land a rounding error beside the bound they name.
        let slack = 1e-9 * range.low.abs().max(range.high.abs()).max(1.0);
        let inside = self.0 >= range.low - slack && self.1 <= range.high + slack;
        if !inside {
            let says = Phrase::new("{what} from {least} to {most}, evidence from {low} to {high}")
                .text("what", what)
                .with("least", Quantity::new(self.0, kind))
                .with("most", Quantity::new(self.1, kind))
                .with("low", Quantity::new(range.low, kind))
                .with("high", Quantity::new(range.high, kind));
            outside.push(says);
        }
        Some(inside)
    }
}

/// Extremes over all seasons of a bin.
struct Extremes {
    /// Grain, °C.
    grain: Met,
    /// Air that entered it, °C.
    air: Met,
    /// Relative humidity of the air between the layers.
    humidity: Met,
    /// Moisture, w.b.
    moisture: Met,
    /// Moisture of the loads, w.b.
    filled: Met,
    /// Hours with a face velocity outside the law.
    velocity_hours: f64,
    /// Seasons seen.
    seasons: usize,
}

impl Extremes {
    fn of<'a>(seasons: impl Iterator<Item = (&'a CaseSpec, &'a SeasonResult)>) -> Self {
        let mut met = Self {
            grain: Met::NOTHING,
            air: Met::NOTHING,
            humidity: Met::NOTHING,
            moisture: Met::NOTHING,
            filled: Met::NOTHING,
            velocity_hours: 0.0,
            seasons: 0,
        };
        for (case, result) in seasons {
            met.seasons += 1;
            met.grain = met.grain.and(result.temperature_range);
            met.air = met.air.and(result.inlet_temperature);
            met.humidity = met.humidity.and(result.humidity_range);
            met.moisture = met.moisture.and((wet_basis(result.moisture_range.0), wet_basis(result.moisture_range.1)));
            for load in case.loads.iter() {
                met.filled = met.filled.and((wet_basis(load.moisture), wet_basis(load.moisture)));
            }
            met.velocity_hours += result.air.outside_resistance;
        }
        met
    }

    /// Judges one relation.
    fn judge(&self, rests_on: &RestsOn, outside: &mut Vec<Phrase>) -> Option<bool> {
        let mut verdicts = Vec::new();
        if let Some(range) = rests_on.temperature {
            verdicts.push(self.grain.and((self.air.0, self.air.1)).inside(
                "grain and air",
                range,
                Kind::Temperature,
                outside,
            ));
        }
        if let Some(range) = rests_on.air_temperature {
            verdicts.push(self.air.inside("air into the grain", range, Kind::Temperature, outside));
        }
        if let Some(range) = rests_on.humidity {
            verdicts.push(self.humidity.inside("air between the kernels", range, Kind::RelativeHumidity, outside));
        }
        if let Some(range) = rests_on.moisture_wb {
            verdicts.push(self.moisture.inside("grain", range, Kind::MoistureWetBasis, outside));
        }
        if let Some(range) = rests_on.filled_wb {
            verdicts.push(self.filled.inside("grain as filled", range, Kind::MoistureWetBasis, outside));
        }
        if let Some(range) = rests_on.velocity {
            if self.velocity_hours > 0.0 {
                outside.push(
                    Phrase::new("air through the grain outside {low} to {high} for {hours}, all seasons together")
                        .with("low", Quantity::new(range.low, Kind::Velocity))
                        .with("high", Quantity::new(range.high, Kind::Velocity))
                        .with("hours", Quantity::new(3600.0 * self.velocity_hours, Kind::Hours)),
                );
            }
            verdicts.push((self.seasons > 0).then_some(self.velocity_hours == 0.0));
        }
        let known: Vec<bool> = verdicts.into_iter().flatten().collect();
        (!known.is_empty()).then(|| known.iter().all(|inside| *inside))
    }
}

/// The relations behind a bin, each held against what its seasons met.
pub fn uses<'a>(bin: &BinJob, seasons: impl Iterator<Item = (&'a CaseSpec, &'a SeasonResult)>) -> Vec<SourceUse> {
    let met = Extremes::of(seasons);
    bin.sources
        .iter()
        .map(|used| {
            let mut outside = Vec::new();
            let in_range = met.judge(&used.rests_on, &mut outside);
            SourceUse { what: used.what.clone(), source: used.source.clone(), in_range, outside }
        })
        .collect()
}

/// The relations behind a proof: all its years together.
pub fn of_proof(bin: &BinJob, proof: &crate::Proof) -> Vec<SourceUse> {
    uses(bin, proof.years.iter().filter_map(|y| Some((bin.year(y.year)?.as_ref(), &y.result))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extremes_are_held_against_ranges() {
        let met = Extremes {
            grain: Met(-4.0, 21.0),
            air: Met(2.0, 25.0),
            humidity: Met(0.3, 0.97),
            moisture: Met(0.14, 0.21),
            filled: Met::NOTHING,
            velocity_hours: 0.0,
            seasons: 1,
        };
        let judge = |rests_on: RestsOn| {
            let mut outside = Vec::new();
            (met.judge(&rests_on, &mut outside), outside.len())
        };
        let none = RestsOn::default();
        assert_eq!(judge(none), (None, 0));
        assert_eq!(judge(RestsOn { temperature: Some(Range::new(0.0, 50.0)), ..none }), (Some(false), 1));
        assert_eq!(judge(RestsOn { air_temperature: Some(Range::new(2.0, 25.0)), ..none }), (Some(true), 0));
        let both = RestsOn { humidity: Some(Range::new(0.1, 0.9)), moisture_wb: Some(Range::new(0.14, 0.3)), ..none };
        assert_eq!(judge(both), (Some(false), 1));
        // What was never met says nothing.
        assert_eq!(judge(RestsOn { filled_wb: Some(Range::new(0.1, 0.2)), ..none }), (None, 0));
        assert_eq!(judge(RestsOn { velocity: Some(Range::new(0.0, 0.3)), ..none }), (Some(true), 0));
    }
}
