//! Where a figure comes from and how far that was confirmed.

use serde::{Deserialize, Serialize};

/// How well a figure is confirmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// A published number was reproduced with it.
    Verified,
    /// Read in the source, or in a document quoting it.
    Seen,
    /// Recalled from the named source, text not available for reading.
    Memory,
    /// Our own reading of the evidence.
    Judgement,
    /// Used throughout the trade, no source to name.
    CommonPractice,
    /// Worked out from stated inputs.
    Computed,
}

/// A reference: a key of `docs/bibliography.toml` (or a short citation in full) and a place in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Source {
    /// Citation, short but enough to find the work.
    pub citation: String,
    /// How well the figure taken from it is confirmed.
    pub status: Status,
}

impl Source {
    /// A source from its citation and status.
    pub fn new(citation: impl Into<String>, status: Status) -> Self {
        Self { citation: citation.into(), status }
    }
}
