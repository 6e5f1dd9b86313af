//! Sensors as they are: wrong from the start by something, and more so with time.

use equipment::{SENSOR_PLACES, SensorError};
use numerics::random::Stream;

const HOURS_A_YEAR: f64 = 8766.0;
/// Standard deviations that a band stands for: within it in 19 years of 20.
const BAND_DEVIATIONS: f64 = 1.96;
/// Drift over a year, as a share of the error at the start (judgement).
const DRIFT_SHARE: f64 = 0.5;

/// What ± of a sensor means: within it in 19 years of 20 when the season begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Relative humidity, fraction.
    pub humidity: f64,
    /// Temperature, K.
    pub temperature: f64,
}

impl Band {
    /// What farm controls are taken to be: ±4 % relative humidity and ±0.5 K (judgement).
    pub const USUAL: Self = Self { humidity: 0.04, temperature: 0.5 };
    /// No error at all.
    pub const IDEAL: Self = Self { humidity: 0.0, temperature: 0.0 };
}

/// An error that grows with time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Drift {
    /// When the season begins.
    pub at_start: SensorError,
    /// Added in a year.
    pub a_year: SensorError,
}

impl Drift {
    /// The error so many hours after the season began.
    pub fn after(&self, hours: f64) -> SensorError {
        let years = hours / HOURS_A_YEAR;
        SensorError {
            temperature: self.at_start.temperature + years * self.a_year.temperature,
            relative_humidity: self.at_start.relative_humidity + years * self.a_year.relative_humidity,
        }
    }
}

/// Errors of all that measures in one year. The default measures perfectly.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SensorErrors {
    /// Of the air, in the order of [`equipment::SensorPlace`].
    pub air: [Drift; SENSOR_PLACES],
    /// Of the cables in the grain; only the temperature counts.
    pub grain: Drift,
    /// Of the moisture meter, in its own standard deviations.
    pub meter: f64,
    /// From which the errors of single samples are drawn; `None` for samples without error.
    pub samples: Option<u64>,
}

impl SensorErrors {
    /// Draws the errors of a year. The seed and the order of the draws decide, not the band: a better sensor errs in the
    /// same direction, and all outfits of a year meet the same errors.
    pub fn drawn(seed: u64, band: Band) -> Self {
        let mut stream = Stream::new(seed);
        let mut draw = |share: f64| SensorError {
            temperature: share * band.temperature / BAND_DEVIATIONS * stream.normal(),
            relative_humidity: share * band.humidity / BAND_DEVIATIONS * stream.normal(),
        };
        let mut drift = || Drift { at_start: draw(1.0), a_year: draw(DRIFT_SHARE) };
        let air = std::array::from_fn(|_| drift());
        let grain = drift();
        Self { air, grain, meter: stream.normal(), samples: Some(stream.bits()) }
    }

    /// Errors of the air sensors so many hours after the season began.
    pub fn of_air(&self, hours: f64) -> [SensorError; SENSOR_PLACES] {
        self.air.map(|drift| drift.after(hours))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_follow_the_seed_and_scale_with_the_band() {
        let half = Band { humidity: 0.02, temperature: 0.25 };
        let (a, b) = (SensorErrors::drawn(7, Band::USUAL), SensorErrors::drawn(7, half));
        assert_eq!(a, SensorErrors::drawn(7, Band::USUAL));
        assert_ne!(a, SensorErrors::drawn(8, Band::USUAL));
        assert!((a.air[1].at_start.relative_humidity - 2.0 * b.air[1].at_start.relative_humidity).abs() < 1e-15);
        assert_eq!(a.samples, b.samples);
        let ideal = SensorErrors::drawn(7, Band::IDEAL);
        assert!(ideal.air.iter().all(|d| d.after(5000.0) == SensorError::default()));
    }

    #[test]
    fn nineteen_of_twenty_lie_within_the_band() {
        let inside = (0..4000)
            .filter(|&seed| {
                let error = SensorErrors::drawn(seed, Band::USUAL).air[0].at_start;
                error.relative_humidity.abs() <= 0.04
            })
            .count();
        assert!((inside as f64 / 4000.0 - 0.95).abs() < 0.012, "{inside}");
    }
}
