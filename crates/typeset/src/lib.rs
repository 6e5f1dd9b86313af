//! Documents on paper: the papers that `documents` fills, set in type and written as PDF; and pictures as PNG.
//!
//! The layout is one committed template; what goes into it travels as data (JSON and SVG), never as source text. Everything comes
//! from memory: no file, no package, no network, no clock. The same paper gives the same bytes. Output is asked to be tagged
//! (PDF/UA-1) and archivable (PDF/A-2a); the library refuses what is neither.

mod data;
mod faces;
mod picture;
mod world;

pub use picture::{PictureError, png};

use documents::paper::Paper;
pub use faces::lacking;
use typst::diag::SourceDiagnostic;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};
use world::Desk;

/// Sizes of paper.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum Sheet {
    /// US Letter, 8.5 by 11 in.
    #[default]
    Letter,
    /// ISO A4, 210 by 297 mm.
    A4,
}

impl Sheet {
    /// The name by which options and the template know it.
    fn name(self) -> &'static str {
        match self {
            Self::Letter => "us-letter",
            Self::A4 => "a4",
        }
    }
}

/// Sizes of type, pt: the usual one, and those a paper of one page goes down to until it fits.
const USUAL: f64 = 10.0;
const ON_ONE_PAGE: [f64; 8] = [10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0];

/// Papers after which the typesetter forgets what it has not used again.
const MEMORY: usize = 4;

/// Why a paper could not be set. Always a fault of ours: no content should bring the template down.
#[derive(Debug, thiserror::Error)]
pub enum TypesetError {
    /// The data could not be written.
    #[error("the content of the paper could not be handed to the typesetter")]
    Data(#[from] serde_json::Error),
    /// The template or the writer of PDF refused it.
    #[error("the typesetter refused the paper: {}", .0.join("; "))]
    Refused(Vec<String>),
}

impl TypesetError {
    fn of(errors: impl IntoIterator<Item = SourceDiagnostic>) -> Self {
        Self::Refused(errors.into_iter().map(|error| error.message.to_string()).collect())
    }
}

/// A paper set.
#[derive(Debug)]
pub struct Set {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// How many pages.
    pub pages: usize,
}

/// Sets a paper and writes it as PDF.
///
/// # Errors
/// See [`TypesetError`].
pub fn pdf(paper: &Paper, sheet: Sheet) -> Result<Set, TypesetError> {
    let sizes: &[f64] = if paper.one_page { &ON_ONE_PAGE } else { &[USUAL] };
    let mut set = None;
    for size in sizes {
        let document = pages(paper, sheet, *size)?;
        let fits = !paper.one_page || document.pages().len() <= 1;
        set = Some(document);
        if fits {
            break;
        }
    }
    let Some(document) = set else { return Err(TypesetError::Refused(vec!["no size of type".into()])) };
    let standards = PdfStandards::new(&[PdfStandard::Ua_1, PdfStandard::A_2a])
        .map_err(|error| TypesetError::Refused(vec![error.message().to_string()]))?;
    let options = PdfOptions { standards, ..PdfOptions::default() };
    let pdf = typst_pdf::pdf(&document, &options).map_err(TypesetError::of)?;
    Ok(Set { pdf, pages: document.pages().len() })
}

fn pages(paper: &Paper, sheet: Sheet, size: f64) -> Result<PagedDocument, TypesetError> {
    let desk = Desk::new(data::files(paper, sheet.name(), size)?);
    let document = typst::compile::<PagedDocument>(&desk).output.map_err(TypesetError::of);
    // What the typesetter remembers of earlier papers would grow for as long as a server lives.
    typst::comemo::evict(MEMORY);
    document
}
