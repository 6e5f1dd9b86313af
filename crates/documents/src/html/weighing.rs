//! The outfits that were weighed: the sentence, cost against failed years, what is worth a look and why the others are not.

use super::figure::Figures;
use super::table::{Cell, Table};
use crate::shown::Reader;
use crate::svg::escape;
use crate::weighing::{front, measure};
use advice::weigh::{Answer, says};
use notice::Kind;

/// Outfits in the table.
const MOST: usize = 12;

pub(super) fn html(answer: &Answer, reader: Reader, figures: &mut Figures) -> String {
    let headline = reader.sentence(&says::headline(answer));
    let mut out = format!("<p><bdi>{}</bdi></p>\n", escape(&headline));
    let mut notes = vec![format!(
        "{} candidates, {} excluded before any year was run, {} run over {} years.",
        answer.candidates,
        answer.excluded.len(),
        answer.outfits.len(),
        answer.years.len()
    )];
    if let Some(why) = says::unpriced(answer) {
        notes.push(format!("Costs are the least they can be, because {why}."));
    }
    for note in notes {
        out.push_str(&format!("<p><bdi>{}</bdi></p>\n", escape(&note)));
    }
    let mut table = Table::new("Outfits, those worth a look first", "No outfit ran all years.")
        .column("outfit")
        .counts(format!("cost, {}", measure(answer)))
        .counts("years failed")
        .counts("years run")
        .numbers(reader, "airflow", Kind::SpecificAirflow)
        .numbers(reader, "static pressure", Kind::Pressure)
        .column("why it stands there");
    let mut order: Vec<usize> = answer.front.clone();
    let mut rest: Vec<usize> = (0..answer.outfits.len()).filter(|place| !order.contains(place)).collect();
    rest.sort_by(|&a, &b| answer.outfits[a].score.cost().total_cmp(&answer.outfits[b].score.cost()).then(a.cmp(&b)));
    order.extend(rest);
    for place in order.into_iter().take(MOST) {
        let shown = &answer.outfits[place];
        let mark = if shown.unpriced && answer.currency.is_some() { "*" } else { "" };
        let there = if shown.present { " (stands there)" } else { "" };
        table.row(vec![
            Cell::text(format!("{}{there}", shown.name)),
            Cell::Number(format!("{:.3}{mark}", shown.score.cost())),
            Cell::Number(shown.score.failures().to_string()),
            Cell::Number(shown.score.run().to_string()),
            Cell::of(reader, Kind::SpecificAirflow, shown.specific_airflow),
            Cell::of(reader, Kind::Pressure, shown.point.fan_static_pressure),
            Cell::text(reader.sentence(&says::why(answer, place))),
        ]);
    }
    let says = "One point for each outfit that ran all years; the line joins those that nothing beats.";
    out.push_str(&figures.figure(
        "Cost against failed years",
        says,
        |form| front(answer, reader, form.width()),
        &[table],
    ));
    out
}
