//! A scene as SVG text: the same scene gives the same bytes.

use crate::scene::{Anchor, Dash, Fill, Item, Scene, Stroke, Text};
use std::fmt::Write;

/// Returns the scene as an `svg` element.
///
/// `id` begins every id inside, so that several pictures can stand in one page; only its letters, digits and hyphens
/// are used. The result is also a complete SVG file.
pub fn write(scene: &Scene, id: &str) -> String {
    let id: String = id.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
    let mut writer = Writer { out: String::new(), id, clips: 0, face: "system-ui, sans-serif" };
    writer.scene(scene);
    writer.out
}

/// The same with its text in a face of the caller's, for printers that bring their own.
pub fn write_in(scene: &Scene, id: &str, face: &'static str) -> String {
    let mut writer = Writer { out: String::new(), id: id.into(), clips: 0, face };
    writer.scene(scene);
    writer.out
}

/// What is drawn alone, for a picture whose element is written by the caller. Patterns are not drawn.
pub fn bare(scene: &Scene) -> String {
    let mut writer = Writer { out: String::new(), id: String::new(), clips: 0, face: "" };
    scene.items.iter().for_each(|item| writer.item(item));
    writer.out
}

/// Escapes text for element content and quoted attributes of HTML and XML; characters XML forbids become U+FFFD.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A coordinate: two decimals at most, no trailing zeros, no negative zero; what is no number becomes 0.
fn coordinate(value: f64) -> String {
    if !value.is_finite() {
        return "0".into();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.to_string() }
}

struct Writer {
    out: String,
    id: String,
    clips: usize,
    face: &'static str,
}

impl Writer {
    fn put(&mut self, text: std::fmt::Arguments<'_>) {
        // Writing into a string does not fail.
        let _ = self.out.write_fmt(text);
    }

    fn scene(&mut self, scene: &Scene) {
        let (width, height) = (coordinate(scene.width), coordinate(scene.height));
        let (id, face) = (self.id.clone(), self.face);
        self.put(format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" \
             role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" font-family=\"{face}\">\n\
             <title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>\n",
            escape(&scene.title),
            escape(&scene.describe)
        ));
        if uses(&scene.items, Fill::Hatch) {
            self.put(format_args!(
                "<defs><pattern id=\"{id}-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(45)\"><path d=\"M0 0V6\" stroke=\"#16202b\" stroke-width=\"1\"/></pattern></defs>\n"
            ));
        }
        if uses(&scene.items, Fill::Dots) {
            self.put(format_args!(
                "<defs><pattern id=\"{id}-dots\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(30)\"><circle cx=\"2\" cy=\"2\" r=\"0.8\" fill=\"#515d69\"/></pattern></defs>\n"
            ));
        }
        for item in &scene.items {
            self.item(item);
        }
        self.out.push_str("</svg>\n");
    }

    fn item(&mut self, item: &Item) {
        match item {
            Item::Path { points, closed, stroke, fill } => {
                let data = path_data(points, *closed);
                if !data.is_empty() {
                    let style = self.style(stroke.as_ref(), *fill);
                    self.put(format_args!("<path d=\"{data}\"{style}/>\n"));
                }
            }
            Item::Rect { x, y, width, height, stroke, fill } => {
                let style = self.style(stroke.as_ref(), *fill);
                let [x, y, w, h] = [*x, *y, width.max(0.0), height.max(0.0)].map(coordinate);
                self.put(format_args!("<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{style}/>\n"));
            }
            Item::Circle { x, y, radius, stroke, fill } => {
                let style = self.style(stroke.as_ref(), *fill);
                let [x, y, r] = [*x, *y, radius.max(0.0)].map(coordinate);
                self.put(format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{style}/>\n"));
            }
            Item::Text(text) => self.text(text),
            Item::Image { x, y, width, height, address } => {
                let [x, y, w, h] = [*x, *y, width.max(0.0), height.max(0.0)].map(coordinate);
                self.put(format_args!(
                    "<image x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" preserveAspectRatio=\"none\" \
                     style=\"image-rendering:pixelated\" href=\"{}\"/>\n",
                    escape(address)
                ));
            }
            Item::Clipped { window, items } => {
                self.clips += 1;
                let name = format!("{}-clip{}", self.id, self.clips);
                let [x, y, w, h] = [window.0, window.1, window.2.max(0.0), window.3.max(0.0)].map(coordinate);
                self.put(format_args!(
                    "<clipPath id=\"{name}\"><rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/></clipPath>\n\
                     <g clip-path=\"url(#{name})\">\n"
                ));
                items.iter().for_each(|item| self.item(item));
                self.out.push_str("</g>\n");
            }
            Item::Named { name, items } => {
                self.put(format_args!("<g><title>{}</title>\n", escape(name)));
                items.iter().for_each(|item| self.item(item));
                self.out.push_str("</g>\n");
            }
        }
    }

    fn text(&mut self, text: &Text) {
        let [x, y] = [text.x, text.y].map(coordinate);
        let anchor = match text.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let bold = if text.bold { " font-weight=\"600\"" } else { "" };
        let turn = if text.upright { format!(" transform=\"rotate(-90 {x} {y})\"") } else { String::new() };
        let halo = if text.halo {
            " paint-order=\"stroke\" stroke=\"#ffffff\" stroke-width=\"3\" stroke-linejoin=\"round\""
        } else {
            ""
        };
        self.put(format_args!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{}\"{anchor}{bold}{halo}{turn}>{}</text>\n",
            coordinate(text.size),
            text.colour.hex(),
            escape(&text.text)
        ));
    }

    fn style(&self, stroke: Option<&Stroke>, fill: Fill) -> String {
        let mut out = match fill {
            Fill::None => " fill=\"none\"".to_string(),
            Fill::Solid(colour) => format!(" fill=\"{}\"", colour.hex()),
            Fill::Hatch => format!(" fill=\"url(#{}-hatch)\"", self.id),
            Fill::Dots => format!(" fill=\"url(#{}-dots)\"", self.id),
        };
        if let Some(stroke) = stroke {
            let _ = write!(
                out,
                " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
                stroke.colour.hex(),
                coordinate(stroke.width)
            );
            out.push_str(match stroke.dash {
                Dash::None => "",
                Dash::Long => " stroke-dasharray=\"9 4\"",
                Dash::Short => " stroke-dasharray=\"4 3\"",
                Dash::Dot => " stroke-dasharray=\"1.5 3\"",
                Dash::DashDot => " stroke-dasharray=\"10 3 2 3\"",
            });
        }
        out
    }
}

fn uses(items: &[Item], wanted: Fill) -> bool {
    items.iter().any(|item| match item {
        Item::Path { fill, .. } | Item::Rect { fill, .. } | Item::Circle { fill, .. } => *fill == wanted,
        Item::Clipped { items, .. } | Item::Named { items, .. } => uses(items, wanted),
        Item::Text(_) | Item::Image { .. } => false,
    })
}

/// Path commands through the points, broken where one is no number; pieces of a single point are left out.
fn path_data(points: &[(f64, f64)], closed: bool) -> String {
    let mut out = String::new();
    for piece in points.split(|(x, y)| !(x.is_finite() && y.is_finite())) {
        if piece.len() < 2 {
            continue;
        }
        for (i, (x, y)) in piece.iter().enumerate() {
            let command = if i == 0 { "M" } else { "L" };
            let _ = write!(out, "{command}{} {}", coordinate(*x), coordinate(*y));
        }
        if closed {
            out.push('Z');
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{INK, Rgb};

    #[test]
    fn escapes_everything_that_could_end_a_text() {
        assert_eq!(escape("a<b>&\"'\u{1}\u{202e}c"), "a&lt;b&gt;&amp;&quot;&#39;\u{fffd}\u{202e}c");
    }

    #[test]
    fn coordinates_are_short() {
        for (value, text) in [(1.0, "1"), (1.005, "1"), (-0.001, "0"), (2.5, "2.5"), (f64::NAN, "0"), (100.0, "100")] {
            assert_eq!(coordinate(value), text);
        }
    }

    #[test]
    fn lines_break_where_there_is_no_number() {
        let nan = f64::NAN;
        assert_eq!(path_data(&[(0.0, 0.0), (1.0, 1.0), (nan, 2.0), (3.0, 3.0), (4.0, nan)], false), "M0 0L1 1");
        assert_eq!(path_data(&[], true), "");
    }

    #[test]
    fn writes_a_scene() {
        let scene = Scene {
            width: 100.0,
            height: 50.0,
            title: "a <title>".into(),
            describe: "what \"it\" shows".into(),
            items: vec![
                Item::Clipped {
                    window: (0.0, 0.0, 50.0, 50.0),
                    items: vec![Item::Rect {
                        x: 1.0,
                        y: 2.0,
                        width: 3.0,
                        height: 4.0,
                        stroke: None,
                        fill: Fill::Hatch,
                    }],
                },
                Item::Path {
                    points: vec![(0.0, 0.0), (10.0, 5.5)],
                    closed: false,
                    stroke: Some(Stroke::solid(INK, 1.0).dashed(Dash::Short)),
                    fill: Fill::None,
                },
                Item::Circle { x: 5.0, y: 5.0, radius: 2.0, stroke: None, fill: Fill::Solid(Rgb(255, 0, 0)) },
                Text::new(1.0, 2.0, "R&D", 12.0).anchor(Anchor::End).bold().upright().halo().item(),
                Item::Image { x: 0.0, y: 0.0, width: 9.0, height: 9.0, address: "data:,".into() },
            ],
        };
        insta::assert_snapshot!(write(&scene, "p\"1"));
    }
}
