//! Where the figures of the equipment of a bin come from.

use equipment::Provenance;
use job::BinJob;
use serde::Serialize;

/// Source, date and conditions of the figures of a fan or burner; null where the catalogue does not say.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ProvenanceJson {
    /// The document, test or measurement they were taken from.
    pub source: Option<String>,
    /// Date of the data: `YYYY`, `YYYY-MM` or `YYYY-MM-DD`.
    pub date: Option<String>,
    /// For which conditions they hold and how they were taken.
    pub rating: Option<String>,
}

impl ProvenanceJson {
    /// What a catalogue says.
    pub fn of(provenance: &Provenance) -> Self {
        Self {
            source: provenance.source.clone(),
            date: provenance.date.map(|date| date.to_string()),
            rating: provenance.rating.clone(),
        }
    }
}

/// A fan or burner of a bin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct EquipmentJson {
    /// `fan` or `burner`.
    pub what: &'static str,
    /// Key of the catalogue.
    pub id: String,
    /// Whether it is made up for demonstration.
    pub invented: bool,
    /// Where its figures come from.
    #[serde(flatten)]
    pub provenance: ProvenanceJson,
}

impl EquipmentJson {
    /// Fans and burner of a bin, each once.
    pub fn of(bin: &BinJob) -> Vec<Self> {
        let piece = |piece: job::provenance::Piece<'_>| Self {
            what: piece.what,
            id: piece.id.into(),
            invented: piece.invented,
            provenance: ProvenanceJson::of(piece.provenance),
        };
        bin.pieces().into_iter().map(piece).collect()
    }
}
