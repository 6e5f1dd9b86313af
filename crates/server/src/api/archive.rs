//! A site with everything of the user's own that it names.

use super::extract::{Path, site_id};
use crate::app::{App, FILE, blocking};
use crate::library::{CATALOGUE, CROPS, WEATHER};
use crate::problem::Problem;
use crate::zip::{Entry, pack};
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
use store::{ContentName, StoreError};

/// First bytes of a gzip file.
const GZIP: [u8; 2] = [0x1f, 0x8b];

/// The site text and the files it names, as a folder the command line can work in: `site.toml`, `weather/NAME…`,
/// `catalogue.toml`, `crops/NAME.toml`. What is built in is left out: every copy of the program has it.
#[utoipa::path(get, path = "/api/v1/sites/{id}/archive", params(("id" = String, Path)),
    responses((status = 200, body = Vec<u8>, content_type = "application/zip")))]
pub async fn get(State(app): State<Arc<App>>, Path(id): Path<String>) -> Result<Response, Problem> {
    blocking(move || {
        let site = app.store.site(&site_id(&id)?)?;
        let mut entries = Vec::new();
        if let Some(name) = weather_of(&site.text) {
            match app.store.named_content(&ContentName::new(WEATHER, name.clone())) {
                Ok((_, bytes)) => {
                    let ending = if bytes.starts_with(&GZIP) { ".txt.gz" } else { ".txt" };
                    entries.push(Entry { name: format!("weather/{name}{ending}"), bytes });
                }
                Err(StoreError::NotFound { .. } | StoreError::BadName { .. }) => {}
                Err(error) => return Err(error.into()),
            }
        }
        for line in app.store.contents(CATALOGUE)? {
            let (_, bytes) = app.store.named_content(&line.name)?;
            entries.push(Entry { name: "catalogue.toml".into(), bytes });
        }
        for line in app.store.contents(CROPS)? {
            let (_, bytes) = app.store.named_content(&line.name)?;
            entries.push(Entry { name: format!("crops/{}.toml", line.name.name), bytes });
        }
        entries.insert(0, Entry { name: FILE.into(), bytes: site.text.into_bytes() });
        let bytes = pack(&entries).ok_or_else(|| {
            Problem::new(StatusCode::PAYLOAD_TOO_LARGE, "archive-too-large", "archive of more than 4 GiB")
        })?;
        let mut response = bytes.into_response();
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static("application/zip"));
        headers.insert(header::CONTENT_DISPOSITION, HeaderValue::from_static("attachment; filename=\"site.zip\""));
        Ok(response)
    })
    .await
}

/// The record a text names, also when the text has other faults.
fn weather_of(text: &str) -> Option<String> {
    let fields = job::fields::list(text).ok()?;
    let name = fields.into_iter().find(|f| f.path == "place.weather")?.value_text;
    job::library::check_name(&name).ok()?;
    Some(name)
}
