//! Remarks of what harms the crop: air too hot for its use, wet zones, wet steel, heat that is no longer needed.

use crate::operations::Process;
use crate::result::SeasonResult;
use crate::spec::CaseSpec;
use notice::{Kind, Phrase, Quantity, Remark};
use physics::grain::wet_basis;

/// Rise of the wettest tenth above what came in from which a wet zone is spoken of, fraction w.b.: 0.3 points (judgement).
const WET_ZONE: f64 = 0.003;
/// Wet hours from which steel is spoken of (judgement): a night or two.
const WET_HOURS: f64 = 24.0;

pub(super) fn remark(r: &mut SeasonResult, spec: &CaseSpec) {
    let hours = |h: f64| Quantity::new(h * 3600.0, Kind::Hours);
    let mut say = |code: &str, phrase: Phrase| r.remarks.add(Remark::new(code, phrase));
    if let (Some(limit), true) = (spec.operations.protection, r.too_hot_hours > 0.0) {
        say(
            "too-hot",
            Phrase::new(
                "air of up to {met} entered the grain, for {hours} above the {limit} that its use allows; the warmest grain came \
                 to {grain}",
            )
            .with("met", Quantity::new(r.inlet_temperature.1, Kind::Temperature))
            .with("hours", hours(r.too_hot_hours))
            .with("limit", Quantity::new(limit.air, Kind::Temperature))
            .with("grain", Quantity::new(r.temperature_range.1, Kind::Temperature)),
        );
    }
    let risen = wet_basis(r.wettest_met.1) - wet_basis(r.wettest_met.0);
    if risen > WET_ZONE && r.process != Process::Conditioning {
        say(
            "wet-zone",
            Phrase::new(
                "the wettest tenth became wetter by {risen} of moisture than it came in, up to {most}: water moves up ahead of \
                 the front and stays longest in the top",
            )
            .with("risen", Quantity::new(risen, Kind::Fraction))
            .with("most", Quantity::new(wet_basis(r.wettest_met.1), Kind::MoistureWetBasis)),
        );
    }
    if r.condensation.roof > WET_HOURS {
        say(
            "roof-condensation",
            Phrase::new(
                "for {roof} the air leaving the grain had a dew point above the air outside, for {ice} of them in frost: a roof as \
                 cold as that air drips or ices, and ice shuts vents. Clear nights make it worse, draught under the roof better; \
                 neither is counted",
            )
            .with("roof", hours(r.condensation.roof))
            .with("ice", hours(r.condensation.ice)),
        );
    }
    if r.condensation.wall > WET_HOURS {
        say(
            "wall-condensation",
            Phrase::new(
                "for {wall} with the fans at rest the air between the warmest grain could wet a wall or roof as cold as the air \
                 outside: moisture creeps to wall and top centre, where crusts and bridges form. Nobody walks on crusted grain",
            )
            .with("wall", hours(r.condensation.wall)),
        );
    }
    if r.heat_after_target > 0.0 {
        say(
            "heat-after-target",
            Phrase::new(
                "after the mean had come to the target the burner still gave {heat} to the air ({fuel} of fuel): only the wettest \
                 grain, or a stop rule that sees late, asked for it",
            )
            .with("heat", Quantity::new(r.heat_after_target, Kind::Heat))
            .with("fuel", Quantity::new(r.fuel_after_target, Kind::Mass)),
        );
    }
}
