//! A weighing in sentences: what to buy, and of each other outfit what it was held against, by how much it is worse and how sure
//! that is.

use super::answer::{Answer, Beaten, Shown, Standing};
use super::breaks::{Axis, Because, Break};
use super::race::{FAMILY_LEVEL, Out};
use crate::sentences::cause_says;
use notice::{Kind, Phrase, Quantity};

/// Money for a measure, in words.
pub fn money(answer: &Answer, amount: f64) -> String {
    match &answer.currency {
        Some(code) if answer.measure == "bushel" => format!("{amount:.3} {code} a bushel"),
        Some(code) => format!("{amount:.2} {code} a tonne"),
        None => format!("{amount:.1} kWh a tonne"),
    }
}

/// The sentence of the answer.
pub fn headline(answer: &Answer) -> Phrase {
    let Some(chosen) = answer.chosen else { return nothing(answer) };
    let shown = &answer.outfits[chosen];
    // Cheapest is who is known to be: not where something has no price.
    let least = match (&answer.currency, shown.unpriced) {
        (None, _) => "uses the least electricity",
        (Some(_), true) => "costs the least in what has a price",
        (Some(_), false) => "is the cheapest",
    };
    let sentence = match (answer.goal_reached(), shown.present) {
        (true, true) => {
            "bin {bin}: keep what stands there, {name}: of the outfits that reach the wanted {wanted} % of years it {least}: {cost}, \
             {failed} of {of} years failed"
        }
        (true, false) => {
            "bin {bin}: {name}: of the outfits that reach the wanted {wanted} % of years it {least}: {cost}, {failed} of {of} years \
             failed"
        }
        (false, _) => {
            "bin {bin}: nothing reaches the wanted {wanted} % of years; {name} comes nearest: {cost}, {failed} of {of} years failed"
        }
    };
    let cost = money(answer, shown.score.cost());
    // Where nothing reaches what is wanted no word of the cheapest says that a price is missing.
    let cost = if shown.unpriced && !answer.goal_reached() { format!("{cost} in what has a price") } else { cost };
    Phrase::new(sentence)
        .text("bin", &answer.bin)
        .text("name", &shown.name)
        .text("least", least)
        .text("wanted", format!("{:.0}", 100.0 * answer.wanted))
        .text("cost", cost)
        .count("failed", shown.score.failures())
        .count("of", shown.score.run())
}

/// Where nothing can be chosen.
fn nothing(answer: &Answer) -> Phrase {
    if answer.hopeless.is_empty() {
        return Phrase::new("bin {bin}: no outfit has run all years").text("bin", &answer.bin);
    }
    let first = &answer.outfits[answer.hopeless[0]];
    Phrase::new("bin {bin}: none is good enough: all {n} outfits that ran fail in every one of {of} years ({why})")
        .text("bin", &answer.bin)
        .count("n", answer.hopeless.len())
        .count("of", answer.years.len())
        .text("why", causes(first))
}

/// Why an outfit fails: its causes with how often.
pub fn causes(shown: &Shown) -> String {
    let list: Vec<String> =
        shown.causes().iter().map(|(cause, n)| format!("{} in {n} years", cause_says(*cause))).collect();
    list.join("; ")
}

/// What has no price, so that a cost is the least it can be; nothing where all is priced.
pub fn unpriced(answer: &Answer) -> Option<String> {
    let marked: Vec<&Shown> = answer.outfits.iter().filter(|shown| shown.unpriced).collect();
    if marked.is_empty() || answer.currency.is_none() {
        return None;
    }
    let mut why = Vec::new();
    if marked.iter().any(|shown| shown.first_cost.is_none()) {
        why.push("a piece has no price in [prices.equipment]");
    }
    if !answer.spread && marked.iter().any(|shown| shown.first_cost.is_some_and(|cost| cost > 0.0)) {
        why.push("first costs are not spread over years ([prices.ownership])");
    }
    let years = || marked.iter().flat_map(|shown| shown.score.years.iter().flatten());
    if years().any(|year| year.cost.as_ref().is_some_and(|cost| cost.fuel.is_none())) {
        why.push("fuel has no price");
    }
    let unremedied = |cost: &crate::money::YearCost| cost.remedy.as_ref().is_some_and(|remedy| remedy.amount.is_none());
    if years().any(|year| year.cost.as_ref().is_some_and(unremedied)) {
        why.push("the remedy of a failed year has no price");
    }
    Some(why.join("; "))
}

/// Why an outfit stands where it stands.
pub fn why(answer: &Answer, place: usize) -> Phrase {
    let shown = &answer.outfits[place];
    match &shown.standing {
        Standing::Front => Phrase::new("nothing that ran is both cheaper and surer"),
        Standing::Unknown => Phrase::new("not known: the weighing was cut short"),
        Standing::Hopeless => Phrase::new("not good enough: it fails in every one of {of} years ({why})")
            .count("of", shown.score.run())
            .text("why", causes(shown)),
        Standing::Beaten(by) => beaten(answer, by),
    }
}

fn beaten(answer: &Answer, by: &Beaten) -> Phrase {
    let cost = match by.dearer {
        dearer if dearer >= 0.0 => format!("{} more", money(answer, dearer)),
        dearer => format!("{} less", money(answer, -dearer)),
    };
    let failures = match by.more_failures {
        0 => "failed as often".to_string(),
        1 => "failed in one year more".into(),
        -1 => "failed in one year less".into(),
        more if more > 0 => format!("failed in {more} years more"),
        fewer => format!("failed in {} years less", -fewer),
    };
    let sure = match by.ended {
        Some(Out { certain: true, .. }) => {
            "stopped there: even if every other year went well and cost nothing to run, it could not \
                                            come level"
                .to_string()
        }
        Some(Out { .. }) => format!(
            "stopped there: with all such stops of this list taken together, the chance that one was wrong is {:.0} %",
            100.0 * FAMILY_LEVEL
        ),
        None if by.dearer > 0.0 => {
            format!(
                "the chance that only the weather of these years makes it look dearer is {}",
                chance(by.chance_of_cost)
            )
        }
        None => format!(
            "the chance that only the weather of these years makes it look less sure is {}",
            chance(by.chance_of_failures)
        ),
    };
    Phrase::new("held against {other} in the same {years} years it cost {cost} and {failures}; {sure}")
        .text("other", &answer.outfits[by.by].name)
        .count("years", by.years)
        .text("cost", cost)
        .text("failures", failures)
        .text("sure", sure)
}

/// A chance in a grower's words.
pub fn chance(p: f64) -> String {
    match p {
        p if p < 0.001 => "below 1 in 1000".into(),
        p if p < 0.5 => format!("about 1 in {:.0}", 1.0 / p),
        _ => "one half or more".into(),
    }
}

/// Where the choice changes, and to what.
pub fn breaking(answer: &Answer, at: &Break) -> Phrase {
    let name = |place: Option<usize>| place.map_or("", |place| answer.outfits[place].name.as_str());
    let code = answer.currency.as_deref().unwrap_or("");
    let more = at.to > if price(at.axis) { 1.0 } else { 0.0 };
    let place = match at.axis {
        Axis::Moisture => Phrase::new(match more {
            true => "grain wetter than about {at} (all years run at {from} and {to}; the file says {now}){then}",
            false => "grain drier than about {at} (all years run at {from} and {to}; the file says {now}){then}",
        })
        .with("at", wet(at.now + at.at))
        .with("from", wet(at.now + at.from))
        .with("to", wet(at.now + at.to))
        .with("now", wet(at.now)),
        Axis::Day => {
            let days = |value: f64| format!("{:.0}", value.abs());
            Phrase::new(
                "a first day about {at} days {side} than in the file (all years run at {from} and {to} days){then}",
            )
            .text("at", days(at.at))
            .text("from", days(at.from))
            .text("to", days(at.to))
            .text("side", if more { "later" } else { "earlier" })
        }
        Axis::Electricity => {
            let per_kwh = at.now * 3.6e6;
            Phrase::new("electricity {side} {at} ({times} times the {now} of the file){then}")
                .text("at", format!("{:.3} {code}/kWh", per_kwh * at.at))
                .text("now", format!("{per_kwh:.3}"))
        }
        Axis::Fuel => Phrase::new("fuel {side} {times} times the price of the file{then}"),
        Axis::FirstCost => {
            Phrase::new("a first cost of the choice {side} {at} ({times} times the {now} of the file){then}")
                .text("at", format!("{:.0} {code}", at.now * at.at))
                .text("now", format!("{:.0}", at.now))
        }
    };
    let place = place.text("side", if more { "above" } else { "below" }).text("times", format!("{:.2}", at.at));
    let then = match (at.then, at.because) {
        (None, _) => ": none of the outfits looked at is good enough".to_string(),
        (then, Because::Cheaper) => format!(": {} costs less then", name(then)),
        (then, Because::Surer) => format!(": {} fails too often then, take {}", name(answer.chosen), name(then)),
    };
    place.text("then", then)
}

/// Whether a place on an axis is a factor on a price.
pub fn price(axis: Axis) -> bool {
    matches!(axis, Axis::Electricity | Axis::Fuel | Axis::FirstCost)
}

/// Along what nothing changes, as far as was looked.
pub fn staying(axis: Axis, low: f64, high: f64) -> Phrase {
    match axis {
        Axis::Moisture => Phrase::new(format!("grain from {:+.0} to {:+.0} points", 100.0 * low, 100.0 * high)),
        Axis::Day => Phrase::new(format!("a first day from {low:+.0} to {high:+.0} days")),
        Axis::Electricity => Phrase::new(format!("electricity up to {high:.0} times its price")),
        Axis::Fuel => Phrase::new(format!("fuel up to {high:.0} times its price")),
        Axis::FirstCost => Phrase::new(format!("a first cost up to {high:.0} times its price")),
    }
}

fn wet(moisture: f64) -> Quantity {
    Quantity::new(moisture, Kind::MoistureWetBasis)
}
