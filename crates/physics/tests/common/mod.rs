//! Reading the tables of the sources.

use std::collections::HashMap;

/// A row of a table: column name to text.
pub struct Row(pub HashMap<String, String>, pub usize);

impl Row {
    /// Text of a column.
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }
    /// Number of a column.
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("line {}: {column} = {text:?} is no number", self.1))
    }
    /// Number of a column, where there is one.
    pub fn optional(&self, column: &str) -> Option<f64> {
        self.text(column).parse().ok()
    }
}

/// Rows of a table beside the tests.
pub fn table(name: &str) -> Vec<Row> {
    let path = format!("{}/tests/tables/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    reader.deserialize().enumerate().map(|(i, row)| Row(row.expect("a row of text"), i + 2)).collect()
}

/// Fahrenheit to Celsius.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// Largest deviation seen so far of each kind, with the line it was seen on.
#[derive(Default)]
pub struct Worst(Vec<(&'static str, f64, usize)>);

impl Worst {
    /// Remembers a deviation.
    pub fn see(&mut self, kind: &'static str, deviation: f64, line: usize) {
        match self.0.iter_mut().find(|w| w.0 == kind) {
            Some(w) if w.1 >= deviation => {}
            Some(w) => (w.1, w.2) = (deviation, line),
            None => self.0.push((kind, deviation, line)),
        }
    }
    /// Prints what was seen.
    pub fn say(&self, table: &str) {
        for (kind, deviation, line) in &self.0 {
            println!("{table}: largest deviation of {kind} {deviation:.3e} (line {line})");
        }
    }
}
