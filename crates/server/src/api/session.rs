//! Signing in and out, where a password is set.

use super::extract::Json;
use crate::app::{App, blocking};
use crate::doors::{COOKIE, IDLE, Peer, token};
use crate::problem::Problem;
use axum::Extension;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use std::sync::Arc;
use std::time::Instant;
use utoipa::ToSchema;

/// A password.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SignIn {
    /// The password.
    password: String,
}

fn cookie(app: &App, value: &str, age: u64) -> Option<HeaderValue> {
    let secure = if app.doors.secure { "; Secure" } else { "" };
    HeaderValue::from_str(&format!("{COOKIE}={value}; Path=/; HttpOnly; SameSite=Strict; Max-Age={age}{secure}")).ok()
}

/// Begins a session.
#[utoipa::path(post, path = "/api/v1/session", request_body = SignIn,
    responses((status = 204, description = "signed in"), (status = 401, body = Problem, content_type = "application/problem+json"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn begin(
    State(app): State<Arc<App>>,
    Extension(Peer(who)): Extension<Peer>,
    Json(said): Json<SignIn>,
) -> Result<Response, Problem> {
    let Some(keys) = &app.doors.keys else { return Ok(StatusCode::NO_CONTENT.into_response()) };
    let locked = |app: &App| {
        let left = app.doors.keys.as_ref()?.lockout.wait(who, Instant::now())?;
        let seconds = u32::try_from(left.as_secs() + 1).unwrap_or(u32::MAX);
        let found = format!("too many wrong passwords; try again in {seconds} s");
        Some(Problem::new(StatusCode::TOO_MANY_REQUESTS, "locked-out", found).retry_after(seconds))
    };
    if let Some(problem) = locked(&app) {
        return Err(problem);
    }
    let turn = keys.turn.acquire().await.map_err(|_| Problem::ours("the check of passwords has ended"))?;
    // Whoever stood in line may have been locked out meanwhile.
    if let Some(problem) = locked(&app) {
        return Err(problem);
    }
    let checked = Arc::clone(&app);
    let fits = blocking(move || Ok(checked.doors.keys.as_ref().is_some_and(|keys| keys.fits(&said.password)))).await?;
    drop(turn);
    if !fits {
        keys.lockout.wrong(who, Instant::now());
        (app.log)(&format!("wrong password from {who}"));
        return Err(Problem::new(StatusCode::UNAUTHORIZED, "wrong-password", "wrong password"));
    }
    keys.lockout.right(who);
    let token = keys.sessions.begin(Instant::now()).map_err(|e| Problem::ours(format!("no random bytes: {e}")))?;
    let mut response = StatusCode::NO_CONTENT.into_response();
    if let Some(value) = cookie(&app, &token, IDLE.as_secs()) {
        response.headers_mut().insert(header::SET_COOKIE, value);
    }
    Ok(response)
}

/// Ends the session.
#[utoipa::path(delete, path = "/api/v1/session", responses((status = 204, description = "signed out")))]
pub async fn end(State(app): State<Arc<App>>, headers: HeaderMap) -> Response {
    if let (Some(keys), Some(token)) = (&app.doors.keys, token(&headers)) {
        keys.sessions.end(token);
    }
    let mut response = StatusCode::NO_CONTENT.into_response();
    if let Some(value) = cookie(&app, "", 0) {
        response.headers_mut().insert(header::SET_COOKIE, value);
    }
    response
}
