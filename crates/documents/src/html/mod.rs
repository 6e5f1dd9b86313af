//! The report as one self-contained page.

pub(crate) mod air;
mod closing;
mod figure;
mod season;
mod table;
mod weighing;
pub(crate) mod years;

use crate::{
    report::{Capacity, GoalState, Outcome, PageMark, ReportData},
    section,
    shown::Reader,
    svg::escape,
    write::ReportFile,
};
use figure::Figures;
use notice::UnitSystem;
use table::{Cell, Table, outcome_html};

const STYLE: &str = include_str!("style.css");

/// Returns the page: inline style and SVG, no script, nothing loaded from anywhere.
pub fn render(data: &ReportData, system: UnitSystem) -> String {
    let reader = Reader(system);
    let mut figures = Figures::default();
    let mut body = String::new();
    body.push_str(&head_of_sheet(data));
    body.push_str("<main>\n");
    body.push_str(&verdict(data, reader));
    if let Some(bin) = &data.section {
        let draw = |form| section::draw(bin, &data.title, data.verdict.goal, reader, form);
        let says = draw(crate::shown::Form::Wide).describe;
        body.push_str(&figures.figure("The bin, drawn to scale", &says, draw, &[]));
    }
    body.push_str(&part("holds", "What the bin holds", &capacities(&data.capacities, reader)));
    body.push_str(&part("cautions", "Cautions", &closing::cautions(data, reader)));
    body.push_str(&part("air", "Air against the grain", &air::html(&data.air, reader, &mut figures)));
    body.push_str(&part("years", "All years", &years::html(&data.years, reader, &mut figures)));
    if let Some(one) = &data.season {
        body.push_str(&part(
            "season",
            &format!("The season of {}", one.year),
            &season::html(one, reader, &mut figures),
        ));
    }
    if let Some(answer) = &data.weighing {
        body.push_str(&part("weighed", "Outfits weighed", &weighing::html(answer, reader, &mut figures)));
    }
    body.push_str(&part("uncertain", "What is uncertain", &closing::uncertain(data, reader, &mut figures)));
    body.push_str(&part("words", "Words in this report", closing::WORDS));
    body.push_str(&part("sources", "Sources and identity of the run", &closing::sources(data, reader)));
    body.push_str("</main>\n");
    page(data, &body)
}

/// The files of a report folder.
pub fn files(data: &ReportData, system: UnitSystem) -> Vec<ReportFile> {
    vec![ReportFile::new("index.html", render(data, system))]
}

fn page(data: &ReportData, body: &str) -> String {
    let title = [data.title.site.as_str(), data.title.bin.as_str()].into_iter().filter(|t| !t.is_empty());
    let title = escape(&title.collect::<Vec<_>>().join(", "));
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n\
         <meta name=\"color-scheme\" content=\"light\">\n<title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n\
         <body>\n{}{body}</body>\n</html>\n",
        edge(data)
    )
}

/// The strip along the edge that prints on every page.
fn edge(data: &ReportData) -> String {
    let title = &data.title;
    let marks: Vec<&str> = title.marks.iter().map(|mark| mark.text()).collect();
    let names = [title.site.as_str(), title.bin.as_str(), title.date.as_str()];
    let names: Vec<String> =
        names.iter().filter(|t| !t.is_empty()).map(|t| format!("<bdi>{}</bdi>", escape(t))).collect();
    format!(
        "<div class=\"edge\" aria-hidden=\"true\"><b>{}</b> <span>{}</span></div>\n",
        marks.join(" · "),
        names.join(" · ")
    )
}

fn head_of_sheet(data: &ReportData) -> String {
    let title = &data.title;
    let mut out = String::from("<header>\n");
    out.push_str(&marks(&title.marks));
    out.push_str(&format!(
        "<h1><bdi>{}</bdi>, bin <bdi>{}</bdi></h1>\n<dl class=\"block\">\n",
        escape(&title.site),
        escape(&title.bin)
    ));
    let rows = [
        ("Lot", title.lot.as_str()),
        ("Outfit", title.outfit.as_str()),
        ("Verdict", data.verdict.goal.text()),
        ("Date", title.date.as_str()),
        ("Computed by", title.program.as_str()),
    ];
    for (name, says) in rows.iter().filter(|(_, says)| !says.is_empty()) {
        out.push_str(&format!("<div><dt>{name}</dt><dd><bdi>{}</bdi></dd></div>\n", escape(says)));
    }
    out.push_str("</dl>\n</header>\n");
    out
}

fn marks(marks: &[PageMark]) -> String {
    marks.iter().map(|mark| format!("<p class=\"mark\">{}</p>\n", mark.text())).collect()
}

fn verdict(data: &ReportData, reader: Reader) -> String {
    let verdict = &data.verdict;
    let shape = match verdict.goal {
        GoalState::Met => outcome_html(Outcome::Met),
        GoalState::Missed => outcome_html(Outcome::Failed),
        GoalState::NotJudged => String::from("? "),
    };
    // The shape stands beside the words of the goal, not beside the word of a year.
    let shape = shape.split_inclusive("</svg>").next().unwrap_or_default().to_string();
    let mut out = format!(
        "<section class=\"verdict\" aria-label=\"Verdict\">\n<p class=\"goal\">{shape} {}</p>\n",
        verdict.goal.text()
    );
    if let Some(headline) = &verdict.headline {
        out.push_str(&format!("<p class=\"headline\"><bdi>{}</bdi></p>\n", escape(&reader.sentence(headline))));
    }
    out.push_str(&list(verdict.sentences.iter().map(|s| reader.sentence(s))));
    out.push_str("</section>\n");
    out
}

/// A list of sentences; nothing for none.
fn list(sentences: impl Iterator<Item = String>) -> String {
    let items: String = sentences.map(|s| format!("<li><bdi>{}</bdi></li>\n", escape(&s))).collect();
    if items.is_empty() { items } else { format!("<ul>\n{items}</ul>\n") }
}

fn part(id: &str, name: &str, content: &str) -> String {
    format!(
        "<section id=\"{id}\" aria-labelledby=\"{id}-h\">\n<h2 id=\"{id}-h\">{}</h2>\n{content}</section>\n",
        escape(name)
    )
}

fn capacities(capacities: &[Capacity], reader: Reader) -> String {
    let mut table = Table::new("Capacities", "No capacities were worked out.")
        .column("What")
        .column("Amount")
        .column("Which measure");
    for capacity in capacities {
        let values: Vec<String> = capacity.values.iter().map(|q| reader.text(q.kind, q.value)).collect();
        table.row(vec![Cell::text(&capacity.what), Cell::text(values.join(", ")), Cell::text(&capacity.note)]);
    }
    table.html()
}
