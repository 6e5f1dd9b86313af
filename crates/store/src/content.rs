//! Contents: weather files, catalogues and crop files of the user's library, kept by what they say and found by name.

use crate::{Digest, Moment};

/// A name in the user's library: one namespace for each kind.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ContentName {
    /// What it is, in the caller's word: "weather", "catalogue", "crops".
    pub kind: String,
    /// Its name, as sites refer to it.
    pub name: String,
}

impl ContentName {
    /// A name of a kind.
    pub fn new(kind: impl Into<String>, name: impl Into<String>) -> Self {
        Self { kind: kind.into(), name: name.into() }
    }
}

/// A content in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContentLine {
    /// Kind and name.
    pub name: ContentName,
    /// What the name stands for now.
    pub digest: Digest,
    /// Its length in bytes, as it was put.
    pub bytes: u64,
    /// When the name was last given to it.
    pub at: Moment,
}

/// What was removed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Pruned {
    /// How many.
    pub count: u64,
    /// Their length in bytes, as they were put.
    pub bytes: u64,
}
