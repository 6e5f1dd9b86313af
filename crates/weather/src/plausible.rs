//! What weather can be: values outside are taken as missing and counted.

use crate::records::Record;

/// Largest excess of a dew point over the temperature that is rounding, K.
const DEW_POINT_EXCESS: f64 = 0.3;

/// Drops the values of a row that no weather shows; returns how many.
///
/// −70 to 70 °C; relative humidity 0 to 110 % (above 100 % it is cut to 100 %); dew point at most 0.3 K above the
/// temperature; 31 to 120 kPa. The limits are those of the EPW data dictionary (seen), the dew point's is ours.
pub(crate) fn gate(row: &mut Record) -> usize {
    let mut dropped = 0;
    let mut keep = |value: &mut f64, low: f64, high: f64| {
        // NaN passes: it is missing already.
        if *value < low || *value > high || value.is_infinite() {
            *value = f64::NAN;
            dropped += 1;
        }
    };
    keep(&mut row.temperature_c, -70.0, 70.0);
    keep(&mut row.relative_humidity, 0.0, 1.1);
    keep(&mut row.dew_point_c, -100.0, 70.0);
    keep(&mut row.station_pressure_pa, 31_000.0, 120_000.0);
    keep(&mut row.altimeter_pa, 31_000.0, 120_000.0);
    keep(&mut row.sea_level_pressure_pa, 31_000.0, 120_000.0);
    if row.dew_point_c > row.temperature_c + DEW_POINT_EXCESS {
        row.dew_point_c = f64::NAN;
        dropped += 1;
    }
    row.dew_point_c = if row.dew_point_c > row.temperature_c { row.temperature_c } else { row.dew_point_c };
    row.relative_humidity = if row.relative_humidity > 1.0 { 1.0 } else { row.relative_humidity };
    dropped
}
