//! The hourly series: what the rest of the program sees of weather.

use crate::calendar;
use crate::grid::{Grid, Hours};
use crate::report::Report;
use physics::air;

/// Where a record was taken. What a file does not say stays `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StationPlace {
    /// Latitude, degrees, north positive.
    pub latitude: Option<f64>,
    /// Longitude, degrees, east positive.
    pub longitude: Option<f64>,
    /// Elevation above sea level, m.
    pub elevation_m: Option<f64>,
    /// Standard time less UTC, s (−21 600 for −06:00).
    pub utc_offset_s: Option<i32>,
}

/// Whether the hours happened as they stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// One real hour after the other.
    Measured,
    /// A typical year: months of different years put together. It says nothing about bad years. Such a series carries
    /// the nominal years [`crate::TYPICAL_YEAR`] and the next, twice the same, so that a season may cross the new year.
    Typical,
}

/// Value of [`Series::filled`]: the hour rests on measured values only.
pub const MEASURED: u8 = 0;
/// Value of [`Series::filled`]: a gap of up to three hours was filled by a straight line.
pub const FILLED_SHORT: u8 = 1;
/// Value of [`Series::filled`]: a gap of 4 to 72 hours was filled by the daily course of the days around it.
pub const FILLED_DIURNAL: u8 = 2;
/// Value of [`Series::filled`]: temperature, humidity or both are missing (NaN).
pub const MISSING: u8 = 255;

/// Weather hour by hour. The value at index `i` is the mean over the hour that begins at `start_hour + i`, in UTC also
/// where the standard time differs from UTC by half hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Name for people: the station, or the file.
    pub name: String,
    /// Where it was taken.
    pub place: StationPlace,
    /// First hour, in hours since 1970-01-01T00:00Z.
    pub start_hour: i64,
    /// Dry-bulb temperature, °C; NaN where missing.
    pub temperature_c: Vec<f64>,
    /// Relative humidity over liquid water, 0 to 1; NaN where missing.
    pub relative_humidity: Vec<f64>,
    /// Pressure at the station, Pa absolute; never NaN (the report says where it comes from).
    pub pressure_pa: Vec<f64>,
    /// Measured or typical.
    pub kind: Kind,
    /// For each hour [`MEASURED`], [`FILLED_SHORT`], [`FILLED_DIURNAL`] or [`MISSING`].
    pub filled: Vec<u8>,
    /// How the series came about.
    pub report: Report,
    /// The values at the stamps of the source, kept for joining and for filling gaps; `None` when the hours are the source.
    pub(crate) grid: Option<Grid>,
    /// Whether gaps were filled already: what the rules leave then is left for good.
    pub(crate) mended: bool,
}

/// A stretch of a series without a missing hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window<'a> {
    /// First hour, in hours since 1970-01-01T00:00Z.
    pub start_hour: i64,
    /// Dry-bulb temperature, °C.
    pub temperature_c: &'a [f64],
    /// Relative humidity over liquid water, 0 to 1.
    pub relative_humidity: &'a [f64],
    /// Pressure, Pa absolute.
    pub pressure_pa: &'a [f64],
    /// How each hour came about, as in [`Series::filled`].
    pub filled: &'a [u8],
}

/// Why a stretch of a series cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Incomplete {
    /// Hours asked for.
    pub hours: usize,
    /// Hours of them that are missing, in the series or beyond its ends.
    pub missing: usize,
    /// Longest run of missing hours.
    pub longest_gap: usize,
    /// First missing hour, in hours since 1970-01-01T00:00Z.
    pub first_at: i64,
}

impl std::fmt::Display for Incomplete {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} of {} hours are missing, first {}, longest gap {} h",
            self.missing,
            self.hours,
            calendar::show(self.first_at),
            self.longest_gap
        )
    }
}

impl std::error::Error for Incomplete {}

/// The hours of a window as the bed takes them.
#[derive(Debug, Clone, PartialEq)]
pub struct Hourly {
    /// First hour, in hours since 1970-01-01T00:00Z.
    pub start_hour: i64,
    /// Dry-bulb temperature, °C.
    pub temperature_c: Vec<f64>,
    /// Relative humidity over liquid water, 0 to 1.
    pub relative_humidity: Vec<f64>,
    /// Humidity ratio, kg/kg dry air.
    pub humidity_ratio: Vec<f64>,
    /// Pressure, Pa absolute.
    pub pressure_pa: Vec<f64>,
}

/// How much of a calendar year (in the station's standard time, UTC when unknown) a series holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct YearCoverage {
    /// Calendar year.
    pub year: i32,
    /// Hours of that year: 8760 or 8784.
    pub expected: usize,
    /// Hours present, filled ones included.
    pub present: usize,
    /// Hours of these that were filled.
    pub filled: usize,
    /// Longest run of missing hours within the year.
    pub longest_gap: usize,
}

impl YearCoverage {
    /// Whether no hour is missing.
    pub fn complete(&self) -> bool {
        self.present == self.expected
    }
}

impl Series {
    /// A series from hourly means that are already in the form kept here.
    ///
    /// Hours with a NaN in temperature or humidity count as missing. The columns are cut to the shortest of them.
    pub fn from_hours(
        name: &str,
        place: StationPlace,
        start_hour: i64,
        mut temperature_c: Vec<f64>,
        mut relative_humidity: Vec<f64>,
        mut pressure_pa: Vec<f64>,
        kind: Kind,
    ) -> Self {
        let hours = temperature_c.len().min(relative_humidity.len()).min(pressure_pa.len());
        temperature_c.truncate(hours);
        relative_humidity.truncate(hours);
        pressure_pa.truncate(hours);
        let filled = temperature_c
            .iter()
            .zip(&relative_humidity)
            .map(|(t, h)| if t.is_nan() || h.is_nan() { MISSING } else { MEASURED })
            .collect();
        Self {
            name: name.into(),
            place,
            start_hour,
            temperature_c,
            relative_humidity,
            pressure_pa,
            kind,
            filled,
            report: Report::default(),
            grid: None,
            mended: false,
        }
    }

    /// A series from values at stamps; the one place where stamps become hours.
    pub(crate) fn from_grid(name: &str, place: StationPlace, kind: Kind, grid: Grid, report: Report) -> Self {
        let hours = grid.hours();
        Self::from_both(name, place, kind, grid, hours, report)
    }

    /// A series from values at stamps and the hours made from them.
    pub(crate) fn from_both(
        name: &str,
        place: StationPlace,
        kind: Kind,
        grid: Grid,
        hours: Hours,
        report: Report,
    ) -> Self {
        Self {
            name: name.into(),
            place,
            start_hour: hours.start_hour,
            temperature_c: hours.temperature,
            relative_humidity: hours.humidity,
            pressure_pa: hours.pressure,
            kind,
            filled: hours.flag,
            report,
            grid: Some(grid),
            mended: false,
        }
    }

    /// Number of hours, missing ones included.
    pub fn len(&self) -> usize {
        self.temperature_c.len()
    }

    /// Whether there is no hour at all.
    pub fn is_empty(&self) -> bool {
        self.temperature_c.is_empty()
    }

    /// The hour after the last, in hours since 1970-01-01T00:00Z.
    pub fn end_hour(&self) -> i64 {
        self.start_hour + self.len() as i64
    }

    /// Whether an index holds an hour without temperature or humidity.
    pub fn is_missing(&self, index: usize) -> bool {
        self.filled.get(index).is_none_or(|&f| f == MISSING)
    }

    /// Humidity ratio of the hour at an index, kg/kg dry air; NaN where missing or beyond the end.
    pub fn humidity_ratio(&self, index: usize) -> f64 {
        match (self.temperature_c.get(index), self.relative_humidity.get(index), self.pressure_pa.get(index)) {
            (Some(&t), Some(&h), Some(&p)) if !t.is_nan() => air::humidity_ratio(p, h * air::saturation_pressure(t)),
            _ => f64::NAN,
        }
    }

    /// The hours from `start_hour` (since 1970-01-01T00:00Z) on.
    ///
    /// # Errors
    /// When an hour of them is missing, in the series or beyond its ends.
    pub fn window(&self, start_hour: i64, hours: usize) -> Result<Window<'_>, Incomplete> {
        let (mut missing, mut run, mut longest_gap, mut first_at) = (0, 0, 0, start_hour);
        for k in 0..hours {
            let hour = start_hour.saturating_add(k as i64);
            let index = usize::try_from(hour.saturating_sub(self.start_hour)).unwrap_or(usize::MAX);
            if self.is_missing(index) {
                if missing == 0 {
                    first_at = hour;
                }
                missing += 1;
                run += 1;
                longest_gap = longest_gap.max(run);
            } else {
                run = 0;
            }
        }
        if missing > 0 {
            return Err(Incomplete { hours, missing, longest_gap, first_at });
        }
        // With nothing missing all hours lie inside; an empty window may lie anywhere.
        let from = if hours == 0 { 0 } else { (start_hour - self.start_hour) as usize };
        let range = from..from + hours;
        Ok(Window {
            start_hour,
            temperature_c: &self.temperature_c[range.clone()],
            relative_humidity: &self.relative_humidity[range.clone()],
            pressure_pa: &self.pressure_pa[range.clone()],
            filled: &self.filled[range],
        })
    }

    /// Standard time less UTC, s; 0 when the record does not say.
    pub fn utc_offset_s(&self) -> i64 {
        i64::from(self.place.utc_offset_s.unwrap_or(0))
    }

    /// Calendar years in which the series has at least one hour, rising; a typical year gives its one nominal year.
    pub fn years(&self) -> Vec<i32> {
        self.coverage().into_iter().filter(|y| y.present > 0).map(|y| y.year).collect()
    }

    /// How much of each calendar year the series holds, rising; years in standard time. An hour that is cut by the new
    /// year (half-hour offsets) belongs to the year it begins in.
    pub fn coverage(&self) -> Vec<YearCoverage> {
        if self.is_empty() {
            return Vec::new();
        }
        let year_of = |hour: i64| calendar::date((hour * 3600 + self.utc_offset_s()).div_euclid(86_400)).0;
        let mut last = year_of(self.end_hour() - 1);
        let first = year_of(self.start_hour);
        if self.kind == Kind::Typical {
            last = first.max(crate::TYPICAL_YEAR);
        }
        let first = if self.kind == Kind::Typical { last } else { first };
        (first..=last)
            .map(|year| {
                let begin = |y| {
                    let local = calendar::days(y, 1, 1).unwrap_or(0) * 86_400;
                    // First whole UTC hour that begins in the year.
                    (local - self.utc_offset_s() + 3599).div_euclid(3600)
                };
                let (from, to) = (begin(year), begin(year + 1));
                let mut of = YearCoverage {
                    year,
                    expected: usize::try_from(to - from).unwrap_or(0),
                    present: 0,
                    filled: 0,
                    longest_gap: 0,
                };
                let mut run = 0;
                for hour in from..to {
                    let flag = usize::try_from(hour - self.start_hour).ok().and_then(|i| self.filled.get(i)).copied();
                    match flag {
                        None | Some(MISSING) => run += 1,
                        Some(f) => {
                            run = 0;
                            of.present += 1;
                            of.filled += usize::from(f != MEASURED);
                        }
                    }
                    of.longest_gap = of.longest_gap.max(run);
                }
                of
            })
            .collect()
    }

    /// The series for a site at another elevation (m): pressure in the ratio of the standard atmospheres, temperature and
    /// humidity as they are. Unchanged when the station's elevation is unknown.
    pub fn at_elevation(mut self, elevation: f64) -> Self {
        if let Some(station) = self.place.elevation_m {
            let ratio = air::standard_pressure(elevation) / air::standard_pressure(station);
            if ratio.is_finite() && ratio > 0.0 {
                self.scale_pressure(ratio);
                self.place.elevation_m = Some(elevation);
            }
        }
        self
    }

    /// The series for a site whose mean barometric pressure (Pa) is known: every hour in one ratio, so that the mean of the
    /// record is that; temperature and humidity as they are. Unchanged when the record holds no pressure.
    pub fn at_mean_pressure(mut self, mean: f64) -> Self {
        let known = || self.pressure_pa.iter().filter(|p| p.is_finite());
        let ratio = mean * known().count() as f64 / known().sum::<f64>();
        if ratio.is_finite() && ratio > 0.0 {
            self.scale_pressure(ratio);
        }
        self
    }

    fn scale_pressure(&mut self, ratio: f64) {
        self.pressure_pa.iter_mut().for_each(|p| *p *= ratio);
        if let Some(grid) = &mut self.grid {
            grid.pressure.iter_mut().for_each(|p| *p *= ratio);
        }
    }
}

impl Window<'_> {
    /// Number of hours.
    pub fn len(&self) -> usize {
        self.temperature_c.len()
    }

    /// Whether the window holds no hour.
    pub fn is_empty(&self) -> bool {
        self.temperature_c.is_empty()
    }

    /// Hours that were filled, not measured.
    pub fn filled_hours(&self) -> usize {
        self.filled.iter().filter(|&&f| f != MEASURED).count()
    }

    /// Copies the hours and works out the humidity ratio.
    pub fn hourly(&self) -> Hourly {
        let humidity_ratio = self
            .temperature_c
            .iter()
            .zip(self.relative_humidity)
            .zip(self.pressure_pa)
            .map(|((&t, &h), &p)| air::humidity_ratio(p, h * air::saturation_pressure(t)))
            .collect();
        Hourly {
            start_hour: self.start_hour,
            temperature_c: self.temperature_c.to_vec(),
            relative_humidity: self.relative_humidity.to_vec(),
            humidity_ratio,
            pressure_pa: self.pressure_pa.to_vec(),
        }
    }
}
