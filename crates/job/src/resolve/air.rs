//! The air of a bin: its system of fans and losses, and how air spreads over the floor.

use super::Site;
use super::way::Bed;
use crate::facts::{BinFacts, Filling};
use crate::way::Way;
use equipment::{AirSystem, BurnerRule, Outfit};
use notice::{Diagnostic, Diagnostics, Phrase, Remark, Remarks};
use season::ColumnShare;

/// Burners that may warm the air by more than this get ticks of a quarter of an hour, K.
const HOT_RISE: f64 = 10.0;
/// Burners that hold the air warmer than this do too, °C.
const HOT_AIR: f64 = 30.0;

impl Site<'_> {
    /// Fans and losses of a bin, and the way item by item; what does not fit is noted.
    pub(super) fn air_system(
        &self,
        bin: &BinFacts,
        bed: &Bed<'_>,
        remarks: &mut Remarks,
        wrong: &mut Diagnostics,
    ) -> Option<(AirSystem, Way)> {
        let at = || self.at(format!("bins.{}.outfit.fans", bin.name));
        let outfit = match Outfit::new(bin.outfit.fans.clone(), bin.outfit.arrangement) {
            Ok(outfit) => outfit,
            Err(error) => {
                wrong.add(Diagnostic::error("outfit", error.to_string(), at()));
                return None;
            }
        };
        match bed.system(bin, &outfit, remarks) {
            Ok(found) => Some(found),
            Err(error) => {
                wrong.add(Diagnostic::error("air-system", error.to_string(), at()));
                None
            }
        }
    }
}

/// Whether the outfit may warm the air so much that an hour is too long a tick.
pub(super) fn hot(bin: &BinFacts) -> bool {
    bin.outfit.burner.is_some()
        && match bin.outfit.control.burner {
            BurnerRule::Off | BurnerRule::Humidistat(_) => false,
            BurnerRule::FixedRise(rise) => rise > HOT_RISE,
            BurnerRule::Thermostat(set) | BurnerRule::HumidistatWithin { temperature: set, .. } => set > HOT_AIR,
        }
}

/// Columns of a bin by how it was filled.
pub(super) fn shares(filling: Filling, remarks: &mut Remarks) -> Vec<ColumnShare> {
    let columns = match filling {
        Filling::Uniform => ColumnShare::EVEN.to_vec(),
        Filling::Spout => ColumnShare::SPOUT.to_vec(),
        Filling::Levelled | Filling::Cored => ColumnShare::HALF_LEVELLED.to_vec(),
        Filling::LevelledAndCored => ColumnShare::LEVELLED.to_vec(),
    };
    if filling != Filling::Uniform {
        remarks.add(Remark::new(
            "air-shares",
            Phrase::new(
                "uneven air by judgement: {shares} of the mean airflow in a slow, a middle and a fast part of the bin",
            )
            .text("shares", columns.iter().map(|c| format!("{:.2}", c.air)).collect::<Vec<_>>().join(" / ")),
        ));
    }
    columns
}
