//! Papers written, or that can be printed.

use serde::Serialize;

/// One file of a paper.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PaperFileJson {
    /// Bin.
    pub bin: String,
    /// `proposal`, `loads`, `commissioning`, `card`, `annex`.
    pub paper: &'static str,
    /// Path in the folder.
    pub path: String,
    /// Its size.
    pub bytes: usize,
    /// Pages of a PDF; null for the other files.
    pub pages: Option<usize>,
}

/// Papers written.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PapersJson {
    /// Folder.
    pub folder: String,
    /// Files.
    pub files: Vec<PaperFileJson>,
}
