//! What is known about a crop, and how well: the matrix that keeps a missing relation from being filled silently.

use notice::{Diagnostic, Place, Status};

/// A relation that a computation needs of a crop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Need {
    /// Equilibrium between grain and air.
    Equilibrium,
    /// Resistance to airflow.
    Resistance,
    /// How fast a kernel dries.
    Kinetics,
    /// How long the grain keeps.
    Storability,
    /// Density, specific heat and conductivity.
    Heat,
}

impl Need {
    /// All of them, in the order of the matrix.
    pub const ALL: [Self; 5] = [Self::Equilibrium, Self::Resistance, Self::Kinetics, Self::Storability, Self::Heat];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Equilibrium => "equilibrium",
            Self::Resistance => "resistance",
            Self::Kinetics => "kinetics",
            Self::Storability => "storability",
            Self::Heat => "heat",
        }
    }
}

/// How well a relation is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Confidence {
    /// Nothing is recorded; what needs it is refused.
    Missing,
    /// Borrowed, a range, or a weak recollection.
    Low,
    /// From the literature, not checked against a second publication.
    Medium,
    /// Checked against a published number.
    High,
}

impl Confidence {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Missing => "missing",
            Self::Low => "low",
            Self::Medium => "medium",
            Self::High => "high",
        }
    }

    /// What a row's status is worth where nothing more is said.
    pub(crate) fn of(status: Status, lent: bool) -> Self {
        match status {
            _ if lent => Self::Low,
            Status::Verified => Self::High,
            Status::Seen | Status::Memory | Status::Computed => Self::Medium,
            Status::Judgement | Status::CommonPractice => Self::Low,
        }
    }
}

/// One cell of the matrix.
#[derive(Debug, Clone, PartialEq)]
pub struct Capability {
    /// Which relation.
    pub need: Need,
    /// How well it is known.
    pub confidence: Confidence,
    /// What stands in the cell, in a few words.
    pub says: String,
}

/// A relation was asked for that is not recorded for the crop.
#[derive(Debug, Clone, PartialEq)]
pub struct MissingCapability {
    /// The crop asked.
    pub crop: String,
    /// The relation that is missing.
    pub need: Need,
    /// What exactly was looked for, as in "bulk density".
    pub wanted: String,
    /// What may be done about it.
    pub help: String,
}

impl MissingCapability {
    /// The same as a diagnostic at the place that asked for the crop.
    pub fn diagnostic(&self, at: Place) -> Diagnostic {
        Diagnostic::error("missing-capability", self.to_string(), at).help(self.help.clone())
    }
}

impl std::fmt::Display for MissingCapability {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "no {} is recorded for {} ({})", self.wanted, self.crop, self.need.word())
    }
}

impl std::error::Error for MissingCapability {}
