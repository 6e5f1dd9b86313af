//! Input that cannot be used: what was found, where, what would be right.

use serde::{Deserialize, Serialize};

/// Whether a diagnostic stops the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Stops it (exit code 2).
    Error,
    /// Does not stop it.
    Warning,
}

/// A place in a named text.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Place {
    /// File name as the user gave it, or the option of the command line.
    pub file: String,
    /// Line, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Column, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
    /// Path of the field, as in `bins.north.lots[0].moisture`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
}

/// One thing wrong with an input.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Diagnostic {
    /// Stable code in kebab case, for programs.
    pub code: String,
    /// Whether it stops the work.
    pub severity: Severity,
    /// What was found, lower case, no full stop, with the value: "moisture of 118 % wet basis".
    pub found: String,
    /// What is allowed: "must be above 0 % and below 100 %".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowed: Option<String>,
    /// The remedy.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// Where.
    pub at: Place,
    /// Other places that matter, each with a word why.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub related: Vec<(Place, String)>,
}

impl Diagnostic {
    /// An error with what was found and where.
    pub fn error(code: &str, found: impl Into<String>, at: Place) -> Self {
        Self {
            code: code.into(),
            severity: Severity::Error,
            found: found.into(),
            allowed: None,
            help: None,
            at,
            related: Vec::new(),
        }
    }

    /// Turns it into a warning.
    pub fn as_warning(mut self) -> Self {
        self.severity = Severity::Warning;
        self
    }

    /// Says what is allowed.
    pub fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }

    /// Says what would be right.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The diagnostic as lines for a terminal, readable without colour.
    pub fn render(&self) -> String {
        let word = match self.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        let mut out = format!("{word}: {}", plain(&self.found));
        if let Some(allowed) = &self.allowed {
            out.push_str(&format!(", {}", plain(allowed)));
        }
        out.push_str(&format!("\n  at {}", self.at.render()));
        for (place, why) in &self.related {
            out.push_str(&format!("\n  see {}: {why}", place.render()));
        }
        if let Some(help) = &self.help {
            out.push_str(&format!("\nhint: {}", plain(help)));
        }
        out
    }
}

impl Place {
    /// A place known only by file.
    pub fn file(file: impl Into<String>) -> Self {
        Self { file: file.into(), ..Self::default() }
    }

    /// A line of a file.
    pub fn line(file: impl Into<String>, line: usize) -> Self {
        Self { file: file.into(), line: Some(line), ..Self::default() }
    }

    fn render(&self) -> String {
        let mut out = plain(&self.file);
        if let Some(line) = self.line {
            out.push_str(&format!(", line {line}"));
        }
        if let Some(field) = &self.field {
            out.push_str(&format!(", field {}", plain(field)));
        }
        out
    }
}

/// Whether a character is not seen where it stands: control characters, marks that turn the direction of writing, and
/// such as have no width. Two names that differ only by them look alike.
///
/// ```
/// assert!(notice::unseen('\u{202e}') && notice::unseen('\u{200b}') && notice::unseen('\0') && !notice::unseen('é'));
/// ```
pub fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}'
                | '\u{34f}'
                | '\u{61c}'
                | '\u{115f}'..='\u{1160}'
                | '\u{17b4}'..='\u{17b5}'
                | '\u{180b}'..='\u{180f}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{3164}'
                | '\u{feff}'
                | '\u{ffa0}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{1d173}'..='\u{1d17a}'
                | '\u{e0000}'..='\u{e0fff}'
        )
}

/// A text from outside without what would command a terminal or deceive the eye: characters that are not seen (see
/// [`unseen`]) are shown as their escapes; line ends and tabs stay.
///
/// ```
/// assert_eq!(notice::plain("red \u{1b}[31m"), "red \\u{1b}[31m");
/// ```
pub fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match unseen(c) && c != '\n' && c != '\t' {
            true => out.extend(c.escape_unicode()),
            false => out.push(c),
        }
    }
    out
}

/// Most problems that are written out one by one; a machine's file can hold a hundred thousand of one kind.
const MOST_SHOWN: usize = 100;

/// All that is wrong with an input, collected before anything is refused.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(transparent)]
pub struct Diagnostics(pub Vec<Diagnostic>);

impl Diagnostics {
    /// Adds one.
    pub fn add(&mut self, diagnostic: Diagnostic) {
        self.0.push(diagnostic);
    }

    /// Whether any of them stops the work.
    pub fn stop(&self) -> bool {
        self.0.iter().any(|d| d.severity == Severity::Error)
    }
}

impl std::fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut parts: Vec<String> = self.0.iter().take(MOST_SHOWN).map(Diagnostic::render).collect();
        if let Some(more @ 1..) = self.0.len().checked_sub(MOST_SHOWN) {
            parts.push(format!("and {more} more of the same input; mend these first"));
        }
        f.write_str(&parts.join("\n\n"))
    }
}

impl std::error::Error for Diagnostics {}
