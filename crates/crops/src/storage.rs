//! How long a crop keeps: the relations it is judged by, as published and read strictly.

use crate::{capability::Confidence, evidence::Evidence};
use physics::storability::StorageLaw;

/// One storability relation of a crop.
#[derive(Debug, Clone, PartialEq)]
pub struct StorageRow {
    /// Name of the row.
    pub id: String,
    /// The relation.
    pub law: StorageLaw,
    /// What the relation is about, for the sentence that reports it: "dry-matter loss of 0.5 %".
    pub judges: String,
    /// How well it is known for this crop.
    pub confidence: Confidence,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// The relations of a crop. Where a list holds several, the shortest time at each state counts.
///
/// Empty lists mean that storage is not judged, never that the grain is safe.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Storage {
    /// As published.
    pub published: Vec<StorageRow>,
    /// Read strictly; the verdict uses these.
    pub strict: Vec<StorageRow>,
    /// Further relations of the crop that can be chosen by name and judge something else.
    pub offered: Vec<StorageRow>,
}

impl Storage {
    /// Whether the crop can be judged at all.
    pub fn is_judged(&self) -> bool {
        !self.strict.is_empty()
    }

    /// All rows, for looking one up by name.
    pub fn rows(&self) -> impl Iterator<Item = &StorageRow> {
        self.published.iter().chain(&self.strict).chain(&self.offered)
    }
}
