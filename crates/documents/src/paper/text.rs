//! A paper as plain lines: what stands on it, for comparison in tests and for reading aloud.

use super::{Block, Paper};

/// The text of a paper, a line for each piece, tables row by row.
pub fn lines(paper: &Paper) -> Vec<String> {
    let mut lines = vec![paper.title()];
    lines.extend(paper.marks.iter().map(|mark| format!("[{mark}]")));
    lines.extend(paper.facts.iter().map(|(name, says)| format!("{name}: {says}")));
    for block in &paper.blocks {
        match block {
            Block::Heading { level, text } => lines.push(format!("{} {text}", "#".repeat(usize::from(*level)))),
            Block::Lead(text) | Block::Text(text) | Block::Note(text) => lines.push(text.clone()),
            Block::List { numbered, items } => lines.extend(items.iter().enumerate().map(|(i, item)| match numbered {
                true => format!("{}. {item}", i + 1),
                false => format!("- {item}"),
            })),
            Block::Table(table) => {
                lines.push(format!("| {}", table.caption));
                let heads: Vec<String> = table
                    .columns
                    .iter()
                    .map(|c| if c.unit.is_empty() { c.heading.clone() } else { format!("{}, {}", c.heading, c.unit) })
                    .collect();
                lines.push(format!("| {}", heads.join(" | ")));
                if table.rows.is_empty() {
                    lines.push(table.empty.clone());
                }
                for row in &table.rows {
                    let cells: Vec<&str> = row.iter().map(super::Cell::shown).collect();
                    lines.push(format!("| {}", cells.join(" | ")));
                }
            }
            Block::Figure(figure) => lines.push(format!("({}) {}", figure.name, figure.says)),
            Block::Blanks(blanks) => lines.extend(blanks.iter().map(|(what, _)| format!("{what}: ____"))),
            Block::Cautions(cautions) => lines.extend(cautions.iter().map(|says| format!("! {says}"))),
            Block::Verbatim(text) => lines.extend(text.lines().map(str::to_string)),
            Block::NewPage => {}
        }
    }
    lines.push(paper.foot.clone());
    lines
}
