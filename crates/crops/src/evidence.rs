//! What stands behind a figure: its source, how well it is confirmed, what has to be said with it.

use notice::{Source, Status};

/// The source of one row of data.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Key of the bibliography.
    pub key: String,
    /// The citation the key leads to, and how well the figure is confirmed.
    pub source: Source,
    /// Whose figure it is when the crop has none of its own: shown to the reader, never silent.
    pub lent_from: Option<String>,
    /// What has to be said with the figure.
    pub note: Option<String>,
}

impl Evidence {
    /// How well the figure is confirmed.
    pub fn status(&self) -> Status {
        self.source.status
    }
}

/// A figure with what stands behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    /// The figure, SI.
    pub value: T,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// A figure with the band it may lie in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Banded {
    /// The figure used.
    pub value: f64,
    /// Lowest value that can be defended.
    pub low: f64,
    /// Highest value that can be defended.
    pub high: f64,
}
