//! Headers of every response.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// What the page may load: its own files and nothing else; in a frame the papers, which may do nothing at all. No styles or scripts written into the page: positions in drawings
/// are set by its own script through the properties of an element, which is not inline style.
const CONTENT: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
                       img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; manifest-src 'self'; \
                       worker-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

const FIXED: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), payment=(), usb=(), interest-cohort=()",
    ),
];

/// Adds them; answers of the API are not kept by anybody unless they say otherwise.
pub async fn add(request: Request, next: Next) -> Response {
    let api = request.uri().path().starts_with("/api/");
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in FIXED {
        // A paper brings what it may load itself, in stricter words.
        if name != header::CONTENT_SECURITY_POLICY || !headers.contains_key(&name) {
            headers.insert(name, HeaderValue::from_static(value));
        }
    }
    if api && !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    response
}
