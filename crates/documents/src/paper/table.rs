//! Tables of papers: numbers under one another by their decimal point, the unit once in the heading.

use crate::report::Outcome;
use crate::shown::Reader;
use notice::Kind;

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Text, from the left.
    Text,
    /// Numbers, by the decimal point.
    Number,
}

/// One column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Heading.
    pub heading: String,
    /// Unit under the heading; empty for none.
    pub unit: String,
    /// How it stands.
    pub align: Align,
    /// Its part of the room that is left; 0 takes what its content needs.
    pub part: f64,
}

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Text as it is.
    Text(String),
    /// Text that carries the row.
    Strong(String),
    /// A number as written, with its value in the unit of the column.
    Number {
        /// As printed.
        text: String,
        /// As computed, for the workbook.
        value: f64,
    },
    /// No number, with the words that say so.
    None(String),
    /// How a year ended, by shape and word.
    Outcome(Outcome),
    /// A line to write on.
    Blank,
}

impl Cell {
    /// Text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A number of a kind in the reader's unit; what is no number says so.
    pub fn of(reader: Reader, kind: Kind, value: f64) -> Self {
        Self::of_or(reader, kind, value, crate::shown::NOT_REACHED)
    }

    /// The same with other words for what is no number.
    pub fn of_or(reader: Reader, kind: Kind, value: f64, otherwise: &str) -> Self {
        match reader.number(kind, value) {
            Some(text) => Self::Number { text, value: reader.value(kind, value) },
            None => Self::None(otherwise.into()),
        }
    }

    /// A number of a kind that may be missing.
    pub fn maybe(reader: Reader, kind: Kind, value: Option<f64>, otherwise: &str) -> Self {
        Self::of_or(reader, kind, value.unwrap_or(f64::NAN), otherwise)
    }

    /// A plain number with so many decimals.
    pub fn number(value: f64, decimals: usize) -> Self {
        match value.is_finite() {
            true => Self::Number { text: crate::ticks::number(value, decimals), value },
            false => Self::None(crate::shown::NOT_REACHED.into()),
        }
    }

    /// A count.
    pub fn count(count: usize) -> Self {
        Self::number(count as f64, 0)
    }

    /// What is printed; empty for a blank.
    pub fn shown(&self) -> &str {
        match self {
            Self::Text(text) | Self::Strong(text) | Self::None(text) | Self::Number { text, .. } => text,
            Self::Outcome(outcome) => outcome.word(),
            Self::Blank => "",
        }
    }

    /// Decimals after the point, with the point.
    fn after_point(&self) -> Option<usize> {
        match self {
            Self::Number { text, .. } => Some(text.find('.').map_or(0, |at| text[at..].chars().count())),
            _ => None,
        }
    }
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it lists.
    pub caption: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows; a cell for each column.
    pub rows: Vec<Vec<Cell>>,
    /// What to say when there are no rows.
    pub empty: String,
}

impl Table {
    /// A table without columns yet.
    pub fn new(caption: impl Into<String>, empty: impl Into<String>) -> Self {
        Self { caption: caption.into(), columns: Vec::new(), rows: Vec::new(), empty: empty.into() }
    }

    fn with(mut self, heading: &str, unit: &str, align: Align, part: f64) -> Self {
        self.columns.push(Column { heading: heading.into(), unit: unit.into(), align, part });
        self
    }

    /// A column of text as wide as it needs.
    pub fn column(self, heading: &str) -> Self {
        self.with(heading, "", Align::Text, 0.0)
    }

    /// A column of text that takes its part of the room left.
    pub fn wide(self, heading: &str, part: f64) -> Self {
        self.with(heading, "", Align::Text, part)
    }

    /// A column of numbers of a kind, with its unit.
    pub fn numbers(self, reader: Reader, heading: &str, kind: Kind) -> Self {
        self.with(heading, kind.shown(reader.0).unit, Align::Number, 0.0)
    }

    /// A column of numbers with a unit of its own.
    pub fn plain(self, heading: &str, unit: &str) -> Self {
        self.with(heading, unit, Align::Number, 0.0)
    }

    /// A column of lines to write on.
    pub fn blanks(self, heading: &str, unit: &str) -> Self {
        self.with(heading, unit, Align::Text, 1.0)
    }

    /// Adds a row.
    pub fn row(&mut self, row: Vec<Cell>) {
        self.rows.push(row);
    }

    /// What stands unseen behind a number, so that the points of its column stand under one another when it is set flush
    /// right in figures of one width.
    pub fn padding(&self, row: usize, column: usize) -> String {
        let of = |cells: &Vec<Cell>| cells.get(column).and_then(Cell::after_point);
        let longest = self.rows.iter().filter_map(of).max().unwrap_or(0);
        let own = self.rows.get(row).and_then(of).unwrap_or(longest);
        let missing = longest.saturating_sub(own);
        match (own, missing) {
            (_, 0) => String::new(),
            (0, missing) => format!(".{}", "0".repeat(missing - 1)),
            (_, missing) => "0".repeat(missing),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_stand_under_one_another() {
        let mut table = Table::new("t", "").plain("v", "");
        for (value, decimals) in [(1.25, 2), (12.0, 0), (3.5, 1)] {
            table.row(vec![Cell::number(value, decimals)]);
        }
        table.row(vec![Cell::None("not read".into())]);
        let padded: Vec<String> =
            (0..4).map(|row| format!("{}{}", table.rows[row][0].shown(), table.padding(row, 0))).collect();
        assert_eq!(padded, ["1.25", "12.00", "3.50", "not read"]);
    }
}
