//! The proof in sentences an engineer recognises, with the numbers that carry them. Sampling and model range stand apart.

use crate::money::Tariff;
use crate::proof::{Distribution, Proof, YearResult, Years};
use crate::range::ModelRange;
use crate::verdict::{Cause, Verdict};
use job::{BinJob, clock};
use notice::{Kind, Phrase, Quantity};
use physics::grain::wet_basis;
use season::Process;

/// One line that says how it ends.
pub fn headline(bin: &BinJob, proof: &Proof, offset: i32) -> Phrase {
    if proof.of() == 0 && proof.partial {
        return Phrase::new("cut short before the first weather year was done: nothing can be said yet");
    }
    if proof.of() == 0 {
        return Phrase::new("no weather year is complete: nothing can be said");
    }
    let by = proof.years.first().and_then(|y| bin.year(y.year)).map(|c| clock::date(c.programme.by, offset));
    let by = by.map_or(String::new(), |date| day_and_month(&date));
    let template = match (proof.held, proof.failed) {
        (0, 0) => "the {crop} in bin {bin} is dry by {by} and keeps in all {of} weather years seen",
        (0, _) => {
            "the {crop} in bin {bin} is dry by {by} and keeps in {met} of {of} weather years seen; {failed} failed"
        }
        (_, 0) => {
            "the {crop} in bin {bin} is dry by {by} and keeps in {met} of {of} weather years seen; in {held} it is held cold \
             over winter and finished in spring"
        }
        _ => {
            "the {crop} in bin {bin} is dry by {by} and keeps in {met} of {of} weather years seen; in {held} it is held cold \
             over winter and finished in spring; {failed} failed"
        }
    };
    Phrase::new(template)
        .text("crop", short_name(&bin.crop_name))
        .text("bin", bin.name.clone())
        .text("by", by)
        .count("met", proof.met)
        .count("of", proof.of())
        .count("held", proof.held)
        .count("failed", proof.failed)
}

/// The crop as a sentence names it: its name up to the first comma ("rough rice, long grain" is rough rice).
pub fn short_name(name: &str) -> &str {
    name.split(',').next().unwrap_or(name)
}

/// `2004-12-15` as "15 Dec"; anything else as it is.
fn day_and_month(date: &str) -> String {
    const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let mut parts = date.split('-').skip(1).map(|part| part.parse::<usize>().unwrap_or(0));
    match (parts.next().and_then(|month| MONTHS.get(month.wrapping_sub(1))), parts.next()) {
        (Some(month), Some(day)) => format!("{day} {month}"),
        _ => date.to_string(),
    }
}

/// What a sentence of a verdict is about, so that a page can choose what carries it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// How it ends, in one line.
    Headline,
    /// The chance wanted against the years seen.
    Goal,
    /// Why years failed.
    Failures,
    /// Good years that came near failing.
    Close,
    /// What few years leave open.
    Sampling,
    /// What the model leaves open.
    Model,
    /// When the grain is dry.
    Days,
    /// Storage life used.
    Life,
    /// Weight lost by drying below the goal.
    Overdrying,
    /// Energy and what it costs.
    Energy,
    /// Years whose verdict hangs on the grid.
    Unsettled,
    /// Years without weather.
    LeftOut,
    /// An answer that was cut short.
    Partial,
}

impl Topic {
    /// The topic as documents write it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Headline => "headline",
            Self::Goal => "goal",
            Self::Failures => "failures",
            Self::Close => "close",
            Self::Sampling => "sampling",
            Self::Model => "model",
            Self::Days => "days",
            Self::Life => "life",
            Self::Overdrying => "overdrying",
            Self::Energy => "energy",
            Self::Unsettled => "unsettled",
            Self::LeftOut => "left-out",
            Self::Partial => "partial",
        }
    }
}

/// All sentences below the headline.
pub fn sentences(bin: &BinJob, proof: &Proof, range: Option<&ModelRange>, tariff: Option<&Tariff>) -> Vec<Phrase> {
    by_topic(bin, proof, range, tariff).into_iter().map(|(_, says)| says).collect()
}

/// The same, each with what it is about.
pub fn by_topic(
    bin: &BinJob,
    proof: &Proof,
    range: Option<&ModelRange>,
    tariff: Option<&Tariff>,
) -> Vec<(Topic, Phrase)> {
    fn about(topic: Topic, says: impl IntoIterator<Item = Phrase>) -> impl Iterator<Item = (Topic, Phrase)> {
        says.into_iter().map(move |says| (topic, says))
    }
    let mut says = Vec::new();
    says.extend(about(Topic::Goal, goal(proof)));
    says.extend(about(Topic::Failures, causes(proof)));
    says.extend(about(Topic::Close, close(bin, proof)));
    says.extend(about(Topic::Sampling, sampling(proof)));
    says.extend(about(Topic::Model, range.map(|range| model_says(range, proof)).unwrap_or_default()));
    says.extend(about(Topic::Days, days(proof)));
    says.extend(about(Topic::Life, life(bin, proof)));
    says.extend(about(Topic::Overdrying, overdrying(bin, proof)));
    says.extend(about(Topic::Energy, energy(bin, proof, tariff)));
    let unsettled: Vec<String> = proof.years.iter().filter(|y| !y.settled).map(|y| y.year.to_string()).collect();
    if !unsettled.is_empty() {
        says.push((
            Topic::Unsettled,
            Phrase::new("on the edge: the verdict of {years} changes with the fineness of the grid")
                .text("years", unsettled.join(", ")),
        ));
    }
    if !proof.left_out.is_empty() {
        says.push((
            Topic::LeftOut,
            Phrase::new("left out for want of complete weather: {years}")
                .text("years", proof.left_out.iter().map(|(y, _)| y.to_string()).collect::<Vec<_>>().join(", ")),
        ));
    }
    if proof.partial {
        says.push((
            Topic::Partial,
            Phrase::new("cut short: only what was finished is counted, {of} of {all} years")
                .count("of", proof.of())
                .count("all", bin.years.len()),
        ));
    }
    says
}

/// What a cause is called in a sentence.
pub fn cause_says(cause: Cause) -> &'static str {
    match cause {
        Cause::NoAirflow => "fans stalled or beyond their curve for most of the time",
        Cause::StorageLife => "storage life spent before the end",
        Cause::WetPart => "mean reached, but part of the grain too wet",
        Cause::NotDry => "not dry in time",
        Cause::NotCold => "not as cold in time as its last stage of cooling wants",
        Cause::NotWetted => "not wetted to the goal in time, or too wet in part",
        Cause::TooHot => "air hotter than the use of the grain allows",
    }
}

fn fraction(value: f64) -> Quantity {
    Quantity::new(value, Kind::Fraction)
}

fn causes(proof: &Proof) -> Vec<Phrase> {
    Cause::ALL
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

/// Share of the storage life allowed above which a good year was a near miss (judgement).
const NEAR: f64 = 0.9;

/// Good years that came near failing: a count of good years alone hides them.
fn close(bin: &BinJob, proof: &Proof) -> Option<Phrase> {
    let near: Vec<String> = proof
        .years
        .iter()
        .filter(|y| y.verdict.good())
        .filter(|y| {
            let allowed = bin.year(y.year).map_or(1.0, |case| case.programme.life_allowed);
            y.result.life_strict.is_some_and(|used| used > NEAR * allowed)
        })
        .map(|y| y.year.to_string())
        .collect();
    (!near.is_empty()).then(|| {
        Phrase::new("close: {n} of the good years use more than {near} of the storage life allowed ({years})")
            .count("n", near.len())
            .with("near", fraction(NEAR))
            .text("years", near.join(", "))
    })
}

fn goal(proof: &Proof) -> Option<Phrase> {
    proof.probability?;
    let reached = if proof.goal_reached() { "reached" } else { "missed" };
    Some(
        Phrase::new(
            "goal: good in {wanted} of years (dry in time, or held and finished in spring); seen: {good} of {of}; {reached}",
        )
        .with("wanted", fraction(proof.chance))
        .count("good", proof.met + proof.held)
        .count("of", proof.of())
        .text("reached", reached),
    )
}

/// Shares of the years seen. All of few years are no certainty, and "100 %" reads like one: that share is told in words.
trait Share {
    /// Fills a place of the template with a share of the years seen.
    fn share(self, name: &str, share: f64) -> Self;
}

impl Share for Phrase {
    fn share(self, name: &str, share: f64) -> Self {
        if share < 1.0 { self.with(name, fraction(share.min(0.99))) } else { self.text(name, "every year seen") }
    }
}

fn sampling(proof: &Proof) -> Option<Phrase> {
    let interval = proof.interval.as_ref()?;
    Some(
        Phrase::new(
            "few years: {of} leave the chance of a good year anywhere between {low} and {high} ({method}, {level})",
        )
        .count("of", proof.of())
        .with("low", fraction(interval.low))
        .with("high", fraction(interval.high))
        .text("method", interval.method)
        .with("level", fraction(interval.level)),
    )
}

fn model_says(range: &ModelRange, proof: &Proof) -> Vec<Phrase> {
    let lowest = range.entries.iter().min_by(|a, b| a.probability().total_cmp(&b.probability()));
    let highest = range.entries.iter().max_by(|a, b| a.probability().total_cmp(&b.probability()));
    let mut says = Vec::new();
    if range.low >= 1.0 {
        says.push(Phrase::new(
            "other models: with each of the other choices that the evidence allows, one at a time, every year seen stays good",
        ));
    } else if let (Some(lowest), Some(highest)) = (lowest, highest) {
        says.push(
            Phrase::new(
                "other models: other choices that the evidence allows, one at a time, give from {low} good years (with \
                 {lowest}) to {high} (with {highest}); as chosen {base}",
            )
            .with("low", fraction(range.low))
            .text("lowest", lowest.says())
            .share("high", range.high)
            .text("highest", highest.says())
            .share("base", range.base.probability()),
        );
    }
    if let Some(share) = proof.probability.filter(|share| (share - range.base.probability()).abs() > 1e-9) {
        says.push(
            Phrase::new(
                "the choices were compared on one coarser grid, where the share of good years as chosen is {base} and not \
                 {share}: read their differences, not their level",
            )
            .share("base", range.base.probability())
            .share("share", share),
        );
    }
    if let Some(worst) = &range.worst {
        let template = match worst.probability() < 1.0 {
            true => "the worst of them together give {share} good years: {name}",
            false => "the worst of them together leave {share} good: {name}",
        };
        says.push(Phrase::new(template).text("name", worst.name.clone()).share("share", worst.probability()));
    }
    says
}

fn days(proof: &Proof) -> Vec<Phrase> {
    let Some(days) = proof.days(Years::All) else { return Vec::new() };
    vec![
        Phrase::new(
            "{n} of {of} years reach the target mean moisture: half of these within {median} days of the first load, nine in \
             ten within {most} days",
        )
        .count("n", days.count)
        .count("of", proof.of())
        .text("median", format!("{:.0}", days.median))
        .text("most", format!("{:.0}", days.ninetieth)),
    ]
}

fn life(bin: &BinJob, proof: &Proof) -> Vec<Phrase> {
    if proof.of() == 0 {
        return Vec::new();
    }
    let Some(life) = proof.life(Years::All) else {
        return vec![
            Phrase::new("storage is not judged for {crop}: no relation is published, which does not mean it is safe")
                .text("crop", short_name(&bin.crop_name)),
        ];
    };
    let worst = proof.years.iter().max_by(|a, b| {
        let used = |y: &YearResult| y.result.life_strict.unwrap_or(0.0);
        used(a).total_cmp(&used(b))
    });
    let Some(worst) = worst else { return Vec::new() };
    vec![
        Phrase::new(
            "storage life used by the worst tenth of the grain, to the end: half the years below {median}, the worst {most} \
             ({year}); this counts the shortest of the published times (the strict reading: {judges}), the crop's usual ones \
             give {published} that year",
        )
        .text("judges", bin.judges.join("; "))
        .with("median", fraction(life.median))
        .with("most", fraction(life.largest))
        .text("year", worst.year.to_string())
        .with("published", fraction(worst.result.life_published.unwrap_or(0.0))),
    ]
}

/// What waiting for the wettest tenth costs in weight: grain below the goal moisture sells lighter.
fn overdrying(bin: &BinJob, proof: &Proof) -> Vec<Phrase> {
    // Nobody dried what came dry or was to be wetted.
    if proof.years.iter().all(|y| matches!(y.result.process, Process::Aeration | Process::Conditioning)) {
        return Vec::new();
    }
    let target = wet_basis(bin.template.programme.target);
    let lost = |r: &season::SeasonResult| {
        let end = wet_basis(r.moisture_at_stop);
        r.stopped_at.map(|_| (1.0 - (1.0 - target) / (1.0 - end)).max(0.0))
    };
    let Some(lost) = proof.over(Years::All, lost).filter(|l| l.largest > 0.005) else { return Vec::new() };
    let share = |x: f64| format!("{:.1} %", 100.0 * x);
    let tonnes = format!("{:.0} t", bin.rounds() * bin.survey.dry_matter() / (1.0 - target) / 1000.0);
    let bushels = bin.base_bushels().map_or_else(|| tonnes.clone(), |bushels| format!("{bushels:.0} legal bu"));
    vec![
        Phrase::new(
            "dried below the goal: half the years lose more than {median} of the weight they would have at the goal moisture, \
             one in ten more than {most} (of {amount})",
        )
        .text("median", share(lost.median))
        .text("most", share(lost.ninetieth))
        .either("amount", bushels, tonnes),
    ]
}

fn energy(bin: &BinJob, proof: &Proof, tariff: Option<&Tariff>) -> Vec<Phrase> {
    let Some(energy) = proof.energy(Years::All) else { return Vec::new() };
    let mut says = Vec::new();
    let tonnes = bin.rounds() * bin.survey.wet_mass() / 1000.0;
    let tonne = |joules: f64| format!("{:.0} kWh", joules / 3.6e6 / tonnes);
    // Readers of US units think by the bushel, where the crop has a legal one.
    let bushel = |joules: f64| match bin.base_bushels() {
        Some(bushels) => format!("{:.2} kWh", joules / 3.6e6 / bushels),
        None => tonne(joules),
    };
    let grain = match bin.base_bushels() {
        Some(_) => "legal bushel at base moisture",
        None => "tonne as filled",
    };
    let fill = |template: &str, energy: &Distribution| {
        Phrase::new(template)
            .either("grain", grain, "tonne as filled")
            .either("median", bushel(energy.median), tonne(energy.median))
            .either("most", bushel(energy.ninetieth), tonne(energy.ninetieth))
    };
    says.push(fill("electricity per {grain}: half the years below {median}, nine in ten below {most}", &energy));
    // Failed years run their fans longer or give up early: what a good season takes is another number.
    let good = proof.energy(Years::Good).filter(|good| good.count < energy.count);
    if let Some(good) = &good {
        let template = "in the {n} good years alone: half below {median} per {grain}, nine in ten below {most}";
        says.push(fill(template, good).count("n", good.count));
    }
    if let Some(tariff) = tariff {
        let money = |amount: f64| format!("{amount:.0} {}", tariff.currency);
        if let Some(costs) = proof.cost(Years::All, tariff) {
            let alone = good.and_then(|_| proof.cost(Years::Good, tariff));
            says.push(
                Phrase::new(match alone {
                    Some(_) => {
                        "energy cost of a season: half the years below {median}, nine in ten below {most}; of the good years \
                         half below {median_good}, nine in ten below {most_good}"
                    }
                    None => "energy cost of a season: half the years below {median}, nine in ten below {most}",
                })
                .text("median", money(costs.median))
                .text("most", money(costs.ninetieth))
                .text("median_good", alone.as_ref().map(|c| money(c.median)).unwrap_or_default())
                .text("most_good", alone.as_ref().map(|c| money(c.ninetieth)).unwrap_or_default()),
            );
        }
    }
    says
}

#[cfg(test)]
mod tests {
    use super::*;
    use notice::UnitSystem;

    #[test]
    fn no_share_of_years_reads_like_certainty() {
        let said = |share: f64| Phrase::new("seen: {seen}").share("seen", share).render(UnitSystem::Us);
        assert_eq!(said(1.0), "seen: every year seen");
        assert_eq!(said(27.0 / 28.0), "seen: 96\u{a0}%");
        // A great many years must not be rounded to what is never said.
        assert!(!said(0.999).contains("100"), "{}", said(0.999));
    }
}
