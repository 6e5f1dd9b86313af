//! Pieces every drawing sheet has: dimension lines, numbered balloons, the bar that gives the scale, the title block.

use crate::{
    colour::{INK, PAPER, SOFT},
    scene::{Anchor, Dash, Fill, Item, Stroke, Text, wrap},
};

/// Size of text on the sheet.
pub(super) const SIZE: f64 = 12.0;
/// Outlines of what is cut.
pub(super) const THICK: Stroke = Stroke::solid(INK, 2.0);
/// Other lines.
pub(super) const THIN: Stroke = Stroke::solid(INK, 0.9);
/// Centre lines.
pub(super) const CENTRE: Stroke = Stroke { colour: SOFT, width: 0.8, dash: Dash::DashDot };

pub(super) fn line(points: Vec<(f64, f64)>, stroke: Stroke) -> Item {
    Item::Path { points, closed: false, stroke: Some(stroke), fill: Fill::None }
}

/// A dimension across, its text over the line.
pub(super) fn across(from: f64, to: f64, y: f64, text: &str) -> Vec<Item> {
    let mut items = vec![line(vec![(from, y), (to, y)], THIN)];
    items.extend([from, to].map(|x| line(vec![(x - 3.5, y + 3.5), (x + 3.5, y - 3.5)], THIN)));
    items.push(Text::new(0.5 * (from + to), y - 4.0, text, SIZE).anchor(Anchor::Middle).halo().item());
    items
}

/// A dimension up at `x`, with lines out to it from `reach`, its text along the line.
pub(super) fn up(reach: f64, x: f64, bottom: f64, top: f64, text: &str) -> Vec<Item> {
    let mut items = vec![line(vec![(x, bottom), (x, top)], THIN)];
    for y in [bottom, top] {
        items.push(line(vec![(reach, y), (x + 4.0, y)], Stroke::solid(SOFT, 0.6)));
        items.push(line(vec![(x - 3.5, y + 3.5), (x + 3.5, y - 3.5)], THIN));
    }
    let middle = 0.5 * (bottom + top);
    let long = crate::scene::text_width(text, SIZE) < bottom - top - 6.0;
    items.push(if long {
        Text::new(x - 4.0, middle, text, SIZE).anchor(Anchor::Middle).upright().halo().item()
    } else {
        Text::new(x + 6.0, middle + 4.0, text, SIZE).halo().item()
    });
    items
}

/// A balloon with a sign at `at`, its leader ending with a dot at `to`.
pub(super) fn balloon(sign: &str, at: (f64, f64), to: (f64, f64)) -> Vec<Item> {
    vec![
        line(vec![at, to], THIN),
        Item::Circle { x: to.0, y: to.1, radius: 1.8, stroke: None, fill: Fill::Solid(INK) },
        Item::Circle { x: at.0, y: at.1, radius: 8.5, stroke: Some(THIN), fill: Fill::Solid(PAPER) },
        Text::new(at.0, at.1 + 4.0, sign, SIZE).anchor(Anchor::Middle).item(),
    ]
}

/// Notes with their signs below one another; returns where they end.
pub(super) fn notes(items: &mut Vec<Item>, notes: &[(String, String)], x: f64, mut y: f64, width: f64) -> f64 {
    for (sign, note) in notes {
        items.push(Item::Circle { x: x + 8.5, y: y - 4.0, radius: 8.5, stroke: Some(THIN), fill: Fill::None });
        items.push(Text::new(x + 8.5, y, sign, SIZE).anchor(Anchor::Middle).item());
        for text in wrap(note, SIZE, width - 26.0, 3) {
            items.push(Text::new(x + 24.0, y, text, SIZE).item());
            y += 15.0;
        }
        y += 7.0;
    }
    y
}

/// The bar that gives the scale: two fields of `field` scene units each, labelled at its start, middle and end.
pub(super) fn scale_bar(items: &mut Vec<Item>, x: f64, y: f64, field: f64, labels: [String; 3]) {
    for (i, fill) in [Fill::Solid(INK), Fill::Solid(PAPER)].into_iter().enumerate() {
        let x = x + field * i as f64;
        items.push(Item::Rect { x, y, width: field, height: 5.0, stroke: Some(THIN), fill });
    }
    for (i, label) in labels.into_iter().enumerate() {
        let anchor = if i == 2 { Anchor::Start } else { Anchor::Middle };
        let x = x + field * i as f64 - if i == 2 { 4.0 } else { 0.0 };
        items.push(Text::new(x, y + 17.0, label, 11.0).anchor(anchor).item());
    }
}

/// A title block whose text is broken into lines.
pub(super) struct TitleRows {
    rows: Vec<(&'static str, String, Vec<String>)>,
    width: f64,
}

/// Size of the text of a title block.
const TITLE_SIZE: f64 = 12.5;

/// Breaks the rows of a title block, each a small name and what it says.
pub(super) fn title_rows(rows: Vec<(&'static str, String)>, width: f64) -> TitleRows {
    // Bold faces run about a tenth wider than the estimate for plain ones.
    let room = (width - 12.0) / 1.1;
    let rows = rows.into_iter().filter(|(_, says)| !says.is_empty());
    TitleRows { rows: rows.map(|(name, says)| (name, says.clone(), wrap(&says, TITLE_SIZE, room, 3))).collect(), width }
}

impl TitleRows {
    fn row_height(lines: usize) -> f64 {
        20.0 + 15.0 * lines as f64
    }

    /// Height of the whole block.
    pub(super) fn height(&self) -> f64 {
        self.rows.iter().map(|row| Self::row_height(row.2.len())).sum()
    }

    /// Draws the block with its top left corner at a place.
    pub(super) fn draw(&self, items: &mut Vec<Item>, x: f64, y: f64) {
        let (width, height) = (self.width, self.height());
        items.push(Item::Rect { x, y, width, height, stroke: Some(Stroke::solid(INK, 1.6)), fill: Fill::None });
        let mut top = y;
        for (i, (name, says, lines)) in self.rows.iter().enumerate() {
            if i > 0 {
                items.push(line(vec![(x, top), (x + width, top)], THIN));
            }
            items.push(Text::new(x + 6.0, top + 12.0, *name, 10.0).colour(SOFT).item());
            let written = lines
                .iter()
                .enumerate()
                .map(|(k, text)| Text::new(x + 6.0, top + 27.0 + 15.0 * k as f64, text, TITLE_SIZE).bold().item());
            items.push(Item::Named { name: format!("{name}: {says}"), items: written.collect() });
            top += Self::row_height(lines.len());
        }
    }
}
