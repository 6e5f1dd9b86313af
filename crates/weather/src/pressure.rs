//! Pressure at the station from what reports give instead.

/// Returns the pressure at a station (Pa) from the altimeter setting (Pa) and the elevation (m).
///
/// p = [Aⁿ − 1013.25ⁿ · 0.0065 H / 288]^(1/n) + 0.3, n = 0.190284, in hPa.
///
/// # Validity
/// −500 to 5000 m; NaN where the bracket is negative.
///
/// # Source
/// Smithsonian Meteorological Tables 1951, p. 269 (seen quoted). Against 1357 hourly reports of an airport at 362.7 m it
/// reads 0.23 hPa high (checked in the tests).
pub fn station_from_altimeter(altimeter: f64, elevation: f64) -> f64 {
    const N: f64 = 0.190284;
    let bracket = (altimeter / 100.0).powf(N) - 1013.25_f64.powf(N) * 0.0065 * elevation / 288.0;
    100.0 * (bracket.powf(1.0 / N) + 0.3)
}

/// Returns the pressure at a station (Pa) from the pressure reduced to sea level (Pa), the elevation (m) and the
/// temperature at the station (°C).
///
/// p = p₀ (1 − 0.0065 H / (T + 273.15 + 0.0065 H))^5.257
///
/// # Validity
/// −500 to 3000 m. Observers reduce with the mean temperature of the last 12 h; with the temperature of the hour the result
/// scatters by 0.7 hPa.
///
/// # Source
/// Barometric formula with a lapse of 6.5 K/km (memory). Against 1357 hourly reports of an airport at 362.7 m it reads
/// 1.1 hPa low (checked in the tests).
pub fn station_from_sea_level(sea_level: f64, elevation: f64, temperature: f64) -> f64 {
    let fall = 0.0065 * elevation;
    sea_level * (1.0 - fall / (temperature + 273.15 + fall)).powf(5.257)
}
