//! How grain dries while it stands in the field, by the warmth of the days.
//!
//! Leaves out rain, wind and humidity: the published rule counts degree-days alone. Which constants a crop has is its data.

use notice::Range;

/// A rule of degree-days per point of moisture, in bands of moisture.
#[derive(Debug, Clone, PartialEq)]
pub struct DryDown {
    /// Temperature below which a day counts nothing, °C; colder minima are taken as it.
    pub base: f64,
    /// Temperature above which more warmth counts no more, °C; hotter maxima are taken as it.
    pub ceiling: f64,
    /// Bands from the wettest on, each beginning where the one before it ends.
    pub bands: Vec<Band>,
}

/// One band of moisture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Moistures of the band, fraction w.b.
    pub moisture_wb: Range,
    /// Degree-days that take one unit of moisture (a fraction w.b. of 1), K·d; a point takes a hundredth of it.
    pub degree_days: f64,
}

impl DryDown {
    /// Moistures for which the rule has evidence, fraction w.b.
    pub fn range(&self) -> Range {
        let low = self.bands.last().map_or(0.0, |band| band.moisture_wb.low);
        let high = self.bands.first().map_or(0.0, |band| band.moisture_wb.high);
        Range::new(low, high)
    }

    /// Degree-days of a day with a maximum and a minimum (°C), K·d: the mean of both above the base, each first brought
    /// between base and ceiling.
    ///
    /// # Source
    /// The usual count for corn (86/50 °F): its bounds are the crop's.
    pub fn degree_days(&self, maximum: f64, minimum: f64) -> f64 {
        let held = |t: f64| t.clamp(self.base, self.ceiling);
        0.5 * (held(maximum) + held(minimum)) - self.base
    }

    /// Moisture (fraction w.b.) after some degree-days (K·d). Ends at the lowest moisture of the rule and does not wet;
    /// grain above its highest moisture dries as at it.
    pub fn after(&self, moisture_wb: f64, degree_days: f64) -> f64 {
        let (mut moisture, mut left) = (moisture_wb, degree_days.max(0.0));
        for band in &self.bands {
            if moisture <= band.moisture_wb.low {
                continue;
            }
            let needed = (moisture - band.moisture_wb.low) * band.degree_days;
            if left < needed {
                return moisture - left / band.degree_days;
            }
            left -= needed;
            moisture = band.moisture_wb.low;
        }
        moisture
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 30 °F·d a point from 30 to 25 %, 45 from 25 to 20 %, counted between 50 and 86 °F.
    fn corn() -> DryDown {
        let band = |high, low, fahrenheit: f64| Band {
            moisture_wb: Range::new(low, high),
            degree_days: fahrenheit / 1.8 * 100.0,
        };
        DryDown { base: 10.0, ceiling: 30.0, bands: vec![band(0.30, 0.25, 30.0), band(0.25, 0.20, 45.0)] }
    }

    /// "assuming Tmax = 60F, Tmin = 50F" is "about 5 GDDs per day".
    ///
    /// # Source
    /// Ohio State University Extension, Agronomic Crops Network, newsletter 2024-35.
    #[test]
    fn a_day_of_the_source() {
        let fahrenheit = |f: f64| (f - 32.0) / 1.8;
        assert!((1.8 * corn().degree_days(fahrenheit(60.0), fahrenheit(50.0)) - 5.0).abs() < 1e-9);
        // Colder nights and hotter days than the bounds count as the bounds.
        assert!((1.8 * corn().degree_days(fahrenheit(60.0), fahrenheit(30.0)) - 5.0).abs() < 1e-9);
        assert!((1.8 * corn().degree_days(fahrenheit(100.0), fahrenheit(70.0)) - 28.0).abs() < 1e-9);
        assert_eq!(corn().degree_days(-5.0, -20.0), 0.0);
    }

    #[test]
    fn points_take_the_degree_days_of_their_band() {
        let after = |from: f64, fahrenheit: f64| corn().after(from, fahrenheit / 1.8);
        assert!((after(0.30, 60.0) - 0.28).abs() < 1e-12);
        assert!((after(0.26, 30.0 + 45.0) - 0.24).abs() < 1e-12, "over the edge of a band");
        assert!((after(0.30, 5.0 * 30.0 + 5.0 * 45.0) - 0.20).abs() < 1e-12);
        assert_eq!(after(0.30, 1e6), 0.20, "the rule ends there");
        assert_eq!(after(0.18, 100.0), 0.18);
        assert_eq!(after(0.27, -5.0), 0.27);
        assert_eq!(corn().range(), Range::new(0.20, 0.30));
    }

    #[test]
    fn days_add_up() {
        let rule = corn();
        let mut moisture = 0.30;
        for _ in 0..50 {
            moisture = rule.after(moisture, 4.0);
        }
        assert!((moisture - rule.after(0.30, 200.0)).abs() < 1e-12);
    }
}
