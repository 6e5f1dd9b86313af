//! A TOML text read key by key: everything wrong with it is collected, nothing unknown passes.

use crate::parse;
use notice::nearest;
use notice::{Diagnostic, Diagnostics, Kind, Place, Quantity, Range, UnitSystem};
use std::cell::RefCell;
use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

/// The text and what was found wrong so far.
pub struct Sheet<'t> {
    name: &'t str,
    text: &'t str,
    wrong: RefCell<Diagnostics>,
}

/// One table of it.
pub struct Table<'a, 't> {
    sheet: &'a Sheet<'t>,
    table: &'a DeTable<'a>,
    offset: usize,
    path: &'static str,
}

impl<'t> Sheet<'t> {
    /// A named text.
    pub fn new(name: &'t str, text: &'t str) -> Self {
        Self { name, text, wrong: RefCell::default() }
    }

    /// Parses it; faults of grammar are noted.
    pub fn parse(&self) -> Spanned<DeTable<'t>> {
        let (table, faults) = DeTable::parse_recoverable(self.text);
        for fault in faults {
            let mut at = Place::file(self.name);
            at.line = fault.span().map(|span| self.line(span.start));
            self.add(Diagnostic::error("grammar", fault.message().trim().replace('\n', ", "), at));
        }
        table
    }

    /// Notes one thing.
    pub fn add(&self, diagnostic: Diagnostic) {
        self.wrong.borrow_mut().add(diagnostic);
    }

    /// Whether anything noted so far stops the work.
    pub fn refused(&self) -> bool {
        self.wrong.borrow().stop()
    }

    /// All that was noted, in the order of the text, other files after it.
    pub fn take(&self) -> Diagnostics {
        let mut wrong = self.wrong.take();
        wrong.0.sort_by_key(|d| (d.at.file != self.name, d.at.line));
        wrong
    }

    fn line(&self, offset: usize) -> usize {
        self.text.as_bytes().iter().take(offset).filter(|b| **b == b'\n').count() + 1
    }
}

impl<'a, 't> Table<'a, 't> {
    /// The top of the text.
    pub fn top(sheet: &'a Sheet<'t>, table: &'a Spanned<DeTable<'a>>) -> Self {
        Self { sheet, table: table.get_ref(), offset: table.span().start, path: "" }
    }

    /// Refuses keys that are not known, with the nearest one that is.
    pub fn only(&self, known: &[&str]) {
        for key in self.table.keys() {
            let name = key.get_ref();
            if !known.contains(&name.as_ref()) {
                let mut wrong = Diagnostic::error("unknown-key", format!("unknown key \"{name}\""), self.place(name));
                wrong = match nearest(name, known.iter().copied()) {
                    Some(near) => wrong.help(format!("did you mean \"{near}\"?")),
                    None => wrong.allowed(format!("must be one of {}", known.join(", "))),
                };
                self.sheet.add(wrong);
            }
        }
    }

    /// The place of a key.
    pub fn place(&self, key: &str) -> Place {
        let offset = self.table.get_key_value(key).map_or(self.offset, |(k, _)| k.span().start);
        let field = if self.path.is_empty() { key.to_string() } else { format!("{}.{key}", self.path) };
        Place { field: Some(field), ..Place::line(self.sheet.name, self.sheet.line(offset)) }
    }

    /// Whether a key is there.
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// A table below this one.
    pub fn below(&self, key: &'static str) -> Option<Table<'a, 't>> {
        let found = self.table.get(key)?;
        let DeValue::Table(table) = found.get_ref() else {
            self.wrong(key, "wrong-kind", format!("{key} is no table"), "must be a table");
            return None;
        };
        Some(Table { sheet: self.sheet, table, offset: found.span().start, path: key })
    }

    /// Notes one thing.
    pub fn note(&self, diagnostic: Diagnostic) {
        self.sheet.add(diagnostic);
    }

    /// Notes what is wrong with a key.
    pub fn wrong(&self, key: &str, code: &str, found: impl Into<String>, allowed: impl Into<String>) {
        self.sheet.add(Diagnostic::error(code, found, self.place(key)).allowed(allowed));
    }

    /// Notes that a key is missing.
    pub fn missing(&self, key: &str, example: &str) {
        let at = self.place(key);
        let wrong = Diagnostic::error("missing-key", format!("{key} is missing"), at);
        self.sheet.add(wrong.help(format!("add {key} = {example}")));
    }

    fn value(&self, key: &str) -> Option<&'a DeValue<'a>> {
        self.table.get(key).map(Spanned::get_ref)
    }

    /// A text.
    pub fn text(&self, key: &str) -> Option<&'a str> {
        let value = self.value(key)?;
        let text = value.as_str();
        if text.is_none() {
            self.wrong(key, "wrong-kind", format!("{key} is no text"), "must be a text in quotes");
        }
        text
    }

    /// A text, or nothing when the value is of another kind.
    pub fn peek_text(&self, key: &str) -> Option<&'a str> {
        self.value(key)?.as_str()
    }

    /// A quantity in SI inside what is possible; NaN stands in for what was refused.
    pub fn quantity(&self, key: &str, kind: Kind, range: Range) -> Option<f64> {
        let value = self.value(key)?;
        let Some(text) = value.as_str() else {
            let found = format!("{key} is no text with a unit");
            self.wrong(key, "missing-unit", found, "must be a number with its unit in quotes");
            return Some(f64::NAN);
        };
        Some(self.in_range(key, text, kind, range))
    }

    /// An airflow through grain per volume, 1/s; one per mass by a bulk density (kg/m³). NaN stands in for what was refused.
    pub fn airflow(&self, key: &str, bulk_density: f64, range: Range) -> Option<f64> {
        let text = self.value(key)?.as_str().unwrap_or_default();
        match parse::grain_airflow(text) {
            Ok(flow) if matches!(flow, parse::GrainAirflow::PerMass(_)) => {
                let value = flow.per_volume(bulk_density);
                if !range.contains(value) && !value.is_nan() {
                    let show = |v: f64| Quantity::new(v, Kind::SpecificAirflow).show(UnitSystem::Si);
                    let allowed = format!("must be from {} to {}", show(range.low), show(range.high));
                    self.wrong(key, "impossible", format!("{key} of {:?}", parse::shown(text)), allowed);
                    return Some(f64::NAN);
                }
                Some(value)
            }
            _ => self.quantity(key, Kind::SpecificAirflow, range),
        }
    }

    fn in_range(&self, key: &str, text: &str, kind: Kind, range: Range) -> f64 {
        match parse::quantity(kind, text) {
            Ok(value) if range.contains(value) => value,
            Ok(_) => {
                let show = |v: f64| Quantity::new(v, kind).show(UnitSystem::Si);
                let allowed = format!("must be from {} to {}", show(range.low), show(range.high));
                let allowed = if kind == Kind::Hours { seconds(range) } else { allowed };
                self.wrong(key, "impossible", format!("{key} of {:?}", parse::shown(text)), allowed);
                f64::NAN
            }
            Err(wrong) => {
                self.sheet.add(wrong.at(self.place(key)));
                f64::NAN
            }
        }
    }

    /// A bare number inside what is possible.
    pub fn number(&self, key: &str, range: Range) -> Option<f64> {
        let value = self.value(key)?;
        let number = number(value).filter(|v| range.contains(*v));
        if number.is_none() {
            let allowed = format!("must be a number from {} to {}", range.low, range.high);
            self.wrong(key, "impossible", format!("{key} of {}", shown(value)), allowed);
        }
        number
    }

    /// True or false.
    pub fn truth(&self, key: &str) -> Option<bool> {
        let value = self.value(key)?;
        let truth = value.as_bool();
        if truth.is_none() {
            self.wrong(key, "wrong-kind", format!("{key} is neither true nor false"), "must be true or false");
        }
        truth
    }

    /// Bare numbers in a list.
    pub fn numbers(&self, key: &str, range: Range) -> Option<Vec<f64>> {
        let list = self.list(key)?;
        let read = |item: &Spanned<DeValue<'_>>| {
            let found = number(item.get_ref()).filter(|v| range.contains(*v));
            if found.is_none() {
                let allowed = format!("must be numbers from {} to {}", range.low, range.high);
                self.wrong(key, "impossible", format!("{} in {key}", shown(item.get_ref())), allowed);
            }
            found
        };
        Some(list.iter().filter_map(read).collect())
    }

    /// Quantities in a list.
    pub fn quantities(&self, key: &str, kind: Kind, range: Range) -> Option<Vec<f64>> {
        let list = self.list(key)?;
        let read = |item: &Spanned<DeValue<'_>>| match item.get_ref().as_str() {
            Some(text) => self.in_range(key, text, kind, range),
            None => {
                self.wrong(
                    key,
                    "missing-unit",
                    format!("{} in {key}", shown(item.get_ref())),
                    "must be texts with units",
                );
                f64::NAN
            }
        };
        Some(list.iter().map(read).collect())
    }

    fn list(&self, key: &str) -> Option<&'a [Spanned<DeValue<'a>>]> {
        let value = self.value(key)?;
        let list = value.as_array();
        if list.is_none() {
            self.wrong(key, "wrong-kind", format!("{key} is no list"), "must be a list in brackets");
        }
        list.map(|l| &l[..])
    }
}

/// A range of steps: in hours, as results show them, a step of seconds would be none.
fn seconds(range: Range) -> String {
    format!("must be from {} s to {} s", range.low, range.high)
}

/// The number of a value.
fn number(value: &DeValue<'_>) -> Option<f64> {
    let number: f64 = match value {
        DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix()).ok()? as f64,
        DeValue::Float(n) => n.as_str().parse().ok()?,
        _ => return None,
    };
    number.is_finite().then_some(number)
}

/// A value as a message shows it.
fn shown(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Integer(n) => n.as_str().to_string(),
        DeValue::Float(n) => n.as_str().to_string(),
        DeValue::String(s) => format!("\"{s}\""),
        DeValue::Boolean(b) => b.to_string(),
        _ => "a list or table".into(),
    }
}
