//! Plots: axes, lines, bands, cells, marks and labels, in the units of the reader, laid out into a [`Scene`].
//!
//! A plot knows nothing of grain; whoever makes it converts values to shown units first. Values that are no numbers
//! break lines and leave cells clear.

mod cells;
mod contour;
mod labels;
mod layout;

use crate::{
    colour::{Rgb, Scale},
    scene::{Dash, Scene, Stroke},
    ticks::Division,
};

/// A plot before it is laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// Name.
    pub title: String,
    /// What it shows in a sentence or two, for those who cannot see it.
    pub describe: String,
    /// Width in scene units.
    pub width: f64,
    /// Height in scene units.
    pub height: f64,
    /// The axis across.
    pub x: Axis,
    /// The axis up.
    pub y: Axis,
    /// What is drawn, first to last.
    pub marks: Vec<Mark>,
    /// What the colours of cells mean.
    pub key: Option<ColourKey>,
    /// Least width kept free at the right for labels, so that plots over one another share their axis.
    pub right_margin: f64,
    /// Least width kept free at the left, likewise.
    pub left_margin: f64,
}

/// One axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it measures, with unit; empty for none.
    pub label: String,
    /// Lower end (left, or bottom).
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// How it is divided.
    pub division: Division,
}

impl Axis {
    /// An axis of round numbers between given ends.
    pub fn numbers(label: impl Into<String>, low: f64, high: f64) -> Self {
        Self { label: label.into(), low, high, division: Division::Numbers }
    }

    /// An axis of days of a year.
    pub fn dates(year: i32, low: f64, high: f64) -> Self {
        Self { label: String::new(), low, high, division: Division::Dates { year } }
    }

    /// Whether the ends make an axis at all.
    fn proper(&self) -> bool {
        self.low.is_finite() && self.high.is_finite() && self.low < self.high && (self.high - self.low).is_finite()
    }
}

/// One thing on a plot.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line through points.
    Line {
        /// Points.
        points: Vec<(f64, f64)>,
        /// How it is drawn.
        stroke: Stroke,
        /// Its name, written beside it.
        label: Option<Label>,
    },
    /// An area between two lines over common places.
    Band {
        /// Places across.
        x: Vec<f64>,
        /// Lower edge.
        low: Vec<f64>,
        /// Upper edge.
        high: Vec<f64>,
        /// Colour.
        colour: Rgb,
        /// Its name.
        label: Option<Label>,
    },
    /// A hatched area down to the foot of the plot, under a line.
    Hatched {
        /// The line.
        points: Vec<(f64, f64)>,
        /// Its name.
        label: Option<Label>,
    },
    /// Bars along one height: from, to, share filled (0 to 1).
    Bars {
        /// The spans.
        spans: Vec<(f64, f64, f64)>,
        /// Lower edge.
        low: f64,
        /// Upper edge.
        high: f64,
        /// Colour.
        colour: Rgb,
    },
    /// Coloured cells.
    Cells(Cells),
    /// Single points.
    Points {
        /// Points.
        points: Vec<(f64, f64)>,
        /// Their shape.
        shape: Shape,
        /// Size in scene units.
        size: f64,
        /// Their names on pointing; may be shorter than the points.
        names: Vec<String>,
    },
    /// A line across the whole plot at a height.
    Level {
        /// The height.
        at: f64,
        /// Its name.
        label: String,
        /// Pattern.
        dash: Dash,
    },
    /// A line up the whole plot at a place.
    Upright {
        /// The place.
        at: f64,
        /// Its name.
        label: String,
        /// Pattern.
        dash: Dash,
    },
    /// A word at a point.
    Note {
        /// The point.
        at: (f64, f64),
        /// The word.
        text: String,
    },
}

/// The name of a mark and where it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The name.
    pub text: String,
    /// Where.
    pub place: LabelPlace,
}

/// Where the name of a mark is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LabelPlace {
    /// Right of the plot, level with the end of the line, moved apart from others.
    Right,
    /// On the line at its last point inside the plot.
    End,
    /// On the line at its first point.
    Start,
}

impl Label {
    /// A name right of the plot.
    pub fn right(text: impl Into<String>) -> Self {
        Self { text: text.into(), place: LabelPlace::Right }
    }

    /// A name at the last point inside the plot.
    pub fn end(text: impl Into<String>) -> Self {
        Self { text: text.into(), place: LabelPlace::End }
    }

    /// A name at the first point.
    pub fn start(text: impl Into<String>) -> Self {
        Self { text: text.into(), place: LabelPlace::Start }
    }
}

/// Shapes of points, told apart without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A filled disc: met.
    Disc,
    /// A diamond, half filled: held.
    HalfDiamond,
    /// A cross: failed.
    Cross,
    /// A ring.
    Ring,
}

/// Cells of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Cells {
    /// Edges across, strictly ascending; one more than cells.
    pub x_edges: Vec<f64>,
    /// Edges up, strictly ascending; one more than cells.
    pub y_edges: Vec<f64>,
    /// Values, all cells of the first place across from low to high, then of the next.
    pub values: Vec<f64>,
    /// Value at the light end of the scale.
    pub low: f64,
    /// Value at the dark end.
    pub high: f64,
    /// The colours.
    pub scale: Scale,
    /// A value drawn as a line across the cells, with its name.
    pub contour: Option<(f64, String)>,
}

/// What the colours of cells mean.
#[derive(Debug, Clone, PartialEq)]
pub struct ColourKey {
    /// What is shown, with unit.
    pub label: String,
    /// Value at the light end.
    pub low: f64,
    /// Value at the dark end.
    pub high: f64,
    /// The colours.
    pub scale: Scale,
    /// A value marked on the key.
    pub limit: Option<f64>,
}

impl Plot {
    /// An empty plot.
    pub fn new(title: impl Into<String>, width: f64, height: f64, x: Axis, y: Axis) -> Self {
        Self {
            title: title.into(),
            describe: String::new(),
            width,
            height,
            x,
            y,
            marks: Vec::new(),
            key: None,
            right_margin: 0.0,
            left_margin: 0.0,
        }
    }

    /// Lays the plot out.
    pub fn scene(&self) -> Scene {
        layout::lay_out(self)
    }
}

#[cfg(test)]
mod tests;
