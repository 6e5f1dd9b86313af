//! Proofs that are kept: begin, watch, read, end.

use super::extract::{Json, Path, site_id};
use super::season::bin_of;
use super::site_shapes::instant;
use crate::app::{App, blocking};
use crate::problem::Problem;
use crate::runs::{self, Progress, State, Wanted};
use crate::views::RiskView;
use axum::extract::State as Shared;
use axum::http::StatusCode;
use axum::response::sse::{Event, KeepAlive};
use axum::response::{IntoResponse, Response, Sse};
use contract::Document;
use serde::{Deserialize, Serialize};
use std::convert::Infallible;
use std::sync::Arc;
use store::{Digest, RunUse};
use tokio_stream::Stream;
use tokio_stream::wrappers::ReceiverStream;
use utoipa::ToSchema;

/// What can be run.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum RunKind {
    /// All years, judged, with what the model leaves open.
    Prove,
}

/// A run to begin.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewRun {
    /// Site.
    site: String,
    /// Version of its text; left out, the one that stands.
    seq: Option<u32>,
    /// Bin; left out, the first.
    bin: Option<String>,
    /// What to run.
    kind: RunKind,
}

/// A run.
#[derive(Debug, Serialize, ToSchema)]
pub struct RunJson {
    /// Identity: a hash of everything that decides the result.
    pub id: String,
    /// How far it is.
    #[serde(flatten)]
    pub progress: Progress,
    /// Number of the model that computes or computed it.
    pub model: u32,
    /// Number of today's model: where it differs, running the site again gives another run.
    pub current_model: u32,
    /// When it was done.
    pub finished_at: Option<String>,
    /// The result, a `RiskView` document; null until it is done.
    #[schema(value_type = Option<Document<RiskView>>)]
    pub result: Option<serde_json::Value>,
}

fn found(app: &App, id: &str) -> Result<RunJson, Problem> {
    let live = app.runs.get(id).map(|run| run.progress.borrow().clone());
    if let Some(progress) = live
        && progress.state != State::Done
    {
        let (model, current_model) = (job::MODEL, job::MODEL);
        return Ok(RunJson { id: id.into(), progress, model, current_model, finished_at: None, result: None });
    }
    let identity: Digest = id.parse().map_err(|_| Problem::missing(format!("run {:?}", notice::plain(id))))?;
    let run = app.store.run(&identity)?;
    let result =
        serde_json::from_slice(&run.result).map_err(|e| Problem::ours(format!("result that is no JSON: {e}")))?;
    Ok(RunJson {
        id: id.into(),
        progress: done(),
        model: run.model,
        current_model: job::MODEL,
        finished_at: Some(instant(run.finished_at)),
        result: Some(result),
    })
}

fn done() -> Progress {
    Progress { state: State::Done, what: "model range", done: 0, of: 0, detail: None }
}

/// Begins a run, or finds the one that is kept or under way for the same job.
#[utoipa::path(post, path = "/api/v1/runs", request_body = NewRun,
    responses((status = 202, body = RunJson),
        (status = 404, body = Problem, content_type = "application/problem+json"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn begin(Shared(app): Shared<Arc<App>>, Json(new): Json<NewRun>) -> Result<Response, Problem> {
    blocking(move || {
        let RunKind::Prove = new.kind;
        let site = site_id(&new.site)?;
        let (text, version) = match new.seq {
            Some(seq) => app.store.version(&site, seq).map(|(version, text)| (text, version.digest))?,
            None => app.store.site(&site).map(|site| (site.text, site.head.digest))?,
        };
        let job = app.open(&text)?;
        let bin = bin_of(&job, new.bin.as_deref())?.name.clone();
        let id = runs::begin(&app, Wanted { job, bin, text, use_of: RunUse { site, version } })?;
        Ok((StatusCode::ACCEPTED, Json(found(&app, &id)?)).into_response())
    })
    .await
}

/// A run as it stands.
#[utoipa::path(get, path = "/api/v1/runs/{id}", params(("id" = String, Path)), responses((status = 200, body = RunJson)))]
pub async fn get(Shared(app): Shared<Arc<App>>, Path(id): Path<String>) -> Result<Json<RunJson>, Problem> {
    blocking(move || Ok(Json(found(&app, &id)?))).await
}

/// Ends a run that is under way; one that is done stays.
#[utoipa::path(delete, path = "/api/v1/runs/{id}", params(("id" = String, Path)),
    responses((status = 204, description = "it ends, or had ended")))]
pub async fn cancel(Shared(app): Shared<Arc<App>>, Path(id): Path<String>) -> Result<StatusCode, Problem> {
    blocking(move || {
        match app.runs.get(&id) {
            Some(run) => run.cancel(),
            None => drop(found(&app, &id)?),
        }
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}

/// Progress as a stream: `progress` events, the last with an ended state.
#[utoipa::path(get, path = "/api/v1/runs/{id}/events", params(("id" = String, Path)),
    responses((status = 200, body = String, content_type = "text/event-stream")))]
pub async fn events(
    Shared(app): Shared<Arc<App>>,
    Path(id): Path<String>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let mut progress = match app.runs.get(&id) {
        Some(run) => run.progress.subscribe(),
        None => {
            let shared = Arc::clone(&app);
            let run = blocking(move || found(&shared, &id)).await?;
            tokio::sync::watch::channel(run.progress).1
        }
    };
    let (events, receiver) = tokio::sync::mpsc::channel(1);
    tokio::spawn(async move {
        loop {
            let now = progress.borrow_and_update().clone();
            let event = Event::default().event("progress").json_data(&now).unwrap_or_default();
            // Who reads slowly misses steps in between, never the last.
            if events.send(Ok(event)).await.is_err() || now.state.ended() || progress.changed().await.is_err() {
                return;
            }
        }
    });
    Ok(Sse::new(ReceiverStream::new(receiver)).keep_alive(KeepAlive::default()))
}

/// A kept run of a site.
#[derive(Debug, Serialize, ToSchema)]
pub struct RunLineJson {
    /// Identity.
    pub id: String,
    /// Model that computed it.
    pub model: u32,
    /// Today's model.
    pub current_model: u32,
    /// What was run.
    pub kind: String,
    /// How accurately.
    pub accuracy: String,
    /// SHA-256 of the site text it was asked for.
    pub sha256: String,
    /// When it was done.
    pub finished_at: String,
}

/// The kept runs of a site, the last done first.
#[utoipa::path(get, path = "/api/v1/sites/{id}/runs", params(("id" = String, Path)),
    responses((status = 200, body = Vec<RunLineJson>)))]
pub async fn list(Shared(app): Shared<Arc<App>>, Path(id): Path<String>) -> Result<Json<Vec<RunLineJson>>, Problem> {
    blocking(move || {
        let one = |line: store::RunLine| RunLineJson {
            id: line.identity.to_string(),
            model: line.model,
            current_model: job::MODEL,
            kind: line.kind,
            accuracy: line.accuracy,
            sha256: line.version.to_string(),
            finished_at: instant(line.finished_at),
        };
        Ok(Json(app.store.runs(&site_id(&id)?)?.into_iter().map(one).collect()))
    })
    .await
}
