//! What else the evidence on a bin allows.

use super::grain::branch_gap;
use crate::facts::Filling;
use crate::job::{JobUncertainty, Kernel, OtherSet};
use crops::{Crop, IsothermSet};

/// Factors on the resistance of the bed: how far grain of one lot packs looser or denser (judgement).
const PACKING: [f64; 2] = [0.8, 1.25];
/// Factors on the unevenness of the air: even, and half as uneven again (judgement).
const UNEVENNESS: [f64; 2] = [0.0, 1.5];

/// The other values that relations and factors might have.
pub(super) fn of(
    crop: &Crop,
    set: &IsothermSet,
    filling: Filling,
    target: f64,
    kinetics: Vec<Kernel>,
) -> JobUncertainty {
    let offset = &crop.adsorption_offset_wb.value;
    JobUncertainty {
        isotherms: crop
            .spread_sets()
            .iter()
            .filter(|s| s.id != set.id)
            .map(|s| OtherSet {
                id: s.id.clone(),
                words: s.words(),
                form: s.form,
                sorption: crop.sorption_heat(&s.form),
            })
            .collect(),
        kinetics,
        packing: PACKING.to_vec(),
        air_spread: if filling == Filling::Uniform { Vec::new() } else { UNEVENNESS.to_vec() },
        gaps: vec![branch_gap(offset.low, target), branch_gap(offset.high, target)],
    }
}
