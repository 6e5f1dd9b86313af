//! Line charts with points, all of one size.

use documents::colour::{BLUE, INK, RUST, SOFT};
use documents::plot::{Axis, Label, Mark, Plot, Shape};
use documents::scene::{Dash, Stroke};

/// A named line.
pub struct Line {
    name: String,
    points: Vec<(f64, f64)>,
}

impl Line {
    /// A line through points.
    pub fn new(name: impl Into<String>, points: Vec<(f64, f64)>) -> Self {
        Self { name: name.into(), points }
    }
}

/// Rounds to a tenth of a thousandth of the axis: last bits of a platform's functions must not move a coordinate.
fn steady(points: Vec<(f64, f64)>, x: (f64, f64), y: (f64, f64)) -> Vec<(f64, f64)> {
    let round = |v: f64, (low, high): (f64, f64)| {
        let unit = (high - low) / 5000.0;
        (v / unit).round() * unit
    };
    points.into_iter().map(|p| (round(p.0, x), round(p.1, y))).collect()
}

/// A chart of lines and sets of points; axes as label, low, high.
pub fn chart(
    title: &str,
    describe: &str,
    x: (&str, f64, f64),
    y: (&str, f64, f64),
    lines: Vec<Line>,
    points: Vec<Vec<(f64, f64)>>,
) -> Plot {
    let axis = |a: (&str, f64, f64)| Axis::numbers(a.0, a.1, a.2);
    let mut plot = Plot::new(title, 640.0, 380.0, axis(x), axis(y));
    plot.describe = describe.into();
    let (spans, spany) = ((x.1, x.2), (y.1, y.2));
    let looks = [(INK, Dash::None), (BLUE, Dash::Long), (RUST, Dash::Short), (SOFT, Dash::DashDot), (INK, Dash::Dot)];
    for (i, line) in lines.into_iter().enumerate() {
        let (colour, dash) = looks[i % looks.len()];
        let stroke = Stroke { colour, width: 1.4, dash };
        plot.marks.push(Mark::Line {
            points: steady(line.points, spans, spany),
            stroke,
            label: Some(Label::right(line.name)),
        });
    }
    for (i, set) in points.into_iter().enumerate() {
        let shape = [Shape::Ring, Shape::Cross, Shape::Disc, Shape::HalfDiamond][i % 4];
        let points = steady(set, spans, spany);
        plot.marks.push(Mark::Points { points, shape, size: 5.0, names: Vec::new() });
    }
    plot
}
