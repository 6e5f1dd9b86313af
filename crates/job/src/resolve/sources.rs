//! Which publications stand behind a bin.

use crops::{Crop, IsothermSet, ResistanceRow};
use notice::Source;

/// Relations used, with their sources.
pub(super) fn of(crop: &Crop, set: &IsothermSet, row: &ResistanceRow) -> Vec<(String, Source)> {
    let mut list = vec![
        (format!("equilibrium {}", set.id), set.evidence.source.clone()),
        (format!("resistance {}", row.id), row.evidence.source.clone()),
    ];
    if let Some(line) = crop.bulk_density.first() {
        list.push(("bulk density".into(), line.evidence.source.clone()));
    }
    if let Some(line) = crop.specific_heat.first() {
        list.push(("specific heat".into(), line.evidence.source.clone()));
    }
    if let Ok(kinetics) = crop.kinetics() {
        for law in &kinetics.laws {
            list.push((format!("drying rate {}", law.id()), law.source()));
        }
    }
    for row in crop.storage.published.iter().chain(&crop.storage.strict) {
        list.push((format!("storage {}", row.id), row.evidence.source.clone()));
    }
    list
}
