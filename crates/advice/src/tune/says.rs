//! A found rule in words, as it would be set on a panel, and what it is worth.

use super::{Against, Tuning};
use equipment::{BurnerRule, Control, Rule};
use notice::{Kind, Phrase, Quantity};
use physics::grain::wet_basis;

/// Money or energy for the measure.
pub fn money(tuning: &Tuning, amount: f64) -> String {
    match &tuning.currency {
        Some(code) if tuning.measure == "bushel" => format!("{amount:.3} {code} a bushel"),
        Some(code) => format!("{amount:.2} {code} a tonne"),
        None => format!("{amount:.1} kWh a tonne"),
    }
}

/// A rule as somebody would set it.
pub fn rule(control: &Control) -> Phrase {
    let humidity = |share: f64| Quantity::new(share, Kind::RelativeHumidity);
    let wet = |dry_basis: f64| Quantity::new(wet_basis(dry_basis), Kind::MoistureWetBasis);
    let (template, above) = match control.drying {
        Rule::HumidityWindow { low, high, wet_override, .. } if low <= 0.0 => (
            Phrase::new("fans run while outside air is below {high}{or}{heat}").with("high", humidity(high)),
            wet_override,
        ),
        Rule::HumidityWindow { low, high, wet_override, .. } => (
            Phrase::new("fans run while outside air is between {low} and {high}{or}{heat}")
                .with("low", humidity(low))
                .with("high", humidity(high)),
            wet_override,
        ),
        Rule::EquilibriumWindow { low, high, wet_override, .. } => (
            Phrase::new("fans run while outside air would bring grain to between {low} and {high}{or}{heat}")
                .with("low", wet(low))
                .with("high", wet(high)),
            wet_override,
        ),
        Rule::Clock { hours, wet_override } => (
            Phrase::new("fans run {count} hours of the day{or}{heat}").count("count", hours.count_ones() as usize),
            wet_override,
        ),
        Rule::Off => (Phrase::new("fans stand still{or}{heat}"), None),
        Rule::Continuous | Rule::TemperatureWindow { .. } | Rule::AerationWindow { .. } => {
            (Phrase::new("fans run all the time until the grain is dry{or}{heat}"), None)
        }
    };
    // The blanks of the parts come first, so that the whole is filled in one go.
    let mut phrase = template;
    let or = if above.is_some() { ", and always while the wettest probe reads above {above}" } else { "" };
    let heat = match control.burner {
        BurnerRule::Off => "",
        BurnerRule::FixedRise(_) => "; the burner warms the air by {rise}",
        BurnerRule::Thermostat(_) => "; the burner warms the air to {set}",
        BurnerRule::Humidistat(_) => "; the burner comes on while the plenum is above {damp}",
        BurnerRule::HumidistatWithin { .. } => {
            "; the burner comes on while the plenum is above {damp}, never above {set}"
        }
    };
    phrase.template = phrase.template.replace("{or}", or).replace("{heat}", heat);
    if let Some(above) = above {
        phrase = phrase.with("above", wet(above));
    }
    match control.burner {
        BurnerRule::Off => phrase,
        BurnerRule::FixedRise(rise) => phrase.with("rise", Quantity::new(rise, Kind::TemperatureDifference)),
        BurnerRule::Thermostat(set) => phrase.with("set", Quantity::new(set, Kind::Temperature)),
        BurnerRule::Humidistat(damp) => phrase.with("damp", humidity(damp)),
        BurnerRule::HumidistatWithin { humidity: damp, temperature } => {
            phrase.with("damp", humidity(damp)).with("set", Quantity::new(temperature, Kind::Temperature))
        }
    }
}

/// The sentence of a tuning.
pub fn headline(tuning: &Tuning) -> Phrase {
    let Some(found) = tuning.found else {
        let why = if tuning.partial { "the search was cut short" } else { "no rule is good in any year" };
        return Phrase::new("bin {bin}: {why}").text("bin", &tuning.bin).text("why", why);
    };
    let tried = &tuning.tried[found];
    let mut phrase = rule(&tried.rule.control);
    phrase.template =
        format!("bin {{bin}}: {}; {{cost}}, {{failed}} of {{of}} years failed (found on all of them)", phrase.template);
    phrase
        .text("bin", &tuning.bin)
        .text("cost", money(tuning, tried.score.cost()))
        .count("failed", tried.score.failures())
        .count("of", tried.score.run())
}

/// Whether tuning is worth it at all: against fans that simply run, on years and sensors that did not find the rule.
pub fn worth(tuning: &Tuning) -> Option<Phrase> {
    let continuous = tuning.against.iter().find(|a| tuning.tried[a.other].rule.usual == Some("continuous"))?;
    let (own, other) = continuous.failures;
    Some(Phrase::new(match (own > other || continuous.saves <= 0.0, continuous.chance_of_cost > 0.05) {
        (true, _) => "on years that did not find it, it is no better than fans that run all the time: keep those",
        (false, true) => {
            "on years that did not find it, it is better than fans that run all the time by no more than these years could by chance"
        }
        (false, false) => "on years that did not find it, it is better than fans that run all the time",
    }))
}

/// What the way of finding is worth against a rule of practice.
pub fn against(tuning: &Tuning, against: &Against) -> Phrase {
    let usual = tuning.tried[against.other].rule.usual.unwrap_or_default();
    let saves = match against.saves >= 0.0 {
        true => format!("saves {}", money(tuning, against.saves)),
        false => format!("costs {} more", money(tuning, -against.saves)),
    };
    Phrase::new("against {usual} it {saves} over {years} years, {failed} failed in place of {before}; chance that so much comes of these years alone: cost {cost}, failures {failures}")
        .text("usual", usual)
        .text("saves", saves)
        .count("years", against.years)
        .count("failed", against.failures.0)
        .count("before", against.failures.1)
        .text("cost", crate::weigh::says::chance(against.chance_of_cost))
        .text("failures", crate::weigh::says::chance(against.chance_of_failures))
}
