//! The workbench over HTTP: the interface under `/api/v1`, streams, sessions, the embedded page.
//!
//! Knows no equation: it opens jobs with `job`, asks `advice` and `ensemble`, and answers in the shapes of `contract`.
//! Nothing that comes in names a path; what site texts call by name is built in or lies in the store.

pub mod api;
mod app;
mod doors;
mod field;
mod headers;
mod library;
mod listen;
mod maps;
mod page;
mod papers;
mod problem;
mod runs;
mod seasons;
mod serve;
mod slots;
mod starts;
mod tls;
mod views;
mod zip;

pub use api::unit_table;
pub use app::App;
pub use doors::{Doors, Keys, Peer, hash, least_length};
pub use listen::{Bound, Options, Serving};
pub use serve::{Log, serve};
pub use tls::Identity;

use axum::Router;
use axum::middleware::{from_fn, from_fn_with_state};
use std::sync::Arc;
use std::time::Duration;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::RequestBodyTimeoutLayer;

/// Longest pause in a body that is being sent.
const BODY_PAUSE: Duration = Duration::from_secs(20);

/// Everything a server answers, doors included.
pub fn router(app: Arc<App>) -> Router {
    api::router()
        .fallback(page::serve)
        .layer(RequestBodyTimeoutLayer::new(BODY_PAUSE))
        .layer(CompressionLayer::new())
        .layer(from_fn_with_state(Arc::clone(&app), doors::guard))
        .layer(CatchPanicLayer::custom(|_| {
            let problem = problem::Problem::ours("the program failed while it served this request");
            axum::response::IntoResponse::into_response(problem)
        }))
        .layer(from_fn(headers::add))
        .with_state(app)
}
