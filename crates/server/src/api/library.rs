//! The user's own catalogue and crop files, as the command line finds them in a folder: `catalogue.toml`, `crops/NAME.toml`.

use super::extract::{Json, Path, Text};
use super::site_shapes::instant;
use crate::app::{App, blocking, now};
use crate::library::{CATALOGUE, CROPS, WEATHER};
use crate::problem::Problem;
use axum::extract::State;
use axum::http::StatusCode;
use job::Library as _;
use job::library::check_name;
use notice::Place;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::ContentName;
use utoipa::ToSchema;

/// A file of the user's library.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LibraryLine {
    /// `weather`, `catalogue` or `crops`.
    pub kind: &'static str,
    /// Its name.
    pub name: String,
    /// SHA-256 of its content.
    pub sha256: String,
    /// Its length.
    pub bytes: u64,
    /// When it was brought in.
    pub at: String,
}

/// What a text of the library is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum TextKind {
    /// Fans and burners; there is one, named `catalogue`.
    Catalogue,
    /// A crop or variety.
    Crops,
}

fn content(kind: TextKind, name: &str) -> Result<ContentName, Problem> {
    check_name(name).map_err(|error| Problem::of(StatusCode::BAD_REQUEST, error.at(Place::file("request"))))?;
    match kind {
        TextKind::Catalogue if name != CATALOGUE => {
            Err(Problem::bad("name", format!("catalogue {name:?}")).help("there is one catalogue, named \"catalogue\""))
        }
        TextKind::Catalogue => Ok(ContentName::new(CATALOGUE, name)),
        TextKind::Crops => Ok(ContentName::new(CROPS, name)),
    }
}

/// All files of the user's library.
#[utoipa::path(get, path = "/api/v1/library", responses((status = 200, body = Vec<LibraryLine>)))]
pub async fn list(State(app): State<Arc<App>>) -> Result<Json<Vec<LibraryLine>>, Problem> {
    blocking(move || {
        let mut lines = Vec::new();
        for kind in [WEATHER, CATALOGUE, CROPS] {
            lines.extend(app.store.contents(kind)?.into_iter().map(|line| LibraryLine {
                kind,
                name: line.name.name,
                sha256: line.digest.to_string(),
                bytes: line.bytes,
                at: instant(line.at),
            }));
        }
        Ok(Json(lines))
    })
    .await
}

/// Keeps a catalogue or a crop file, after reading it; what is wrong with it is said with its lines and nothing is kept.
#[utoipa::path(put, path = "/api/v1/library/{kind}/{name}", params(("kind" = TextKind, Path), ("name" = String, Path)),
    request_body(content = String, content_type = "text/plain"), responses((status = 204, description = "kept")))]
pub async fn put(
    State(app): State<Arc<App>>,
    Path((kind, name)): Path<(TextKind, String)>,
    Text(text): Text,
) -> Result<StatusCode, Problem> {
    blocking(move || {
        let content = content(kind, &name)?;
        let file = format!("{name}.toml");
        match kind {
            TextKind::Catalogue => drop(job::read_catalogue(&text, &file)?),
            TextKind::Crops => drop(app.library()?.crops().clone().with_user_file(&file, &text)?),
        }
        app.store.put_content(&content, text.as_bytes(), now())?;
        app.contents_changed();
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}

/// A file as it was brought in, byte for byte.
#[utoipa::path(get, path = "/api/v1/library/{kind}/{name}", params(("kind" = TextKind, Path), ("name" = String, Path)),
    responses((status = 200, body = String, content_type = "text/plain")))]
pub async fn get(State(app): State<Arc<App>>, Path((kind, name)): Path<(TextKind, String)>) -> Result<String, Problem> {
    blocking(move || {
        let (_, bytes) = app.store.named_content(&content(kind, &name)?)?;
        String::from_utf8(bytes).map_err(|_| Problem::ours("a kept text that is no UTF-8"))
    })
    .await
}

/// Forgets a file. Sites that name what it held cannot be computed until it comes back.
#[utoipa::path(delete, path = "/api/v1/library/{kind}/{name}", params(("kind" = TextKind, Path), ("name" = String, Path)),
    responses((status = 204, description = "forgotten")))]
pub async fn remove(
    State(app): State<Arc<App>>,
    Path((kind, name)): Path<(TextKind, String)>,
) -> Result<StatusCode, Problem> {
    blocking(move || {
        app.store.forget_name(&content(kind, &name)?)?;
        app.contents_changed();
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}
