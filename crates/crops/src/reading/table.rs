//! Reads a table of a data file field by field, collecting everything wrong with it instead of stopping at the first.

use notice::nearest;
use notice::{Diagnostic, Diagnostics, Place, Range};
use std::cell::RefCell;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest list of allowed words that a reader is shown.
const LONGEST_LIST: usize = 16;

/// The text a table comes from and what was found wrong so far.
pub(crate) struct Sheet<'t> {
    file: &'t str,
    line_starts: Vec<usize>,
    found: RefCell<Diagnostics>,
}

impl<'t> Sheet<'t> {
    /// A sheet for a named text.
    pub fn new(file: &'t str, text: &str) -> Self {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Self { file, line_starts, found: RefCell::default() }
    }

    /// Parses the text; grammar faults are recorded and what could be understood is returned.
    pub fn parse<'i>(&self, text: &'i str) -> Spanned<DeTable<'i>> {
        let (table, faults) = DeTable::parse_recoverable(text);
        for fault in faults {
            let mut place = Place::file(self.file);
            place.line = fault.span().map(|span| self.line(span.start));
            self.add(Diagnostic::error("crop-file-grammar", fault.message().trim().replace('\n', ", "), place));
        }
        table
    }

    /// Records one thing.
    pub fn add(&self, diagnostic: Diagnostic) {
        self.found.borrow_mut().add(diagnostic);
    }

    /// All that was recorded, in the order of the text.
    pub fn finish(self) -> Diagnostics {
        let mut found = self.found.into_inner();
        found.0.sort_by_key(|diagnostic| diagnostic.at.line);
        found
    }

    /// Whether anything recorded so far stops the work.
    pub fn stops(&self) -> bool {
        self.found.borrow().stop()
    }

    fn line(&self, offset: usize) -> usize {
        self.line_starts.partition_point(|&start| start <= offset)
    }
}

/// One table while it is read; what was never asked for is refused by [`Node::close`].
pub(crate) struct Node<'a, 'i> {
    sheet: &'a Sheet<'a>,
    table: &'a DeTable<'i>,
    offset: usize,
    path: String,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a, 'i> Node<'a, 'i> {
    /// The top of a file.
    pub fn top(sheet: &'a Sheet<'a>, table: &'a Spanned<DeTable<'i>>) -> Self {
        Self::at(sheet, table.get_ref(), table.span().start, String::new())
    }

    fn at(sheet: &'a Sheet<'a>, table: &'a DeTable<'i>, offset: usize, path: String) -> Self {
        Self { sheet, table, offset, path, asked: RefCell::default() }
    }

    /// Whether a key stands in the table.
    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// All keys, for tables keyed by name.
    pub fn names(&self) -> Vec<String> {
        self.table.keys().map(|key| key.get_ref().to_string()).collect()
    }

    /// The place of a key, or of the table when the key is not there.
    pub fn place(&self, key: &str) -> Place {
        let offset = self.table.get_key_value(key).map_or(self.offset, |(k, _)| k.span().start);
        let field = match (self.path.is_empty(), key.is_empty()) {
            (true, _) => key.to_string(),
            (false, true) => self.path.clone(),
            (false, false) => format!("{}.{key}", self.path),
        };
        Place { field: (!field.is_empty()).then_some(field), ..Place::line(self.sheet.file, self.sheet.line(offset)) }
    }

    /// Records a fault of a key.
    pub fn fault(&self, key: &str, code: &str, found: impl Into<String>, allowed: impl Into<String>) {
        self.sheet.add(Diagnostic::error(code, found, self.place(key)).allowed(allowed));
    }

    fn get(&self, key: &'static str) -> Option<&'a DeValue<'i>> {
        self.asked.borrow_mut().push(key);
        self.table.get(key).map(Spanned::get_ref)
    }

    fn wrong_kind(&self, key: &str, value: &DeValue<'_>, allowed: &str) {
        self.fault(key, "crop-file-kind", format!("{key} is {}", kind(value)), format!("must be {allowed}"));
    }

    /// Records that a key is not there.
    pub fn missing(&self, key: &str) {
        let what = if self.path.is_empty() { "the file".into() } else { self.path.clone() };
        let at = self.place("");
        self.sheet.add(Diagnostic::error("crop-file-missing", format!("{what} has no {key}"), at).allowed("needs one"));
    }

    /// A text that may be left out.
    pub fn text(&self, key: &'static str) -> Option<String> {
        let value = self.get(key)?;
        let text = value.as_str().map(str::to_string);
        if text.is_none() {
            self.wrong_kind(key, value, "a text in quotes");
        }
        text
    }

    /// A text that must be there.
    pub fn needed_text(&self, key: &'static str) -> Option<String> {
        if !self.has(key) {
            self.missing(key);
        }
        self.text(key)
    }

    /// A list of texts.
    pub fn texts(&self, key: &'static str) -> Option<Vec<String>> {
        let value = self.get(key)?;
        let texts = value.as_array().map(|list| {
            list.iter().map(|item| item.get_ref().as_str().map(str::to_string)).collect::<Option<Vec<_>>>()
        });
        if !matches!(texts, Some(Some(_))) {
            self.wrong_kind(key, value, "a list of texts");
        }
        texts.flatten()
    }

    /// A number within bounds that may be left out.
    pub fn number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        let value = self.get(key)?;
        match number(value) {
            None => {
                self.wrong_kind(key, value, "a number");
                None
            }
            Some(n) if n >= low && n <= high => Some(n),
            Some(n) => {
                self.fault(key, "crop-file-bounds", format!("{key} of {n}"), format!("must be from {low} to {high}"));
                None
            }
        }
    }

    /// A number within bounds that must be there.
    pub fn needed_number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        if !self.has(key) {
            self.missing(key);
        }
        self.number(key, low, high)
    }

    /// A list of numbers.
    pub fn numbers(&self, key: &'static str) -> Option<Vec<f64>> {
        let value = self.get(key)?;
        let numbers = value.as_array().and_then(|l| l.iter().map(|v| number(v.get_ref())).collect::<Option<Vec<_>>>());
        if numbers.is_none() {
            self.wrong_kind(key, value, "a list of numbers");
        }
        numbers
    }

    /// A list of numbers that must be there.
    pub fn needed_numbers(&self, key: &'static str) -> Option<Vec<f64>> {
        if !self.has(key) {
            self.missing(key);
        }
        self.numbers(key)
    }

    /// True or false.
    pub fn flag(&self, key: &'static str) -> Option<bool> {
        let value = self.get(key)?;
        let flag = value.as_bool();
        if flag.is_none() {
            self.wrong_kind(key, value, "true or false");
        }
        flag
    }

    /// Two rising numbers within bounds.
    pub fn range(&self, key: &'static str, low: f64, high: f64) -> Option<Range> {
        let numbers = self.numbers(key)?;
        match numbers.as_slice() {
            [a, b] if a <= b && *a >= low && *b <= high => Some(Range::new(*a, *b)),
            _ => {
                let allowed = format!("must be two rising numbers from {low} to {high}");
                self.fault(key, "crop-file-bounds", format!("{key} of {numbers:?}"), allowed);
                None
            }
        }
    }

    /// Two rising numbers that must be there.
    pub fn needed_range(&self, key: &'static str, low: f64, high: f64) -> Option<Range> {
        if !self.has(key) {
            self.missing(key);
        }
        self.range(key, low, high)
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

    /// Records a word that is none of the allowed ones.
    pub fn unknown_word<'w>(&self, key: &str, text: &str, words: impl Iterator<Item = &'w str> + Clone) {
        let list: Vec<&str> = words.clone().collect();
        let allowed = if list.len() > LONGEST_LIST {
            format!("must be one of {} known names", list.len())
        } else {
            format!("must be one of {}", list.join(", "))
        };
        let mut diagnostic =
            Diagnostic::error("crop-file-word", format!("{key} is {text:?}"), self.place(key)).allowed(allowed);
        if let Some(near) = nearest(text, words) {
            diagnostic = diagnostic.help(format!("did you mean {near:?}?"));
        }
        self.sheet.add(diagnostic);
    }

    /// Records a source that leads nowhere.
    pub fn unknown_source<'w>(&self, key: &str, known: impl Iterator<Item = &'w str>) {
        let help = match nearest(key, known) {
            Some(near) => format!("did you mean {near:?}?"),
            None => format!("add the work: [sources.{key}] with citation = \"...\""),
        };
        let found = format!("source is {key:?}");
        let diagnostic = Diagnostic::error("crop-file-source", found, self.place("source"));
        self.sheet.add(diagnostic.allowed("must be a key of the bibliography").help(help));
    }

    /// A sub-table that may be left out.
    pub fn table(&self, key: &'static str) -> Option<Self> {
        self.get(key)?;
        self.named(key)
    }

    /// A sub-table of a table keyed by name.
    pub fn named(&self, key: &str) -> Option<Self> {
        let value = self.table.get(key)?;
        let table = value.get_ref().as_table();
        if table.is_none() {
            self.wrong_kind(key, value.get_ref(), "a table");
        }
        let place = self.place(key).field.unwrap_or_default();
        Some(Self::at(self.sheet, table?, value.span().start, place))
    }

    /// An array of tables; empty when left out.
    pub fn tables(&self, key: &'static str) -> Vec<Self> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let place = self.place(key).field.unwrap_or_default();
        let rows: Option<Vec<Self>> = value.as_array().and_then(|list| {
            let row = |(i, item): (usize, &'a Spanned<DeValue<'i>>)| {
                let table = item.get_ref().as_table()?;
                Some(Self::at(self.sheet, table, item.span().start, format!("{place}[{i}]")))
            };
            list.iter().enumerate().map(row).collect()
        });
        if rows.is_none() {
            self.wrong_kind(key, value, "a list of tables");
        }
        rows.unwrap_or_default()
    }

    /// Refuses every key that was not asked for.
    pub fn close(self) {
        let asked = self.asked.borrow();
        for key in self.table.keys().map(|key| key.get_ref().as_ref()) {
            if asked.contains(&key) {
                continue;
            }
            let mut diagnostic =
                Diagnostic::error("crop-file-unknown-key", format!("unknown key {key:?}"), self.place(key));
            if let Some(near) = nearest(key, asked.iter().copied()) {
                diagnostic = diagnostic.help(format!("did you mean {near:?}?"));
            } else {
                let mut known: Vec<&str> = asked.clone();
                known.sort_unstable();
                known.dedup();
                diagnostic = diagnostic.help(format!("known here: {}", known.join(", ")));
            }
            self.sheet.add(diagnostic);
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

fn kind(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(s) => format!("the text {s:?}"),
        DeValue::Integer(i) => format!("the number {i}"),
        DeValue::Float(f) => format!("the number {f}"),
        DeValue::Boolean(b) => format!("{b}"),
        DeValue::Datetime(d) => format!("the date {d}"),
        DeValue::Array(_) => "a list".into(),
        DeValue::Table(_) => "a table".into(),
    }
}
