//! Answers that come as a stream of events: what the question stands on, where the events go, progress, the end.
//!
//! A newer question of the same tab ends the older; a reader who goes ends its own.

use super::season::text_of;
use crate::app::App;
use crate::problem::Problem;
use crate::slots::{Live, Ticket};
use axum::response::Sse;
use axum::response::sse::{Event, KeepAlive, KeepAliveStream};
use ensemble::Observer;
use serde::{Deserialize, Serialize};
use std::convert::Infallible;
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::mpsc::{UnboundedSender, unbounded_channel};
use tokio_stream::wrappers::UnboundedReceiverStream;
use tokio_stream::{Stream, StreamExt as _};
use utoipa::ToSchema;

/// The events of an answer.
pub(super) type Events = Sse<KeepAliveStream<Coming>>;

/// Events as they come.
type Coming = Pin<Box<dyn Stream<Item = Result<Event, Infallible>> + Send>>;

/// What a question stands on.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Base {
    /// A site of the store.
    site: Option<String>,
    /// Its version; left out, the one that stands.
    seq: Option<u32>,
    /// Or a text.
    text: Option<String>,
}

impl Base {
    /// Its text.
    pub(super) fn text(&self, app: &App) -> Result<String, Problem> {
        match (&self.site, &self.text) {
            (Some(site), None) => text_of(app, site, self.seq),
            (None, Some(text)) => Ok(text.clone()),
            _ => Err(Problem::bad("base", "base with both or neither of site and text")
                .help("send {\"site\": ID} or {\"text\": TEXT}")),
        }
    }
}

/// Where the stream goes, and whether anybody still reads it.
pub(super) struct Out {
    events: UnboundedSender<Event>,
    ticket: Ticket,
    until: Instant,
}

impl Out {
    /// Sends an event.
    pub(super) fn send(&self, name: &str, value: &impl Serialize) {
        // A reader who has gone is noticed by `gone`.
        if let Ok(event) = Event::default().event(name).json_data(value) {
            let _ = self.events.send(event);
        }
    }

    /// Whether nobody waits for more.
    pub(super) fn gone(&self) -> bool {
        self.ticket.cancelled() || self.events.is_closed() || Instant::now() > self.until
    }
}

/// Says how far a longer computation is, no oftener than a reader can see.
pub(super) struct Progress {
    out: Arc<Out>,
    what: &'static str,
    said: Mutex<Option<Instant>>,
}

/// Shortest time between two words of progress.
const PAUSE: Duration = Duration::from_millis(50);

/// How far a longer part of an answer is.
#[derive(Debug, Serialize, ToSchema)]
pub struct StepJson {
    /// `years`, `model range`, `season`, or what a longer question says of its parts.
    what: &'static str,
    /// Cases done.
    done: usize,
    /// Cases of this part.
    of: usize,
}

impl Progress {
    /// Progress of one part of an answer.
    pub(super) fn of(out: &Arc<Out>, what: &'static str) -> Self {
        Self { out: Arc::clone(out), what, said: Mutex::default() }
    }
}

impl Observer for Progress {
    fn progress(&self, done: usize, of: usize) {
        let mut said = self.said.lock().unwrap_or_else(PoisonError::into_inner);
        if done == of || said.is_none_or(|before| before.elapsed() >= PAUSE) {
            *said = Some(Instant::now());
            self.out.send("progress", &StepJson { what: self.what, done, of });
        }
    }

    fn cancelled(&self) -> bool {
        self.out.gone()
    }
}

/// The end of an answer.
#[derive(Debug, Serialize, ToSchema)]
pub struct End {
    /// How long it took, ms.
    ms: f64,
}

/// Answers a question of a tab by what `compute` sends; then `end`, or `problem`, or `cancelled`.
pub(super) fn answered(
    app: &App,
    slot: &str,
    longest: Duration,
    compute: impl FnOnce(&Arc<Out>) -> Result<(), Problem> + Send + 'static,
) -> Result<Events, Problem> {
    let live: Live = app.slots.take(slot)?;
    let (events, receiver) = unbounded_channel();
    let out = Arc::new(Out { events, ticket: live.ticket.clone(), until: Instant::now() + longest });
    tokio::task::spawn_blocking(move || {
        let began = Instant::now();
        match compute(&out) {
            Err(problem) => out.send("problem", &problem),
            Ok(()) if live.ticket.cancelled() => out.send("cancelled", &serde_json::json!({})),
            Ok(()) if out.gone() => {
                let status = axum::http::StatusCode::SERVICE_UNAVAILABLE;
                out.send("problem", &Problem::new(status, "too-long", "answer that took too long"));
            }
            Ok(()) => out.send("end", &End { ms: (began.elapsed().as_secs_f64() * 1e4).round() / 10.0 }),
        }
    });
    let events: Coming = Box::pin(UnboundedReceiverStream::new(receiver).map(Ok));
    Ok(Sse::new(events).keep_alive(KeepAlive::default()))
}
