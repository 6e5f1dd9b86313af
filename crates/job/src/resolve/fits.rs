//! Whether the lots of a bin fit into it.

use super::Site;
use crate::facts::{BinFacts, Filling};
use crate::survey::Survey;
use notice::{Diagnostic, Kind, Phrase, Place, Quantity, Remark, Remarks};

/// Least depth of the first lot, m: half a foot, below which a bed does not hold the air evenly (judgement).
const LEAST_DEPTH: f64 = 0.15;
/// Least depth of a lot on top of another, m: less is lost in a layer (judgement).
const LEAST_ADDED: f64 = 0.01;

impl Site<'_> {
    /// The place where a lot says how much it is.
    pub(super) fn quantity_of(&self, bin: &BinFacts, lot: usize) -> Place {
        let lot = format!("bins.{}.lots[{lot}]", bin.name);
        let keys = ["quantity", "depth"].map(|key| format!("{lot}.{key}"));
        self.at(keys.into_iter().find(|field| self.places.contains_key(field)).unwrap_or(lot))
    }

    /// Whether the lots fit: level to the eave, and under the cone of the crop's repose where nobody levelled the top.
    ///
    /// Heaped grain is modelled as a level bed of its volume, and that is remarked.
    pub(super) fn fits(&self, bin: &BinFacts, surveyed: &Survey, remarks: &mut Remarks) -> Result<(), Box<Diagnostic>> {
        // A film of grain has air without end; nothing said of it would mean anything.
        let mut before = 0.0;
        for (k, lot) in surveyed.lots.iter().enumerate() {
            let depth = lot.depth_after - before;
            before = lot.depth_after;
            let least = if k == 0 { LEAST_DEPTH } else { LEAST_ADDED };
            if depth >= least {
                continue;
            }
            let both = |m: f64| {
                let show = |system| Quantity::new(m, Kind::SmallLength).show(system);
                format!("{} ({})", show(notice::UnitSystem::Us), show(notice::UnitSystem::Si))
            };
            return Err(Box::new(
                Diagnostic::error(
                    "lot-too-small",
                    format!("lot {} of bin {} lies {} deep", k + 1, bin.name, both(depth)),
                    self.quantity_of(bin, k),
                )
                .allowed(format!("must be {} or more", both(least)))
                .help("check the quantity and its unit, and the diameter of the bin"),
            ));
        }
        let heap = if matches!(bin.filling, Filling::Spout | Filling::Cored) {
            surveyed.cone_volume.unwrap_or(0.0)
        } else {
            0.0
        };
        let (volume, level) = (surveyed.volume(), surveyed.volume_to_eave);
        if volume <= level * (1.0 + 1e-9) {
            return Ok(());
        }
        if volume <= level + heap {
            remarks.add(Remark::new(
                "heaped",
                Phrase::new(
                    "{heap} lie heaped above the eave: counted as a level bed of the same volume, {depth} deep",
                )
                .with("heap", Quantity::new(volume - level, Kind::GrainVolume))
                .with("depth", Quantity::new(surveyed.depth(), Kind::Length)),
            ));
            return Ok(());
        }
        let shown = |m3: f64| {
            let bushels = Quantity::new(m3, Kind::GrainVolume).show(notice::UnitSystem::Us);
            format!("{bushels} ({m3:.1} m³)")
        };
        let heaped = if heap > 0.0 { format!(" and {} under a cone above it", shown(heap)) } else { String::new() };
        let at = self.quantity_of(bin, bin.lots.len().saturating_sub(1));
        let found = format!("lots of {} in bin {}", shown(volume), bin.name);
        Err(Box::new(
            Diagnostic::error("lot-too-large", found, at)
                .allowed(format!("the bin holds {} level to the eave{heaped}", shown(level)))
                .help("put less in, or raise the eave"),
        ))
    }
}
