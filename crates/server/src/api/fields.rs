//! The values of a site text as they are written, for forms.

use super::extract::{Json, Path, site_id};
use crate::app::{App, FILE, blocking};
use crate::problem::Problem;
use axum::extract::State;
use serde::Serialize;
use std::sync::Arc;
use utoipa::ToSchema;

/// One value as it is written.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FieldJson {
    /// Path as changes take it.
    pub path: String,
    /// The value in the user's own spelling.
    pub value_text: String,
    /// Line it stands in, from 1.
    pub line: usize,
}

/// The values of the text that stands, in its order. A text whose grammar is broken is refused with the place.
#[utoipa::path(get, path = "/api/v1/sites/{id}/fields", params(("id" = String, Path)),
    responses((status = 200, body = Vec<FieldJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn list(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Json<Vec<FieldJson>>, Problem> {
    blocking(move || {
        let site = app.store.site(&site_id(&id)?)?;
        let fields = job::fields::list(&site.text).map_err(|error| Problem::from(error.diagnostic(FILE)))?;
        let one = |f: job::fields::Field| FieldJson { path: f.path, value_text: f.value_text, line: f.line };
        Ok(Json(fields.into_iter().map(one).collect()))
    })
    .await
}
