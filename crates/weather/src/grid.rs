//! Values at the stamps of a source and their one conversion to means over whole UTC hours.

use crate::series::{FILLED_SHORT, MISSING, Series};
use physics::air;

/// What a stamp of a source says about its value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stamps {
    /// The value at that instant.
    #[default]
    Instant,
    /// The mean over the hour around the stamp.
    MeanCentred,
    /// The mean over the hour that ends at the stamp.
    MeanEnding,
    /// The mean over the hour that begins at the stamp.
    MeanBeginning,
}

impl Stamps {
    /// Shares of the values stamped one hour before, at, and one hour after `h + minute` in the mean over `[h, h + 1)`.
    ///
    /// Instants (and centred means, taken as instants) are joined by straight lines and integrated; means over shifted
    /// hours are weighted by how much of the hour they cover. On the full hour that is the average of both ends for
    /// instants, and the next value for hours that end at their stamp.
    pub(crate) fn shares(self, minute: u8) -> [f64; 3] {
        let f = f64::from(minute) / 60.0;
        let g = 1.0 - f;
        match self {
            Self::Instant | Self::MeanCentred => [f * f / 2.0, (f * (2.0 - f) + g * (1.0 + f)) / 2.0, g * g / 2.0],
            Self::MeanEnding => [0.0, f, g],
            Self::MeanBeginning => [f, g, 0.0],
        }
    }
}

/// Hourly values at equally spaced stamps.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Grid {
    /// What the stamps mean.
    pub stamps: Stamps,
    /// Minutes past the UTC hour at which the stamps lie, 0 to 59.
    pub minute: u8,
    /// Hour of the first stamp, since 1970-01-01T00:00Z, its minutes left out.
    pub first: i64,
    /// Dry bulb, °C; NaN where missing.
    pub temperature: Vec<f64>,
    /// Vapour pressure, Pa; NaN where missing.
    pub vapour: Vec<f64>,
    /// Station pressure, Pa; never NaN.
    pub pressure: Vec<f64>,
    /// As in [`Series::filled`].
    pub flag: Vec<u8>,
}

/// Hourly means made from a grid.
pub(crate) struct Hours {
    /// First hour.
    pub start_hour: i64,
    /// Dry bulb, °C.
    pub temperature: Vec<f64>,
    /// Relative humidity over water, 0 to 1.
    pub humidity: Vec<f64>,
    /// Station pressure, Pa.
    pub pressure: Vec<f64>,
    /// As in [`Series::filled`].
    pub flag: Vec<u8>,
}

impl Grid {
    /// The hours of a series taken as a grid of their own.
    pub fn of_hours(series: &Series) -> Self {
        let vapour = series
            .temperature_c
            .iter()
            .zip(&series.relative_humidity)
            .map(|(&t, &h)| if t.is_nan() { t } else { h * air::saturation_pressure(t) })
            .collect();
        Self {
            stamps: Stamps::MeanBeginning,
            minute: 0,
            first: series.start_hour,
            temperature: series.temperature_c.clone(),
            vapour,
            pressure: series.pressure_pa.clone(),
            flag: series.filled.clone(),
        }
    }

    /// Offsets of the first and last stamp that an hour needs, from its own: −1, 0 or 1.
    pub fn reach(&self) -> (i64, i64) {
        let [before, own, after] = self.stamps.shares(self.minute);
        let low = if before > 0.0 { -1 } else { i64::from(own == 0.0) };
        (low, i64::from(after > 0.0))
    }

    /// Number of stamps.
    pub fn len(&self) -> usize {
        self.temperature.len()
    }

    /// Sets the flags from what is missing; filled ones keep theirs.
    pub fn flag_missing(&mut self) {
        for ((flag, t), e) in self.flag.iter_mut().zip(&self.temperature).zip(&self.vapour) {
            if t.is_nan() || e.is_nan() {
                *flag = MISSING;
            } else if *flag == MISSING {
                *flag = FILLED_SHORT;
            }
        }
    }

    /// Means over whole UTC hours: temperature, vapour pressure and pressure are averaged, relative humidity follows.
    ///
    /// Between two foggy hours the mean vapour pressure lies a little above saturation at the mean temperature (0.04 %
    /// for a step of 1 K); such humidity is cut to 1. An hour that needs a missing value is missing. The first and last
    /// hours are those for which all values needed exist.
    pub fn hours(&self) -> Hours {
        self.hours_with(air::saturation_pressure)
    }

    /// As [`Self::hours`], with the saturation pressure (Pa) from a function of the temperature (°C) that the caller knows
    /// to be quicker for its temperatures.
    pub fn hours_with(&self, saturation: impl Fn(f64) -> f64) -> Hours {
        let (low, high) = self.reach();
        let reach = (high - low) as usize;
        let shares = self.stamps.shares(self.minute);
        let shares = &shares[(low + 1) as usize..=(high + 1) as usize];
        let flag: Vec<u8> = match reach {
            0 => self.flag.clone(),
            _ => self.flag.windows(reach + 1).map(|w| w.iter().copied().max().unwrap_or(MISSING)).collect(),
        };
        let mut temperature = mixed(&self.temperature, shares);
        let mut humidity = mixed(&self.vapour, shares);
        for ((h, t), flag) in humidity.iter_mut().zip(&mut temperature).zip(&flag) {
            if *flag == MISSING {
                (*t, *h) = (f64::NAN, f64::NAN);
            } else {
                *h = (*h / saturation(*t)).min(1.0);
            }
        }
        Hours { start_hour: self.first - low, temperature, humidity, pressure: mixed(&self.pressure, shares), flag }
    }
}

/// Weighted means of neighbours; one loop for each number of them, because this is most of the time a series takes to load.
fn mixed(column: &[f64], shares: &[f64]) -> Vec<f64> {
    match *shares {
        [a, b] => column.windows(2).map(|v| a * v[0] + b * v[1]).collect(),
        [a, b, c] => column.windows(3).map(|v| a * v[0] + b * v[1] + c * v[2]).collect(),
        _ => column.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::series::MEASURED;

    fn grid(stamps: Stamps, minute: u8, temperature: &[f64]) -> Grid {
        let n = temperature.len();
        Grid {
            stamps,
            minute,
            first: 100,
            temperature: temperature.to_vec(),
            vapour: vec![500.0; n],
            pressure: vec![1e5; n],
            flag: vec![MEASURED; n],
        }
    }

    #[test]
    fn shares_add_up_to_one() {
        for stamps in [Stamps::Instant, Stamps::MeanCentred, Stamps::MeanEnding, Stamps::MeanBeginning] {
            for minute in 0..60 {
                assert!((stamps.shares(minute).iter().sum::<f64>() - 1.0).abs() < 1e-15);
            }
        }
    }

    #[test]
    fn instants_become_the_mean_of_both_ends() {
        let hours = grid(Stamps::Instant, 0, &[10.0, 12.0, 20.0]).hours();
        assert_eq!((hours.start_hour, hours.temperature), (100, vec![11.0, 16.0]));
    }

    #[test]
    fn an_hour_that_ends_at_its_stamp_began_one_earlier() {
        let hours = grid(Stamps::MeanEnding, 0, &[10.0, 12.0]).hours();
        assert_eq!((hours.start_hour, hours.temperature), (99, vec![10.0, 12.0]));
        let hours = grid(Stamps::MeanBeginning, 0, &[10.0, 12.0]).hours();
        assert_eq!((hours.start_hour, hours.temperature), (100, vec![10.0, 12.0]));
    }

    #[test]
    fn half_hour_stamps_are_integrated() {
        // A straight line in time must give its own value in the middle of each hour, wherever the stamps lie.
        let line = |hour: f64| 3.0 + 0.7 * hour;
        for minute in [0_u8, 15, 30, 45] {
            let at: Vec<f64> = (0..6).map(|k| line(100.0 + f64::from(k) + f64::from(minute) / 60.0)).collect();
            let hours = grid(Stamps::Instant, minute, &at).hours();
            assert_eq!(hours.start_hour, if minute == 0 { 100 } else { 101 });
            for (i, t) in hours.temperature.iter().enumerate() {
                let expected = line((hours.start_hour + i as i64) as f64 + 0.5);
                assert!((t - expected).abs() < 1e-12, "minute {minute}, hour {i}: {t} against {expected}");
            }
            // Means over shifted hours of the same line, stamped at their end and beginning.
            let ending: Vec<f64> = at.iter().map(|v| v - 0.35).collect();
            let hours = grid(Stamps::MeanEnding, minute, &ending).hours();
            for (i, t) in hours.temperature.iter().enumerate() {
                assert!((t - line((hours.start_hour + i as i64) as f64 + 0.5)).abs() < 1e-12);
            }
            let beginning: Vec<f64> = at.iter().map(|v| v + 0.35).collect();
            let hours = grid(Stamps::MeanBeginning, minute, &beginning).hours();
            for (i, t) in hours.temperature.iter().enumerate() {
                assert!((t - line((hours.start_hour + i as i64) as f64 + 0.5)).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn a_missing_value_takes_only_its_hours() {
        let mut g = grid(Stamps::Instant, 0, &[1.0, f64::NAN, 3.0, 4.0]);
        g.flag_missing();
        let hours = g.hours();
        assert_eq!(hours.flag, vec![MISSING, MISSING, MEASURED]);
        assert!(hours.temperature[0].is_nan() && hours.humidity[1].is_nan());
        assert_eq!(hours.temperature[2], 3.5);
    }

    #[test]
    fn too_few_stamps_give_no_hour() {
        assert!(grid(Stamps::Instant, 30, &[1.0]).hours().temperature.is_empty());
        assert!(grid(Stamps::Instant, 0, &[]).hours().temperature.is_empty());
    }
}
