//! The verbs of the field: readings beside a running fan, and what they mean.

pub mod commission;
pub mod diagnose;
pub mod outage;

use super::site;
use crate::args::ReadingsOf;
use crate::exit::{Failure, say};
use advice::field::{Setup, Urgent};
use contract::field::words::urgent_says;
use job::readings::{ReadingsRead, read_readings};
use job::{BinJob, Job};
use notice::{Diagnostic, Place};
use std::path::Path;

/// A readings file with its name for messages and its text.
pub struct File {
    /// Name.
    pub name: String,
    /// Text.
    pub text: String,
    /// What it says.
    pub read: ReadingsRead,
}

/// Reads a readings file.
pub fn readings(path: &Path) -> Result<File, Failure> {
    let name = path.display().to_string();
    let text = job::read_text(path, &name).map_err(|wrong| *wrong)?;
    let read = read_readings(&text, &name)?;
    if !read.warnings.0.is_empty() {
        say(&read.warnings.to_string());
    }
    Ok(File { name, text, read })
}

/// What must be acted on at once, before anything else is said.
pub fn urgent(found: &[Urgent]) -> String {
    let lines: String = found.iter().map(|one| format!("ACT NOW: {}.\n", urgent_says(*one))).collect();
    if lines.is_empty() { lines } else { format!("{lines}\n") }
}

/// Site and readings of a command.
pub fn opened(of: &ReadingsOf) -> Result<(Job, File), Failure> {
    Ok((site::open(&of.site)?, readings(&of.readings)?))
}

/// The bin that readings are of: the option's, the file's, or the only one.
pub fn bin<'j>(job: &'j Job, option: Option<&str>, file: &File) -> Result<&'j BinJob, Failure> {
    let named = option.or(file.read.readings.bin.as_deref());
    if let (Some(option), Some(own)) = (option, file.read.readings.bin.as_deref())
        && option != own
    {
        let at = file.read.places.get("bin").cloned().unwrap_or_else(|| Place::file(&file.name));
        let found = format!("readings of bin {own:?} for bin {option:?}");
        return Err(Diagnostic::error("other-bin", found, at)
            .help("leave out --bin, or mend the name in the file")
            .into());
    }
    if let Some(own) = file.read.readings.bin.as_deref().filter(|own| !job.bins.iter().any(|b| b.name == **own)) {
        let at = file.read.places.get("bin").cloned().unwrap_or_else(|| Place::file(&file.name));
        let names: Vec<&str> = job.bins.iter().map(|b| b.name.as_str()).collect();
        return Err(Diagnostic::error("no-such-bin", format!("bin {own:?} is not in the site"), at)
            .help(format!("bins of this site: {}", names.join(", ")))
            .into());
    }
    if named.is_none() && job.bins.len() > 1 {
        let names: Vec<&str> = job.bins.iter().map(|b| b.name.as_str()).collect();
        return Err(Diagnostic::error("bin-not-named", "readings that name no bin", Place::file(&file.name))
            .help(format!("write bin = \"{}\" at the top, or give --bin; bins: {}", names[0], names.join(", ")))
            .into());
    }
    let bins = site::bins(job, named)?;
    bins.first().copied().ok_or_else(|| Failure::Ours("a site without bins passed its check".into()))
}

/// Readings put to their bin.
pub fn setup<'a>(job: &'a Job, bin: &'a BinJob, file: &'a File) -> Result<Setup<'a>, Failure> {
    Ok(Setup::of(bin, job.place.elevation, &file.read.readings, &file.read.places, &file.name)?)
}
