//! Tables of the sources, compiled in: rows by the names of their columns.

use std::collections::HashMap;

/// A row.
pub struct Row {
    cells: HashMap<String, String>,
}

impl Row {
    /// The text of a column; empty when there is none.
    pub fn text(&self, column: &str) -> &str {
        self.cells.get(column).map_or("", String::as_str)
    }

    /// The number of a column, if it is one.
    pub fn number(&self, column: &str) -> Option<f64> {
        self.text(column).trim().parse().ok()
    }

    /// The number of a column of numbers; NaN, which agrees with nothing, where it is none.
    pub fn value(&self, column: &str) -> f64 {
        self.number(column).unwrap_or(f64::NAN)
    }

    /// The number after a mark in a text of inputs: `after("inputs", "V ")` in "V 0.10 m/s".
    pub fn after(&self, column: &str, mark: &str) -> Option<f64> {
        let (_, rest) = self.text(column).split_once(mark)?;
        let end = rest.find(|c: char| !(c.is_ascii_digit() || ".-".contains(c))).unwrap_or(rest.len());
        rest[..end].parse().ok()
    }
}

/// Reads a table; lines that begin with `#` are no rows, nor are broken ones.
pub fn read(text: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).flexible(true).from_reader(text.as_bytes());
    let names: Vec<String> = reader.headers().map(|h| h.iter().map(Into::into).collect()).unwrap_or_default();
    let row =
        |record: csv::StringRecord| Row { cells: names.iter().cloned().zip(record.iter().map(Into::into)).collect() };
    reader.records().filter_map(Result::ok).map(row).collect()
}

/// The row of an id.
pub fn find<'r>(rows: &'r [Row], column: &str, id: &str) -> Option<&'r Row> {
    rows.iter().find(|row| row.text(column) == id)
}

/// The different texts of a column in the order of their first appearance.
pub fn kinds<'r>(rows: impl IntoIterator<Item = &'r Row>, column: &str) -> Vec<&'r str> {
    let mut seen: Vec<&str> = Vec::new();
    for row in rows {
        let text = row.text(column);
        if !text.is_empty() && !seen.contains(&text) {
            seen.push(text);
        }
    }
    seen
}

/// Fahrenheit to Celsius.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// Dry basis (fraction) to percent wet basis.
pub fn wet(m: f64) -> f64 {
    100.0 * m / (1.0 + m)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_found_after_their_mark() {
        let rows = read("# a comment\na,b\n\"T=-10.5 C; RH=60 %\",x\n");
        assert_eq!(rows[0].after("a", "T="), Some(-10.5));
        assert_eq!(rows[0].after("a", "RH="), Some(60.0));
        assert_eq!(rows[0].after("a", "V="), None);
        assert!(rows[0].value("b").is_nan() && rows[0].text("no").is_empty());
    }
}
