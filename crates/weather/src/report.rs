//! How a series came about: what was read, counted, converted and left out.

use crate::grid::Stamps;
use notice::Diagnostics;

/// Form of a weather file, recognised by its content.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// EPW.
    Epw,
    /// TMY3 comma-separated text.
    Tmy3,
    /// NOAA ISD-Lite.
    IsdLite,
    /// NOAA Local Climatological Data, older generation (°F, inches of mercury).
    LcdCustomary,
    /// NOAA Local Climatological Data, newer generation (°C, hPa).
    LcdMetric,
    /// The plain comma-separated text described in `docs/weather-files.md`.
    Plain,
}

impl Format {
    /// Name for people.
    pub fn name(self) -> &'static str {
        match self {
            Self::Epw => "EPW",
            Self::Tmy3 => "TMY3",
            Self::IsdLite => "ISD-Lite",
            Self::LcdCustomary => "LCD in customary units",
            Self::LcdMetric => "LCD in metric units",
            Self::Plain => "plain table",
        }
    }
}

/// From what the station pressure of each stamp was taken, counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PressureUse {
    /// Reported at the station.
    pub station: usize,
    /// From the altimeter setting and the elevation.
    pub altimeter: usize,
    /// From the pressure reduced to sea level, the elevation and the temperature.
    pub sea_level: usize,
    /// Between neighbours, where one of the above was missing for up to 72 hours.
    pub interpolated: usize,
    /// Standard atmosphere of the elevation.
    pub standard: usize,
}

/// From what the humidity of each stamp was taken, counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct HumidityUse {
    /// Reported relative humidity.
    pub relative: usize,
    /// Dew point, where no relative humidity was reported.
    pub dew_point: usize,
    /// Stamps with both whose difference exceeds five points of relative humidity.
    pub disagree: usize,
}

/// What happened on the way from a file to a series. Counts are of stamps of the source, not of hours.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// Form of the file; `None` for series made in the program.
    pub format: Option<Format>,
    /// What its stamps mean.
    pub stamps: Stamps,
    /// Files joined.
    pub files: usize,
    /// Rows with weather in them.
    pub rows: usize,
    /// Hourly stamps from the first to the last.
    pub expected: usize,
    /// Rows left out because they could not be read.
    pub bad_rows: usize,
    /// Rows left out because another lay nearer to the same hour.
    pub duplicates: usize,
    /// Values left out because no weather is like that.
    pub implausible: usize,
    /// Stamps without temperature, absent ones included.
    pub missing_temperature: usize,
    /// Stamps without humidity, absent ones included.
    pub missing_humidity: usize,
    /// Where humidity came from.
    pub humidity: HumidityUse,
    /// Where pressure came from.
    pub pressure: PressureUse,
    /// For typical years: the year each month of the calendar came from, January first; 0 where unknown.
    pub typical_months: Vec<i32>,
    /// Everything worth telling that does not stop the work.
    pub warnings: Diagnostics,
}
