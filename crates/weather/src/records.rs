//! What a weather file says, row by row, before anything is completed or converted.

use crate::grid::Stamps;
use crate::report::Format;
use crate::series::StationPlace;
use notice::Diagnostics;

/// One row. What is missing is NaN.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record {
    /// Stamp, minutes since 1970-01-01T00:00Z. Rows of typical years carry the nominal year [`crate::TYPICAL_YEAR`].
    pub minute: i64,
    /// Dry-bulb temperature, °C.
    pub temperature_c: f64,
    /// Dew point over water, °C.
    pub dew_point_c: f64,
    /// Relative humidity over water, 0 to 1.
    pub relative_humidity: f64,
    /// Pressure at the station, Pa.
    pub station_pressure_pa: f64,
    /// Altimeter setting, Pa.
    pub altimeter_pa: f64,
    /// Pressure reduced to sea level, Pa.
    pub sea_level_pressure_pa: f64,
}

impl Record {
    /// A row with nothing but its stamp.
    pub(crate) fn at(minute: i64) -> Self {
        Self {
            minute,
            temperature_c: f64::NAN,
            dew_point_c: f64::NAN,
            relative_humidity: f64::NAN,
            station_pressure_pa: f64::NAN,
            altimeter_pa: f64::NAN,
            sea_level_pressure_pa: f64::NAN,
        }
    }
}

/// All rows of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Records {
    /// Name for people: the station as the file calls it, else the file.
    pub name: String,
    /// Form of the file.
    pub format: Format,
    /// Where it was taken, completed from the hints.
    pub place: StationPlace,
    /// What its stamps mean.
    pub stamps: Stamps,
    /// Minutes past the UTC hour at which its stamps lie; reports are moved to the nearest such stamp.
    pub stamp_minute: u8,
    /// Whether it is a typical year.
    pub typical: bool,
    /// For typical years: the year of each month, January first; 0 where unknown.
    pub typical_months: Vec<i32>,
    /// The rows, as they stand in the file.
    pub rows: Vec<Record>,
    /// Rows left out because they could not be read.
    pub bad_rows: usize,
    /// Rows left out, and what else is worth telling.
    pub warnings: Diagnostics,
}

/// What the caller knows of a station. A file that says it itself is believed first.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hints {
    /// Latitude, degrees, north positive.
    pub latitude: Option<f64>,
    /// Longitude, degrees, east positive.
    pub longitude: Option<f64>,
    /// Elevation of the station, m: needed where a file holds no pressure at the station and no elevation.
    pub elevation_m: Option<f64>,
    /// Standard time less UTC, s: needed where a file is in local time and does not say which.
    pub utc_offset_s: Option<i32>,
}

impl Hints {
    /// A place as a file gives it, completed.
    pub(crate) fn complete(&self, place: StationPlace) -> StationPlace {
        let sound = |v: &f64| v.is_finite();
        StationPlace {
            latitude: place.latitude.filter(sound).or(self.latitude),
            longitude: place.longitude.filter(sound).or(self.longitude),
            elevation_m: place.elevation_m.filter(|e| (-500.0..=9000.0).contains(e)).or(self.elevation_m),
            utc_offset_s: place.utc_offset_s.or(self.utc_offset_s),
        }
    }
}

/// Standard time less UTC in s from hours, as in "−6.0"; `None` beyond any zone in use.
pub(crate) fn offset_of_hours(hours: f64) -> Option<i32> {
    // Zones lie at quarters of an hour.
    ((-14.0..=14.0).contains(&hours)).then(|| (hours * 4.0).round() as i32 * 900)
}

/// Minutes past the UTC hour at which whole local hours begin.
pub(crate) fn minute_of_offset(offset_s: i32) -> u8 {
    (-offset_s / 60).rem_euclid(60) as u8
}
