//! The values of a file of text as they are written, so that forms show the user's own spelling.

use crate::change::ChangeError;
use toml_edit::{Document, Item, Table, Value};

/// One value as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Path as changes take it: `bins.north.lots[0].moisture`.
    pub path: String,
    /// The value: texts without their quotes, everything else as a value of the file.
    pub value_text: String,
    /// Line it stands in, from 1.
    pub line: usize,
}

/// All values of a text in their order, lists and inline tables taken apart.
///
/// # Errors
/// [`ChangeError::Grammar`] when the text cannot be read.
///
/// ```
/// let fields = job::fields::list("[bins.north]\ndiameter = \"36 ft\" # measured\n").unwrap();
/// assert_eq!((fields[0].path.as_str(), fields[0].value_text.as_str(), fields[0].line), ("bins.north.diameter", "36 ft", 2));
/// ```
pub fn list(text: &str) -> Result<Vec<Field>, ChangeError> {
    let document: Document<&str> = Document::parse(text).map_err(|error| ChangeError::Grammar {
        message: error.message().trim().replace('\n', ", "),
        offset: error.span().map_or(0, |span| span.start),
    })?;
    let lines: Vec<usize> = text.match_indices('\n').map(|(at, _)| at).collect();
    let mut reader = Reader { lines, fields: Vec::new() };
    reader.table("", document.as_table());
    reader.fields.sort_by_key(|(at, _)| *at);
    Ok(reader.fields.into_iter().map(|(_, field)| field).collect())
}

struct Reader {
    /// Where line feeds stand.
    lines: Vec<usize>,
    fields: Vec<(usize, Field)>,
}

fn under(path: &str, key: &str) -> String {
    let bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'));
    let key = if bare { key.to_string() } else { format!("\"{key}\"") };
    if path.is_empty() { key } else { format!("{path}.{key}") }
}

impl Reader {
    fn table(&mut self, path: &str, table: &Table) {
        for (key, item) in table {
            let path = under(path, key);
            match item {
                Item::Table(inner) => self.table(&path, inner),
                Item::ArrayOfTables(rows) => {
                    rows.iter().enumerate().for_each(|(k, row)| self.table(&format!("{path}[{k}]"), row));
                }
                Item::Value(value) => self.value(&path, value),
                Item::None => {}
            }
        }
    }

    fn value(&mut self, path: &str, value: &Value) {
        let value_text = match value {
            Value::Array(list) => {
                list.iter().enumerate().for_each(|(k, inner)| self.value(&format!("{path}[{k}]"), inner));
                return;
            }
            Value::InlineTable(table) => {
                table.iter().for_each(|(key, inner)| self.value(&under(path, key), inner));
                return;
            }
            Value::String(text) => text.value().clone(),
            other => other.to_string().trim().to_string(),
        };
        let at = value.span().map_or(0, |span| span.start);
        let line = 1 + self.lines.partition_point(|&feed| feed < at);
        self.fields.push((at, Field { path: path.to_string(), value_text, line }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::change::{Change, apply};

    const DEMO: &str = include_str!("../data/demo.toml");

    #[test]
    fn every_field_can_be_written_back_unchanged() {
        let fields = list(DEMO).unwrap();
        let of = |path: &str| fields.iter().find(|f| f.path == path).map(|f| f.value_text.as_str());
        assert_eq!(of("binwright"), Some("1"));
        assert_eq!(of("bins.north.lots[0].moisture"), Some("20 %"));
        assert_eq!(of("bins.north.outfit.fans[1]"), Some("demo-centrifugal-10hp"));
        assert_eq!(of("bins.north.outfit.control.kind"), Some("continuous"));
        assert_eq!(of("bins.north.cored"), Some("true"));
        for field in &fields {
            let key = field.path.rsplit(['.', '[']).next().unwrap();
            let line = DEMO.lines().nth(field.line - 1).unwrap();
            assert!(line.contains(&field.value_text) && (key.ends_with(']') || line.contains(key)), "{field:?}");
            let same = Change { path: field.path.clone(), value_text: field.value_text.clone() };
            assert_eq!(apply(DEMO, &[same]).unwrap(), DEMO, "{}", field.path);
        }
    }

    #[test]
    fn keys_that_need_quotes_get_them() {
        let fields = list("[\"a b\"]\n\"c.d\" = 1\n").unwrap();
        assert_eq!(fields[0].path, "\"a b\".\"c.d\"");
        assert!(list("a = ").is_err());
    }
}
