//! A result that lies outside its evidence, said once with how often and how far.

use crate::{phrase::Phrase, source::Source};
use serde::{Deserialize, Serialize};

/// One remark on a result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Remark {
    /// Stable code in kebab case, for programs.
    pub code: String,
    /// The sentence.
    pub says: Phrase,
    /// The evidence it lies outside of, where one is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<Source>,
}

impl Remark {
    /// A remark without a source.
    pub fn new(code: &str, says: Phrase) -> Self {
        Self { code: code.into(), says, source: None }
    }

    /// Names the evidence.
    pub fn from_source(mut self, source: Source) -> Self {
        self.source = Some(source);
        self
    }
}

/// Remarks in order of first appearance, each once.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(transparent)]
pub struct Remarks(pub Vec<Remark>);

impl Remarks {
    /// Adds a remark unless one of the same code and sentence is there.
    pub fn add(&mut self, remark: Remark) {
        if !self.0.iter().any(|r| r.code == remark.code && r.says == remark.says) {
            self.0.push(remark);
        }
    }

    /// Adds all of another list.
    pub fn extend(&mut self, other: Self) {
        other.0.into_iter().for_each(|r| self.add(r));
    }
}
