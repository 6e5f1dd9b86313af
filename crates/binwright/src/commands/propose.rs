//! `propose`: the papers of every bin, as PDF, page and workbook of the same content.

use super::{prepared::Prepared, site};
use crate::{
    args::{ProposeArgs, SheetArg},
    exit::{Ending, Failure, say},
    output::Out,
    table::Table,
};
use advice::dossier::{self, Dossier, Wanted};
use contract::Document;
use contract::papers::{PaperFileJson, PapersJson};
use documents::compose::{self, Source};
use documents::paper::{Paper, PaperKind, file_stem, html, xlsx};
use documents::write::{ReportFile, write_report};
use ensemble::Observer;
use job::{BinJob, Job};
use notice::Remarks;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Where papers go when nobody says.
const FOLDER: &str = "binwright-papers";

/// Writes the papers of a site.
pub fn run(args: &ProposeArgs, out: &mut Out) -> Result<Ending, Failure> {
    let prepared = Prepared::open(&args.site, args.bin.as_deref(), "propose")?;
    let job = Arc::clone(&prepared.job);
    let kinds = kinds(args);
    let wanted = Wanted {
        weighing: !args.quick && kinds.contains(&PaperKind::Proposal),
        limits: !args.quick && kinds.contains(&PaperKind::Card),
    };
    let folder = args.out.clone().unwrap_or_else(|| PathBuf::from(FOLDER));
    let mut names: Vec<String> = Vec::new();
    let (mut files, mut listed, mut remarks) = (Vec::new(), Vec::new(), Remarks::default());
    for (number, bin) in prepared.bins() {
        let watch =
            |part: &str| -> Arc<dyn Observer> { site::Watch::new(&format!("bin {}: {part}", bin.name), prepared.stop) };
        let dossier = dossier::gather(&prepared.engine, &prepared.base, number, &prepared.library, wanted, &watch)?;
        if dossier.proof.partial {
            say("cut short: no papers are written of half a proof");
            return Ok(Ending::Interrupted);
        }
        // Names that look alike once they are plain get a number.
        let plain = file_stem(&bin.name);
        names.push(plain.clone());
        let alike = names.iter().filter(|name| **name == plain).count();
        let name = if alike > 1 { format!("{plain}-{alike}") } else { plain };
        for paper in fill(&job, bin, &dossier, &prepared.text, &kinds, out) {
            let (written, pages) = print(&paper, args.paper)?;
            let stem = format!("{}-{name}", paper.kind.name());
            for (ending, bytes) in written {
                let file = ReportFile::new(format!("{stem}.{ending}"), bytes);
                listed.push(PaperFileJson {
                    bin: bin.name.clone(),
                    paper: paper.kind.name(),
                    path: file.path.clone(),
                    bytes: file.bytes.len(),
                    pages: pages.filter(|_| ending == "pdf"),
                });
                files.push(file);
            }
        }
        remarks.extend(bin.remarks.clone());
    }
    remarks.extend(unset(&job, &prepared.text));
    write_report(&folder, &files).map_err(|error| Failure::from(error.diagnostic()))?;
    if out.json {
        let papers = PapersJson { folder: folder.display().to_string(), files: listed };
        out.json(&Document::new("papers/1", papers, &remarks))?;
    } else {
        out.text(&view(&job, &folder, &listed))?;
        unset(&job, &prepared.text).0.iter().for_each(|remark| say(&remark.says.render(out.units)));
    }
    Ok(Ending::Done)
}

/// Words that the typefaces of the PDF cannot show.
#[cfg(feature = "pdf")]
fn unset(job: &Job, text: &str) -> Remarks {
    compose::unset(job, text, typeset::lacking)
}

#[cfg(not(feature = "pdf"))]
fn unset(_: &Job, _: &str) -> Remarks {
    Remarks::default()
}

fn kinds(args: &ProposeArgs) -> Vec<PaperKind> {
    PaperKind::ALL
        .into_iter()
        .filter(|kind| args.only.is_empty() || args.only.iter().any(|only| PaperKind::from(*only) == *kind))
        .collect()
}

fn fill(job: &Job, bin: &BinJob, dossier: &Dossier, text: &str, kinds: &[PaperKind], out: &Out) -> Vec<Paper> {
    let source = Source {
        job,
        bin,
        dossier,
        text,
        version: job::text_identity(text)[..12].to_string(),
        today: site::today(),
        program: format!("binwright {}", env!("CARGO_PKG_VERSION")),
    };
    compose::papers(&source, kinds, out.units)
}

/// Endings and contents of the files of a paper, and its pages where they are known.
type Printed = (Vec<(&'static str, Vec<u8>)>, Option<usize>);

#[cfg_attr(not(feature = "pdf"), allow(unused_variables))]
fn print(paper: &Paper, sheet: SheetArg) -> Result<Printed, Failure> {
    let mut files = Vec::new();
    #[cfg(feature = "pdf")]
    let pages = {
        let sheet = match sheet {
            SheetArg::Letter => typeset::Sheet::Letter,
            SheetArg::A4 => typeset::Sheet::A4,
        };
        let set = typeset::pdf(paper, sheet).map_err(|error| Failure::Ours(error.to_string()))?;
        files.push(("pdf", set.pdf));
        Some(set.pages)
    };
    #[cfg(not(feature = "pdf"))]
    let pages = None;
    files.push(("html", html::render(paper).into_bytes()));
    files.push(("xlsx", xlsx::write(paper).map_err(|error| Failure::Ours(error.to_string()))?));
    Ok((files, pages))
}

fn view(job: &Job, folder: &Path, listed: &[PaperFileJson]) -> String {
    let mut table = Table::measured(&[("file", ""), ("size", "kB"), ("pages", "")]);
    for file in listed {
        table.row([
            file.path.clone(),
            format!("{:.0}", file.bytes as f64 / 1e3),
            file.pages.map_or(String::new(), |pages| pages.to_string()),
        ]);
    }
    let quote = match &job.quote {
        Some(quote) => format!("quote {}", quote.number),
        None => "no [quote] in the site file: the proposal offers nothing".into(),
    };
    format!("papers in {}\n{}{quote}\n{}\n", folder.display(), table.render(), site::MACHINES)
}
