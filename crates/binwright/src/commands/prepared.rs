//! A site made ready for those commands that change it and ask all years: opened once, its bins looked at, an engine, Ctrl-C.

use super::site;
use crate::exit::Failure;
use crate::stop::{self, Stop};
use ensemble::{Engine, Observer};
use job::{Base, BinJob, FolderLibrary, Job, Records};
use notice::{Diagnostic, Diagnostics, Remarks};
use std::path::Path;
use std::sync::Arc;

/// A site that changes are made to.
pub struct Prepared {
    /// The site.
    pub base: Base,
    /// Its text.
    pub text: String,
    /// Its job as it stands.
    pub job: Arc<Job>,
    /// What it names.
    pub library: FolderLibrary,
    /// Who computes.
    pub engine: Engine,
    /// Whether Ctrl-C was pressed.
    pub stop: Stop,
    bins: Vec<usize>,
}

impl Prepared {
    /// Opens a site for a command, with the named bin or all of them.
    pub fn open(path: &Path, bin: Option<&str>, command: &str) -> Result<Self, Failure> {
        // Before anything takes long: a signal from here on ends with what is known.
        let stop = stop::on_interrupt()?;
        let name = path.display().to_string();
        let text = job::read_text(path, &name).map_err(|wrong| *wrong)?;
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let library = FolderLibrary::open(folder)?;
        let base = Base::open(&Records::default(), &text, &name, &library)?.seen_on(site::today());
        let job = Arc::clone(base.job());
        site::warn(&job);
        advice::ready::real_years(&job, &format!("`{command}`")).map_err(|wrong| *wrong)?;
        let asked = site::bins(&job, bin)?;
        let wrong: Vec<Diagnostic> =
            asked.iter().filter_map(|bin| advice::ready::some_year(&job, bin).err()).map(|wrong| *wrong).collect();
        if !wrong.is_empty() {
            return Err(Diagnostics(wrong).into());
        }
        let named = |bin: &BinJob| asked.iter().any(|other| other.name == bin.name);
        let bins = (0..job.bins.len()).filter(|&number| named(&job.bins[number])).collect();
        Ok(Self { base, text, job, library, engine: Engine::on_all_processors(), stop, bins })
    }

    /// The bins asked for, with their numbers in the site.
    pub fn bins(&self) -> impl Iterator<Item = (usize, &BinJob)> {
        self.bins.iter().map(|&number| (number, &self.job.bins[number]))
    }

    /// What is to be said of the bins asked for.
    pub fn remarks(&self) -> Remarks {
        let mut remarks = Remarks::default();
        self.bins().for_each(|(_, bin)| remarks.extend(bin.remarks.clone()));
        remarks
    }

    /// Watches one piece of work, with a bar on a terminal.
    pub fn watched<T>(&self, what: &str, work: impl FnOnce(&Arc<dyn Observer>, &site::Watch) -> T) -> T {
        let watch = site::Watch::new(what, self.stop);
        let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
        let done = work(&observer, &watch);
        watch.clear();
        done
    }
}
