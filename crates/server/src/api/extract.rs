//! Reading requests: bodies, conditions and ids, refused as problems.

use crate::problem::Problem;
use axum::extract::rejection::{JsonRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde::de::DeserializeOwned;
use store::{Head, SiteId};

/// A JSON body.
pub struct Json<T>(pub T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Json<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        match axum::Json::<T>::from_request(request, state).await {
            Ok(axum::Json(value)) => Ok(Self(value)),
            Err(rejection) => Err(refused(&rejection)),
        }
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
        let Bytes(bytes) = Bytes::from_request(request, state).await?;
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

/// Bytes as body.
pub struct Bytes(pub axum::body::Bytes);

impl<S: Send + Sync> FromRequest<S> for Bytes {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        match axum::body::Bytes::from_request(request, state).await {
            Ok(bytes) => Ok(Self(bytes)),
            Err(rejection) => Err(Problem::new(rejection.status(), "body", rejection.body_text())),
        }
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
            Problem::bad("if-match", format!("If-Match of {:?}", notice::plain(tag)))
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
    text.parse().map_err(|_| Problem::missing(format!("site {:?}", notice::plain(text))))
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
