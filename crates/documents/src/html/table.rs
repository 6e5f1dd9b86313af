//! Tables of the page: numbers under one another by their decimal point, a unit once in the heading.

use crate::{
    report::Outcome,
    shown::{NOT_REACHED, Reader},
    svg::escape,
};
use notice::Kind;

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Text, shown as given.
    Text(String),
    /// A number already written out.
    Number(String),
    /// No number, with the words that say so.
    None(&'static str),
    /// How a year ends, by shape and word.
    Outcome(Outcome),
    /// A date, never broken.
    Date(String),
    /// A picture or other markup made by us.
    Markup(String),
}

impl Cell {
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A number of a kind without its unit.
    pub fn of(reader: Reader, kind: Kind, value: f64) -> Self {
        reader.number(kind, value).map_or(Self::None(NOT_REACHED), Self::Number)
    }

    /// The same, with other words for what is no number.
    pub fn of_or(reader: Reader, kind: Kind, value: f64, otherwise: &'static str) -> Self {
        reader.number(kind, value).map_or(Self::None(otherwise), Self::Number)
    }

    fn html(&self) -> String {
        match self {
            Self::Text(text) => format!("<td><bdi>{}</bdi></td>", escape(text)),
            Self::Number(number) => format!("<td class=\"n\">{}</td>", escape(number)),
            Self::None(words) => format!("<td class=\"n none\">{words}</td>"),
            Self::Outcome(outcome) => format!("<td class=\"o\">{}</td>", outcome_html(*outcome)),
            Self::Date(date) => format!("<td class=\"d\">{}</td>", escape(date)),
            Self::Markup(markup) => format!("<td>{markup}</td>"),
        }
    }
}

/// Shape and word of an outcome; the shape is hidden from readers by ear, who get the word.
pub(super) fn outcome_html(outcome: Outcome) -> String {
    let shape = match outcome {
        Outcome::Met => "<circle cx=\"6\" cy=\"6\" r=\"4.5\"/>",
        Outcome::Held => {
            "<path d=\"M6 .8L11.2 6L6 11.2L.8 6Z\" fill=\"#fff\" stroke=\"#16202b\" stroke-width=\"1.3\"/><path d=\"M6 .8V11.2L.8 6Z\"/>"
        }
        Outcome::Failed => "<path d=\"M1.5 1.5L10.5 10.5M1.5 10.5L10.5 1.5\" stroke=\"#16202b\" stroke-width=\"2.4\"/>",
    };
    format!(
        "<svg class=\"shape\" viewBox=\"0 0 12 12\" width=\"12\" height=\"12\" fill=\"#16202b\" aria-hidden=\"true\">{shape}</svg> {}",
        outcome.word()
    )
}

/// Rows up to which a table is kept on one printed page.
const SHORT: usize = 16;

/// A table.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Table {
    /// What it lists.
    pub caption: String,
    /// Headings, each with a flag for numbers.
    pub columns: Vec<(String, bool)>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
    /// What to say when there are no rows.
    pub empty: &'static str,
}

impl Table {
    pub fn new(caption: impl Into<String>, empty: &'static str) -> Self {
        Self { caption: caption.into(), empty, ..Self::default() }
    }

    /// A column of text.
    pub fn column(mut self, heading: impl Into<String>) -> Self {
        self.columns.push((heading.into(), false));
        self
    }

    /// A column of numbers of a kind, with its unit in the heading.
    pub fn numbers(mut self, reader: Reader, heading: &str, kind: Kind) -> Self {
        self.columns.push((reader.axis(heading, kind), true));
        self
    }

    /// A column of plain numbers.
    pub fn counts(mut self, heading: impl Into<String>) -> Self {
        self.columns.push((heading.into(), true));
        self
    }

    pub fn row(&mut self, row: Vec<Cell>) {
        self.rows.push(row);
    }

    /// The table in a frame that scrolls by itself, so that the page never does sideways.
    pub fn html(&self) -> String {
        if self.rows.is_empty() {
            return format!("<p class=\"empty\">{}</p>\n", escape(self.empty));
        }
        let mut out = format!(
            "<div class=\"scroll{1}\" role=\"region\" aria-label=\"{0}\" tabindex=\"0\"><table>\n<caption><bdi>{0}</bdi></caption>\n<thead><tr>",
            escape(&self.caption),
            if self.rows.len() <= SHORT { " short" } else { "" }
        );
        for (heading, numeric) in &self.columns {
            let class = if *numeric { " class=\"n\"" } else { "" };
            out.push_str(&format!("<th scope=\"col\"{class}>{}</th>", escape(heading)));
        }
        out.push_str("</tr></thead>\n<tbody>\n");
        for row in &self.rows {
            out.push_str("<tr>");
            row.iter().for_each(|cell| out.push_str(&cell.html()));
            out.push_str("</tr>\n");
        }
        out.push_str("</tbody></table></div>\n");
        out
    }
}
