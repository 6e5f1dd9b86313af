//! Versions of a site: undo, redo, list, read, bring back.

use super::extract::{Json, Path, Seen, site_id};
use super::site_shapes::{SiteJson, VersionJson};
use super::sites::shown;
use super::text::plain;
use crate::app::{App, blocking, now};
use crate::problem::Problem;
use axum::extract::State;
use axum::response::Response;
use std::sync::Arc;

/// Goes back to the version before.
#[utoipa::path(post, path = "/api/v1/sites/{id}/undo", params(("id" = String, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String))),
        (status = 409, body = Problem, content_type = "application/problem+json")))]
pub async fn undo(State(app): State<Arc<App>>, Path(id): Path<String>, Seen(head): Seen) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.undo(&site_id(&id)?, &head, now())?;
        Ok(shown(&app, site))
    })
    .await
}

/// Goes forward to the version undone last.
#[utoipa::path(post, path = "/api/v1/sites/{id}/redo", params(("id" = String, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String))),
        (status = 409, body = Problem, content_type = "application/problem+json")))]
pub async fn redo(State(app): State<Arc<App>>, Path(id): Path<String>, Seen(head): Seen) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.redo(&site_id(&id)?, &head, now())?;
        Ok(shown(&app, site))
    })
    .await
}

/// All versions, the newest first.
#[utoipa::path(get, path = "/api/v1/sites/{id}/versions", params(("id" = String, Path)),
    responses((status = 200, body = Vec<VersionJson>)))]
pub async fn list(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Json<Vec<VersionJson>>, Problem> {
    blocking(move || Ok(Json(app.store.versions(&site_id(&id)?)?.iter().map(VersionJson::of).collect()))).await
}

/// The text of a version, byte for byte.
#[utoipa::path(get, path = "/api/v1/sites/{id}/versions/{seq}/text", params(("id" = String, Path), ("seq" = u32, Path)),
    responses((status = 200, body = String, content_type = "text/plain")))]
pub async fn text(State(app): State<Arc<App>>, Path((id, seq)): Path<(String, u32)>) -> Result<Response, Problem> {
    blocking(move || {
        let (version, text) = app.store.version(&site_id(&id)?, seq)?;
        Ok(plain(text, &version.head()))
    })
    .await
}

/// Makes the text of an older version stand again, as a new version.
#[utoipa::path(post, path = "/api/v1/sites/{id}/versions/{seq}/restore",
    params(("id" = String, Path), ("seq" = u32, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String)))))]
pub async fn restore(
    State(app): State<Arc<App>>,
    Path((id, seq)): Path<(String, u32)>,
    Seen(head): Seen,
) -> Result<Response, Problem> {
    blocking(move || {
        let note = format!("version {seq} brought back");
        let site = app.store.restore(&site_id(&id)?, &head, seq, &note, now())?;
        Ok(shown(&app, site))
    })
    .await
}
