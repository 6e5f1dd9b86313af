//! What every document carries around its own keys.

pub use job::MODEL;
use notice::{Diagnostics, Phrase, Remarks, Source, UnitSystem};
use serde::Serialize;

/// A result with the keys every document has; the result's own keys stand beside them.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Document<T> {
    /// Name and version of the shape, as in `lookup-air/1`.
    pub schema: String,
    /// Program and version that wrote it.
    pub program: String,
    /// Number of the model, see [`MODEL`].
    pub model: u32,
    /// The result.
    #[serde(flatten)]
    pub result: T,
    /// What lies outside its evidence, and what was assumed.
    pub remarks: Vec<Said>,
}

/// A remark as a document says it: the sentence, and the parts it was made of.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Said {
    /// Stable code.
    pub code: String,
    /// The sentence in SI.
    pub text: String,
    /// The sentence with blanks, and what fills them, for readers who want other units.
    pub says: Phrase,
    /// The evidence concerned.
    pub source: Option<Source>,
}

/// A sentence: as text in SI, and the parts it is made of for readers who want other units.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SentenceJson {
    /// The sentence in SI, lower case, without a full stop.
    pub text: String,
    /// The sentence with blanks, and what fills them.
    pub says: Phrase,
}

impl From<Phrase> for SentenceJson {
    fn from(says: Phrase) -> Self {
        Self { text: says.render(UnitSystem::Si), says }
    }
}

impl<T> Document<T> {
    /// Wraps a result.
    pub fn new(schema: &str, result: T, remarks: &Remarks) -> Self {
        Self {
            schema: schema.into(),
            program: format!("binwright {}", env!("CARGO_PKG_VERSION")),
            model: MODEL,
            result,
            remarks: said(remarks),
        }
    }
}

/// Remarks as documents say them.
pub fn said(remarks: &Remarks) -> Vec<Said> {
    let one = |r: &notice::Remark| Said {
        code: r.code.clone(),
        text: r.says.render(UnitSystem::Si),
        says: r.says.clone(),
        source: r.source.clone(),
    };
    remarks.0.iter().map(one).collect()
}

/// All that is wrong with an input, as `{"diagnostics": [...]}` beside the usual keys.
pub fn diagnostics_json(diagnostics: &Diagnostics) -> String {
    #[derive(Serialize)]
    struct Wrong<'a> {
        diagnostics: &'a Diagnostics,
    }
    let document = Document::new("diagnostics/1", Wrong { diagnostics }, &Remarks::default());
    // Strings and whole numbers alone: cannot fail, and an empty object beats a panic should that change.
    serde_json::to_string_pretty(&document).unwrap_or_else(|_| "{}".into())
}
