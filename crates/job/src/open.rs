//! From the text of a site file to the resolved job in one call.

use crate::job::Job;
use crate::library::Library;
use crate::read_site;
use crate::records::Records;
use crate::resolve::resolve_on;
use notice::{Diagnostic, Diagnostics, Place};

/// Reads a site file, fetches its weather (gaps mended by the stated rules) and resolves it. `file` is its name for
/// messages.
///
/// # Errors
/// All that is wrong with the file, else all that is wrong with the weather, else all that does not fit together.
pub fn open(text: &str, file: &str, library: &dyn Library) -> Result<Job, Diagnostics> {
    open_with(&Records::default(), text, file, library)
}

/// The same with records kept from earlier jobs.
///
/// # Errors
/// As [`open`].
pub fn open_with(records: &Records, text: &str, file: &str, library: &dyn Library) -> Result<Job, Diagnostics> {
    let site = read_site(text, file, library)?;
    let record = match records.of(&site.facts.place, library) {
        Some(record) => record?,
        None => {
            let at = site.places.get("place.weather").cloned().unwrap_or_else(|| Place::line(file, 1));
            let found = format!("weather {:?} that is gone", site.facts.place.weather);
            return Err(Diagnostics(vec![Diagnostic::error("unknown-word", found, at)]));
        }
    };
    let mut job = resolve_on(&site.facts, &site.places, &record, library.crops(), file, None)?;
    job.warnings.0.splice(0..0, site.warnings.0);
    Ok(job)
}
