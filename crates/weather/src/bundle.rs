//! Weather built into the program.
//!
//! Bondville (Champaign County), Illinois, 1995 to 2023: origin, licence and the packed form are described in
//! `data/README.md`, which also tells how the file is made again.

use crate::grid::{Grid, Stamps};
use crate::report::{HumidityUse, PressureUse, Report};
use crate::series::{Kind, MEASURED, Series, StationPlace};
use physics::air;
use std::io::Read;

const CHAMPAIGN: &[u8] = include_bytes!("../data/champaign.bin");

/// Names that [`bundled`] knows.
pub const BUNDLED: [&str; 1] = ["champaign"];

/// A series built into the program; `None` for names it does not know.
pub fn bundled(name: &str) -> Option<Series> {
    (name == "champaign").then(champaign).flatten()
}

/// The stamps as packed: first stamp in hours since 1970, temperature in hundredths of a °C, relative humidity in whole %.
pub(crate) fn unpack(packed: &[u8]) -> Option<(i64, Vec<i16>, Vec<u8>)> {
    let (head, body) = packed.split_at_checked(16)?;
    let first = i64::from_le_bytes(head[..8].try_into().ok()?);
    let count = usize::try_from(u64::from_le_bytes(head[8..].try_into().ok()?)).ok()?;
    let mut bytes = Vec::with_capacity(3 * count);
    flate2::read::DeflateDecoder::new(body).read_to_end(&mut bytes).ok()?;
    if bytes.len() != 3 * count {
        return None;
    }
    // Planes: low bytes of the temperature steps, high bytes, humidity steps.
    let (mut t, mut h) = (0_i16, 0_u8);
    let mut temperature = Vec::with_capacity(count);
    let mut humidity = Vec::with_capacity(count);
    for i in 0..count {
        t = t.wrapping_add(i16::from_le_bytes([bytes[i], bytes[count + i]]));
        h = h.wrapping_add(bytes[2 * count + i]);
        temperature.push(t);
        humidity.push(h);
    }
    Some((first, temperature, humidity))
}

fn champaign() -> Option<Series> {
    let place = StationPlace {
        latitude: Some(40.05),
        longitude: Some(-88.37),
        elevation_m: Some(230.0),
        utc_offset_s: Some(-6 * 3600),
    };
    let (first, t, h) = unpack(CHAMPAIGN)?;
    let count = t.len();
    // The record knows some thousand temperatures in a quarter of a million hours, and as many half-way between two of
    // them: the saturation pressure of each is worked out once, by half hundredths of a °C.
    let (low, high) = (i32::from(t.iter().copied().min()?), i32::from(t.iter().copied().max()?));
    let table: Vec<f64> = (2 * low..=2 * high).map(|c| air::saturation_pressure(f64::from(c) / 200.0)).collect();
    let saturation = |t: f64| table[((t * 200.0).round() as i32 - 2 * low).clamp(0, 2 * (high - low)) as usize];
    let vapour = t.iter().zip(&h).map(|(&c, &h)| f64::from(h) / 100.0 * table[2 * (i32::from(c) - low) as usize]);
    let pressure = air::standard_pressure(230.0);
    let grid = Grid {
        // Means over the hour around the stamp (data/README.md).
        stamps: Stamps::MeanCentred,
        minute: 0,
        first,
        vapour: vapour.collect(),
        temperature: t.iter().map(|&c| f64::from(c) / 100.0).collect(),
        pressure: vec![pressure; count],
        flag: vec![MEASURED; count],
    };
    let report = Report {
        stamps: Stamps::MeanCentred,
        files: 1,
        rows: count,
        expected: count,
        humidity: HumidityUse { relative: count, ..HumidityUse::default() },
        pressure: PressureUse { standard: count, ..PressureUse::default() },
        ..Report::default()
    };
    let hours = grid.hours_with(saturation);
    Some(Series::from_both("champaign", place, Kind::Measured, grid, hours, report))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar;

    /// Monthly statistics of the source's own table, worked out from it independently of this program
    /// (`tests/data/computed_monthly_champaign.csv`; means to the printed digit).
    #[test]
    fn monthly_means_are_those_of_the_table() {
        let (first, t, h) = unpack(CHAMPAIGN).unwrap();
        assert_eq!(calendar::show(first), "1995-04-15T00:00Z");
        assert_eq!(t.len(), 251_718);
        let table = include_str!("../tests/data/computed_monthly_champaign.csv");
        let mut months = 0;
        for line in table.lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let month: u32 = cells[1].parse().unwrap();
            let of_month: Vec<usize> =
                (0..t.len()).filter(|i| calendar::date((first + *i as i64).div_euclid(24)).1 == month).collect();
            let n = of_month.len() as f64;
            let mean = of_month.iter().map(|&i| f64::from(t[i]) / 100.0).sum::<f64>() / n;
            let humidity = of_month.iter().map(|&i| f64::from(h[i])).sum::<f64>() / n;
            let dry = of_month.iter().filter(|&&i| h[i] <= 70).count() as f64 / n;
            assert_eq!(of_month.len().to_string(), cells[2], "rows of month {month}");
            let printed = |i: usize| cells[i].parse::<f64>().unwrap();
            assert!((mean - printed(4)).abs() < 0.00051, "month {month}: {mean} °C");
            assert!((humidity - printed(5)).abs() < 0.0051, "month {month}: {humidity} %");
            assert!((dry - printed(7)).abs() < 0.000051, "month {month}: {dry} of the hours");
            months += 1;
        }
        assert_eq!(months, 12);
    }

    #[test]
    fn hours_are_means_of_the_stamps_around_them() {
        let (first, t, h) = unpack(CHAMPAIGN).unwrap();
        let series = bundled("champaign").unwrap();
        assert_eq!((series.start_hour, series.len()), (first, t.len() - 1));
        for i in [0, 1000, 123_456, t.len() - 2] {
            let (a, b) = (f64::from(t[i]) / 100.0, f64::from(t[i + 1]) / 100.0);
            assert!((series.temperature_c[i] - (a + b) / 2.0).abs() < 1e-12);
            let vapour = f64::from(h[i]) / 200.0 * air::saturation_pressure(a)
                + f64::from(h[i + 1]) / 200.0 * air::saturation_pressure(b);
            let humidity = (vapour / air::saturation_pressure((a + b) / 2.0)).min(1.0);
            assert!((series.relative_humidity[i] - humidity).abs() < 1e-12);
        }
        assert!(series.filled.iter().all(|&f| f == MEASURED));
        assert!(bundled("elsewhere").is_none());
    }

    #[test]
    fn the_quick_way_gives_the_hours_of_the_one_conversion() {
        let series = bundled("champaign").unwrap();
        let hours = series.grid.as_ref().unwrap().hours();
        assert_eq!(hours.temperature, series.temperature_c);
        let largest =
            hours.humidity.iter().zip(&series.relative_humidity).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        // The table is entered with a temperature that is rounded in its last bits.
        assert!(largest < 1e-14, "{largest}");
    }

    #[test]
    fn a_damaged_pack_is_refused() {
        assert!(unpack(&CHAMPAIGN[..15]).is_none());
        assert!(unpack(&CHAMPAIGN[..1000]).is_none());
    }

    #[test]
    fn twenty_nine_autumns() {
        let series = bundled("champaign").unwrap();
        assert_eq!(series.years(), (1995..=2023).collect::<Vec<_>>());
        let complete: Vec<i32> = series.coverage().into_iter().filter(|y| y.complete()).map(|y| y.year).collect();
        // The last stamp is midnight of the new year in standard time less one hour: its hour has no second end.
        assert_eq!(complete, (1996..=2022).collect::<Vec<_>>());
        assert_eq!(series.coverage().last().map(|y| y.expected - y.present), Some(1));
        for year in 1995..=2023 {
            let start = calendar::hour(year, 9, 1, 6).unwrap();
            assert!(series.window(start, 24 * 121).is_ok(), "autumn of {year}");
        }
    }
}
