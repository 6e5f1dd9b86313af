//! From the text of a site file to the resolved job in one call.

use crate::job::Job;
use crate::library::Library;
use crate::{read_site, resolve};
use notice::{Diagnostic, Diagnostics, Place};
use weather::Hints;

/// Reads a site file, fetches its weather (gaps mended by the stated rules) and resolves it. `file` is its name for
/// messages.
///
/// # Errors
/// All that is wrong with the file, else all that is wrong with the weather, else all that does not fit together.
pub fn open(text: &str, file: &str, library: &dyn Library) -> Result<Job, Diagnostics> {
    let site = read_site(text, file, library)?;
    let place = &site.facts.place;
    let hints = Hints { elevation_m: Some(place.elevation), utc_offset_s: Some(place.utc_offset), ..Hints::default() };
    let series = match library.weather(&place.weather, &hints) {
        Some(series) => series?.mended(),
        None => {
            let at = site.places.get("place.weather").cloned().unwrap_or_else(|| Place::line(file, 1));
            let found = format!("weather {:?} that is gone", place.weather);
            return Err(Diagnostics(vec![Diagnostic::error("unknown-word", found, at)]));
        }
    };
    let mut job = resolve(&site.facts, &site.places, &series, library.crops(), file)?;
    job.warnings.0.splice(0..0, site.warnings.0);
    Ok(job)
}
