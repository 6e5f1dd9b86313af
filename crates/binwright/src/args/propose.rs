//! What can be typed after `propose`.

use clap::{Args, ValueEnum};
use documents::paper::PaperKind;
use std::path::PathBuf;

/// The papers.
#[derive(Debug, Args)]
pub struct ProposeArgs {
    /// Site file (TOML); `[quote]` makes an offer of the proposal
    pub site: PathBuf,
    /// Folder for the papers; a new or empty one, or one of earlier papers [default: binwright-papers]
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
    /// Size of the paper
    #[arg(long, value_enum, default_value = "letter")]
    pub paper: SheetArg,
    /// Only these papers; all when left out
    #[arg(long, value_enum, value_delimiter = ',')]
    pub only: Vec<PaperArg>,
    /// Leave out the map of depth by moisture and day, and the weighing: faster, and the papers say so
    #[arg(long)]
    pub quick: bool,
}

/// Sizes of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetArg {
    /// US Letter
    Letter,
    /// ISO A4
    A4,
}

/// Papers to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperArg {
    /// What is offered, what it will do, at which risk and cost
    Proposal,
    /// Electric, fuel, structure and roof
    Loads,
    /// Expected readings with blanks
    Commissioning,
    /// One page for the control box
    Card,
    /// Relations, site text, identity, balances
    Annex,
}

impl From<PaperArg> for PaperKind {
    fn from(paper: PaperArg) -> Self {
        match paper {
            PaperArg::Proposal => Self::Proposal,
            PaperArg::Loads => Self::Loads,
            PaperArg::Commissioning => Self::Commissioning,
            PaperArg::Card => Self::Card,
            PaperArg::Annex => Self::Annex,
        }
    }
}
