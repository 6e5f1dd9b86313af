//! The readers, and which of them a content calls for.

mod dst;
mod epw;
mod header;
mod isd_lite;
mod lcd;
mod plain;
mod tmy3;
mod typical;

use crate::assemble;
use crate::records::{Hints, Records};
use crate::series::Series;
use crate::text::Text;
use notice::{Diagnostic, Diagnostics, Place};

/// Share of rows that may be unreadable before the file is refused.
const BAD_SHARE: f64 = 0.1;
/// Most lines of a file: two centuries of hours, or thirty-eight years of reports every ten minutes. Each becomes a row
/// and an hour in memory, some 300 bytes, whatever it says (judgement).
pub const MOST_LINES: usize = 2_000_000;

/// Reads a weather file of any form, packed or not, into hourly means.
///
/// `name` is only used in messages. Gaps stay gaps: see [`Series::mended`].
///
/// # Errors
/// One or more diagnostics when the content is of no known form, cut, in daylight-saving time, has no temperature or
/// humidity, or when its elevation or offset from UTC is needed and neither in the file nor in the hints. Lines that cannot
/// be read are left out and told in the report's warnings, unless they are more than a tenth.
pub fn read(name: &str, bytes: &[u8], hints: &Hints) -> Result<Series, Diagnostics> {
    assemble::series(name, read_records(name, bytes, hints)?)
}

/// Reads a weather file as it stands, row by row.
///
/// # Errors
/// As [`read`], except for what only matters to a series.
pub fn read_records(name: &str, bytes: &[u8], hints: &Hints) -> Result<Records, Diagnostics> {
    let text = Text::new(name, bytes)?;
    let lines = text.lines().count();
    if lines > MOST_LINES {
        let found = format!("weather file of {lines} lines");
        return Err(Diagnostics(vec![
            Diagnostic::error("weather-file-too-long", found, Place::file(name))
                .allowed(format!("at most {MOST_LINES} are read: hourly values of two centuries"))
                .help("thin it to hourly values, or split it into years and give the folder"),
        ]));
    }
    let Some((line, first)) = text.lines().find(|(_, l)| !l.starts_with('#')) else {
        let found = Diagnostic::error("weather-file-empty", "empty weather file", Place::file(name));
        return Err(Diagnostics(vec![found]));
    };
    let second = text.lines().nth(1).map_or("", |(_, l)| l);
    let records = if epw::recognise(first) {
        epw::read(name, &text, hints)
    } else if tmy3::recognise(second) {
        tmy3::read(name, &text, hints)
    } else if lcd::recognise(first) {
        lcd::read(name, &text, hints)
    } else if isd_lite::recognise(first) {
        isd_lite::read(name, &text, hints)
    } else if plain::recognise(first) {
        plain::read(name, &text, hints)
    } else {
        let start: String = first.chars().take(40).collect();
        let found = format!("weather file of unknown form, its first line begins {start:?}");
        return Err(Diagnostics(vec![
            Diagnostic::error("weather-form-unknown", found, Place::line(name, line))
                .allowed("must be EPW, TMY3, ISD-Lite, LCD or the plain table")
                .help("the plain table needs a header row such as utc,temp_c,rh_pct"),
        ]));
    }?;
    let total = records.rows.len() + records.bad_rows;
    if records.bad_rows as f64 > BAD_SHARE * total as f64 {
        let found = format!("{} of {total} rows that cannot be read", records.bad_rows);
        let mut all = records.warnings;
        all.0.insert(
            0,
            Diagnostic::error("weather-file-unreadable", found, Place::file(name))
                .allowed("at most a tenth may be left out"),
        );
        return Err(all);
    }
    Ok(records)
}

/// The error of a file whose offset from UTC nobody knows.
fn offset_unknown(name: &str) -> Diagnostics {
    let found = "weather file in local time that does not say its offset from UTC";
    Diagnostics(vec![
        Diagnostic::error("weather-offset-unknown", found, Place::file(name))
            .help("give the offset of the station's standard time, as in utc_offset = \"-06:00\""),
    ])
}
