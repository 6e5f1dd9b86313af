//! The page itself: the built front-end, embedded.

use crate::problem::Problem;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use rust_embed::{EmbeddedFile, RustEmbed};
use std::fmt::Write as _;

#[derive(RustEmbed)]
#[folder = "../../web/dist"]
struct Files;

/// A file of the page, or the page for one of its addresses.
pub async fn serve(method: Method, uri: Uri, headers: HeaderMap) -> Response {
    if !matches!(method, Method::GET | Method::HEAD) {
        let found = format!("{method} on a page");
        return Problem::new(StatusCode::METHOD_NOT_ALLOWED, "method", found).into_response();
    }
    let path = uri.path().trim_start_matches('/');
    if path.starts_with("api/") {
        return Problem::missing(format!("no such address: {}", notice::plain(uri.path()))).into_response();
    }
    if let Some(found) = Files::get(path) {
        return file(path, &found, &headers);
    }
    // Addresses of the page carry no dot; what looks like a file and is none is missing.
    let last = path.rsplit('/').next().unwrap_or_default();
    match Files::get("index.html") {
        Some(index) if !last.contains('.') => file("index.html", &index, &headers),
        _ => Problem::missing(format!("no such file: {}", notice::plain(uri.path()))).into_response(),
    }
}

fn file(path: &str, found: &EmbeddedFile, headers: &HeaderMap) -> Response {
    let digest = found.metadata.sha256_hash().iter().take(16).fold(String::from("\""), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    }) + "\"";
    // Files under assets/ carry their digest in the name.
    let keep = if path.starts_with("assets/") { "public, max-age=31536000, immutable" } else { "no-cache" };
    let known = headers.get(header::IF_NONE_MATCH).is_some_and(|tag| tag.as_bytes() == digest.as_bytes());
    let mut response = match known {
        true => StatusCode::NOT_MODIFIED.into_response(),
        false => found.data.clone().into_response(),
    };
    let of = |text: &str| HeaderValue::from_str(text).unwrap_or(HeaderValue::from_static(""));
    let headers = response.headers_mut();
    let kind = match found.metadata.mimetype() {
        text if text.starts_with("text/") => format!("{text}; charset=utf-8"),
        other => other.to_string(),
    };
    headers.insert(header::CONTENT_TYPE, of(&kind));
    headers.insert(header::ETAG, of(&digest));
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(keep));
    response
}
