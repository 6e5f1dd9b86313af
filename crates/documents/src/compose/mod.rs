//! The papers of a bin, filled from its dossier: one file of filling for each paper, each sentence written once for all printers.

mod annex;
mod card;
mod commissioning;
mod common;
mod cost;
mod loads;
mod plots;
mod proposal;
mod quote;
mod risk;
mod signs;
mod weighed;
pub(crate) mod words;

pub use signs::unset;

use crate::fill::{Results, report_data};
use crate::paper::{Paper, PaperKind};
use crate::report::ReportData;
use crate::shown::Reader;
use advice::Tariff;
use advice::dossier::Dossier;
use equipment::DataDate;
use job::{BinJob, Job};
use notice::UnitSystem;

/// What papers are filled from.
pub struct Source<'a> {
    /// The site.
    pub job: &'a Job,
    /// The bin.
    pub bin: &'a BinJob,
    /// What was worked out.
    pub dossier: &'a Dossier,
    /// Text of the site file.
    pub text: &'a str,
    /// Which version of the text, as the caller names it.
    pub version: String,
    /// The day on which the papers are written; a quote's own date goes before it.
    pub today: DataDate,
    /// Program and version.
    pub program: String,
}

/// A source with what all papers share, ready to be filled from.
pub(crate) struct Desk<'a> {
    of: &'a Source<'a>,
    reader: Reader,
    data: ReportData,
    date: (i32, u8, u8),
    tariff: Option<Tariff>,
}

/// Fills papers in the units of a reader.
pub fn papers(of: &Source<'_>, kinds: &[PaperKind], units: UnitSystem) -> Vec<Paper> {
    let desk = Desk::new(of, units);
    kinds.iter().map(|kind| desk.paper(*kind)).collect()
}

impl<'a> Desk<'a> {
    fn new(of: &'a Source<'a>, units: UnitSystem) -> Self {
        let date = day(of.job.quote.as_ref().and_then(|quote| quote.date).unwrap_or(of.today));
        let tariff = of.job.prices.as_ref().map(Tariff::of);
        let dossier = of.dossier;
        let data = report_data(&Results {
            job: of.job,
            bin: of.bin,
            air: &dossier.air,
            proof: &dossier.proof,
            range: dossier.range.as_ref(),
            season: dossier.season.as_ref().map(|shown| (&shown.result, shown.year, shown.why.to_string())),
            // A paper has a part of its own for what was weighed.
            weighing: None,
            tariff: tariff.as_ref(),
            date: common::written(date),
            program: of.program.clone(),
        });
        Self { of, reader: Reader(units), data, date, tariff }
    }

    fn paper(&self, kind: PaperKind) -> Paper {
        let paper = match kind {
            PaperKind::Proposal => proposal::paper(self),
            PaperKind::Loads => loads::paper(self),
            PaperKind::Commissioning => commissioning::paper(self),
            PaperKind::Card => card::paper(self),
            PaperKind::Annex => annex::paper(self),
        };
        paper.polished()
    }
}

/// A date with the parts that it leaves out taken as the first.
fn day(date: DataDate) -> (i32, u8, u8) {
    (date.year, date.month.unwrap_or(1), date.day.unwrap_or(1))
}
