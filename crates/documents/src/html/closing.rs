//! What is uncertain, cautions, sources, and what makes the run repeatable.

use super::{
    figure::Figures,
    list,
    table::{Cell, Table},
};
use crate::{
    colour::{INK, PAPER},
    report::{Outcome, ReportData, Tally},
    scene::{Fill, Item, Scene, Stroke},
    shown::Reader,
    svg::escape,
    ticks::number,
};
use notice::{Kind, Status};

pub(super) fn uncertain(data: &ReportData, reader: Reader, figures: &mut Figures) -> String {
    let uncertainty = &data.uncertainty;
    let mut out = String::from("<h3>What so few years can tell</h3>\n");
    let share = |p: f64| if p.is_finite() { format!("{}\u{a0}%", number(100.0 * p, 1)) } else { "unknown".into() };
    match &uncertainty.interval {
        Some(interval) => out.push_str(&format!(
            "<p>{}. From these years alone, the chance that <bdi>{}</bdi> in a year to come lies between {} and {} \
             ({} confidence, <bdi>{}</bdi>).</p>\n",
            counted(uncertainty.tally),
            escape(&interval.of_what),
            share(interval.low),
            share(interval.high),
            reader.text(Kind::Fraction, interval.level),
            escape(&interval.method)
        )),
        None => out.push_str("<p>No interval was worked out.</p>\n"),
    }
    out.push_str("<h3>What the choice of model does</h3>\n");
    let mut table =
        Table::new("The same years under other choices that the evidence allows", "No other choices were tried.")
            .column("Choice")
            .counts("met")
            .counts("held")
            .counts("failed")
            .column("Share")
            .column("Choice of");
    for variant in &uncertainty.variants {
        let count = |n: u32| Cell::Number(n.to_string());
        table.row(vec![
            Cell::text(&variant.name),
            count(variant.tally.met),
            count(variant.tally.held),
            count(variant.tally.failed),
            Cell::Markup(figures.small(&bar(variant.tally))),
            Cell::text(&variant.note),
        ]);
    }
    out.push_str(&table.html());
    if !uncertainty.variants.is_empty() {
        out.push_str("<p class=\"keys\">Bars: solid is met, hatched is held, clear is failed.</p>\n");
    }
    if let Some(worst) = &uncertainty.worst {
        out.push_str(&format!("<p><bdi>{}</bdi></p>\n", escape(&reader.sentence(worst))));
    }
    out.push_str("<h3>Assumptions, and what lies outside the evidence</h3>\n");
    if data.remarks.is_empty() {
        out.push_str("<p>None were noted.</p>\n");
    }
    out.push_str(&list(data.remarks.iter().map(|remark| {
        let says = reader.sentence(&remark.says);
        remark.source.as_ref().map_or(says.clone(), |source| format!("{says} [{}]", source.citation))
    })));
    out
}

fn counted(tally: Tally) -> String {
    let word = |outcome: Outcome| outcome.word();
    format!(
        "Of {} years {} {}, {} {}, {} {}",
        tally.of(),
        tally.met,
        word(Outcome::Met),
        tally.held,
        word(Outcome::Held),
        tally.failed,
        word(Outcome::Failed)
    )
}

/// The years of a choice as one bar.
fn bar(tally: Tally) -> Scene {
    let (width, height) = (150.0, 12.0);
    let of = f64::from(tally.of().max(1));
    let mut x = 0.5;
    let mut items = Vec::new();
    let fills = [(tally.met, Fill::Solid(INK)), (tally.held, Fill::Hatch), (tally.failed, Fill::Solid(PAPER))];
    for (count, fill) in fills {
        let long = (width - 1.0) * f64::from(count) / of;
        if count > 0 {
            let stroke = Some(Stroke::solid(INK, 1.0));
            items.push(Item::Rect { x, y: 0.5, width: long, height: height - 1.0, stroke, fill });
        }
        x += long;
    }
    Scene { width, height, title: counted(tally), describe: String::new(), items }
}

/// What the words mean that a customer meets on these pages.
pub(super) const WORDS: &str = "<ul>\n\
    <li><b>met</b>: the mean is at its target and the wettest tenth near enough to it by the date, and storage life is left. \
    <b>held</b>: not by the date, but cold over winter and finished in spring with storage life left. <b>failed</b>: \
    anything else. A <b>good</b> year is met or held.</li>\n\
    <li><b>wettest tenth</b>: the tenth of the grain that is wettest, in the part of the bin that gets least air.</li>\n\
    <li><b>storage life used</b>: time spent over the time grain keeps at its moisture and temperature, added up from the \
    first load; 100\u{a0}% is spent. <b>Strict reading</b>: by the shortest of the published times; verdicts use it. \
    <b>As published</b>: by the times usual for the crop. Storage life used below 100\u{a0}% does not say that the grain is \
    sound: damage, fines, leaks and earlier warmth shorten it.</li>\n\
    <li><b>moisture set</b>: one published relation between grain moisture and the air around it; the sets differ.</li>\n\
    <li><b>w.b.</b>: wet basis, water over total mass, as the trade counts. <b>d.b.</b>: water over dry matter.</li>\n\
    <li><b>legal bushel</b>: a weight. <b>Bushel</b> of grain in a bin and in cfm/bu: a volume.</li>\n\
    </ul>\n";

pub(super) fn cautions(data: &ReportData, reader: Reader) -> String {
    let own = list(data.cautions.iter().map(|caution| reader.sentence(caution)));
    format!(
        "{own}<p>Gas, electricity, turning machines and work inside a bin can kill. Local codes and licensed practice \
         decide; this report advises.</p>\n"
    )
}

fn status(status: Status) -> &'static str {
    match status {
        Status::Verified => "a published number was reproduced with it",
        Status::Seen => "read in the source or a document quoting it",
        Status::Memory => "recalled from the source, not read",
        Status::Judgement => "our reading of the evidence",
        Status::CommonPractice => "common practice, no source",
        Status::Computed => "worked out from stated inputs",
    }
}

pub(super) fn sources(data: &ReportData, reader: Reader) -> String {
    let mut table = Table::new("Relations used", "No relation was named.")
        .column("For")
        .column("Source")
        .column("How well known")
        .column("Used within its range");
    for source in &data.sources {
        let outside: Vec<String> = source.outside.iter().map(|says| says.render(reader.0)).collect();
        let range = match source.in_range {
            Some(true) => "yes".to_string(),
            Some(false) => format!("no: {}", outside.join("; ")),
            None => "no range stated".to_string(),
        };
        table.row(vec![
            Cell::text(&source.what),
            Cell::text(&source.citation),
            Cell::text(status(source.status)),
            Cell::text(&range),
        ]);
    }
    let mut out = table.html();
    let mut identity = Table::new("Identity of the run", "The run has no identity.").column("What").column("Value");
    for (name, value) in &data.run.entries {
        identity.row(vec![Cell::text(name), Cell::text(value)]);
    }
    out.push_str(&identity.html());
    let mut balances = Table::new("Books that must balance", "No balance was reported.")
        .column("Of")
        .counts("largest residual")
        .counts("allowed")
        .column("Kept");
    for balance in &data.run.balances {
        let small = |v: f64| if v.is_finite() { Cell::Number(format!("{v:.1e}")) } else { Cell::None("unknown") };
        let kept = if balance.residual <= balance.allowed { "yes" } else { "no" };
        balances.row(vec![
            Cell::text(&balance.what),
            small(balance.residual),
            small(balance.allowed),
            Cell::text(kept),
        ]);
    }
    out.push_str(&balances.html());
    out
}
