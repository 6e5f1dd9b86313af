//! A TOML text: its grammar, where its lines begin, what was found wrong so far and where its fields stand.

use crate::quantity::shown;
use notice::{Diagnostic, Diagnostics, Place, Severity};
use std::cell::RefCell;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Longest stretch of a line, bytes, in which columns are counted.
const LONGEST_LINE: usize = 4096;
/// Longest path of a field that is said, characters.
const LONGEST_PATH: usize = 200;
/// Largest text that is read, bytes: a site file of a thousand bins is far below.
pub const LARGEST_TEXT: usize = 4 << 20;

/// The text tables come from, what was found wrong so far and where its fields stand.
pub struct Sheet<'t> {
    file: &'t str,
    text: &'t str,
    line_starts: Vec<usize>,
    pub(crate) found: RefCell<Diagnostics>,
    pub(crate) places: RefCell<BTreeMap<String, Place>>,
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
        let found = format!("{what} {:?} with characters that are not seen", shown(text));
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

    /// Line and column of an offset.
    pub(crate) fn place_of(&self, offset: usize, field: Option<String>) -> Place {
        let line = self.line_starts.partition_point(|&start| start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let before = self.text.get(start..offset).unwrap_or("");
        // Counting along a line of megabytes for each of its keys would take for ever, and helps nobody find the place.
        let column = (before.len() <= LONGEST_LINE).then(|| before.chars().count() + 1);
        // A key of half a megabyte is no name that anybody looks for.
        let field = field.map(|path| match path.char_indices().nth(LONGEST_PATH) {
            Some((end, _)) => format!("{}...", &path[..end]),
            None => path,
        });
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
