//! What went wrong, as `application/problem+json` (RFC 9457): a rendering of [`Diagnostic`].

use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use notice::{Diagnostic, Diagnostics, Place};
use serde::Serialize;
use store::StoreError;
use utoipa::ToSchema;

/// Why a request was not served.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Problem {
    /// Stable code in kebab case, for programs.
    #[serde(rename = "type")]
    pub code: String,
    /// The status in words.
    pub title: &'static str,
    /// HTTP status.
    pub status: u16,
    /// What was found, in a sentence.
    pub detail: String,
    /// All that is wrong, as the command line says it.
    pub diagnostics: Vec<Diagnostic>,
    /// The ETag the site has now, where that is what went wrong.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub current: Option<Box<str>>,
    /// Seconds to wait before trying again, where that helps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub retry_after_s: Option<u32>,
}

impl Problem {
    /// A problem with one diagnostic about the request itself.
    pub fn new(status: StatusCode, code: &str, found: impl Into<String>) -> Self {
        Self::of(status, Diagnostic::error(code, found, Place::file("request")))
    }

    /// A problem from a diagnostic.
    pub fn of(status: StatusCode, diagnostic: Diagnostic) -> Self {
        Self::all(status, Diagnostics(vec![diagnostic]))
    }

    /// A problem from all that is wrong with an input.
    pub fn all(status: StatusCode, diagnostics: Diagnostics) -> Self {
        let first = diagnostics.0.iter().find(|d| d.severity == notice::Severity::Error).or(diagnostics.0.first());
        Self {
            code: first.map_or_else(|| "unusable".into(), |d| d.code.clone()),
            title: status.canonical_reason().unwrap_or("Error"),
            status: status.as_u16(),
            detail: first.map_or_else(String::new, |d| match &d.allowed {
                Some(allowed) => format!("{}, {allowed}", d.found),
                None => d.found.clone(),
            }),
            diagnostics: diagnostics.0,
            current: None,
            retry_after_s: None,
        }
    }

    /// Says what would be right.
    pub fn help(mut self, help: &str) -> Self {
        if let Some(last) = self.diagnostics.last_mut() {
            last.help = Some(help.into());
        }
        self
    }

    /// Says when to try again.
    pub fn retry_after(mut self, seconds: u32) -> Self {
        self.retry_after_s = Some(seconds);
        self
    }

    /// A request that makes no sense.
    pub fn bad(code: &str, found: impl Into<String>) -> Self {
        Self::new(StatusCode::BAD_REQUEST, code, found)
    }

    /// Something that is not there.
    pub fn missing(found: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, "not-found", found)
    }

    /// A fault of ours.
    pub fn ours(found: impl Into<String>) -> Self {
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, "our-fault", found)
            .help("this is a fault of the program, not of the input; please report it")
    }
}

impl From<Diagnostics> for Problem {
    /// A text that can be received but not used.
    fn from(diagnostics: Diagnostics) -> Self {
        Self::all(StatusCode::UNPROCESSABLE_ENTITY, diagnostics)
    }
}

impl From<Diagnostic> for Problem {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::of(StatusCode::UNPROCESSABLE_ENTITY, diagnostic)
    }
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        let status = match &error {
            StoreError::NotFound { .. } => StatusCode::NOT_FOUND,
            StoreError::Moved { .. } => StatusCode::PRECONDITION_FAILED,
            StoreError::NothingToUndo
            | StoreError::NothingToRedo
            | StoreError::Taken { .. }
            | StoreError::Differs { .. } => StatusCode::CONFLICT,
            StoreError::BadName { .. } => StatusCode::BAD_REQUEST,
            StoreError::Full => StatusCode::INSUFFICIENT_STORAGE,
            StoreError::Busy => StatusCode::SERVICE_UNAVAILABLE,
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        };
        let mut problem = Self::of(status, error.diagnostic());
        if let StoreError::Moved { current } = &error {
            problem.current = Some(format!("\"{current}\"").into());
        }
        problem
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let body = serde_json::to_vec(&self).unwrap_or_default();
        let mut response = (status, body).into_response();
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        let header_of = |text: &str| HeaderValue::from_str(text).ok();
        if let Some(value) = self.retry_after_s.and_then(|s| header_of(&s.to_string())) {
            headers.insert(header::RETRY_AFTER, value);
        }
        if let Some(value) = self.current.as_deref().and_then(header_of) {
            headers.insert(HeaderName::from_static("etag"), value);
        }
        response
    }
}
