//! Resistance of a crop to airflow: the constants of the logarithmic law.

use crate::{capability::Confidence, evidence::Evidence};
use notice::Range;
use physics::{direction::HorizontalShare, resistance::LogLaw};

/// One row of constants: pressure gradient = a Q² / ln(1 + b Q), Q the superficial velocity.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistanceRow {
    /// Name of the row.
    pub id: String,
    /// The material as its publication names it.
    pub material: String,
    /// The constants.
    pub law: LogLaw,
    /// Velocities of the data, m/s.
    pub velocity: Range,
    /// A row for very low airflow, which need not join the main row: used only when asked for by name, with packing 1.
    pub low_airflow: bool,
    /// How well it is known.
    pub confidence: Confidence,
    /// What stands behind it.
    pub evidence: Evidence,
}

/// Returns what is published of the resistance of a crop to horizontal air.
pub(crate) fn horizontal_share(crop: &str) -> Option<HorizontalShare> {
    match crop {
        "corn" => Some(HorizontalShare::Corn),
        "wheat-hard" | "wheat-soft" | "wheat-durum" | "sunflower-oil" | "sunflower-confection" => {
            Some(HorizontalShare::Elongated)
        }
        "barley" => Some(HorizontalShare::Barley),
        _ => None,
    }
}
