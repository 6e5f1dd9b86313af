//! A picture as a list of plain items, laid out in its own units with y downwards; written out by [`crate::svg`].

use crate::colour::Rgb;

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Width in scene units; text of size 12 reads like 12 CSS pixels at natural size.
    pub width: f64,
    /// Height in scene units.
    pub height: f64,
    /// Name for those who cannot see it.
    pub title: String,
    /// What it shows, in a sentence or two.
    pub describe: String,
    /// What is drawn, first to last.
    pub items: Vec<Item>,
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Straight pieces through points; points that are no numbers break the line.
    Path {
        /// Points x, y.
        points: Vec<(f64, f64)>,
        /// Whether the last point joins the first.
        closed: bool,
        /// Line, if any.
        stroke: Option<Stroke>,
        /// Filling.
        fill: Fill,
    },
    /// An upright rectangle.
    Rect {
        /// Left.
        x: f64,
        /// Top.
        y: f64,
        /// Width.
        width: f64,
        /// Height.
        height: f64,
        /// Line, if any.
        stroke: Option<Stroke>,
        /// Filling.
        fill: Fill,
    },
    /// A circle.
    Circle {
        /// Centre x.
        x: f64,
        /// Centre y.
        y: f64,
        /// Radius.
        radius: f64,
        /// Line, if any.
        stroke: Option<Stroke>,
        /// Filling.
        fill: Fill,
    },
    /// A line of text.
    Text(Text),
    /// A raster image, drawn without smoothing.
    Image {
        /// Left.
        x: f64,
        /// Top.
        y: f64,
        /// Width.
        width: f64,
        /// Height.
        height: f64,
        /// The image as a data address.
        address: String,
    },
    /// Items seen only inside a rectangle.
    Clipped {
        /// Left, top, width, height.
        window: (f64, f64, f64, f64),
        /// The items.
        items: Vec<Item>,
    },
    /// Items with a name that shows on pointing at them.
    Named {
        /// The name.
        name: String,
        /// The items.
        items: Vec<Item>,
    },
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Anchor point x.
    pub x: f64,
    /// Base line y.
    pub y: f64,
    /// What it says; any text, escaped on writing.
    pub text: String,
    /// Size in scene units.
    pub size: f64,
    /// Where the anchor point lies in the line.
    pub anchor: Anchor,
    /// Colour.
    pub colour: Rgb,
    /// Bold or not.
    pub bold: bool,
    /// Turned anticlockwise by a quarter about the anchor point.
    pub upright: bool,
    /// Drawn over a paper-coloured rim, to stay legible across lines.
    pub halo: bool,
}

impl Text {
    /// A line of text in ink.
    pub fn new(x: f64, y: f64, text: impl Into<String>, size: f64) -> Self {
        Self {
            x,
            y,
            text: text.into(),
            size,
            anchor: Anchor::Start,
            colour: crate::colour::INK,
            bold: false,
            upright: false,
            halo: false,
        }
    }

    /// Anchors it elsewhere.
    pub fn anchor(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// Colours it.
    pub fn colour(mut self, colour: Rgb) -> Self {
        self.colour = colour;
        self
    }

    /// Makes it bold.
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// Gives it a paper-coloured rim.
    pub fn halo(mut self) -> Self {
        self.halo = true;
        self
    }

    /// Turns it upwards.
    pub fn upright(mut self) -> Self {
        self.upright = true;
        self
    }

    /// As an item.
    pub fn item(self) -> Item {
        Item::Text(self)
    }
}

/// Where a text's anchor point lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// At its start.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Rgb,
    /// Width.
    pub width: f64,
    /// Pattern, told apart without colour.
    pub dash: Dash,
}

impl Stroke {
    /// An unbroken line.
    pub const fn solid(colour: Rgb, width: f64) -> Self {
        Self { colour, width, dash: Dash::None }
    }

    /// The same line in a pattern.
    pub const fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }
}

/// Patterns of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    None,
    /// Long dashes.
    Long,
    /// Short dashes.
    Short,
    /// Dots.
    Dot,
    /// Dash and dot, as drawings mark axes.
    DashDot,
}

impl Dash {
    /// Patterns in the order lines take them.
    pub const ALL: [Self; 5] = [Self::None, Self::Long, Self::Short, Self::DashDot, Self::Dot];
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fill {
    /// Not at all.
    None,
    /// With a colour.
    Solid(Rgb),
    /// With slanted lines.
    Hatch,
    /// With dots, as drawings show what lies under the ground.
    Dots,
}

/// Estimates the width of a text in scene units, for layout only: an average of the wider sans-serif faces, wide scripts counted
/// as a full em.
pub fn text_width(text: &str, size: f64) -> f64 {
    let em: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'l' | 'j' | 't' | 'f' | 'I' | '.' | ',' | ':' | '\'' | ' ' | '\u{a0}' | '\u{202f}' => 0.33,
            'm' | 'w' | 'M' | 'W' | '%' | '@' => 0.92,
            'A'..='Z' => 0.72,
            c if (c as u32) >= 0x1100 => 1.0,
            _ => 0.61,
        })
        .sum();
    em * size
}

/// The text, or as much of it as fits a width, ended by an ellipsis.
pub fn fit(text: &str, size: f64, width: f64) -> String {
    if text_width(text, size) <= width {
        return text.to_string();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if text_width(&kept, size) > width - size {
            kept.pop();
            break;
        }
    }
    kept.push('…');
    kept
}

/// Breaks a text into lines no wider than a width, at spaces; a single long word is cut with an ellipsis.
pub fn wrap(text: &str, size: f64, width: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        lines.push(rest);
    }
    lines.iter().map(|line| fit(line, size, width)).collect()
}
