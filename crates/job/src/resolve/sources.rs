//! Which publications stand behind a bin.

use crate::evidence::{RestsOn, UsedRelation};
use crops::{Crop, Evidence, IsothermSet, Production, ResistanceRow, StorageRow};
use notice::Source;
use season::StillAir;

/// Relations used, with their sources and the values they rest on.
pub(super) fn of(crop: &Crop, set: &IsothermSet, row: &ResistanceRow, still: &StillAir) -> Vec<UsedRelation> {
    let one = |what: String, source: &Source, rests_on| UsedRelation { what, source: source.clone(), rests_on };
    let mut list = vec![
        one(
            format!("equilibrium {}", set.id),
            &set.evidence.source,
            RestsOn { temperature: Some(set.temperature), humidity: Some(set.humidity), ..RestsOn::default() },
        ),
        one(
            format!("resistance {}", row.id),
            &row.evidence.source,
            RestsOn { velocity: Some(row.velocity), ..RestsOn::default() },
        ),
    ];
    if let Some(line) = crop.bulk_density.first() {
        let rests_on = RestsOn { filled_wb: Some(line.range_wb()), ..RestsOn::default() };
        list.push(one("bulk density".into(), &line.evidence.source, rests_on));
    }
    if let Some(line) = crop.specific_heat.first() {
        let rests_on = RestsOn { moisture_wb: Some(line.range_wb()), ..RestsOn::default() };
        list.push(one("specific heat".into(), &line.evidence.source, rests_on));
    }
    if let Ok(kinetics) = crop.kinetics() {
        let fits = match &kinetics.production {
            Production::Fitted(fit) => vec![fit],
            Production::Bounds { slow, fast } => vec![slow, fast],
        };
        for fit in fits {
            let what = format!("drying rate two-compartment-{}, fitted to {}", fit.id, fit.fitted_to);
            let rests_on = RestsOn { air_temperature: Some(fit.temperature), ..RestsOn::default() };
            list.push(one(what, &fit.evidence.source, rests_on));
        }
    }
    let kept = crop.storage.published.iter().map(|row| ("as published", row));
    for (reading, row) in kept.chain(crop.storage.strict.iter().map(|row| ("strict reading", row))) {
        list.push(stored(reading, row));
    }
    if let StillAir::Rings { latitude: Some(_) } = still {
        list.extend(physics::sun::sources().map(|(what, source)| one(what.into(), &source, RestsOn::default())));
    }
    list
}

fn stored(reading: &str, row: &StorageRow) -> UsedRelation {
    let Evidence { source, .. } = &row.evidence;
    let range = row.law.range();
    UsedRelation {
        what: format!("storage {}, {reading}", row.id),
        source: source.clone(),
        rests_on: RestsOn {
            temperature: Some(range.temperature),
            moisture_wb: Some(range.moisture_wb),
            ..RestsOn::default()
        },
    }
}
