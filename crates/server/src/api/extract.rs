//! Reading requests: bodies, conditions and ids, refused as problems.

use crate::app::App;
use crate::problem::Problem;
use axum::extract::rejection::{JsonRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::sync::Arc;
use std::time::Duration;
use store::{Head, SiteId};
use tokio::sync::OwnedSemaphorePermit;

/// Longest time in which a JSON body or a text must have come, however steadily it trickles.
const BODY_WHOLE: Duration = Duration::from_secs(60);
/// The same for a weather file, which may have to come over a thin line.
const UPLOAD_WHOLE: Duration = Duration::from_secs(600);
/// Longest wait for a place among the uploads.
const UPLOAD_WAIT: Duration = Duration::from_secs(30);

/// Reads a body, but not for ever.
async fn within<T>(limit: Duration, reading: impl Future<Output = Result<T, Problem>>) -> Result<T, Problem> {
    match tokio::time::timeout(limit, reading).await {
        Ok(read) => read,
        Err(_) => {
            let found = format!("body that was not whole after {} s", limit.as_secs_f64());
            Err(Problem::new(StatusCode::REQUEST_TIMEOUT, "body-too-slow", found))
        }
    }
}

/// A JSON body.
pub struct Json<T>(pub T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Json<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let reading = async {
            match axum::Json::<T>::from_request(request, state).await {
                Ok(axum::Json(value)) => Ok(Self(value)),
                Err(rejection) => Err(refused(&rejection)),
            }
        };
        within(BODY_WHOLE, reading).await
    }
}

fn refused(rejection: &JsonRejection) -> Problem {
    let code = match rejection {
        JsonRejection::JsonSyntaxError(_) => "json",
        JsonRejection::JsonDataError(_) => "json-shape",
        JsonRejection::MissingJsonContentType(_) => "content-type",
        _ => "body",
    };
    Problem::new(rejection.status(), code, notice::plain(&rejection.body_text()))
}

impl<T: Serialize> IntoResponse for Json<T> {
    fn into_response(self) -> Response {
        axum::Json(self.0).into_response()
    }
}

/// What stands in the path.
pub struct Path<T>(pub T);

impl<T: DeserializeOwned + Send, S: Send + Sync> FromRequestParts<S> for Path<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        let read: Result<axum::extract::Path<T>, PathRejection> =
            axum::extract::Path::from_request_parts(parts, state).await;
        match read {
            Ok(axum::extract::Path(value)) => Ok(Self(value)),
            Err(rejection) => Err(Problem::bad("path", notice::plain(&rejection.body_text()))),
        }
    }
}

/// What stands after the question mark.
pub struct Query<T>(pub T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequestParts<S> for Query<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        let read: Result<axum::extract::Query<T>, QueryRejection> =
            axum::extract::Query::from_request_parts(parts, state).await;
        match read {
            Ok(axum::extract::Query(value)) => Ok(Self(value)),
            Err(rejection) => Err(Problem::bad("query", notice::plain(&rejection.body_text()))),
        }
    }
}

/// A text as body, UTF-8.
pub struct Text(pub String);

impl<S: Send + Sync> FromRequest<S> for Text {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let bytes = within(BODY_WHOLE, bytes(request, state)).await?;
        match String::from_utf8(bytes.to_vec()) {
            Ok(text) => Ok(Self(text)),
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let line = 1 + error.as_bytes()[..good].iter().filter(|byte| **byte == b'\n').count();
                let at = notice::Place::line(crate::app::FILE, line);
                let wrong = notice::Diagnostic::error("not-utf8", "file that is no UTF-8 text", at);
                Err(Problem::from(wrong.help("save it with the encoding UTF-8")))
            }
        }
    }
}

async fn bytes<S: Send + Sync>(request: Request, state: &S) -> Result<axum::body::Bytes, Problem> {
    axum::body::Bytes::from_request(request, state)
        .await
        .map_err(|rejection| Problem::new(rejection.status(), "body", rejection.body_text()))
}

/// A large body, taken only while one of a few places is free: so many lie in memory at once and no more.
pub struct Upload {
    /// The body.
    pub bytes: axum::body::Bytes,
    /// Its place, given back when the upload is dropped.
    _place: OwnedSemaphorePermit,
}

impl FromRequest<Arc<App>> for Upload {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &Arc<App>) -> Result<Self, Problem> {
        let place = tokio::time::timeout(UPLOAD_WAIT, Arc::clone(&state.uploads).acquire_owned()).await;
        let Ok(Ok(place)) = place else {
            let found = "too many files on their way at once";
            return Err(Problem::new(StatusCode::SERVICE_UNAVAILABLE, "busy", found).retry_after(30));
        };
        let bytes = within(UPLOAD_WHOLE, bytes(request, state)).await?;
        Ok(Self { bytes, _place: place })
    }
}

/// The version a writer has seen, from `If-Match`.
pub struct Seen(pub Head);

impl<S: Send + Sync> FromRequestParts<S> for Seen {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        let mut tags = parts.headers.get_all(header::IF_MATCH).iter();
        let tag = match (tags.next(), tags.next()) {
            (None, _) => {
                return Err(Problem::new(StatusCode::PRECONDITION_REQUIRED, "if-match", "write without If-Match")
                    .help("send the ETag of the site as it was last read"));
            }
            (Some(tag), None) => tag.to_str().unwrap_or_default(),
            (Some(_), Some(_)) => "",
        };
        let head = tag.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).and_then(|inner| inner.parse().ok());
        let wrong = || {
            Problem::bad("if-match", format!("If-Match of {tag:?}"))
                .help("send the ETag of the site as it was last read, in its quotes")
        };
        head.map(Self).ok_or_else(wrong)
    }
}

/// The id of a site in an address.
///
/// # Errors
/// When it cannot be one.
pub fn site_id(text: &str) -> Result<SiteId, Problem> {
    text.parse().map_err(|_| Problem::missing(format!("site {text:?}")))
}

/// Puts the ETag of a site beside an answer.
pub fn with_tag(head: &Head, response: impl IntoResponse) -> Response {
    let mut response = response.into_response();
    tag(response.headers_mut(), head);
    response
}

fn tag(headers: &mut HeaderMap, head: &Head) {
    if let Ok(value) = HeaderValue::from_str(&format!("\"{head}\"")) {
        headers.insert(header::ETAG, value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::Body;
    use tokio_stream::StreamExt as _;

    /// A body that sends a byte now and then never pauses long, and yet must end.
    #[test]
    fn a_trickle_is_cut_off() {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
        let code = runtime.block_on(async {
            let drops = tokio_stream::iter(std::iter::repeat_with(|| Ok::<_, std::io::Error>("x")));
            let body = Body::from_stream(drops.throttle(Duration::from_millis(1)));
            let request = Request::builder().body(body).unwrap();
            within(Duration::from_millis(50), bytes(request, &()))
                .await
                .map_err(|problem| (problem.status, problem.code))
        });
        assert_eq!(code, Err((408, "body-too-slow".to_string())));
    }
}
