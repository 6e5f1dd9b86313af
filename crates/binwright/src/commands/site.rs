//! What the commands on a site share: opening it, choosing bins, pricing, progress, writing a report.

use crate::exit::{Failure, say};
use crate::output::Out;
use crate::stop::Stop;
use crate::table::Table;
use crate::words;
use advice::{Tariff, evidence::SourceUse};
use ensemble::Observer;
use equipment::DataDate;
use indicatif::{ProgressBar, ProgressStyle};
use job::{BinJob, FolderLibrary, Job};
use notice::{Diagnostic, Phrase, Place, Remarks, UnitSystem};
use std::io::IsTerminal;
use std::path::Path;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

/// Said wherever fans are chosen or worked.
pub const MACHINES: &str = "caution: lock out power before any work on fans; wiring and motor protection belong to licensed \
                            electricians under the local code";
/// Said wherever stored grain is judged.
pub const ENTRY: &str = "caution: what is computed here is no look into the bin: watch the grain itself; crusted or spoiled \
                         grain buries people, so never go in alone or while unloading gear can run";

/// Opens a site file: its folder is the library beside it.
pub fn open(path: &Path) -> Result<Job, Failure> {
    let name = path.display().to_string();
    let text = job::read_text(path, &name).map_err(|wrong| *wrong)?;
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let library = FolderLibrary::open(folder)?;
    let job = job::open(&text, &name, &library)?.seen_on(today());
    warn(&job);
    Ok(job)
}

/// Today by the clock of the machine, in UTC: the one place where a command on a site asks for it.
pub fn today() -> DataDate {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    job::clock::day_of(i64::try_from(since.as_secs()).unwrap_or(0))
}

/// Where the figures of the equipment come from, as rows of a table of facts; what says nothing of it has none.
pub fn data_rows(bin: &BinJob, table: &mut Table) {
    for piece in bin.pieces() {
        let known = piece.provenance.to_string();
        if !known.is_empty() {
            table.row([format!("data of {}", piece.id), known]);
        }
    }
}

/// Says the warnings of a job on stderr.
pub fn warn(job: &Job) {
    if !job.warnings.0.is_empty() {
        say(&job.warnings.to_string());
    }
}

/// The bins asked for: the named one, or all.
pub fn bins<'a>(job: &'a Job, name: Option<&str>) -> Result<Vec<&'a BinJob>, Failure> {
    let Some(name) = name else { return Ok(job.bins.iter().collect()) };
    let found: Vec<&BinJob> = job.bins.iter().filter(|b| b.name == name).collect();
    if found.is_empty() {
        let names: Vec<&str> = job.bins.iter().map(|b| b.name.as_str()).collect();
        return Err(Diagnostic::error("no-such-bin", format!("bin {name:?} is not in the site"), Place::file("--bin"))
            .help(format!("bins of this site: {}", names.join(", ")))
            .into());
    }
    Ok(found)
}

/// Prices of a job, when it has any.
pub fn tariff(job: &Job) -> Option<Tariff> {
    job.prices.as_ref().map(Tariff::of)
}

/// Notes below a table: remarks in the reader's units.
pub fn notes(remarks: &Remarks, out: &Out) -> String {
    remarks.0.iter().map(|r| format!("note: {}\n", r.says.render(out.units))).collect()
}

/// Whose work the weather is, where it is built in: its licence asks that the notice goes with it.
pub fn weather_origin(job: &Job) -> String {
    let Some(origin) = &job.weather_origin else { return String::new() };
    let mut table = Table::facts();
    table.row(["weather record", origin.place]).row(["", origin.makers]).row(["licence", origin.licence]);
    table.row(["caution", origin.caution]);
    table.render()
}

/// The relations behind a result, each with how well it is confirmed and whether it was used inside its evidence.
pub fn sources(uses: &[SourceUse], out: &Out) -> String {
    let mut text = String::from("\nrelations behind it\n");
    for used in uses {
        text.push_str(&format!("{}\n  {} ({})\n", used.what, used.source.citation, words::status(used.source.status)));
        let outside: Vec<String> = used.outside.iter().map(|says| says.render(out.units)).collect();
        let colon = if outside.is_empty() { "" } else { ": " };
        text.push_str(&format!("  {}{colon}{}\n", words::range(used.in_range), outside.join("; ")));
    }
    text
}

/// A sentence with a capital and a full stop.
pub fn sentence(phrase: &Phrase, units: UnitSystem) -> String {
    let text = phrase.render(units);
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}

/// Shows progress on a terminal and hands Ctrl-C to the engine.
pub struct Watch {
    bar: ProgressBar,
    stop: Stop,
}

impl Watch {
    /// A bar on stderr when that is a terminal, nothing otherwise.
    pub fn new(what: &str, stop: Stop) -> Arc<Self> {
        let bar = if std::io::stderr().is_terminal() { ProgressBar::new(0) } else { ProgressBar::hidden() };
        let style = ProgressStyle::with_template("{msg} [{bar:40}] {pos}/{len}");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()).progress_chars("=> "));
        bar.set_message(what.to_string());
        Arc::new(Self { bar, stop })
    }

    /// Says beside the bar what is going on.
    pub fn say(&self, what: &str) {
        self.bar.set_message(notice::plain(what));
    }

    /// Takes the bar away.
    pub fn clear(&self) {
        self.bar.finish_and_clear();
    }
}

impl Observer for Watch {
    fn progress(&self, done: usize, of: usize) {
        self.bar.set_length(of as u64);
        self.bar.set_position(done as u64);
    }

    fn cancelled(&self) -> bool {
        self.stop.asked()
    }
}
