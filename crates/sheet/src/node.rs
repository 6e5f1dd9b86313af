//! Walks the tables of a TOML text field by field, collecting everything wrong with it instead of stopping at the first,
//! and keeping the place of every field for those who check later.

use crate::limits::Limits;
use crate::quantity::{self, QuantityError, shown};
use crate::text::Sheet;
use notice::nearest;
use notice::{Diagnostic, Kind, Place, Range};
use std::cell::RefCell;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest list of allowed words that a reader is shown.
const LONGEST_LIST: usize = 24;

/// One table while it is read; what was never asked for is refused by [`Node::close`].
pub struct Node<'a, 'i> {
    sheet: &'a Sheet<'a>,
    table: &'a DeTable<'i>,
    offset: usize,
    path: String,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a, 'i> Node<'a, 'i> {
    /// The top of a text.
    pub fn top(sheet: &'a Sheet<'a>, table: &'a Spanned<DeTable<'i>>) -> Self {
        Self::at(sheet, table.get_ref(), 0, String::new())
    }

    fn at(sheet: &'a Sheet<'a>, table: &'a DeTable<'i>, offset: usize, path: String) -> Self {
        if !path.is_empty() {
            let place = sheet.place_of(offset, Some(path.clone()));
            sheet.places.borrow_mut().insert(path.clone(), place);
        }
        Self { sheet, table, offset, path, asked: RefCell::default() }
    }

    /// Whether a key stands in the table.
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// All keys in the order of the text, for tables keyed by name.
    pub fn names(&self) -> Vec<String> {
        let mut keys: Vec<_> = self.table.keys().map(|key| (key.span().start, key.get_ref().to_string())).collect();
        keys.sort();
        keys.into_iter().map(|(_, name)| name).collect()
    }

    /// The path of a field of this table.
    pub fn path(&self, key: &str) -> String {
        match (self.path.is_empty(), key.is_empty()) {
            (true, _) => key.to_string(),
            (false, true) => self.path.clone(),
            (false, false) => format!("{}.{key}", self.path),
        }
    }

    /// The place of a key, or of the table when the key is not there.
    pub fn place(&self, key: &str) -> Place {
        let offset = self.table.get_key_value(key).map_or(self.offset, |(k, _)| k.span().start);
        let field = self.path(key);
        self.sheet.place_of(offset, (!field.is_empty()).then_some(field))
    }

    /// Records a fault of a key.
    pub fn fault(&self, key: &str, code: &str, found: impl Into<String>, allowed: impl Into<String>) {
        self.add(Diagnostic::error(code, found, self.place(key)).allowed(allowed));
    }

    /// The place of a field read before, by its path from the top; that of the key when it was never read.
    pub fn place_of_path(&self, path: &str, key: &str) -> Place {
        self.sheet.places.borrow().get(path).cloned().unwrap_or_else(|| self.place(key))
    }

    /// Records a diagnostic.
    pub fn add(&self, diagnostic: Diagnostic) {
        self.sheet.add(diagnostic);
    }

    /// Records why a text of a key is no quantity.
    pub fn refuse(&self, key: &str, error: QuantityError) {
        let place = self.place(key);
        let found = if key.is_empty() { error.found } else { format!("{key}: {}", error.found) };
        self.add(QuantityError { found, ..error }.at(place));
    }

    fn get(&self, key: &'static str) -> Option<&'a Spanned<DeValue<'i>>> {
        self.asked.borrow_mut().push(key);
        let value = self.table.get(key)?;
        let place = self.place(key);
        self.sheet.places.borrow_mut().insert(self.path(key), place);
        Some(value)
    }

    /// Refuses a list by its first item that is not wanted, or what is no list at all.
    fn wrong_item(&self, key: &str, value: &DeValue<'_>, wanted: impl Fn(&DeValue<'_>) -> bool, allowed: &str) {
        let item = value.as_array().and_then(|list| list.iter().find(|item| !wanted(item.get_ref())));
        match item {
            Some(item) => {
                let found = format!("{} in {key}", kind(item.get_ref()));
                self.fault(key, "wrong-kind", found, format!("must be {allowed}"));
            }
            None => self.wrong_kind(key, value, allowed),
        }
    }

    fn wrong_kind(&self, key: &str, value: &DeValue<'_>, allowed: &str) {
        self.fault(key, "wrong-kind", format!("{key} is {}", kind(value)), format!("must be {allowed}"));
    }

    /// Records that a key is not there.
    pub fn missing(&self, key: &str, example: &str) {
        let what = if self.path.is_empty() { "the file".into() } else { format!("[{}]", self.path) };
        // The place is the table's, the field the one that is missing.
        let at = Place { field: Some(self.path(key)), ..self.place("") };
        self.add(
            Diagnostic::error("missing-key", format!("{what} has no {key}"), at)
                .allowed("it is needed")
                .help(format!("add {example}")),
        );
    }

    /// A text that may be left out.
    pub fn text(&self, key: &'static str) -> Option<String> {
        let value = self.get(key)?.get_ref();
        let text = value.as_str().map(str::to_string);
        if text.is_none() {
            self.wrong_kind(key, value, "a text in quotes");
        }
        text
    }

    /// A text that must be there.
    pub fn needed_text(&self, key: &'static str, example: &str) -> Option<String> {
        if !self.has(key) {
            self.missing(key, &format!("{key} = {example:?}"));
        }
        self.text(key)
    }

    /// A text turned into a value by a parser; faults are recorded.
    pub fn parsed<T>(&self, key: &'static str, parse: impl Fn(&str) -> Result<T, QuantityError>) -> Option<T> {
        self.get(key)?;
        self.parsed_at(key, parse)
    }

    /// The same for a key of the user's naming, of a table that is not closed.
    pub fn parsed_at<T>(&self, key: &str, parse: impl Fn(&str) -> Result<T, QuantityError>) -> Option<T> {
        let value = self.table.get(key)?.get_ref();
        let text = match value {
            DeValue::String(text) => text.to_string(),
            // A bare number is refused with the words of a quantity without unit.
            DeValue::Integer(_) | DeValue::Float(_) => written(value),
            other => {
                self.wrong_kind(key, other, "a text in quotes");
                return None;
            }
        };
        let bare = !matches!(value, DeValue::String(_));
        match parse(&text) {
            Ok(_) if bare => {
                self.wrong_kind(key, value, "a text in quotes");
                None
            }
            Ok(value) => Some(value),
            Err(error) => {
                self.refuse(key, error);
                None
            }
        }
    }

    /// A parsed text that must be there.
    pub fn needed<T>(
        &self,
        key: &'static str,
        example: &str,
        parse: impl Fn(&str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        if !self.has(key) {
            self.missing(key, &format!("{key} = {example:?}"));
        }
        self.parsed(key, parse)
    }

    /// A quantity in SI within limits that may be left out.
    pub fn quantity(&self, key: &'static str, kind: Kind, limits: Limits) -> Option<f64> {
        self.parsed(key, |text| limits.hold(text, quantity::quantity(kind, text)?))
    }

    /// A quantity in SI within limits that must be there.
    pub fn needed_quantity(&self, key: &'static str, example: &str, kind: Kind, limits: Limits) -> Option<f64> {
        self.needed(key, example, |text| limits.hold(text, quantity::quantity(kind, text)?))
    }

    /// A list of texts.
    pub fn texts(&self, key: &'static str) -> Option<Vec<String>> {
        let value = self.get(key)?.get_ref();
        let texts = value.as_array().map(|list| {
            list.iter().map(|item| item.get_ref().as_str().map(str::to_string)).collect::<Option<Vec<_>>>()
        });
        if !matches!(texts, Some(Some(_))) {
            self.wrong_item(key, value, |item| item.as_str().is_some(), "a list of texts");
        }
        texts.flatten()
    }

    /// A list of lists of texts.
    pub fn rows(&self, key: &'static str) -> Option<Vec<Vec<String>>> {
        let value = self.get(key)?.get_ref();
        let row = |item: &Spanned<DeValue<'_>>| -> Option<Vec<String>> {
            item.get_ref().as_array()?.iter().map(|cell| cell.get_ref().as_str().map(str::to_string)).collect()
        };
        let rows: Option<Vec<Vec<String>>> = value.as_array().and_then(|list| list.iter().map(row).collect());
        if rows.is_none() {
            self.wrong_kind(
                key,
                value,
                "rows of texts with units, as [[\"0 in wc\", \"12000 cfm\"], [\"4 in wc\", \"9000 cfm\"]]",
            );
        }
        rows
    }

    /// A bare number within bounds that may be left out.
    pub fn number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        let value = self.get(key)?.get_ref();
        match number(value) {
            None => {
                let any = low == f64::MIN && high == f64::MAX;
                self.wrong_kind(
                    key,
                    value,
                    &if any { "a number".into() } else { format!("a number from {low} to {high}") },
                );
                None
            }
            Some(n) if n >= low && n <= high => Some(n),
            Some(n) => {
                self.fault(key, "out-of-bounds", format!("{key} of {n}"), format!("must be from {low} to {high}"));
                None
            }
        }
    }

    /// A bare number within bounds that must be there.
    pub fn needed_number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        if !self.has(key) {
            self.missing(key, &format!("{key} = a number from {low} to {high}"));
        }
        self.number(key, low, high)
    }

    /// A list of bare numbers that may be left out.
    pub fn numbers(&self, key: &'static str) -> Option<Vec<f64>> {
        let value = self.get(key)?.get_ref();
        let numbers = value.as_array().and_then(|l| l.iter().map(|v| number(v.get_ref())).collect::<Option<Vec<_>>>());
        if numbers.is_none() {
            self.wrong_item(key, value, |item| number(item).is_some(), "a list of numbers");
        }
        numbers
    }

    /// A list of bare numbers that must be there.
    pub fn needed_numbers(&self, key: &'static str) -> Option<Vec<f64>> {
        if !self.has(key) {
            self.missing(key, &format!("{key} = [numbers]"));
        }
        self.numbers(key)
    }

    /// Two rising bare numbers within bounds that may be left out.
    pub fn range(&self, key: &'static str, low: f64, high: f64) -> Option<Range> {
        let numbers = self.numbers(key)?;
        match numbers.as_slice() {
            [a, b] if a <= b && *a >= low && *b <= high => Some(Range::new(*a, *b)),
            _ => {
                let allowed = format!("must be two rising numbers from {low} to {high}");
                self.fault(key, "out-of-bounds", format!("{key} of {numbers:?}"), allowed);
                None
            }
        }
    }

    /// Two rising bare numbers that must be there.
    pub fn needed_range(&self, key: &'static str, low: f64, high: f64) -> Option<Range> {
        if !self.has(key) {
            self.missing(key, &format!("{key} = [low, high] within {low} and {high}"));
        }
        self.range(key, low, high)
    }

    /// A whole number within bounds that may be left out.
    pub fn count(&self, key: &'static str, low: u32, high: u32) -> Option<u32> {
        let value = self.get(key)?.get_ref();
        let whole = match value {
            DeValue::Integer(i) => i64::from_str_radix(&i.as_str().replace('_', ""), i.radix()).ok(),
            _ => {
                self.wrong_kind(key, value, "a whole number");
                return None;
            }
        };
        match whole.and_then(|n| u32::try_from(n).ok()).filter(|n| (low..=high).contains(n)) {
            Some(n) => Some(n),
            None => {
                let found = format!("{key} is {}", kind(value));
                self.fault(key, "out-of-bounds", found, format!("must be from {low} to {high}"));
                None
            }
        }
    }

    /// True or false.
    pub fn flag(&self, key: &'static str) -> Option<bool> {
        let value = self.get(key)?.get_ref();
        let flag = value.as_bool();
        if flag.is_none() {
            self.wrong_kind(key, value, "true or false");
        }
        flag
    }

    /// One of a few words.
    pub fn choice<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)]) -> Option<T> {
        let text = self.text(key)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value);
        if found.is_none() {
            self.unknown_word(key, &text, words.iter().map(|(word, _)| *word));
        }
        found
    }

    /// One of a few words that must be there.
    pub fn needed_choice<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)]) -> Option<T> {
        if !self.has(key) {
            let example = words.first().map(|(word, _)| *word).unwrap_or_default();
            self.missing(key, &format!("{key} = {example:?}"));
        }
        self.choice(key, words)
    }

    /// Records a word that is none of the allowed ones.
    pub fn unknown_word<'w>(&self, key: &str, text: &str, words: impl Iterator<Item = &'w str> + Clone) {
        let list: Vec<&str> = words.clone().collect();
        let allowed = if list.len() > LONGEST_LIST {
            format!("must be one of {} known names", list.len())
        } else {
            format!("must be one of {}", list.join(", "))
        };
        let found = format!("{key} is {:?}", shown(text));
        let mut diagnostic = Diagnostic::error("unknown-word", found, self.place(key)).allowed(allowed);
        if let Some(near) = nearest(&shown(text), words) {
            diagnostic = diagnostic.help(format!("did you mean {near:?}?"));
        }
        self.add(diagnostic);
    }

    /// The text of a key, or nothing when its value is of another kind; does not count as read.
    pub fn peek_text(&self, key: &str) -> Option<&'a str> {
        self.table.get(key)?.get_ref().as_str()
    }

    /// Whether the value of a key is a text.
    pub fn is_text(&self, key: &str) -> bool {
        self.table.get(key).is_some_and(|value| value.get_ref().as_str().is_some())
    }

    /// Whether the value of a key is a list.
    pub fn is_list(&self, key: &str) -> bool {
        self.table.get(key).is_some_and(|value| value.get_ref().as_array().is_some())
    }

    /// A sub-table that may be left out.
    pub fn table(&self, key: &'static str) -> Option<Self> {
        self.get(key)?;
        self.named(key)
    }

    /// A sub-table that must be there.
    pub fn needed_table(&self, key: &'static str) -> Option<Self> {
        if !self.has(key) {
            self.missing(key, &format!("a table [{}]", self.path(key)));
        }
        self.table(key)
    }

    /// A sub-table of a table keyed by name.
    pub fn named(&self, key: &str) -> Option<Self> {
        let (name, value) = self.table.get_key_value(key)?;
        let table = value.get_ref().as_table();
        if table.is_none() {
            self.wrong_kind(key, value.get_ref(), "a table");
        }
        Some(Self::at(self.sheet, table?, name.span().start, self.path(key)))
    }

    /// An array of tables; empty when left out.
    pub fn tables(&self, key: &'static str) -> Vec<Self> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let path = self.path(key);
        let rows: Option<Vec<Self>> = value.get_ref().as_array().and_then(|list| {
            let row = |(i, item): (usize, &'a Spanned<DeValue<'i>>)| {
                let table = item.get_ref().as_table()?;
                Some(Self::at(self.sheet, table, item.span().start, format!("{path}[{i}]")))
            };
            list.iter().enumerate().map(row).collect()
        });
        if rows.is_none() {
            self.wrong_kind(key, value.get_ref(), "a list of tables");
        }
        rows.unwrap_or_default()
    }

    /// Takes back that a key is missing when it stands there misspelt: one slip is one fault.
    fn found_misspelt(&self, key: &str) {
        if self.has(key) {
            return;
        }
        let field = self.path(key);
        let same = |d: &Diagnostic| d.code == "missing-key" && d.at.field.as_deref() == Some(&field);
        self.sheet.found.borrow_mut().0.retain(|d| !same(d));
    }

    /// Refuses every key that was not asked for.
    pub fn close(&self) {
        self.only(&self.asked.borrow());
    }

    /// Refuses every key that is none of the known ones.
    pub fn only(&self, known: &[&'static str]) {
        for key in self.table.keys().map(|key| key.get_ref().as_ref()) {
            if known.contains(&key) {
                continue;
            }
            let found = format!("unknown key {:?}", shown(key));
            let diagnostic = Diagnostic::error("unknown-key", found, self.place(key));
            let help = match nearest(&shown(key), known.iter().copied()) {
                Some(near) => {
                    self.found_misspelt(near);
                    format!("did you mean {near:?}?")
                }
                None => {
                    let mut known = known.to_vec();
                    known.sort_unstable();
                    known.dedup();
                    format!("known here: {}", known.join(", "))
                }
            };
            self.add(diagnostic.help(help));
        }
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Float(f) => f.as_str().replace('_', "").parse().ok(),
        DeValue::Integer(i) => i64::from_str_radix(&i.as_str().replace('_', ""), i.radix()).ok().map(|n| n as f64),
        _ => None,
    }
    .filter(|n: &f64| n.is_finite())
}

/// A bare number as it stands in the text.
fn written(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Integer(i) if i.radix() == 10 => i.as_str().replace('_', ""),
        DeValue::Float(f) => f.as_str().replace('_', ""),
        other => number(other).map_or_else(|| kind(other), |n| n.to_string()),
    }
}

fn kind(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(s) => format!("the text {:?}", shown(s)),
        DeValue::Integer(i) => format!("the number {}", shown(&i.to_string())),
        DeValue::Float(f) => format!("the number {}", shown(&f.to_string())),
        DeValue::Boolean(b) => format!("{b}"),
        DeValue::Datetime(d) => format!("the date {d}"),
        DeValue::Array(_) => "a list".into(),
        DeValue::Table(_) => "a table".into(),
    }
}
