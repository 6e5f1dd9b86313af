//! Specific heat of the dry matter from the published line of the moist grain.

use crate::line::MoistureLine;
use notice::Range;
use physics::grain::{self, DrySpecificHeat};

/// Moistures that farm drying passes through, fraction wet basis: where the match is made and the misfit is read.
pub const WORKING_MOISTURE_WB: Range = Range::new(0.10, 0.25);

/// Matches the published line at the middle of the working moistures that its data cover.
pub(crate) fn dry_heat(line: &MoistureLine) -> DrySpecificHeat {
    let data = line.range_wb();
    let low = WORKING_MOISTURE_WB.low.max(data.low);
    let high = WORKING_MOISTURE_WB.high.min(data.high).max(low);
    grain::dry_specific_heat(&line.polynomial, Range::new(low, high))
}
