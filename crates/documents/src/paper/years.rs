//! The years as marks, as one counts them on a fence: a disc for a year that was met, a half-filled diamond for one that was
//! held over winter, a cross for one that failed.

use super::{Datum, Figure, Series};
use crate::colour::{INK, PAPER, SOFT};
use crate::report::Outcome;
use crate::scene::{Anchor, Fill, Item, Scene, Stroke, Text};

/// Years in a row.
const IN_ROW: usize = 10;
/// Room of one mark.
const CELL: (f64, f64) = (62.0, 56.0);
/// Half the size of a mark.
const SIZE: f64 = 12.0;

/// The figure of years and how each ended.
pub fn figure(years: &[(i32, Outcome)], says: impl Into<String>) -> Figure {
    let says = says.into();
    let rows = years.len().div_ceil(IN_ROW).max(1);
    let across = years.len().clamp(1, IN_ROW);
    let (width, height) = (720.0, CELL.1 * rows as f64 + 34.0);
    let left = 0.5 * (width - CELL.0 * across as f64);
    let mut items = Vec::new();
    for (i, (year, outcome)) in years.iter().enumerate() {
        let x = left + CELL.0 * ((i % IN_ROW) as f64 + 0.5);
        let y = CELL.1 * (i / IN_ROW) as f64 + 18.0;
        items.push(Item::Named { name: format!("{year}: {}", outcome.word()), items: mark(*outcome, x, y, SIZE) });
        items.push(Text::new(x, y + 27.0, year.to_string(), 12.0).anchor(Anchor::Middle).item());
    }
    key(&mut items, width, height - 12.0);
    Figure {
        name: "Every year seen".into(),
        scene: Scene { width, height, title: "Every year seen".into(), describe: says.clone(), items },
        says,
        behind: vec![Series {
            name: "years".into(),
            columns: vec!["year".into(), "outcome".into()],
            rows: years
                .iter()
                .map(|(year, outcome)| vec![Datum::Number(f64::from(*year)), Datum::Text(outcome.word().into())])
                .collect(),
        }],
    }
}

fn key(items: &mut Vec<Item>, width: f64, y: f64) {
    let entries = [
        (Outcome::Met, "met: dry in time and sound"),
        (Outcome::Held, "held: cold over winter, finished in spring"),
        (Outcome::Failed, "failed"),
    ];
    let room = |says: &str| crate::scene::text_width(says, 12.0) + 34.0;
    let mut x = 0.5 * (width - entries.iter().map(|(_, says)| room(says)).sum::<f64>());
    for (outcome, says) in entries {
        items.extend(mark(outcome, x + 6.0, y - 4.0, 5.5));
        items.push(Text::new(x + 17.0, y, says, 12.0).colour(SOFT).item());
        x += room(says);
    }
}

/// The mark of an outcome about a point.
pub fn mark(outcome: Outcome, x: f64, y: f64, size: f64) -> Vec<Item> {
    let line = Some(Stroke::solid(INK, size / 7.0));
    let path = |points: Vec<(f64, f64)>, fill| Item::Path { points, closed: true, stroke: line, fill };
    match outcome {
        Outcome::Met => vec![Item::Circle { x, y, radius: 0.9 * size, stroke: line, fill: Fill::Solid(INK) }],
        Outcome::Held => vec![
            path(vec![(x, y - size), (x + size, y), (x, y + size), (x - size, y)], Fill::Solid(PAPER)),
            path(vec![(x, y - size), (x, y + size), (x - size, y)], Fill::Solid(INK)),
        ],
        Outcome::Failed => {
            let arm = 0.8 * size;
            let stroke = Some(Stroke::solid(INK, size / 3.2));
            let bar = |points| Item::Path { points, closed: false, stroke, fill: Fill::None };
            vec![bar(vec![(x - arm, y - arm), (x + arm, y + arm)]), bar(vec![(x - arm, y + arm), (x + arm, y - arm)])]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_year_has_its_mark_and_its_row_in_the_workbook() {
        let years: Vec<(i32, Outcome)> = (1995..2023).map(|year| (year, Outcome::Met)).collect();
        let figure = figure(&years, "28 of 28");
        let named = figure.scene.items.iter().filter(|item| matches!(item, Item::Named { .. })).count();
        assert_eq!((named, figure.behind[0].rows.len()), (28, 28));
        assert!(super::figure(&[], "none").scene.height > 0.0);
    }
}
