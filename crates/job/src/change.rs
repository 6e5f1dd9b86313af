//! A change to a file of text: one value at one path, everything else left as it was written, comments included.
//!
//! Forms, sliders and candidates are changes; the document of record stays the text. Leaves out whether the changed text
//! makes sense: that is for its reader.

use notice::{Diagnostic, Place};
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Key, Table, Value};

/// One value to put at one path, or to take away from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Path as diagnostics write it: `bins.north.lots[0].moisture`; names with dots stand in double quotes.
    pub path: String,
    /// The value. Where a text stands, it is taken as text (`18 %`); elsewhere as a value of the file (`4`, `true`,
    /// `["a", "b"]`, `{ kind = "continuous" }`), and as text when it is none. An empty one takes away what the path
    /// leads to, be it a value, a list's entry or a whole table; where nothing is, nothing happens.
    pub value_text: String,
}

/// Why a change cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeError {
    /// The text itself cannot be read.
    #[error("text that cannot be read: {message}")]
    Grammar {
        /// What is wrong with it.
        message: String,
        /// Where, in bytes from the beginning.
        offset: usize,
    },
    /// The path is none.
    #[error("path {path:?} cannot be read at {rest:?}")]
    Path {
        /// The path.
        path: String,
        /// From where on it is not understood.
        rest: String,
    },
    /// The path leads through something without parts.
    #[error("{at} has no parts")]
    NotATable {
        /// Path of the thing.
        at: String,
    },
    /// The path asks for an entry that a list does not have, nor has as its next one.
    #[error("{at} has {entries} entries, none with the number {asked}")]
    NoEntry {
        /// Path of the list.
        at: String,
        /// Entries it has.
        entries: usize,
        /// Number asked for, from 0.
        asked: usize,
    },
    /// The path ends at a table, which is changed value by value.
    #[error("{at} is a table; change its values one by one")]
    WholeTable {
        /// Path of the table.
        at: String,
    },
}

impl ChangeError {
    /// The same as a diagnostic in a file.
    pub fn diagnostic(&self, file: &str) -> Diagnostic {
        let (code, field) = match self {
            Self::Grammar { .. } => ("grammar", None),
            Self::Path { path, .. } => ("change-path", Some(path)),
            Self::NotATable { at } | Self::NoEntry { at, .. } | Self::WholeTable { at } => ("change-path", Some(at)),
        };
        let diagnostic =
            Diagnostic::error(code, self.to_string(), Place { field: field.cloned(), ..Place::file(file) });
        match self {
            Self::Path { .. } => {
                diagnostic.help("write names and numbers as in \"bins.north.lots[0].moisture\", from 0 on")
            }
            _ => diagnostic,
        }
    }
}

/// Returns the text with all changes made, in order. Tables on the way that do not exist yet are added; a list grows when
/// the number of its next entry is named, so that `bins.north.lots[1].crop` begins a second lot.
///
/// # Errors
/// The first change that cannot be made; nothing is returned half changed.
///
/// ```
/// use job::change::{Change, apply};
/// let text = "[bins.north]\ndiameter = \"36 ft\" # measured\n";
/// let wider = Change { path: "bins.north.diameter".into(), value_text: "42 ft".into() };
/// assert_eq!(apply(text, &[wider]).unwrap(), "[bins.north]\ndiameter = \"42 ft\" # measured\n");
/// ```
pub fn apply(text: &str, changes: &[Change]) -> Result<String, ChangeError> {
    if changes.is_empty() {
        return Ok(text.to_string());
    }
    let mut document: DocumentMut = text.parse().map_err(|error: toml_edit::TomlError| ChangeError::Grammar {
        message: error.message().trim().replace('\n', ", "),
        offset: error.span().map_or(0, |span| span.start),
    })?;
    for change in changes {
        let steps = steps(&change.path)?;
        let root = Slot::Table(document.as_table_mut());
        match change.value_text.trim().is_empty() {
            true => take(root, &steps, 0)?,
            false => put(root, &steps, 0, &change.value_text)?,
        }
    }
    let changed = document.to_string();
    // The editor writes bare line feeds; a file from elsewhere keeps its own line ends.
    let (feeds, pairs) = (text.matches('\n').count(), text.matches("\r\n").count());
    Ok(if pairs > 0 && feeds == pairs { changed.replace('\n', "\r\n") } else { changed })
}

/// One part of a path.
#[derive(Debug, Clone, PartialEq)]
enum Step {
    Name(String),
    Number(usize),
}

/// Longest path, bytes, and most steps in it: each step is a call of its own, and no file of ours has as many levels.
const LONGEST_PATH: usize = 1000;
const MOST_STEPS: usize = 16;

fn steps(path: &str) -> Result<Vec<Step>, ChangeError> {
    if path.len() > LONGEST_PATH {
        let shown: String = path.chars().take(40).collect();
        return Err(ChangeError::Path { path: format!("{shown}…"), rest: format!("{} bytes", path.len()) });
    }
    let wrong = |rest: &str| ChangeError::Path { path: path.into(), rest: rest.into() };
    let mut steps = Vec::new();
    let mut rest = path.trim();
    while !rest.is_empty() || steps.is_empty() {
        if let Some(inside) = rest.strip_prefix('[').filter(|_| !steps.is_empty()) {
            let (number, after) = inside.split_once(']').ok_or_else(|| wrong(rest))?;
            let plain = !number.is_empty() && number.len() <= 6 && number.bytes().all(|b| b.is_ascii_digit());
            let number = plain.then(|| number.parse().ok()).flatten().ok_or_else(|| wrong(rest))?;
            if steps.len() == MOST_STEPS {
                return Err(wrong(rest));
            }
            steps.push(Step::Number(number));
            rest = after;
            continue;
        }
        let name = match steps.is_empty() {
            true => rest,
            false => rest.strip_prefix('.').ok_or_else(|| wrong(rest))?,
        };
        let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
        let (name, after) = match name.strip_prefix('"') {
            Some(quoted) => quoted.split_once('"').ok_or_else(|| wrong(rest))?,
            None => name.split_at(name.find(|c| !bare(c)).unwrap_or(name.len())),
        };
        if name.is_empty() || name.chars().any(char::is_control) {
            return Err(wrong(rest));
        }
        if steps.len() == MOST_STEPS {
            return Err(wrong(rest));
        }
        steps.push(Step::Name(name.to_string()));
        rest = after;
    }
    Ok(steps)
}

/// The path up to and without a step, for messages.
fn shown(steps: &[Step]) -> String {
    let mut out = String::new();
    for step in steps {
        match step {
            Step::Number(number) => out.push_str(&format!("[{number}]")),
            Step::Name(name) => {
                if !out.is_empty() {
                    out.push('.');
                }
                out.push_str(name);
            }
        }
    }
    if out.is_empty() { "the file".into() } else { out }
}

/// What a path can lead through.
enum Slot<'d> {
    Table(&'d mut Table),
    Inline(&'d mut InlineTable),
    Rows(&'d mut ArrayOfTables),
    Value(&'d mut Value),
}

/// Puts a value at `steps`, of which the first `at` lie behind.
fn put(slot: Slot<'_>, steps: &[Step], at: usize, text: &str) -> Result<(), ChangeError> {
    let here = || shown(&steps[..at]);
    let Some(step) = steps.get(at) else {
        return match slot {
            Slot::Value(value) => {
                set(value, text);
                Ok(())
            }
            _ => Err(ChangeError::WholeTable { at: here() }),
        };
    };
    match (slot, step) {
        (Slot::Table(table), Step::Name(name)) => {
            if !table.contains_key(name) {
                let item = match steps.get(at + 1) {
                    None => Item::Value(fresh(text)),
                    Some(Step::Name(_)) => Item::Table(Table::new()),
                    // A list of values when the entry is one, of tables when more follows.
                    Some(Step::Number(0)) if steps.len() == at + 2 => Item::Value(Value::Array(Array::new())),
                    Some(Step::Number(0)) => Item::ArrayOfTables(ArrayOfTables::new()),
                    Some(Step::Number(asked)) => {
                        return Err(ChangeError::NoEntry { at: shown(&steps[..=at]), entries: 0, asked: *asked });
                    }
                };
                if steps.len() == at + 1 {
                    table.insert_formatted(&Key::new(name), item);
                    return Ok(());
                }
                table.insert_formatted(&Key::new(name), item);
            }
            match table.get_mut(name) {
                Some(Item::Table(inner)) => put(Slot::Table(inner), steps, at + 1, text),
                Some(Item::ArrayOfTables(rows)) => put(Slot::Rows(rows), steps, at + 1, text),
                Some(Item::Value(value)) => put(Slot::Value(value), steps, at + 1, text),
                _ => Err(ChangeError::NotATable { at: shown(&steps[..=at]) }),
            }
        }
        (Slot::Rows(rows), Step::Number(asked)) => {
            let entries = rows.len();
            if *asked == entries {
                if steps.len() == at + 1 {
                    return Err(ChangeError::WholeTable { at: shown(steps) });
                }
                rows.push(Table::new());
            }
            match rows.get_mut(*asked) {
                Some(row) => put(Slot::Table(row), steps, at + 1, text),
                None => Err(ChangeError::NoEntry { at: here(), entries, asked: *asked }),
            }
        }
        (Slot::Value(Value::Array(list)), Step::Number(asked)) => {
            let entries = list.len();
            if *asked == entries {
                match steps.get(at + 1) {
                    None => {
                        list.push(fresh(text));
                        return Ok(());
                    }
                    Some(Step::Name(_)) => list.push(Value::InlineTable(InlineTable::new())),
                    Some(Step::Number(_)) => list.push(Value::Array(Array::new())),
                }
            }
            match list.get_mut(*asked) {
                Some(value) => put(Slot::Value(value), steps, at + 1, text),
                None => Err(ChangeError::NoEntry { at: here(), entries, asked: *asked }),
            }
        }
        (Slot::Value(Value::InlineTable(table)), _) => put(Slot::Inline(table), steps, at, text),
        (Slot::Inline(table), Step::Name(name)) => {
            if !table.contains_key(name) {
                let value = match steps.get(at + 1) {
                    None => fresh(text),
                    Some(Step::Name(_)) => Value::InlineTable(InlineTable::new()),
                    Some(Step::Number(_)) => Value::Array(Array::new()),
                };
                table.insert(name, value);
                if steps.len() == at + 1 {
                    return Ok(());
                }
            }
            match table.get_mut(name) {
                Some(value) => put(Slot::Value(value), steps, at + 1, text),
                None => Err(ChangeError::NotATable { at: here() }),
            }
        }
        _ => Err(ChangeError::NotATable { at: here() }),
    }
}

/// Takes away what `steps` lead to, of which the first `at` lie behind. What is not there is gone already.
fn take(slot: Slot<'_>, steps: &[Step], at: usize) -> Result<(), ChangeError> {
    let Some(step) = steps.get(at) else { return Ok(()) };
    let last = steps.len() == at + 1;
    let inner = match (slot, step) {
        (Slot::Table(table), Step::Name(name)) if last => {
            table.remove(name);
            None
        }
        (Slot::Table(table), Step::Name(name)) => match table.get_mut(name) {
            None => None,
            Some(Item::Table(inner)) => Some(Slot::Table(inner)),
            Some(Item::ArrayOfTables(rows)) => Some(Slot::Rows(rows)),
            Some(Item::Value(value)) => Some(Slot::Value(value)),
            Some(Item::None) => None,
        },
        (Slot::Inline(table), Step::Name(name)) if last => {
            let closing = table.iter().last().is_some_and(|(key, _)| key == name);
            let gone = table.remove(name);
            // The space before the closing bracket belongs to whatever stands there.
            if let (true, Some(gone), Some((_, end))) = (closing, gone, table.iter_mut().last())
                && let Some(space) = gone.decor().suffix()
            {
                end.decor_mut().set_suffix(space.clone());
            }
            None
        }
        (Slot::Inline(table), Step::Name(name)) => table.get_mut(name).map(Slot::Value),
        (Slot::Rows(rows), Step::Number(asked)) if last => {
            if *asked < rows.len() {
                rows.remove(*asked);
            }
            None
        }
        (Slot::Rows(rows), Step::Number(asked)) => rows.get_mut(*asked).map(Slot::Table),
        (Slot::Value(Value::InlineTable(table)), _) => return take(Slot::Inline(table), steps, at),
        (Slot::Value(Value::Array(list)), Step::Number(asked)) if last => {
            if *asked < list.len() {
                let gone = list.remove(*asked);
                // What was first stood close to the bracket; so does what is first now.
                if let Some(first) = list.get_mut(0).filter(|_| *asked == 0) {
                    *first.decor_mut() = gone.decor().clone();
                }
            }
            None
        }
        (Slot::Value(Value::Array(list)), Step::Number(asked)) => list.get_mut(*asked).map(Slot::Value),
        _ => return Err(ChangeError::NotATable { at: shown(&steps[..at]) }),
    };
    inner.map_or(Ok(()), |slot| take(slot, steps, at + 1))
}

/// Replaces a value and keeps the space and comments around it.
fn set(value: &mut Value, text: &str) {
    let decor = value.decor().clone();
    *value = if value.is_str() { as_text(text) } else { fresh(text) };
    *value.decor_mut() = decor;
}

/// A value where none stood: a value of the file where the text is one, a text otherwise.
fn fresh(text: &str) -> Value {
    match text.trim().parse::<Value>() {
        // Dates are no values of these files: what looks like one is meant as text.
        Ok(Value::Datetime(_)) | Err(_) => Value::from(text.trim()),
        Ok(mut value) => {
            value.decor_mut().clear();
            value
        }
    }
}

/// A text, quoted already or not.
fn as_text(text: &str) -> Value {
    match text.trim().parse::<Value>() {
        Ok(Value::String(quoted)) => Value::from(quoted.into_value()),
        // Lists and tables cannot be meant as text; what takes their place is for the reader of the file to judge.
        Ok(list @ (Value::Array(_) | Value::InlineTable(_))) => list,
        _ => Value::from(text.trim()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SITE: &str = r#"binwright = 1 # format
[goal]
mean_moisture = "15.5 %"   # as the elevator buys
# two bins
[bins.north]
diameter = '36 ft' # inner
[[bins.north.lots]]
crop = "corn"
days = 4
[[bins.north.lots]]
crop = "corn"
[bins.north.outfit]
fans = ["a", "b"] # both
control = { kind = "humidity-window", high = "75 %" }
"#;

    fn changed(path: &str, value_text: &str) -> Result<String, ChangeError> {
        apply(SITE, &[Change { path: path.into(), value_text: value_text.into() }])
    }

    /// The change touches one stretch of the text and nothing else.
    fn check(path: &str, value_text: &str, before: &str, after: &str) {
        assert_eq!(SITE.matches(before).count(), 1, "{before}");
        assert_eq!(changed(path, value_text).unwrap(), SITE.replace(before, after), "{path}");
    }

    #[test]
    fn one_value_changes_and_all_else_stays() {
        check("goal.mean_moisture", "14 %", "\"15.5 %\"   #", "\"14 %\"   #");
        check("goal.mean_moisture", "\"14 %\"", "\"15.5 %\"   #", "\"14 %\"   #");
        check("bins.north.diameter", "42 ft", "'36 ft'", "\"42 ft\"");
        check("bins.north.lots[0].days", "6", "days = 4", "days = 6");
        check("bins.north.lots[0].days", "six", "days = 4", "days = \"six\"");
        check("bins.\"north\".outfit.fans[1]", "c", "\"b\"] # both", "\"c\"] # both");
        check("bins.north.outfit.fans", "[\"a\"]", "[\"a\", \"b\"] #", "[\"a\"] #");
        check("bins.north.outfit.control.high", "70 %", "\"75 %\"", "\"70 %\"");
        let always = "{ kind = \"continuous\" }";
        check("bins.north.outfit.control", always, "{ kind = \"humidity-window\", high = \"75 %\" }", always);
    }

    #[test]
    fn what_is_not_there_is_added() {
        check("goal.by", "12-15", "buys\n", "buys\nby = \"12-15\"\n");
        check(
            "bins.north.lots[1].days",
            "3",
            "crop = \"corn\"\n[bins.north.outfit]",
            "crop = \"corn\"\ndays = 3\n[bins.north.outfit]",
        );
        let priced = changed("prices.electricity", "0.12 $/kWh").unwrap();
        assert!(priced.starts_with(SITE) && priced.contains("[prices]\nelectricity = \"0.12 $/kWh\""), "{priced}");
        // A day is text although the grammar would take it for a date.
        assert!(changed("goal.note", "2026-10-10").unwrap().contains("note = \"2026-10-10\""));
    }

    #[test]
    fn what_cannot_be_said_is_refused() {
        for path in [
            "",
            ".",
            "[0]",
            "goal.",
            "goal..by",
            "goal[",
            "goal[x]",
            "goal[-1]",
            "a\"b",
            "\"a",
            "a[99999999]",
            "a]b.\n",
        ] {
            assert!(matches!(changed(path, "1"), Err(ChangeError::Path { .. })), "{path:?}");
        }
        assert!(matches!(
            changed("bins.north.lots[3].days", "1"),
            Err(ChangeError::NoEntry { entries: 2, asked: 3, .. })
        ));
        assert!(matches!(changed("bins.north.outfit.fans[3]", "c"), Err(ChangeError::NoEntry { entries: 2, .. })));
        assert!(matches!(changed("bins.south.lots[1].days", "1"), Err(ChangeError::NoEntry { entries: 0, .. })));
        assert!(matches!(changed("bins.north.lots[2]", "1"), Err(ChangeError::WholeTable { .. })));
        assert!(matches!(changed("goal.mean_moisture.x", "1"), Err(ChangeError::NotATable { .. })));
        assert!(matches!(changed("bins.north.lots.days", "1"), Err(ChangeError::NotATable { .. })));
        assert!(matches!(changed("bins.north", "1"), Err(ChangeError::WholeTable { .. })));
        let broken = apply("a = ", &[Change { path: "a".into(), value_text: "1".into() }]);
        assert!(matches!(broken, Err(ChangeError::Grammar { .. })));
    }

    #[test]
    fn lists_and_bins_grow_and_shrink() {
        check("bins.north.outfit.fans[2]", "c", "\"b\"] # both", "\"b\", \"c\"] # both");
        check("bins.north.outfit.fans[0]", "", "[\"a\", \"b\"]", "[\"b\"]");
        check("bins.north.lots[0].days", "", "days = 4\n", "");
        check(
            "bins.north.lots[1]",
            "",
            "[[bins.north.lots]]\ncrop = \"corn\"\n[bins.north.outfit]",
            "[bins.north.outfit]",
        );
        check("bins.north.outfit.control.high", "  ", ", high = \"75 %\" }", " }");
        check("goal.by", "", "[goal]", "[goal]");
        check("bins.south.eave", "", "[goal]", "[goal]");
        let gone = changed("bins.north", "").unwrap();
        assert!(gone.contains("[goal]") && !gone.contains("north"), "{gone}");
        let change = |path: &str, text: &str| Change { path: path.into(), value_text: text.into() };
        let lot = [change("bins.north.lots[2].crop", "wheat"), change("bins.north.lots[2].days", "2")];
        let third = "crop = \"corn\"\n\n[[bins.north.lots]]\ncrop = \"wheat\"\ndays = 2\n[bins.north.outfit]";
        assert_eq!(apply(SITE, &lot).unwrap(), SITE.replace("crop = \"corn\"\n[bins.north.outfit]", third));
        let bin = [
            change("bins.south.diameter", "24 ft"),
            change("bins.south.lots[0].crop", "corn"),
            change("bins.south.outfit.fans", "[\"a\"]"),
        ];
        let south = "\n[bins.south]\ndiameter = \"24 ft\"\n\n[[bins.south.lots]]\ncrop = \"corn\"\n\n[bins.south.outfit]\nfans = [\"a\"]\n";
        assert_eq!(apply(SITE, &bin).unwrap(), format!("{SITE}{south}"));
        assert!(matches!(changed("goal.by.x[0]", ""), Ok(same) if same == SITE));
        assert!(matches!(changed("goal.mean_moisture.x", ""), Err(ChangeError::NotATable { .. })));
    }

    #[test]
    fn a_path_without_end_is_refused_before_it_is_walked() {
        for endless in [format!("{}b", "a.".repeat(MOST_STEPS)), "a.".repeat(10_000)] {
            assert!(matches!(changed(&endless, "1"), Err(ChangeError::Path { .. })), "{} bytes", endless.len());
        }
    }

    #[test]
    fn changes_follow_each_other_and_none_is_made_by_half() {
        let change = |path: &str, text: &str| Change { path: path.into(), value_text: text.into() };
        let both = apply(SITE, &[change("goal.by", "12-15"), change("goal.by", "12-20")]).unwrap();
        assert!(both.contains("by = \"12-20\"") && !both.contains("12-15"));
        assert!(apply(SITE, &[change("goal.by", "12-15"), change("nowhere[1]", "1")]).is_err());
        assert_eq!(apply(SITE, &[]).unwrap(), SITE);
        let elsewhere = SITE.replace('\n', "\r\n");
        let by = change("goal.mean_moisture", "14 %");
        assert_eq!(apply(&elsewhere, &[by]).unwrap(), elsewhere.replace("\"15.5 %\"", "\"14 %\""));
    }

    proptest::proptest! {
        #[test]
        fn never_panics_and_what_it_writes_can_be_read(path in ".{0,30}", value_text in ".{0,30}") {
            if let Ok(text) = changed(&path, &value_text) {
                proptest::prop_assert!(text.parse::<DocumentMut>().is_ok(), "{}", text);
            }
        }

        #[test]
        fn a_text_arrives_as_it_was_sent(value in "[^\\p{Cc}]{1,30}") {
            // A blank one takes the key away.
            proptest::prop_assume!(!value.trim().is_empty());
            let text = changed("goal.mean_moisture", &value).unwrap();
            let document: DocumentMut = text.parse().unwrap();
            let found = document["goal"]["mean_moisture"].as_str().map(str::to_string);
            if let Some(found) = found && !value.contains(['"', '\'', '\\']) {
                proptest::prop_assert_eq!(found, value.trim());
            }
        }
    }
}
