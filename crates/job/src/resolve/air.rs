//! The air of a bin: its system of fans and losses, and how air spreads over the floor.

use super::Site;
use crate::facts::{BinFacts, Filling};
use equipment::{AirSystem, BurnerRule, Floor, Loss, Outfit, PressureBudget, Vents};
use notice::{Diagnostic, Diagnostics, Phrase, Remark, Remarks};
use season::ColumnShare;

/// Vents are taken as sharp-edged openings.
const VENT_DISCHARGE: f64 = 0.62;
/// Burners that may warm the air by more than this get ticks of a quarter of an hour, K.
const HOT_RISE: f64 = 10.0;
/// Burners that hold the air warmer than this do too, °C.
const HOT_AIR: f64 = 30.0;

impl Site<'_> {
    /// Fans and losses of a bin; what does not fit is noted.
    pub(super) fn air_system(
        &self,
        bin: &BinFacts,
        porosity: f64,
        area: f64,
        wrong: &mut Diagnostics,
    ) -> Option<AirSystem> {
        let at = || self.at(format!("bins.{}.outfit.fans", bin.name));
        let outfit = match Outfit::new(bin.outfit.fans.clone(), bin.outfit.arrangement) {
            Ok(outfit) => outfit,
            Err(error) => {
                wrong.add(Diagnostic::error("outfit", error.to_string(), at()));
                return None;
            }
        };
        let budget = PressureBudget {
            floor: Some(Floor { open_fraction: bin.floor_opening, grain_porosity: porosity, area }),
            transition: bin.transition.map_or(Loss::None, |(coefficient, area)| Loss::OnVelocity { coefficient, area }),
            vents: bin.vent_area.map(|area| Vents { area, discharge_coefficient: VENT_DISCHARGE }),
            leakage: bin.leakage,
        };
        let direction = if bin.outfit.suction { equipment::Direction::Suction } else { equipment::Direction::Pressure };
        match AirSystem::new(outfit, budget, area, direction) {
            Ok(system) => Some(system),
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
