//! Weather kept ready between jobs: records decoded, mended and moved to the pressure of the place once, and the stretches of hours that
//! seasons take from them with their clocks.
//!
//! A what-if changes a depth or a fan a dozen times a second; its weather is the same each time. Results do not depend on
//! whether a record was kept.

use crate::clock::Clock;
use crate::facts::{Place, Prices};
use crate::library::Library;
use notice::Diagnostics;
use season::HourlyWeather;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use weather::{Hints, Series};

/// Records kept at most; a site names one, a comparison two.
const MOST_RECORDS: usize = 4;
/// Stretches kept of a record; thirty years of a few harvest days.
const MOST_STRETCHES: usize = 240;

/// A record ready for resolving: mended and at the pressure of the place.
#[derive(Debug)]
pub struct ReadyRecord {
    pub(crate) series: Series,
    stretches: Mutex<BTreeMap<String, Arc<HourlyWeather>>>,
}

impl ReadyRecord {
    /// Makes a record ready for a place: gaps mended, at its pressure, which it says or which goes with its elevation.
    pub fn new(series: Series, place: &Place) -> Self {
        let series = match place.pressure {
            Some(mean) => series.mended().at_mean_pressure(mean),
            None => series.mended().at_elevation(place.elevation),
        };
        Self { series, stretches: Mutex::default() }
    }

    /// The weather of a stretch of hours with its clocks, or what it lacks.
    pub(crate) fn stretch(
        &self,
        (first, hours): (i64, usize),
        place: &Place,
        prices: Option<&Prices>,
    ) -> Result<Arc<HourlyWeather>, String> {
        // Everything that decides the hours besides the record itself.
        let key = format!("{first} {hours} {place:?} {:?}", prices.map(|p| &p.slots));
        if let Some(known) = self.stretches.lock().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return Ok(Arc::clone(known));
        }
        let hourly = self.series.window(first, hours).map_err(|incomplete| incomplete.to_string())?.hourly();
        let clock = Clock::of(first, hours, place, prices);
        let mut weather = HourlyWeather {
            start: first,
            temperature: hourly.temperature_c,
            humidity_ratio: hourly.humidity_ratio,
            relative_humidity: hourly.relative_humidity,
            pressure: hourly.pressure_pa,
            wall_hour: clock.hour,
            tariff_slot: clock.slot,
            month: clock.month,
        };
        damper(&mut weather, place.humidity_offset);
        let weather = Arc::new(weather);
        let mut kept = self.stretches.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST_STRETCHES {
            kept.clear();
        }
        kept.insert(key, Arc::clone(&weather));
        Ok(weather)
    }
}

/// Moves the humidity of a site that stands damper or drier than its station.
fn damper(weather: &mut HourlyWeather, offset: f64) {
    if offset == 0.0 {
        return;
    }
    for i in 0..weather.temperature.len() {
        let humidity = (weather.relative_humidity[i] + offset).clamp(0.01, 1.0);
        let vapour = humidity * physics::air::saturation_pressure(weather.temperature[i]);
        weather.relative_humidity[i] = humidity;
        weather.humidity_ratio[i] = physics::air::humidity_ratio(weather.pressure[i], vapour);
    }
}

/// Records by name, elevation, pressure and standard time. Whoever changes a record of a library calls [`Records::forget`].
#[derive(Debug, Default)]
pub struct Records {
    kept: Mutex<Vec<(String, Arc<ReadyRecord>)>>,
}

impl Records {
    /// The record a site names; `None` when the library does not know it.
    ///
    /// # Errors
    /// All that is wrong with the file of the record.
    pub fn of(&self, place: &Place, library: &dyn Library) -> Option<Result<Arc<ReadyRecord>, Diagnostics>> {
        let key = format!("{} {:?} {:?} {}", place.weather, place.elevation, place.pressure, place.utc_offset);
        let known = {
            let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
            kept.iter().find(|(name, _)| *name == key).map(|(_, record)| Arc::clone(record))
        };
        if let Some(record) = known {
            return Some(Ok(record));
        }
        let hints =
            Hints { elevation_m: Some(place.elevation), utc_offset_s: Some(place.utc_offset), ..Hints::default() };
        let series = match library.weather(&place.weather, &hints)? {
            Ok(series) => series,
            Err(wrong) => return Some(Err(wrong)),
        };
        let record = Arc::new(ReadyRecord::new(series, place));
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST_RECORDS {
            kept.remove(0);
        }
        kept.push((key, Arc::clone(&record)));
        Some(Ok(record))
    }

    /// Forgets all records: some name may now lead to another file.
    pub fn forget(&self) {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }
}
