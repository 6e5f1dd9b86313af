//! Site texts: read, save, change value by value, check without saving.

use super::extract::{Json, Path, Seen, Text, site_id, with_tag};
use super::site_shapes::SiteJson;
use super::sites::shown;
use crate::app::{App, FILE, blocking, now};
use crate::problem::Problem;
use crate::views::survey;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use contract::Document;
use contract::survey::SurveyJson;
use job::change::{Change, apply};
use notice::Diagnostic;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

/// Changes at most in one request.
pub const MOST_CHANGES: usize = 1000;

/// A text as a file.
pub(super) fn plain(text: String, head: &store::Head) -> Response {
    let mut response = with_tag(head, text);
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static("text/plain; charset=utf-8"));
    response
}

/// The text that stands, byte for byte.
#[utoipa::path(get, path = "/api/v1/sites/{id}/text", params(("id" = String, Path)),
    responses((status = 200, body = String, content_type = "text/plain", headers(("ETag" = String)))))]
pub async fn get(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.site(&site_id(&id)?)?;
        Ok(plain(site.text, &site.head))
    })
    .await
}

/// Saves a text. A text with faults is kept as a draft; the answer says what is wrong with it.
#[utoipa::path(put, path = "/api/v1/sites/{id}/text", request_body(content = String, content_type = "text/plain"),
    params(("id" = String, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String)))))]
pub async fn put(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Seen(head): Seen,
    Text(text): Text,
) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.save(&site_id(&id)?, &head, &text, "text saved", now())?;
        Ok(shown(&app, site))
    })
    .await
}

/// One value to put at one path.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangeJson {
    /// Path as diagnostics write it: `bins.north.lots[0].moisture`.
    pub path: String,
    /// The value as it is written in the text: `18 %`.
    pub value_text: String,
}

impl From<ChangeJson> for Change {
    fn from(change: ChangeJson) -> Self {
        Self { path: change.path, value_text: change.value_text }
    }
}

/// Makes changes in a text.
///
/// # Errors
/// The first that cannot be made.
pub fn changed(text: &str, changes: Vec<ChangeJson>) -> Result<String, Problem> {
    if changes.len() > MOST_CHANGES {
        return Err(Problem::bad("too-many-changes", format!("{} changes, at most {MOST_CHANGES}", changes.len())));
    }
    let changes: Vec<Change> = changes.into_iter().map(Change::from).collect();
    let text = apply(text, &changes).map_err(|error| Problem::from(error.diagnostic(FILE)))?;
    if text.len() > super::LARGEST_TEXT {
        let found = format!("text of {} bytes, at most {}", text.len(), super::LARGEST_TEXT);
        return Err(Problem::new(StatusCode::PAYLOAD_TOO_LARGE, "text-too-large", found));
    }
    Ok(text)
}

/// Changes to a site.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Changes {
    /// The changes, made in order, all or none.
    changes: Vec<ChangeJson>,
    /// A note for the version.
    note: Option<String>,
}

/// Changes values of a site; everything else in its text stays as it was written.
#[utoipa::path(post, path = "/api/v1/sites/{id}/changes", request_body = Changes,
    params(("id" = String, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String)))))]
pub async fn change(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Seen(head): Seen,
    Json(wanted): Json<Changes>,
) -> Result<Response, Problem> {
    blocking(move || {
        let id = site_id(&id)?;
        let site = app.store.site(&id)?;
        if site.head != head {
            return Err(Problem::from(store::StoreError::Moved { current: site.head }));
        }
        let said: Vec<&str> = wanted.changes.iter().map(|c| c.path.as_str()).collect();
        let note = wanted.note.clone().unwrap_or_else(|| said.join(", "));
        let note: String = note.chars().filter(|c| !notice::unseen(*c)).take(200).collect();
        let text = changed(&site.text, wanted.changes)?;
        let site = app.store.save(&id, &head, &text, &note, now())?;
        Ok(shown(&app, site))
    })
    .await
}

/// A text to look at.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Draft {
    /// The text.
    text: String,
}

/// A text looked at.
#[derive(Debug, Serialize, ToSchema)]
pub struct Checked {
    /// What is wrong with it.
    diagnostics: Vec<Diagnostic>,
    /// The site said back; null when it cannot be used.
    survey: Option<Document<SurveyJson>>,
}

/// Checks a text as it is typed; keeps nothing.
#[utoipa::path(post, path = "/api/v1/check", request_body = Draft, responses((status = 200, body = Checked)))]
pub async fn check(State(app): State<Arc<App>>, Json(draft): Json<Draft>) -> Result<Json<Checked>, Problem> {
    blocking(move || {
        Ok(Json(match app.open(&draft.text) {
            Ok(job) => Checked { diagnostics: job.warnings.0.clone(), survey: Some(survey(&job)) },
            Err(problem) if problem.status >= 500 => return Err(problem),
            Err(problem) => Checked { diagnostics: problem.diagnostics, survey: None },
        }))
    })
    .await
}
