//! Walks the tables of a TOML text field by field, collecting everything wrong with it instead of stopping at the first,
//! and keeping the place of every field for those who check later.

use crate::parse::{self, QuantityError};
use notice::nearest;
use notice::{Diagnostic, Diagnostics, Kind, Place, Severity};
use std::cell::RefCell;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest list of allowed words that a reader is shown.
const LONGEST_LIST: usize = 24;
/// Longest stretch of a line, bytes, in which columns are counted.
const LONGEST_LINE: usize = 4096;
/// Largest text that is read, bytes: a site file of a thousand bins is far below.
pub(crate) const LARGEST_TEXT: usize = 4 << 20;

/// The text tables come from, what was found wrong so far and where its fields stand.
pub(crate) struct Sheet<'t> {
    file: &'t str,
    text: &'t str,
    line_starts: Vec<usize>,
    found: RefCell<Diagnostics>,
    places: RefCell<BTreeMap<String, Place>>,
}

/// Most faults that are said one by one, a text that is no site file has one in every line; with the count of the rest they
/// are the hundred that [`Diagnostics`] writes out.
const MOST_FAULTS: usize = 99;

impl<'t> Sheet<'t> {
    /// A sheet for a named text.
    pub fn new(file: &'t str, text: &'t str) -> Self {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Self { file, text, line_starts, found: RefCell::default(), places: RefCell::default() }
    }

    /// Parses the text; grammar faults are recorded and what could be understood is returned.
    pub fn parse(&self) -> Option<Spanned<DeTable<'t>>> {
        if self.text.len() > LARGEST_TEXT {
            let found = format!("text of {} bytes", self.text.len());
            let allowed = format!("must be at most {LARGEST_TEXT} bytes");
            self.add(Diagnostic::error("text-too-large", found, Place::line(self.file, 1)).allowed(allowed));
            return None;
        }
        let (table, faults) = DeTable::parse_recoverable(self.text);
        let all = faults.len();
        let first_unsaid = faults.get(MOST_FAULTS).and_then(|fault| fault.span()).map_or(0, |span| span.start);
        for fault in faults.into_iter().take(MOST_FAULTS) {
            let offset = fault.span().map_or(0, |span| span.start);
            let message = fault.message().trim().replace('\n', ", ");
            self.add(Diagnostic::error("grammar", message, self.place_of(offset, None)));
        }
        if let Some(more @ 1..) = all.checked_sub(MOST_FAULTS) {
            let found = format!("{more} more faults of grammar");
            let wrong = Diagnostic::error("grammar", found, self.place_of(first_unsaid, None));
            self.add(wrong.help("mend the first ones; one of them may be behind all others"));
        }
        self.unseen(table.get_ref());
        Some(table)
    }

    /// Refuses what is not seen in keys and texts, however it is written: it makes two names look alike. Comments are free,
    /// and line ends and tabs in a text are for its reader to judge.
    fn unseen(&self, table: &DeTable<'_>) {
        for (key, value) in table.iter() {
            if key.get_ref().chars().any(notice::unseen) {
                self.not_seen("key", key.get_ref(), key.span().start);
            }
            self.unseen_in(value);
        }
    }

    fn unseen_in(&self, value: &Spanned<DeValue<'_>>) {
        match value.get_ref() {
            DeValue::String(text) if text.chars().any(|c| notice::unseen(c) && !matches!(c, '\n' | '\r' | '\t')) => {
                self.not_seen("text", text, value.span().start);
            }
            DeValue::Array(list) => list.iter().for_each(|item| self.unseen_in(item)),
            DeValue::Table(table) => self.unseen(table),
            _ => {}
        }
    }

    fn not_seen(&self, what: &str, text: &str, offset: usize) {
        let found = format!("{what} {:?} with characters that are not seen", parse::shown(text));
        let wrong = Diagnostic::error("unseen-characters", found, self.place_of(offset, None));
        self.add(wrong.help("write it anew without control characters, marks of direction and signs of no width"));
    }

    /// Records one thing.
    pub fn add(&self, diagnostic: Diagnostic) {
        self.found.borrow_mut().add(diagnostic);
    }

    /// Whether anything recorded so far stops the work.
    pub fn stops(&self) -> bool {
        self.found.borrow().stop()
    }

    /// All that was recorded, in the order of the text, and the places of the fields.
    pub fn finish(self) -> (Diagnostics, BTreeMap<String, Place>) {
        let mut found = self.found.into_inner();
        found.0.sort_by_key(|d| (d.at.line, d.at.column));
        cap(&mut found);
        (found, self.places.into_inner())
    }

    fn place_of(&self, offset: usize, field: Option<String>) -> Place {
        let line = self.line_starts.partition_point(|&start| start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let before = self.text.get(start..offset).unwrap_or("");
        // Counting along a line of megabytes for each of its keys would take for ever, and helps nobody find the place.
        let column = (before.len() <= LONGEST_LINE).then(|| before.chars().count() + 1);
        Place { file: self.file.into(), line: Some(line), column, field }
    }
}

/// Leaves so many diagnostics that a reader and a browser bear, and counts the rest. Errors go before warnings, so that what
/// stops the work is among those that are said.
fn cap(found: &mut Diagnostics) {
    if found.0.len() <= MOST_FAULTS + 1 {
        return;
    }
    found.0.sort_by_key(|d| d.severity != Severity::Error);
    let rest = found.0.split_off(MOST_FAULTS);
    found.0.sort_by_key(|d| (d.at.line, d.at.column));
    let Some(first) = rest.first() else { return };
    let text = format!("{} more faults of this text", rest.len());
    let more = Diagnostic::error("more-faults", text, first.at.clone())
        .help("mend the first ones; others may follow from them");
    found.add(if rest.iter().any(|d| d.severity == Severity::Error) { more } else { more.as_warning() });
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
        self.parsed(key, |text| limits.hold(text, parse::quantity(kind, text)?))
    }

    /// A quantity in SI within limits that must be there.
    pub fn needed_quantity(&self, key: &'static str, example: &str, kind: Kind, limits: Limits) -> Option<f64> {
        self.needed(key, example, |text| limits.hold(text, parse::quantity(kind, text)?))
    }

    /// A list of texts.
    pub fn texts(&self, key: &'static str) -> Option<Vec<String>> {
        let value = self.get(key)?.get_ref();
        let texts = value.as_array().map(|list| {
            list.iter().map(|item| item.get_ref().as_str().map(str::to_string)).collect::<Option<Vec<_>>>()
        });
        if !matches!(texts, Some(Some(_))) {
            self.wrong_kind(key, value, "a list of texts");
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
                self.wrong_kind(key, value, "a number");
                None
            }
            Some(n) if n >= low && n <= high => Some(n),
            Some(n) => {
                self.fault(key, "out-of-bounds", format!("{key} of {n}"), format!("must be from {low} to {high}"));
                None
            }
        }
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
        let found = format!("{key} is {:?}", parse::shown(text));
        let mut diagnostic = Diagnostic::error("unknown-word", found, self.place(key)).allowed(allowed);
        if let Some(near) = nearest(&parse::shown(text), words) {
            diagnostic = diagnostic.help(format!("did you mean {near:?}?"));
        }
        self.add(diagnostic);
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
        let asked = self.asked.borrow();
        for key in self.table.keys().map(|key| key.get_ref().as_ref()) {
            if asked.contains(&key) {
                continue;
            }
            let found = format!("unknown key {:?}", parse::shown(key));
            let diagnostic = Diagnostic::error("unknown-key", found, self.place(key));
            let help = match nearest(&parse::shown(key), asked.iter().copied()) {
                Some(near) => {
                    self.found_misspelt(near);
                    format!("did you mean {near:?}?")
                }
                None => {
                    let mut known: Vec<&str> = asked.clone();
                    known.sort_unstable();
                    known.dedup();
                    format!("known here: {}", known.join(", "))
                }
            };
            self.add(diagnostic.help(help));
        }
    }
}

/// Limits of a quantity in SI, with the words that say them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    low: f64,
    high: f64,
    open: bool,
    words: &'static str,
}

impl Limits {
    /// Both ends allowed.
    pub const fn within(low: f64, high: f64, words: &'static str) -> Self {
        Self { low, high, open: false, words }
    }

    /// The lower end not allowed.
    pub const fn above(low: f64, high: f64, words: &'static str) -> Self {
        Self { low, high, open: true, words }
    }

    /// The value when it lies inside.
    pub fn hold(&self, text: &str, value: f64) -> Result<f64, QuantityError> {
        let inside = if self.open { value > self.low } else { value >= self.low };
        if inside && value <= self.high {
            return Ok(value);
        }
        let found = format!("{:?} is out of bounds", parse::shown(text));
        Err(QuantityError::new("out-of-bounds", found).allowed(format!("must be {}", self.words)))
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
        DeValue::String(s) => format!("the text {:?}", parse::shown(s)),
        DeValue::Integer(i) => format!("the number {}", parse::shown(&i.to_string())),
        DeValue::Float(f) => format!("the number {}", parse::shown(&f.to_string())),
        DeValue::Boolean(b) => format!("{b}"),
        DeValue::Datetime(d) => format!("the date {d}"),
        DeValue::Array(_) => "a list".into(),
        DeValue::Table(_) => "a table".into(),
    }
}
