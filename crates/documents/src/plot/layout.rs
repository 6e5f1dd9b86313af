//! From a plot to a scene.

use super::{Axis, ColourKey, Label, LabelPlace, Mark, Plot, Shape, cells::even_grid, labels::spread};
use crate::{
    colour::{GRID, INK, PAPER, Rgb, SOFT},
    raster,
    scene::{Anchor, Dash, Fill, Item, Scene, Stroke, Text, fit, text_width},
    ticks::{Tick, ticks},
};

/// Size of tick labels and names.
const SIZE: f64 = 12.0;
/// Length of ticks.
const TICK: f64 = 4.0;

/// The window of a plot and the way from values to places in it.
struct Frame<'a> {
    plot: &'a Plot,
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
    names: Vec<Name>,
    /// Left, right and base line of words inside the plot, so that none is written over another.
    taken: Vec<(f64, f64, f64)>,
    items: Vec<Item>,
}

/// A name to be written right of the plot.
struct Name {
    text: String,
    height: f64,
    from: f64,
    colour: Rgb,
}

pub(super) fn lay_out(plot: &Plot) -> Scene {
    let mut scene = Scene {
        width: plot.width.max(120.0),
        height: plot.height.max(60.0),
        title: plot.title.clone(),
        describe: plot.describe.clone(),
        items: Vec::new(),
    };
    if !(plot.x.proper() && plot.y.proper()) {
        scene.items.push(Text::new(8.0, 30.0, "nothing to show", SIZE).colour(SOFT).item());
        return scene;
    }
    let mut frame = Frame::new(plot, scene.width, scene.height);
    frame.axes();
    plot.marks.iter().for_each(|mark| frame.mark(mark));
    frame.border();
    frame.write_names(scene.width);
    if let Some(key) = &plot.key {
        frame.key(key, scene.width);
    }
    scene.items = frame.items;
    scene
}

impl<'a> Frame<'a> {
    fn new(plot: &'a Plot, width: f64, height: f64) -> Self {
        let top = if plot.key.is_some() { 40.0 } else { 6.0 } + if plot.y.label.is_empty() { 2.0 } else { 20.0 };
        let bottom = height - 22.0 - if plot.x.label.is_empty() { 0.0 } else { 16.0 };
        let widest = y_ticks(&plot.y, bottom - top).iter().map(|t| text_width(&t.label, SIZE)).fold(0.0, f64::max);
        let left = (widest + TICK + 6.0).max(plot.left_margin).min(0.4 * width);
        let names = plot.marks.iter().filter_map(right_name).map(|text| text_width(text, SIZE)).fold(0.0, f64::max);
        let margin = if names > 0.0 { names + 12.0 } else { 12.0 };
        let right = width - margin.max(plot.right_margin).min(0.36 * width);
        Self {
            plot,
            left,
            top,
            right,
            bottom: bottom.max(top + 10.0),
            names: Vec::new(),
            taken: Vec::new(),
            items: Vec::new(),
        }
    }

    fn x(&self, value: f64) -> f64 {
        let axis = &self.plot.x;
        self.left + (self.right - self.left) * (value - axis.low) / (axis.high - axis.low)
    }

    fn y(&self, value: f64) -> f64 {
        let axis = &self.plot.y;
        self.bottom - (self.bottom - self.top) * (value - axis.low) / (axis.high - axis.low)
    }

    fn points(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        points.iter().map(|(x, y)| (self.x(*x), self.y(*y))).collect()
    }

    fn inside(&self, point: &(f64, f64)) -> bool {
        let (x, y) = (&self.plot.x, &self.plot.y);
        (x.low..=x.high).contains(&point.0) && (y.low..=y.high).contains(&point.1)
    }

    fn window(&self) -> (f64, f64, f64, f64) {
        (self.left, self.top, self.right - self.left, self.bottom - self.top)
    }

    fn line(&mut self, points: Vec<(f64, f64)>, stroke: Stroke) {
        self.items.push(Item::Path { points, closed: false, stroke: Some(stroke), fill: Fill::None });
    }

    fn axes(&mut self) {
        let grid = Stroke::solid(GRID, 1.0);
        for tick in y_ticks(&self.plot.y, self.bottom - self.top) {
            let y = self.y(tick.at);
            self.line(vec![(self.left, y), (self.right, y)], grid);
            let label = Text::new(self.left - TICK - 2.0, y + 4.0, tick.label, SIZE).anchor(Anchor::End);
            self.items.push(label.item());
        }
        for tick in x_ticks(&self.plot.x, self.right - self.left) {
            let x = self.x(tick.at);
            self.line(vec![(x, self.top), (x, self.bottom)], grid);
            let half = 0.5 * text_width(&tick.label, SIZE);
            let label = Text::new(x.max(half).min(self.plot.width - half), self.bottom + 16.0, tick.label, SIZE)
                .anchor(Anchor::Middle);
            self.items.push(label.item());
        }
        if !self.plot.y.label.is_empty() {
            let label = fit(&self.plot.y.label, SIZE, self.plot.width - 8.0);
            self.items.push(Text::new(2.0, self.top - 9.0, label, SIZE).colour(SOFT).item());
        }
        if !self.plot.x.label.is_empty() {
            let label = Text::new(self.right, self.bottom + 32.0, &self.plot.x.label, SIZE).anchor(Anchor::End);
            self.items.push(label.colour(SOFT).item());
        }
    }

    fn border(&mut self) {
        let (x, y, width, height) = self.window();
        self.items.push(Item::Rect { x, y, width, height, stroke: Some(Stroke::solid(INK, 1.0)), fill: Fill::None });
    }

    fn mark(&mut self, mark: &Mark) {
        match mark {
            Mark::Line { points, stroke, label } => {
                self.clipped(vec![Item::Path {
                    points: self.points(points),
                    closed: false,
                    stroke: Some(*stroke),
                    fill: Fill::None,
                }]);
                self.label(label.as_ref(), points, stroke.colour);
            }
            Mark::Band { x, low, high, colour, label } => self.band(x, low, high, *colour, label.as_ref()),
            Mark::Hatched { points, label } => self.hatched(points, label.as_ref()),
            Mark::Bars { spans, low, high, colour } => self.bars(spans, *low, *high, *colour),
            Mark::Cells(cells) => self.cells(cells),
            Mark::Points { points, shape, size, names } => {
                for (i, point) in points.iter().enumerate() {
                    if !self.inside(point) {
                        continue;
                    }
                    let drawn = shape_items(*shape, self.x(point.0), self.y(point.1), *size);
                    match names.get(i) {
                        Some(name) => self.items.push(Item::Named { name: name.clone(), items: drawn }),
                        None => self.items.extend(drawn),
                    }
                }
            }
            Mark::Level { at, label, dash } => {
                if self.inside(&(self.plot.x.low, *at)) {
                    let y = self.y(*at);
                    self.line(vec![(self.left, y), (self.right, y)], Stroke::solid(INK, 1.2).dashed(*dash));
                    self.names.push(Name { text: label.clone(), height: y, from: self.right, colour: INK });
                }
            }
            Mark::Upright { at, label, dash } => {
                if self.inside(&(*at, self.plot.y.low)) {
                    let x = self.x(*at);
                    self.line(vec![(x, self.top), (x, self.bottom)], Stroke::solid(INK, 1.2).dashed(*dash));
                    self.beside(x, self.top + 14.0, label);
                }
            }
            Mark::Note { at, text } => {
                if self.inside(at) {
                    self.beside(self.x(at.0), self.y(at.1) - 4.0, text);
                }
            }
        }
    }

    /// Text right of a place, or left of it when there is no room.
    fn beside(&mut self, x: f64, y: f64, text: &str) {
        let room = text_width(text, SIZE) + 5.0;
        let leftwards = x + room > self.right && x - room > self.left;
        let (from, to) = if leftwards { (x - room, x) } else { (x, x + room) };
        let mut y = y.clamp(self.top + SIZE + 1.0, self.bottom - 3.0);
        for _ in 0..8 {
            let covers = |&(a, b, base): &(f64, f64, f64)| a < to && from < b && (base - y).abs() < SIZE + 1.0;
            if !self.taken.iter().any(covers) {
                break;
            }
            y += SIZE + 2.0;
        }
        self.taken.push((from, to, y));
        let text = if leftwards {
            Text::new(x - 5.0, y, text, SIZE).anchor(Anchor::End)
        } else {
            Text::new(x + 5.0, y, text, SIZE)
        };
        self.items.push(text.halo().item());
    }

    fn clipped(&mut self, items: Vec<Item>) {
        self.items.push(Item::Clipped { window: self.window(), items });
    }

    fn band(&mut self, x: &[f64], low: &[f64], high: &[f64], colour: Rgb, label: Option<&Label>) {
        let edge = |values: &[f64]| -> Vec<(f64, f64)> {
            x.iter().copied().zip(values.iter().copied()).filter(|(x, y)| x.is_finite() && y.is_finite()).collect()
        };
        let (upper, mut lower) = (edge(high), edge(low));
        lower.reverse();
        let rim: Vec<_> = upper.iter().chain(&lower).copied().collect();
        let points = self.points(&rim);
        self.clipped(vec![Item::Path { points, closed: true, stroke: None, fill: Fill::Solid(colour) }]);
        self.label(label, &upper, SOFT);
    }

    fn hatched(&mut self, points: &[(f64, f64)], label: Option<&Label>) {
        if let (Some(first), Some(last)) = (points.first(), points.last()) {
            let foot = self.plot.y.low;
            let mut rim = points.to_vec();
            rim.extend([(last.0, foot), (first.0, foot)]);
            let points = self.points(&rim);
            self.clipped(vec![Item::Path { points, closed: true, stroke: None, fill: Fill::Hatch }]);
        }
        self.label(label, points, INK);
    }

    fn bars(&mut self, spans: &[(f64, f64, f64)], low: f64, high: f64, colour: Rgb) {
        let mut items = Vec::new();
        for (from, to, share) in spans.iter().filter(|(a, b, s)| a.is_finite() && b.is_finite() && *s > 0.0) {
            let top = low + (high - low) * share.min(1.0);
            let (x, y) = (self.x(*from), self.y(top));
            items.push(Item::Rect {
                x,
                y,
                width: self.x(*to) - x,
                height: self.y(low) - y,
                stroke: None,
                fill: Fill::Solid(colour),
            });
        }
        self.clipped(items);
    }

    fn cells(&mut self, cells: &super::Cells) {
        let (x, y, width, height) = self.window();
        self.items.push(Item::Rect { x, y, width, height, stroke: None, fill: Fill::Dots });
        let Some(grid) = even_grid(cells, (width * 1.5) as usize) else { return };
        let (x0, x1) = (self.x(grid.x.0), self.x(grid.x.1));
        let (y0, y1) = (self.y(grid.y.1), self.y(grid.y.0));
        let mut items = Vec::new();
        if let Some(address) = grid.image(cells) {
            items.push(Item::Image { x: x0, y: y0, width: x1 - x0, height: y1 - y0, address });
        }
        if let Some((limit, name)) = &cells.contour {
            let mut points = Vec::new();
            for [a, b] in grid.contour(cells, *limit) {
                points.extend([a, b, (f64::NAN, f64::NAN)]);
            }
            let end = points.iter().filter(|p| p.0.is_finite()).max_by(|a, b| a.0.total_cmp(&b.0)).copied();
            let placed = self.points(&points);
            // Light under dark, so that the line is seen on either end of the scale.
            for stroke in [Stroke::solid(PAPER, 3.0), Stroke::solid(INK, 1.3)] {
                let points = placed.clone();
                items.push(Item::Path { points, closed: false, stroke: Some(stroke), fill: Fill::None });
            }
            if let Some(end) = end {
                self.clipped(std::mem::take(&mut items));
                self.beside(self.x(end.0), self.y(end.1) - 4.0, name);
            }
        }
        self.clipped(items);
    }

    fn label(&mut self, label: Option<&Label>, points: &[(f64, f64)], colour: Rgb) {
        let Some(label) = label else { return };
        let mut seen = points.iter().filter(|point| self.inside(point));
        let at = if label.place == LabelPlace::Start { seen.next() } else { seen.next_back() };
        let Some(at) = at.copied() else { return };
        let (x, y) = (self.x(at.0), self.y(at.1));
        match label.place {
            LabelPlace::Right => {
                self.names.push(Name { text: label.text.clone(), height: y, from: x, colour });
            }
            LabelPlace::End | LabelPlace::Start => {
                let y = (y - 5.0).max(self.top + SIZE);
                self.beside(x, y, &label.text);
            }
        }
    }

    fn write_names(&mut self, width: f64) {
        let names = std::mem::take(&mut self.names);
        let wanted: Vec<f64> = names.iter().map(|name| name.height).collect();
        let placed = spread(&wanted, SIZE + 1.0, self.top + 2.0, self.bottom);
        for (name, height) in names.iter().zip(placed) {
            let start = self.right + 8.0;
            self.line(
                vec![(name.from.max(self.right), name.height), (start - 1.0, height)],
                Stroke::solid(name.colour, 0.7),
            );
            let text = fit(&name.text, SIZE, width - start - 2.0);
            self.items.push(Text::new(start + 1.0, height + 4.0, text, SIZE).colour(name.colour).item());
        }
    }

    /// The scale above the plot: a bar with its numbers under it.
    fn key(&mut self, key: &ColourKey, width: f64) {
        let bar = (0.42 * width).min(260.0);
        let (x, y, height) = (width - bar - 14.0, 4.0, 11.0);
        let room = x - 12.0;
        for (i, line) in crate::scene::wrap(&key.label, SIZE, room, 2).into_iter().enumerate() {
            self.items.push(Text::new(2.0, y + 10.0 + 14.0 * i as f64, line, SIZE).colour(SOFT).item());
        }
        let colours: Vec<Option<Rgb>> = key.scale.steps().iter().copied().map(Some).collect();
        if let Some(address) = raster::data_address(colours.len(), 1, &colours) {
            self.items.push(Item::Image { x, y, width: bar, height, address });
        }
        self.items.push(Item::Rect {
            x,
            y,
            width: bar,
            height,
            stroke: Some(Stroke::solid(INK, 0.8)),
            fill: Fill::None,
        });
        let place = |value: f64| x + bar * (value - key.low) / (key.high - key.low);
        for tick in ticks(crate::ticks::Division::Numbers, key.low, key.high, 4) {
            let at = place(tick.at);
            self.line(vec![(at, y + height), (at, y + height + 3.0)], Stroke::solid(INK, 0.8));
            let label = Text::new(at, y + height + 14.0, tick.label, 11.0).anchor(Anchor::Middle);
            self.items.push(label.item());
        }
        if let Some(limit) = key.limit.filter(|l| *l > key.low && *l < key.high) {
            let at = place(limit);
            self.line(vec![(at, y - 3.0), (at, y + height)], Stroke::solid(PAPER, 4.0));
            self.line(vec![(at, y - 3.0), (at, y + height)], Stroke::solid(INK, 1.6));
        }
    }
}

fn right_name(mark: &Mark) -> Option<&str> {
    let label = match mark {
        Mark::Line { label, .. } | Mark::Band { label, .. } | Mark::Hatched { label, .. } => label.as_ref()?,
        Mark::Level { label, .. } => return Some(label),
        _ => return None,
    };
    (label.place == LabelPlace::Right).then_some(label.text.as_str())
}

fn y_ticks(axis: &Axis, height: f64) -> Vec<Tick> {
    ticks(axis.division, axis.low, axis.high, ((height / 38.0) as usize).clamp(2, 8))
}

fn x_ticks(axis: &Axis, width: f64) -> Vec<Tick> {
    ticks(axis.division, axis.low, axis.high, ((width / 68.0) as usize).clamp(2, 10))
}

/// A point's shape around its centre.
pub(crate) fn shape_items(shape: Shape, x: f64, y: f64, size: f64) -> Vec<Item> {
    let r = 0.5 * size;
    let thin = Some(Stroke::solid(INK, 1.3));
    match shape {
        Shape::Disc => vec![Item::Circle { x, y, radius: r, stroke: None, fill: Fill::Solid(INK) }],
        Shape::Ring => vec![Item::Circle { x, y, radius: r, stroke: thin, fill: Fill::Solid(PAPER) }],
        Shape::HalfDiamond => {
            let r = 1.25 * r;
            let rim = vec![(x, y - r), (x + r, y), (x, y + r), (x - r, y)];
            let half = vec![(x, y - r), (x, y + r), (x - r, y)];
            vec![
                Item::Path { points: rim, closed: true, stroke: thin, fill: Fill::Solid(PAPER) },
                Item::Path { points: half, closed: true, stroke: None, fill: Fill::Solid(INK) },
            ]
        }
        Shape::Cross => {
            let stroke = Some(Stroke { colour: INK, width: 2.2, dash: Dash::None });
            [[(x - r, y - r), (x + r, y + r)], [(x - r, y + r), (x + r, y - r)]]
                .into_iter()
                .map(|ends| Item::Path { points: ends.to_vec(), closed: false, stroke, fill: Fill::None })
                .collect()
        }
    }
}
