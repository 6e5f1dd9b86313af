//! The proof in sentences an engineer recognises, with the numbers that carry them. Sampling and model range stand apart.

use crate::money::Tariff;
use crate::proof::{Proof, YearResult};
use crate::range::ModelRange;
use crate::verdict::{Cause, Verdict};
use job::{BinJob, clock};
use notice::{Kind, Phrase, Quantity};

/// One line that says how it ends.
pub fn headline(bin: &BinJob, proof: &Proof, offset: i32) -> Phrase {
    if proof.of() == 0 {
        return Phrase::new("no weather year is complete: nothing can be said");
    }
    let by = proof.years.first().and_then(|y| bin.year(y.year)).map(|c| clock::date(c.programme.by, offset));
    let by = by.map_or(String::new(), |date| date[5..].to_string());
    let template = match (proof.held, proof.failed) {
        (0, 0) => "the {crop} in bin {bin} is dry by {by} and keeps in {met} of {of} weather years seen",
        (0, _) => {
            "the {crop} in bin {bin} is dry by {by} and keeps in {met} of {of} weather years seen; {failed} failed"
        }
        (_, 0) => {
            "the {crop} in bin {bin} is dry by {by} in {met} of {of} weather years seen and is held cold over winter and \
             finished in spring in {held}"
        }
        _ => {
            "the {crop} in bin {bin} is dry by {by} in {met} of {of} weather years seen, held cold over winter and finished \
             in spring in {held}; {failed} failed"
        }
    };
    Phrase::new(template)
        .text("crop", bin.crop_name.clone())
        .text("bin", bin.name.clone())
        .text("by", by)
        .count("met", proof.met)
        .count("of", proof.of())
        .count("held", proof.held)
        .count("failed", proof.failed)
}

/// All sentences below the headline.
pub fn sentences(bin: &BinJob, proof: &Proof, range: Option<&ModelRange>, tariff: Option<&Tariff>) -> Vec<Phrase> {
    let mut says = Vec::new();
    says.extend(causes(proof));
    says.extend(chance(proof));
    says.extend(range.map(model_says).unwrap_or_default());
    says.extend(days(proof));
    says.extend(life(bin, proof));
    says.extend(energy(bin, proof, tariff));
    let unsettled: Vec<String> = proof.years.iter().filter(|y| !y.settled).map(|y| y.year.to_string()).collect();
    if !unsettled.is_empty() {
        says.push(
            Phrase::new("on the edge: the verdict of {years} changes with the fineness of the grid")
                .text("years", unsettled.join(", ")),
        );
    }
    if !proof.left_out.is_empty() {
        says.push(
            Phrase::new("left out for want of complete weather: {years}")
                .text("years", proof.left_out.iter().map(|(y, _)| y.to_string()).collect::<Vec<_>>().join(", ")),
        );
    }
    if proof.partial {
        says.push(Phrase::new("cut short: only the years finished so far are counted"));
    }
    says
}

/// What a cause is called in a sentence.
pub fn cause_says(cause: Cause) -> &'static str {
    match cause {
        Cause::NoAirflow => "the fans could not move air through the grain",
        Cause::StorageLife => "storage life spent before the end",
        Cause::WetPart => "mean reached, but part of the grain too wet",
        Cause::NotDry => "not dry in time",
    }
}

fn fraction(value: f64) -> Quantity {
    Quantity::new(value, Kind::Fraction)
}

fn causes(proof: &Proof) -> Vec<Phrase> {
    [Cause::NoAirflow, Cause::StorageLife, Cause::WetPart, Cause::NotDry]
        .into_iter()
        .filter_map(|cause| {
            let years: Vec<String> = proof
                .years
                .iter()
                .filter(|y| y.verdict == Verdict::Failed(cause))
                .map(|y| y.year.to_string())
                .collect();
            (!years.is_empty()).then(|| {
                Phrase::new("failed in {n}: {cause} ({years})")
                    .count("n", years.len())
                    .text("cause", cause_says(cause))
                    .text("years", years.join(", "))
            })
        })
        .collect()
}

fn chance(proof: &Proof) -> Vec<Phrase> {
    let Some(interval) = &proof.interval else { return Vec::new() };
    let reached = if proof.goal_reached() { "reached" } else { "missed" };
    vec![
        Phrase::new("wanted: {wanted} of years good; seen: {seen}: {reached}")
            .with("wanted", fraction(proof.chance))
            .with("seen", fraction(proof.probability.unwrap_or(0.0)))
            .text("reached", reached),
        Phrase::new(
            "sampling: {of} years alone leave the chance of a good year between {low} and {high} ({method}, {level})",
        )
        .count("of", proof.of())
        .with("low", fraction(interval.low))
        .with("high", fraction(interval.high))
        .text("method", interval.method)
        .with("level", fraction(interval.level)),
    ]
}

fn model_says(range: &ModelRange) -> Vec<Phrase> {
    let lowest = range.entries.iter().min_by(|a, b| a.probability().total_cmp(&b.probability()));
    let highest = range.entries.iter().max_by(|a, b| a.probability().total_cmp(&b.probability()));
    let mut says = Vec::new();
    if let (Some(lowest), Some(highest)) = (lowest, highest) {
        says.push(
            Phrase::new(
                "model: other published or defensible choices, one at a time, give {low} ({lowest}) to {high} ({highest}) \
                 of the years good; as chosen {base}",
            )
            .with("low", fraction(range.low))
            .text("lowest", lowest.name.clone())
            .with("high", fraction(range.high))
            .text("highest", highest.name.clone())
            .with("base", fraction(range.base.probability())),
        );
    }
    if let Some(worst) = &range.worst {
        says.push(
            Phrase::new("model, worst combination ({name}): {share} of the years good")
                .text("name", worst.name.clone())
                .with("share", fraction(worst.probability())),
        );
    }
    says
}

fn days(proof: &Proof) -> Vec<Phrase> {
    let Some(days) = proof.days() else { return Vec::new() };
    let seconds = |d: f64| Quantity::new(d * 86_400.0, Kind::Days);
    vec![
        Phrase::new("of the {n} years that reach the mean, half do within {median} of the first load, nine in ten within {most}")
            .count("n", days.count)
            .with("median", seconds(days.median))
            .with("most", seconds(days.ninetieth)),
    ]
}

fn life(bin: &BinJob, proof: &Proof) -> Vec<Phrase> {
    let Some(life) = proof.life() else {
        return vec![
            Phrase::new("storage is not judged for {crop}: no relation is published, which does not mean it is safe")
                .text("crop", bin.crop_name.clone()),
        ];
    };
    let worst = proof.years.iter().max_by(|a, b| {
        let used = |y: &YearResult| y.result.life_strict.unwrap_or(0.0);
        used(a).total_cmp(&used(b))
    });
    let Some(worst) = worst else { return Vec::new() };
    vec![
        Phrase::new(
            "storage life used to the end by the worst tenth, strict reading: half the years below {median}, the worst {most} \
             ({year}); as published {published} that year",
        )
        .with("median", fraction(life.median))
        .with("most", fraction(life.largest))
        .text("year", worst.year.to_string())
        .with("published", fraction(worst.result.life_published.unwrap_or(0.0))),
    ]
}

fn energy(bin: &BinJob, proof: &Proof, tariff: Option<&Tariff>) -> Vec<Phrase> {
    let Some(energy) = proof.energy() else { return Vec::new() };
    let mut says = Vec::new();
    if let Some(bushels) = bin.survey.base_bushels() {
        let each = |joules: f64| format!("{:.2} kWh", joules / 3.6e6 / bushels);
        says.push(
            Phrase::new(
                "electricity per legal bushel at base moisture: half the years below {median}, nine in ten below {most}",
            )
            .text("median", each(energy.median))
            .text("most", each(energy.ninetieth)),
        );
    }
    let tonnes = bin.survey.wet_mass() / 1000.0;
    says.push(
        Phrase::new("electricity per tonne as filled: half the years below {median}, nine in ten below {most}")
            .text("median", format!("{:.1} kWh", energy.median / 3.6e6 / tonnes))
            .text("most", format!("{:.1} kWh", energy.ninetieth / 3.6e6 / tonnes)),
    );
    if let Some(tariff) = tariff {
        let costs = proof.over(|r| tariff.cost(r).and_then(|c| c.total()));
        if let Some(costs) = costs {
            says.push(
                Phrase::new("energy cost of a season: half the years below {median}, nine in ten below {most}")
                    .text("median", format!("{:.0} {}", costs.median, tariff.currency))
                    .text("most", format!("{:.0} {}", costs.ninetieth, tariff.currency)),
            );
        }
    }
    says
}
