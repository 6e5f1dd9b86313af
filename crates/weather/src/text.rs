//! From bytes to lines and cells: gz, byte-order mark, Latin-1, line ends, quotes, numbers, what stands for "missing".

use notice::{Diagnostic, Diagnostics, Place};
use std::collections::BTreeMap;
use std::io::Read;

/// Largest unpacked file, bytes: a station of a hundred years in the widest of the formats stays below.
const LARGEST: u64 = 512 << 20;
/// Lines of one fault that are told one by one; the rest are counted.
const TOLD: usize = 5;

/// A text with its name.
pub(crate) struct Text {
    text: String,
}

impl Text {
    /// Unpacks gz, removes the byte-order mark, takes what is not UTF-8 for Latin-1.
    pub fn new(name: &str, bytes: &[u8]) -> Result<Self, Diagnostics> {
        let refuse = |code: &str, found: String, help: &str| {
            Diagnostics(vec![Diagnostic::error(code, found, Place::file(name)).help(help)])
        };
        let plain = if bytes.starts_with(&[0x1f, 0x8b]) {
            let mut out = Vec::new();
            let unpacked = flate2::read::MultiGzDecoder::new(bytes).take(LARGEST + 1).read_to_end(&mut out);
            if let Err(why) = unpacked {
                let found = format!("packed file that cannot be unpacked to its end ({why})");
                return Err(refuse("weather-file-cut", found, "fetch the file again, it is incomplete or damaged"));
            }
            out
        } else {
            bytes.to_vec()
        };
        if plain.len() as u64 > LARGEST {
            let help = "split it into years and give the folder";
            return Err(refuse("weather-file-too-large", "file of more than 512 MB".into(), help));
        }
        let plain = plain.strip_prefix(b"\xef\xbb\xbf").map(<[u8]>::to_vec).unwrap_or(plain);
        if plain.contains(&0) {
            let help = "save spreadsheets and UTF-16 text as comma-separated UTF-8 text, packed by gzip or not";
            return Err(refuse("weather-file-not-text", "file that is not plain text".into(), help));
        }
        let text = String::from_utf8(plain).unwrap_or_else(|e| e.into_bytes().into_iter().map(char::from).collect());
        Ok(Self { text })
    }

    /// Lines with their numbers from 1, without line ends, empty ones left out.
    pub fn lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.text
            .split('\n')
            .enumerate()
            .map(|(i, line)| (i + 1, line.strip_suffix('\r').unwrap_or(line)))
            .filter(|(_, line)| !line.trim().is_empty())
    }

    /// Number of the last line that is not empty, 0 for an empty text.
    pub fn last_line(&self) -> usize {
        self.lines().last().map_or(0, |(number, _)| number)
    }
}

/// Splits a line at a separator, quotes respected and removed; false when a quote stays open.
pub(crate) fn split<'a>(line: &'a str, separator: char, cells: &mut Vec<&'a str>) -> bool {
    cells.clear();
    let (mut start, mut quoted) = (0, false);
    for (i, byte) in line.char_indices() {
        if byte == '"' {
            quoted = !quoted;
        } else if byte == separator && !quoted {
            cells.push(unquote(&line[start..i]));
            start = i + separator.len_utf8();
        }
    }
    cells.push(unquote(&line[start..]));
    !quoted
}

fn unquote(cell: &str) -> &str {
    let cell = cell.trim();
    cell.strip_prefix('"').and_then(|c| c.strip_suffix('"')).unwrap_or(cell).trim()
}

/// A cell that should hold a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Cell {
    /// A finite number.
    Number(f64),
    /// Empty or one of the words for "missing".
    Missing,
    /// Anything else.
    Bad,
}

/// Reads a number; infinities are bad, not numbers.
pub(crate) fn number(cell: &str) -> Cell {
    let cell = cell.trim();
    if cell.is_empty() {
        return Cell::Missing;
    }
    match cell.parse::<f64>() {
        Ok(v) if v.is_finite() => Cell::Number(v),
        Ok(v) if v.is_nan() => Cell::Missing,
        Ok(_) => Cell::Bad,
        Err(_) => match cell.to_ascii_lowercase().as_str() {
            "m" | "na" | "n/a" | "null" | "none" | "-" | "--" | "*" | "t" | "missing" => Cell::Missing,
            _ => Cell::Bad,
        },
    }
}

/// Faults of a file, the first few of each kind with their lines, the rest counted.
pub(crate) struct Faults {
    file: String,
    told: Diagnostics,
    counts: BTreeMap<&'static str, usize>,
}

impl Faults {
    /// No fault yet.
    pub fn new(file: &str) -> Self {
        Self { file: file.into(), told: Diagnostics::default(), counts: BTreeMap::new() }
    }

    /// Notes a line that is left out, and why.
    pub fn line(&mut self, code: &'static str, line: usize, found: impl Into<String>) {
        let count = self.counts.entry(code).or_insert(0);
        *count += 1;
        if *count <= TOLD {
            self.told.add(Diagnostic::error(code, found, Place::line(&self.file, line)).as_warning());
        }
    }

    /// Notes something about the whole file.
    pub fn file(&mut self, code: &'static str, found: impl Into<String>) {
        self.told.add(Diagnostic::error(code, found, Place::file(&self.file)).as_warning());
    }

    /// Lines noted under a code.
    pub fn count(&self, code: &str) -> usize {
        self.counts.get(code).copied().unwrap_or(0)
    }

    /// All faults, with a line for those that were only counted.
    pub fn finish(mut self) -> Diagnostics {
        for (code, count) in &self.counts {
            if *count > TOLD {
                let found = format!("{} more lines with the same fault", count - TOLD);
                self.told.add(Diagnostic::error(code, found, Place::file(&self.file)).as_warning());
            }
        }
        self.told
    }
}

/// The error of a file whose last line is incomplete.
pub(crate) fn cut(file: &str, line: usize, found: impl Into<String>) -> Diagnostic {
    Diagnostic::error("weather-file-cut", found, Place::line(file, line))
        .help("the file was cut; fetch it again, or delete its last line if the rest is enough")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells() {
        let mut cells = Vec::new();
        assert!(split("1, \"LINCOLN, NE\" ,,x", ',', &mut cells));
        assert_eq!(cells, ["1", "LINCOLN, NE", "", "x"]);
        assert!(!split("1,\"LINC", ',', &mut cells));
    }

    #[test]
    fn numbers() {
        assert_eq!(number(" -9.5 "), Cell::Number(-9.5));
        for missing in ["", "NaN", "nan", "M", "NA", "-"] {
            assert_eq!(number(missing), Cell::Missing, "{missing}");
        }
        for bad in ["inf", "-Infinity", "1e999", "0.07s", "12,5", "x"] {
            assert_eq!(number(bad), Cell::Bad, "{bad}");
        }
    }

    #[test]
    fn odd_encodings() {
        let text = Text::new("a", b"\xef\xbb\xbfone\r\n\r\nM\xfcnchen").unwrap();
        assert_eq!(text.lines().collect::<Vec<_>>(), [(1, "one"), (3, "M\u{fc}nchen")]);
        assert_eq!(Text::new("a", b"a\0b").err().unwrap().0[0].code, "weather-file-not-text");
        assert_eq!(Text::new("a", b"\x1f\x8bgarbage").err().unwrap().0[0].code, "weather-file-cut");
    }
}
