//! What the fuzz targets share.

use weather::Hints;

/// A place, so that no reader stops for want of one.
pub const HINTS: Hints = Hints {
    latitude: Some(40.0),
    longitude: Some(-88.0),
    elevation_m: Some(230.0),
    utc_offset_s: Some(-6 * 3600),
};

/// Reads rows under a head that makes the content one form; whatever comes, nothing may panic, and what is read is mended
/// and asked for a window as a job would.
pub fn weather_under(head: &str, rows: &[u8]) {
    let mut content = head.as_bytes().to_vec();
    content.extend_from_slice(rows);
    weather(&content);
}

/// Reads a weather file of any form.
pub fn weather(content: &[u8]) {
    let _ = weather::read_records("fuzzed", content, &HINTS);
    if let Ok(series) = weather::read("fuzzed", content, &HINTS) {
        let _ = series.mended();
    }
}
