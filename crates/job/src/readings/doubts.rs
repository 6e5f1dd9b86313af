//! What in a set of readings cannot be right whatever the site: it is asked about, never averaged in.

use super::{Readings, Traverse, fields};
use notice::{Diagnostic, Diagnostics, Place};

/// Records everything doubtful; errors stop the work until the text is mended or the field is listed in `confirmed`.
pub(super) fn find(r: &Readings, at: &dyn Fn(&str) -> Place, found: &mut Diagnostics) {
    for field in &r.confirmed {
        if !fields::is_path(field) {
            let text = format!("confirmed names {field:?}, which is no field of a readings file");
            let help = match notice::nearest(field, fields::FIELDS.iter().map(|f| f.path)) {
                Some(near) => format!("did you mean {near:?}?"),
                None => "name the field as the question named it, as \"pressure.plenum\"".into(),
            };
            let wrong = Diagnostic::error("unknown-field", text, at("confirmed"));
            found.add(wrong.help(help));
        }
    }
    let amps = r.motors.iter().any(|m| !m.amps.is_empty());
    if amps && r.volts.is_empty() {
        let help =
            "read the volts between all legs at the same load and add motors.volts: amps alone say nothing of power";
        // No confirmation makes volts of nothing.
        found.add(Diagnostic::error("amps-without-volts", "amps without volts", at("motors.amps")).help(help));
    }
    let mut doubt = |field: &str, code: &str, what: String, help: &str| {
        if !r.is_confirmed(field) {
            let more = format!("{help}; if it is right as it stands, add confirmed = [\"{field}\"] at the top");
            found.add(Diagnostic::error(code, what, at(field)).help(more));
        }
    };
    if let (Some(low), Some(high)) = ends(&r.volts) {
        if high - low > 0.10 * high {
            doubt(
                "motors.volts",
                "volts-apart",
                format!("legs from {low:.0} V to {high:.0} V"),
                "no motor runs on that for long: switch off, call the electrician, read again",
            );
        }
        if let Some(plate) = r.plate_volts
            && !(0.6..=1.4).contains(&(0.5 * (low + high) / plate))
        {
            doubt(
                "motors.volts",
                "volts-of-another-plate",
                format!("{:.0} V on a motor of {plate:.0} V", 0.5 * (low + high)),
                "read between two legs, not from a leg to ground, and look at the plate again",
            );
        }
    }
    if let Some(plenum) = r.plenum_mean()
        && plenum < r.outdoor - 1.0
    {
        let apart = format!("plenum at {plenum:.1} °C with outdoor air at {:.1} °C", r.outdoor);
        if r.burner_lit {
            doubt(
                "air.plenum",
                "plenum-colder-than-outdoors",
                format!("{apart} and the burner lit"),
                "change the two thermometers against each other and read again, in the shade, out of the jet",
            );
        } else {
            doubt(
                "air.plenum",
                "plenum-colder-than-outdoors",
                format!("{apart}: a fan only warms air"),
                "wait until the plenum has taken the temperature of the air, keep the outdoor thermometer in the shade",
            );
        }
    }
    if let (Some(low), Some(high)) = ends(&r.plenum_pressure) {
        if low < 0.0 && high > 0.0 {
            doubt(
                "pressure.plenum",
                "taps-of-both-signs",
                "taps above and below the open air".to_string(),
                "one tube is on the wrong leg of the manometer, or the tap stands in the jet",
            );
        }
        // Taps of one plenum differ by parts, not by factors.
        if high.abs().max(low.abs()) > 8.0 * high.abs().min(low.abs()).max(12.0) {
            doubt(
                "pressure.plenum",
                "taps-of-two-scales",
                format!("taps from {low:.0} Pa to {high:.0} Pa"),
                "was one of them read on another scale, or is its hose pinched or blocked?",
            );
        }
        if let Some(head) = r.headspace_pressure
            && head.abs() > high.abs() + 25.0
        {
            doubt(
                "pressure.headspace",
                "headspace-above-plenum",
                "more pressure above the grain than below it".to_string(),
                "the two readings are exchanged, or one is in another unit",
            );
        }
    }
    if let Some(Traverse::Velocities(list, _)) = &r.traverse
        && list.iter().any(|v| *v > 60.0)
    {
        doubt(
            "traverse.velocities",
            "velocity-of-no-fan",
            "a velocity above 60 m/s".to_string(),
            "write feet a minute as \"1800 ft/min\", metres a second as \"9 m/s\"",
        );
    }
    if let (Some(panel), Some(plenum)) = (r.panel, r.plenum_mean())
        && panel < r.outdoor - 3.0
        && plenum > r.outdoor - 1.0
    {
        doubt(
            "air.panel",
            "panel-colder-than-outdoors",
            format!("the panel shows {panel:.1} °C with outdoor air at {:.1} °C", r.outdoor),
            "is it the plenum's sensor that is shown, and in the same unit?",
        );
    }
    if let Some(set) = r.gas_pressure_set
        && let Some(read) = r.gas_pressure
        && !(0.04..=2.0).contains(&(read / set.max(1e-9)))
    {
        doubt(
            "fuel.gas_pressure",
            "gas-pressure-of-another-unit",
            format!("gas at {:.0} % of the pressure it was set to", 100.0 * read / set.max(1e-9)),
            "is one of the two in inches of water and the other in psi (28 inches to a psi)?",
        );
    }
    if r.fuel.is_some() && !r.burner_lit {
        doubt(
            "fuel.flow",
            "fuel-without-fire",
            "fuel flows while the burner is said to be off".to_string(),
            "write state.burner = \"lit\"; if it is off, shut the tank, use no switch, ventilate and call the gas fitter",
        );
    }
}

/// Smallest and largest.
fn ends(list: &[f64]) -> (Option<f64>, Option<f64>) {
    (list.iter().copied().reduce(f64::min), list.iter().copied().reduce(f64::max))
}
