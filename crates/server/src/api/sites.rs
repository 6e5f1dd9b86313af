//! Sites: list, make, read, rename, duplicate, delete.

use super::extract::{Json, Path, Seen, site_id, with_tag};
use super::site_shapes::{DeletedSiteJson, SiteJson, SiteLineJson, diagnostics, name_of};
use crate::app::{App, blocking, now};
use crate::problem::Problem;
use crate::starts;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use serde::Deserialize;
use std::sync::Arc;
use store::SiteId;
use utoipa::ToSchema;

/// Longest name of a site, characters.
const LONGEST_NAME: usize = 120;

/// All sites, the last changed first.
#[utoipa::path(get, path = "/api/v1/sites", responses((status = 200, body = Vec<SiteLineJson>)))]
pub async fn list(State(app): State<Arc<App>>) -> Result<Json<Vec<SiteLineJson>>, Problem> {
    blocking(move || Ok(Json(app.store.sites()?.iter().map(SiteLineJson::of).collect()))).await
}

/// What a new site begins with.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum From {
    /// The invented demonstration.
    Demo,
    /// A plain beginning.
    Blank,
    /// The text sent with it.
    Text,
}

/// A new site.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewSite {
    /// What it begins with.
    from: From,
    /// Its name; left out, what the text calls itself.
    name: Option<String>,
    /// The text, for `text`.
    text: Option<String>,
}

/// Makes a site.
#[utoipa::path(post, path = "/api/v1/sites", request_body = NewSite,
    responses((status = 201, body = SiteJson, headers(("ETag" = String), ("Location" = String)))))]
pub async fn create(State(app): State<Arc<App>>, Json(new): Json<NewSite>) -> Result<Response, Problem> {
    blocking(move || {
        let (text, note) = match (new.from, new.text) {
            (From::Demo, None) => (starts::DEMO.to_string(), "made from the demonstration"),
            (From::Blank, None) => (starts::BLANK.to_string(), "made blank"),
            (From::Text, Some(text)) => (text, "brought in"),
            (From::Text, None) => return Err(Problem::from(missing_text())),
            _ => return Err(Problem::bad("text", "text beside \"demo\" or \"blank\"").help("use \"from\": \"text\"")),
        };
        let name = named(new.name.as_deref(), &text)?;
        let id = random_id()?;
        let site = app.store.create_site(&id, &name, &text, note, now())?;
        Ok(created(&app, site))
    })
    .await
}

fn missing_text() -> notice::Diagnostic {
    notice::Diagnostic::error("missing-field", "no text to make a site from", notice::Place::file("request"))
        .help("send the site file as \"text\"")
}

fn named(given: Option<&str>, text: &str) -> Result<String, Problem> {
    match given {
        Some(name) => check_name(name).map(str::to_string),
        None => Ok(name_of(None, text)),
    }
}

fn check_name(name: &str) -> Result<&str, Problem> {
    let name = name.trim();
    if name.is_empty() || name.chars().count() > LONGEST_NAME {
        return Err(Problem::bad("name", format!("name of {} characters", name.chars().count()))
            .help("give a name of 1 to 120 characters on one line"));
    }
    if name.chars().any(notice::unseen) {
        return Err(Problem::bad("name", format!("name {name:?} with characters that are not seen"))
            .help("write it anew, on one line, without marks of direction and signs of no width"));
    }
    Ok(name)
}

fn random_id() -> Result<SiteId, Problem> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).map_err(|error| Problem::ours(format!("no random bytes: {error}")))?;
    Ok(SiteId::from_random(bytes))
}

fn created(app: &App, site: store::Site) -> Response {
    let head = site.head;
    let place = HeaderValue::from_str(&format!("/api/v1/sites/{}", site.id));
    let wrong = diagnostics(app, &site.text);
    let mut response = with_tag(&head, (StatusCode::CREATED, Json(SiteJson::of(site, wrong))));
    if let Ok(place) = place {
        response.headers_mut().insert(header::LOCATION, place);
    }
    response
}

/// A site as it stands, with its ETag.
pub(super) fn shown(app: &App, site: store::Site) -> Response {
    let head = site.head;
    let wrong = diagnostics(app, &site.text);
    with_tag(&head, Json(SiteJson::of(site, wrong)))
}

/// A site as it stands.
#[utoipa::path(get, path = "/api/v1/sites/{id}", params(("id" = String, Path)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String)))))]
pub async fn get(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.site(&site_id(&id)?)?;
        Ok(shown(&app, site))
    })
    .await
}

/// Deletes a site. It is kept among the deleted ones, from where it can be brought back.
#[utoipa::path(delete, path = "/api/v1/sites/{id}", params(("id" = String, Path), ("If-Match" = String, Header)),
    responses((status = 204, description = "deleted")))]
pub async fn delete(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Seen(head): Seen,
) -> Result<StatusCode, Problem> {
    blocking(move || {
        app.store.delete(&site_id(&id)?, &head, now())?;
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}

/// Sites that were deleted, the last deleted first.
#[utoipa::path(get, path = "/api/v1/deleted-sites", responses((status = 200, body = Vec<DeletedSiteJson>)))]
pub async fn deleted(State(app): State<Arc<App>>) -> Result<Json<Vec<DeletedSiteJson>>, Problem> {
    blocking(move || Ok(Json(app.store.deleted_sites()?.iter().map(DeletedSiteJson::of).collect()))).await
}

/// Brings a deleted site back with all its versions.
#[utoipa::path(post, path = "/api/v1/deleted-sites/{id}/restore", params(("id" = String, Path)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String))),
        (status = 404, body = Problem, content_type = "application/problem+json")))]
pub async fn undelete(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.undelete(&site_id(&id)?, now())?;
        Ok(shown(&app, site))
    })
    .await
}

/// A copy of a site with the text that stands.
#[utoipa::path(post, path = "/api/v1/sites/{id}/duplicate", params(("id" = String, Path)),
    responses((status = 201, body = SiteJson, headers(("ETag" = String), ("Location" = String)))))]
pub async fn duplicate(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Response, Problem> {
    blocking(move || {
        let id = site_id(&id)?;
        let name = app.store.site(&id)?.name;
        let name: String = name.chars().take(LONGEST_NAME - 7).collect();
        let site = app.store.duplicate(&id, &random_id()?, &format!("{name} (copy)"), "duplicated", now())?;
        Ok(created(&app, site))
    })
    .await
}

/// A name.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewName {
    /// The name.
    name: String,
}

/// Gives a site another name; its text stays.
#[utoipa::path(put, path = "/api/v1/sites/{id}/name", request_body = NewName,
    params(("id" = String, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = SiteJson, headers(("ETag" = String)))))]
pub async fn rename(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Seen(head): Seen,
    Json(new): Json<NewName>,
) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.rename(&site_id(&id)?, &head, check_name(&new.name)?, now())?;
        Ok(shown(&app, site))
    })
    .await
}
