//! Remarks that follow from what a season met.

mod process;
mod protecting;

use super::HOUR;
use crate::operations::StopRule;
use crate::result::SeasonResult;
use crate::spec::{CarryOver, CaseSpec, StillAir};
use notice::{Kind, Phrase, Quantity, Remark};
use physics::grain::wet_basis;

/// Remarks that follow from what was met.
pub(super) fn remark(r: &mut SeasonResult, spec: &CaseSpec) {
    let hours = |h: f64| Quantity::new(h * HOUR, Kind::Hours);
    let mut say = |code: &str, phrase: Phrase| r.remarks.add(Remark::new(code, phrase));
    let given_up =
        spec.programme.carry_over == CarryOver::Never && r.stopped_at.is_none() && r.ended_at > spec.programme.by;
    if let (Some(rings), StillAir::Rings { latitude }) = (r.rings, spec.bin.still) {
        let sun = if latitude.is_some() {
            "sun on wall and roof is estimated from the swing of temperature of each day"
        } else {
            "sun is not counted, for the weather record has no latitude"
        };
        say(
            "still-air-rings",
            Phrase::new(
                "with the fan off heat moved in rings for {hours}: grain from {low} to {high} was met. {sun}; the south \
                 side runs warmer than the mean round the bin, which is what is counted. No natural convection, no moisture that \
                 migrates with it to the top; storage life is counted at the mean of each part of the bin, not ring by ring",
            )
            .with("hours", hours(rings.hours))
            .with("low", Quantity::new(rings.coldest, Kind::Temperature))
            .with("high", Quantity::new(rings.warmest, Kind::Temperature))
            .text("sun", sun),
        );
    } else if r.ended_at > r.stopped_at.unwrap_or(i64::MAX) || r.suspended_at.is_some() || given_up {
        say(
            "still-air",
            Phrase::new(
                "with the fan off heat leaves by conduction along the column and through one wall node; no sun on the wall, no \
                 natural convection: no figures for a warm spring follow from this",
            ),
        );
    }
    if given_up {
        say(
            "given-up",
            Phrase::new("drying was given up at the date of the goal; the grain was cooled and held as it was"),
        );
    }
    if let (Some(stopped), false, false) = (r.stopped_at, r.stop_rule == StopRule::Ideal, r.dry_at_stop) {
        let days = |hours: i64| Quantity::new(hours as f64 * HOUR, Kind::Days);
        say(
            "stopped-wet",
            Phrase::new("drying was stopped after {days} by a rule that saw the grain as dry; it was not")
                .with("days", days(stopped - r.started_at)),
        );
    }
    process::remark(r, spec);
    protecting::remark(r, spec);
    let mut say = |code: &str, phrase: Phrase| r.remarks.add(Remark::new(code, phrase));
    if r.waited_hours > 0.0 {
        say(
            "layers-waited",
            Phrase::new("loads waited {hours} for the layer below to dry; they came as they were said to be, neither drier nor older")
                .with("hours", hours(r.waited_hours)),
        );
    }
    if r.refused > 0.0 && spec.operations.batches.is_none() {
        say(
            "layers-refused",
            Phrase::new("{mass} of dry matter never came into the bin: the layer below was not dry in time")
                .with("mass", Quantity::new(r.refused, Kind::Mass)),
        );
    }
    if let Some(drawn) = r.drawn.as_ref().filter(|_| spec.operations.counterflow.is_some()) {
        say(
            "drawn",
            Phrase::new(
                "{mass} of dry matter was drawn from the floor to {to} at {moisture} and {temperature}: there it has still to be \
                 cooled, which is not counted here. Grain that flows buries whoever stands on it",
            )
            .with("mass", Quantity::new(drawn.dry_matter, Kind::Mass))
            .text("to", drawn.to.clone())
            .with("moisture", Quantity::new(wet_basis(drawn.mean_moisture), Kind::MoistureWetBasis))
            .with("temperature", Quantity::new(drawn.mean_temperature, Kind::Temperature)),
        );
    }
    if r.stirring_rounds > 0 {
        say(
            "stirring",
            Phrase::new(
                "stirring is counted as mixing all that the augers reach, up and down only; what it does to the resistance of the \
                 bed is not counted. Never enter a bin with a stirring machine or an unloader that is not locked out",
            ),
        );
    }
    if r.air.unstable > 0.0 {
        say("stall", Phrase::new(
                "a fan worked left of its peak for {hours}: it surges there, and the airflow counted cannot be relied on",
            ).with("hours", hours(r.air.unstable)));
    }
    if r.air.held > 0.0 {
        say(
            "below-curve",
            Phrase::new(
                "a fan met less pressure than its curve begins with for {hours}: the airflow of its first point was counted",
            )
            .with("hours", hours(r.air.held)),
        );
    }
    if r.air.beyond > 0.0 {
        say(
            "beyond-curve",
            Phrase::new("the fans could not hold the pressure for {hours}: no airflow was counted")
                .with("hours", hours(r.air.beyond)),
        );
    }
    if r.air.overload > 0.0 {
        say(
            "overload",
            Phrase::new("a motor ran above its rating times service factor for {hours}")
                .with("hours", hours(r.air.overload)),
        );
    }
    if r.air.outside_resistance > 0.0 {
        say(
            "resistance-range",
            Phrase::new("the air velocity in the grain lay outside the evidence of the resistance law for {hours}")
                .with("hours", hours(r.air.outside_resistance)),
        );
    }
    if r.air.above_humidity_cap > 0.0 {
        let cap = spec.grain.column.humidity_cap;
        say(
            "humidity-cap",
            Phrase::new(
                "air above {cap} relative humidity entered the grain for {hours}: equilibrium was taken at {cap}",
            )
            .with("cap", Quantity::new(cap, Kind::RelativeHumidity))
            .with("hours", hours(r.air.above_humidity_cap)),
        );
    }
    if r.burner_short_hours > 0.0 {
        say(
            "burner-short",
            Phrase::new("the burner could not give what was asked for {hours}")
                .with("hours", hours(r.burner_short_hours)),
        );
    }
    for law in &spec.grain.group.strict {
        let range = law.range();
        let (low, high) = (wet_basis(r.moisture_range.0), wet_basis(r.moisture_range.1));
        if high > range.moisture_wb.high || low < range.moisture_wb.low {
            r.remarks.add(
                Remark::new(
                    "storage-range",
                    Phrase::new("storage: grain between {low} and {high} was met, which a storage relation does not cover wholly")
                        .with("low", Quantity::new(low, Kind::MoistureWetBasis))
                        .with("high", Quantity::new(high, Kind::MoistureWetBasis)),
                )
                .from_source(law.source()),
            );
        }
    }
    if r.residual.0 > 1e-9 || r.residual.1 > 1e-9 {
        r.remarks.add(Remark::new("balance", Phrase::new("a balance of water or energy did not close to 1e-9")));
    }
}
