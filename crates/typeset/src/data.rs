//! A paper as the template reads it: one JSON text, and an SVG file for each picture.

use crate::faces::{FAMILY, settable};
use documents::paper::{Align, Block, Cell, Paper, Table, years};
use documents::report::Outcome;
use documents::scene::Scene;
use documents::svg;
use serde_json::{Value, json};

/// Longest run of signs without a place to break, in running text and cells.
const LONGEST_RUN: usize = 22;

/// Name and content of the files of a paper.
pub fn files(paper: &Paper, sheet: &str, size: f64) -> Result<Vec<(String, Vec<u8>)>, serde_json::Error> {
    let mut files = Vec::new();
    let blocks: Vec<Value> = paper.blocks.iter().map(|block| of_block(block, &mut files)).collect();
    for outcome in [Outcome::Met, Outcome::Held, Outcome::Failed] {
        let items = years::mark(outcome, 6.0, 6.0, 5.0);
        let scene = Scene { width: 12.0, height: 12.0, title: String::new(), describe: String::new(), items };
        files.push((format!("{}.svg", outcome.word()), picture(&scene)));
    }
    let (year, month, day) = paper.date;
    let data = json!({
        "sheet": sheet,
        "size": size,
        "title": settable(&paper.title()),
        "kind": settable(paper.kind.title()),
        "subject": line(&paper.subject),
        "facts": paper.facts.iter().map(|(name, says)| json!([line(name), line(says)])).collect::<Vec<_>>(),
        "marks": paper.marks.iter().map(|mark| line(mark)).collect::<Vec<_>>(),
        "foot": line(&paper.foot),
        "date": { "year": year, "month": month, "day": day },
        "one_page": paper.one_page,
        "blocks": blocks,
    });
    files.push(("data.json".into(), serde_json::to_vec(&data)?));
    Ok(files)
}

fn picture(scene: &Scene) -> Vec<u8> {
    settable(&svg::write_in(scene, "p", FAMILY)).into_bytes()
}

fn of_block(block: &Block, files: &mut Vec<(String, Vec<u8>)>) -> Value {
    match block {
        // A heading that says nothing is none: readers by ear would be led to it.
        Block::Heading { text, .. } if line(text).trim().is_empty() => json!({ "is": "text", "text": "" }),
        Block::Heading { level, text } => json!({ "is": "heading", "level": level, "text": line(text) }),
        Block::Lead(text) => json!({ "is": "lead", "text": line(text) }),
        Block::Text(text) => json!({ "is": "text", "text": line(text) }),
        Block::Note(text) => json!({ "is": "note", "text": line(text) }),
        Block::List { numbered, items } => json!({ "is": "list", "numbered": numbered, "items": lines(items) }),
        Block::Table(table) => of_table(table),
        Block::Figure(figure) => {
            let name = format!("figure{}.svg", files.len());
            files.push((name.clone(), picture(&figure.scene)));
            let says = line(&figure.says);
            let named = line(&figure.name);
            let told = [&says, &named].into_iter().find(|text| !text.trim().is_empty());
            let alt = told.map_or_else(|| "a picture without a name".to_string(), Clone::clone);
            json!({
                "is": "figure", "file": name, "name": line(&figure.name), "says": says, "alt": alt,
                // A picture fills the measure unless it is narrower than the sheet that pictures are laid out for.
                // A tall one is set narrower, so that it leaves room for what is said of it on its page.
                "part": (figure.scene.width / 720.0).clamp(0.05, 1.0) * if figure.scene.height > 0.66 * figure.scene.width { 0.88 } else { 1.0 },
            })
        }
        Block::Blanks(blanks) => {
            let blanks: Vec<Value> =
                blanks.iter().map(|(what, width)| json!([line(what), width.clamp(0.05, 1.0)])).collect();
            json!({ "is": "blanks", "blanks": blanks })
        }
        Block::Cautions(cautions) => json!({ "is": "cautions", "items": lines(cautions) }),
        Block::Verbatim(text) => json!({ "is": "verbatim", "text": settable(text) }),
        Block::NewPage => json!({ "is": "page" }),
    }
}

fn of_table(table: &Table) -> Value {
    let columns: Vec<Value> = table
        .columns
        .iter()
        .map(|column| {
            json!({
                "heading": line(&column.heading), "unit": line(&column.unit),
                "number": column.align == Align::Number, "part": column.part,
            })
        })
        .collect();
    let rows: Vec<Vec<Value>> = table
        .rows
        .iter()
        .enumerate()
        .map(|(r, row)| {
            // A row has a cell for each column, whatever was filled.
            (0..table.columns.len()).map(|c| of_cell(row.get(c), table.padding(r, c))).collect()
        })
        .collect();
    json!({ "is": "table", "caption": line(&table.caption), "empty": line(&table.empty), "columns": columns, "rows": rows })
}

fn of_cell(cell: Option<&Cell>, padding: String) -> Value {
    match cell {
        None => json!({ "is": "text", "text": "" }),
        Some(Cell::Text(text)) => json!({ "is": "text", "text": line(text) }),
        Some(Cell::Strong(text)) => json!({ "is": "strong", "text": line(text) }),
        Some(Cell::Number { text, .. }) => json!({ "is": "number", "text": settable(text), "padding": padding }),
        Some(Cell::None(words)) => json!({ "is": "none", "text": line(words) }),
        Some(Cell::Outcome(outcome)) => json!({ "is": "outcome", "text": outcome.word() }),
        Some(Cell::Blank) => json!({ "is": "blank" }),
    }
}

fn lines(items: &[String]) -> Vec<String> {
    items.iter().map(|item| line(item)).collect()
}

/// One line of text that can be set: long runs without a space get places to break, so that a name never runs off its cell.
fn line(text: &str) -> String {
    let mut out = String::new();
    let mut run = 0;
    for sign in settable(text).chars() {
        let sign = if sign == '\n' { ' ' } else { sign };
        out.push(sign);
        run = if matches!(sign, ' ' | '-') { 0 } else { run + 1 };
        if run >= LONGEST_RUN {
            out.push('\u{200b}');
            run = 0;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_name_can_break_and_a_short_one_stays_whole() {
        assert_eq!(line("demo-centrifugal-10hp"), "demo-centrifugal-10hp");
        assert_eq!(line("15 000 bu"), "15 000 bu");
        assert!(line(&"x".repeat(300)).matches('\u{200b}').count() >= 13);
    }
}
