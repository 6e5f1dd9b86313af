//! The check before every request: the name it was sent to, the page it comes from, the session it belongs to.

use super::{COOKIE, Doors};
use crate::app::App;
use crate::problem::Problem;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::net::{IpAddr, Ipv4Addr};
use std::sync::Arc;
use std::time::Instant;

/// Paths of the API that need no session.
const OPEN: [&str; 2] = ["/api/v1/program", "/api/v1/session"];

/// Who is at the other end.
#[derive(Debug, Clone, Copy)]
pub struct Peer(pub IpAddr);

impl Peer {
    /// Who asks, by the connection or, where a proxy stands in front, by what the proxy says.
    pub fn of(doors: &Doors, request: &Request) -> Self {
        let connection = request.extensions().get::<ConnectInfo<Self>>().map_or(Ipv4Addr::LOCALHOST.into(), |c| c.0.0);
        if !doors.behind_proxy {
            return Self(connection);
        }
        // The last entry is the proxy's own word; what stands before it anybody may have written.
        let said = request.headers().get_all("x-forwarded-for").iter().next_back();
        let said = said.and_then(|value| value.to_str().ok()?.rsplit(',').next()?.trim().parse().ok());
        Self(said.unwrap_or(connection))
    }
}

/// Refuses what must not come in.
pub async fn guard(State(app): State<Arc<App>>, mut request: Request, next: Next) -> Response {
    let peer = Peer::of(&app.doors, &request);
    request.extensions_mut().insert(peer);
    let (method, path) = (request.method().clone(), request.uri().path().to_string());
    let response = match admit(&app.doors, &request) {
        Ok(()) => next.run(request).await,
        Err(problem) => problem.into_response(),
    };
    let status = response.status();
    if status.is_server_error() || matches!(status, StatusCode::FORBIDDEN | StatusCode::MISDIRECTED_REQUEST) {
        // Paths hold ids and names, no secrets; queries and bodies are not written.
        (app.log)(&format!("{} {method} {} from {}", status.as_u16(), notice::plain(&path), peer.0));
    }
    response
}

fn admit(doors: &Doors, request: &Request) -> Result<(), Problem> {
    let headers = request.headers();
    let host = host(request)?;
    // A target in absolute form says the host once more, and by the rules of HTTP its word goes before the header's.
    let target = request.uri().authority().map(|authority| authority.as_str());
    if let Some(host) = [Some(host), target].into_iter().flatten().find(|host| !doors.answers_to(host)) {
        let found = format!("host {host:?}, a name this server does not answer to");
        return Err(Problem::new(StatusCode::MISDIRECTED_REQUEST, "foreign-host", found)
            .help("open the address the program printed, or start it with --name NAME"));
    }
    let path = request.uri().path();
    let api = path.starts_with("/api/");
    let writes = !matches!(*request.method(), Method::GET | Method::HEAD);
    if (api || writes) && !same_origin(headers, host) {
        return Err(Problem::new(StatusCode::FORBIDDEN, "foreign-origin", "request made by another page"));
    }
    if let Some(keys) = &doors.keys
        && api
        && !OPEN.contains(&path)
        && !token(headers).is_some_and(|token| keys.sessions.lives(token, Instant::now()))
    {
        return Err(Problem::new(StatusCode::UNAUTHORIZED, "sign-in", "no session: the password is needed"));
    }
    Ok(())
}

fn host(request: &Request) -> Result<&str, Problem> {
    let mut hosts = request.headers().get_all(header::HOST).iter();
    match (hosts.next().map(|h| h.to_str()), hosts.next()) {
        (Some(Ok(host)), None) => Ok(host),
        _ => Err(Problem::bad("host", "request without one plain Host header")),
    }
}

/// Whether the browser says that our own page asks. Programs that are no browsers say nothing and carry no cookies of others.
fn same_origin(headers: &HeaderMap, host: &str) -> bool {
    if let Some(site) = headers.get("sec-fetch-site")
        && site != "same-origin"
        && site != "none"
    {
        return false;
    }
    match headers.get(header::ORIGIN).map(|origin| origin.to_str()) {
        None => true,
        Some(Ok(origin)) => {
            let authority = origin.strip_prefix("https://").or_else(|| origin.strip_prefix("http://"));
            authority.is_some_and(|authority| authority.eq_ignore_ascii_case(host))
        }
        Some(Err(_)) => false,
    }
}

/// The session token of a request.
pub fn token(headers: &HeaderMap) -> Option<&str> {
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    cookies.flat_map(|line| line.split(';')).find_map(|pair| {
        let (name, value) = pair.trim().split_once('=')?;
        (name == COOKIE).then_some(value)
    })
}
