//! Moisture samples by depth to a profile with bands.
//!
//! A meter reads the outside of a kernel more than its inside: grain just dried by heat reads too low until it has rested in
//! a closed container. How far is not published in a form that could be computed; what is published is widened for. A meter's
//! temperature correction is its own: only the user's chart is applied, never a general slope, for publications disagree even
//! about its sign.

use job::readings::{Readings, Sample};

/// Rest in a closed container after which the rebound is over, s: 12 h (extension releases, seen).
pub const RESTED: f64 = 12.0 * 3600.0;
/// How much lower than it is, at most, grain hot from a dryer reads: 2 points (same releases, seen).
pub const REBOUND: f64 = 0.02;
/// Grain colder than this reads unreliably, °C: 40 °F (same releases, seen).
pub const COLD: f64 = 40.0 / 1.8 - 32.0 / 1.8;
/// Grain wetter than this reads as an estimate only, wet basis (same releases, seen).
pub const WET: f64 = 0.25;
/// Standard deviation of one probe sample about the mean of its depth (judgement).
pub const SAMPLING: f64 = 0.004;

/// Moisture at one depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfilePoint {
    /// Below the surface, m.
    pub below_surface: f64,
    /// Best estimate, wet basis.
    pub moisture: f64,
    /// Lower end of the band of about 95 %.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Samples at this depth.
    pub samples: usize,
    /// Whether the chart was applied.
    pub corrected: bool,
    /// Too cold or too wet for the meter.
    pub doubtful: bool,
}

/// Profile from the surface down, of grain that a burner may have heated or of other grain; samples within 5 cm of each other count as one depth.
pub fn profile(readings: &Readings, heated: bool) -> Vec<ProfilePoint> {
    let mut samples: Vec<Sample> = readings.samples.clone();
    samples.sort_by(|a, b| a.below_surface.total_cmp(&b.below_surface));
    let mut groups: Vec<Vec<Sample>> = Vec::new();
    for sample in samples {
        match groups.last_mut().filter(|g| sample.below_surface - g[0].below_surface < 0.05) {
            Some(group) => group.push(sample),
            None => groups.push(vec![sample]),
        }
    }
    groups.iter().map(|group| point(group, readings, heated)).collect()
}

fn point(group: &[Sample], readings: &Readings, heated: bool) -> ProfilePoint {
    let n = group.len() as f64;
    let corrections: Vec<Option<f64>> =
        group.iter().map(|s| s.temperature.and_then(|t| correction(&readings.chart, t))).collect();
    let shown = |(s, c): (&Sample, &Option<f64>)| s.moisture + c.unwrap_or(0.0);
    let moisture = group.iter().zip(&corrections).map(shown).sum::<f64>() / n;
    let doubtful = group.iter().any(|s| s.temperature.is_some_and(|t| t < COLD) || s.moisture > WET);
    let meter = readings.instruments.moisture.standard(moisture);
    // A doubtful meter is given twice its limit (judgement); sampling errors of several samples average, the meter's do not.
    let meter = if doubtful { 2.0 * meter } else { meter };
    let half = 2.0 * meter.hypot(SAMPLING / n.sqrt());
    let rested = readings.rested.is_some_and(|time| time >= RESTED);
    let rebound = if heated && !rested { REBOUND } else { 0.0 };
    ProfilePoint {
        below_surface: group.iter().map(|s| s.below_surface).sum::<f64>() / n,
        moisture,
        low: (moisture - half).max(0.0),
        // The rebound goes one way only: unrested samples may be wetter than they read.
        high: moisture + half + rebound,
        samples: group.len(),
        corrected: corrections.iter().all(Option::is_some),
        doubtful,
    }
}

/// What the user's own chart adds at a temperature of the sample; nothing outside the chart.
fn correction(chart: &[(f64, f64)], temperature: f64) -> Option<f64> {
    if let [(only, add)] = chart {
        return (*only == temperature).then_some(*add);
    }
    chart.windows(2).find(|w| (w[0].0..=w[1].0).contains(&temperature)).map(|w| {
        let share = (temperature - w[0].0) / (w[1].0 - w[0].0);
        w[0].1 + share * (w[1].1 - w[0].1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_users_own_chart_corrects_and_never_beyond_its_ends() {
        let chart = [(0.0, 0.010), (20.0, 0.0)];
        assert_eq!(correction(&[], 10.0), None);
        assert!((correction(&chart, 10.0).expect("inside") - 0.005).abs() < 1e-12);
        assert_eq!(correction(&chart, -5.0), None);
    }

    #[test]
    fn unrested_samples_of_heated_grain_may_be_two_points_wetter() {
        let text = "binwright_readings = 1\n[air]\noutdoor = \"50 F\"\n[grain]\n[[grain.samples]]\nbelow_surface = \"1 ft\"\n\
                    moisture = \"15 %\"\n[[grain.samples]]\nbelow_surface = \"1 ft\"\nmoisture = \"16 %\"\n";
        let read = job::readings::read_readings(text, "r.toml").expect("a sound file").readings;
        let [hot, cold] = [true, false].map(|heated| profile(&read, heated));
        assert_eq!(hot.len(), 1);
        assert!((hot[0].moisture - 0.155).abs() < 1e-12 && hot[0].samples == 2);
        assert!((hot[0].high - cold[0].high - REBOUND).abs() < 1e-12);
        assert!((hot[0].low - cold[0].low).abs() < 1e-12);
    }
}
