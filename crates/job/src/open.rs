//! From the text of a site file to the resolved job in one call.

use crate::job::Job;
use crate::library::Library;
use crate::read_site;
use crate::records::{ReadyRecord, Records};
use crate::resolve::resolve_on;
use crate::site::SiteRead;
use notice::{Diagnostic, Diagnostics, Place};
use std::sync::Arc;

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
    let record = record(&site, file, records, library)?;
    let mut job = resolve_on(&site.facts, &site.places, &record, library.crops(), file, None)?;
    job.warnings.0.splice(0..0, site.warnings.0);
    Ok(job)
}

/// The weather record that a site names, ready for its place.
///
/// # Errors
/// All that is wrong with it; that it is gone.
pub(crate) fn record(
    site: &SiteRead,
    file: &str,
    records: &Records,
    library: &dyn Library,
) -> Result<Arc<ReadyRecord>, Diagnostics> {
    let place = &site.facts.place;
    records.of(place, library).unwrap_or_else(|| {
        let at = site.places.get("place.weather").cloned().unwrap_or_else(|| Place::line(file, 1));
        let found = format!("weather {:?} that is gone", place.weather);
        Err(Diagnostics(vec![Diagnostic::error("unknown-word", found, at)]))
    })
}
