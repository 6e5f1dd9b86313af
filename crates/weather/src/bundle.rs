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
    // The record knows few thousand temperatures in a quarter of a million hours, so each saturation pressure is
    // worked out once.
    let low = t.iter().copied().min()?;
    let high = t.iter().copied().max()?;
    let saturation: Vec<f64> = (low..=high).map(|c| air::saturation_pressure(f64::from(c) / 100.0)).collect();
    let vapour =
        t.iter().zip(&h).map(|(&c, &h)| f64::from(h) / 100.0 * saturation[(i32::from(c) - i32::from(low)) as usize]);
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
    Some(Series::from_grid("champaign", place, Kind::Measured, grid, report))
}
