//! The live answer: a text with changes, answered as a stream while somebody drags.
//!
//! Events, in this order: `problem` and the end, or `survey`, `air`, then by what is looked at `heat`, or `year` … `risk` (and
//! after letting go `progress` … `risk`, `range`) or `season`; at last `end`, or `cancelled` when a newer question took the place.

use super::extract::Json;
use super::season::{bin_of, text_of, view};
use super::text::{ChangeJson, changed};
use crate::app::App;
use crate::problem::Problem;
use crate::seasons::{self, LAYERS};
use crate::slots::{Live, Ticket};
use crate::views;
use advice::{Accuracy, ProofInput, model_range, prove};
use axum::extract::State;
use axum::response::Sse;
use axum::response::sse::{Event, KeepAlive};
use ensemble::{Observer, Priority};
use job::{BinJob, Job};
use season::{CaseSpec, Record, SeasonResult};
use serde::{Deserialize, Serialize};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::{Duration, Instant};
use tokio::sync::mpsc::{UnboundedSender, unbounded_channel};
use tokio_stream::wrappers::UnboundedReceiverStream;
use tokio_stream::{Stream, StreamExt as _};
use utoipa::ToSchema;

/// Longest answer; a slow machine with many years gets through in this.
const LONGEST: Duration = Duration::from_secs(300);

/// What the changes are made to.
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

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum View {
    /// The site said back.
    Survey,
    /// And the air.
    Air,
    /// And the heat: the bin's, with the fuel train of the site.
    Heat,
    /// And all years.
    Risk,
    /// And one year.
    Season,
}

/// A question.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WhatIf {
    /// What the changes are made to.
    base: Base,
    /// Changes, made in order.
    #[serde(default)]
    changes: Vec<ChangeJson>,
    /// What is looked at.
    view: View,
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Year, for a season; left out, the last complete one.
    year: Option<i32>,
    /// The tab: a newer question of the same tab ends this one.
    slot: String,
    /// Whether to go on to verdict accuracy and the model range.
    #[serde(default)]
    refine: bool,
}

/// Where the stream goes, and whether anybody still reads it.
struct Out {
    events: UnboundedSender<Event>,
    ticket: Ticket,
    until: Instant,
}

impl Out {
    fn send(&self, name: &str, value: &impl Serialize) {
        // A reader who has gone is noticed by `gone`.
        if let Ok(event) = Event::default().event(name).json_data(value) {
            let _ = self.events.send(event);
        }
    }

    fn gone(&self) -> bool {
        self.ticket.cancelled() || self.events.is_closed() || Instant::now() > self.until
    }
}

/// Hands finished years on as they come.
struct Years {
    out: Arc<Out>,
    job: Arc<Job>,
    cases: Vec<(i32, Arc<CaseSpec>)>,
}

impl Observer for Years {
    fn partial(&self, index: usize, result: &SeasonResult) {
        if let Some((year, case)) = self.cases.get(index) {
            self.out.send("year", &views::year(*year, case, result, self.job.place.utc_offset));
        }
    }

    fn cancelled(&self) -> bool {
        self.out.gone()
    }
}

/// Says how far a longer computation is.
struct Progress {
    out: Arc<Out>,
    what: &'static str,
}

/// How far a longer part of an answer is.
#[derive(Debug, Serialize, ToSchema)]
pub struct StepJson {
    /// `years`, `model range` or `season`.
    what: &'static str,
    /// Cases done.
    done: usize,
    /// Cases of this part.
    of: usize,
}

impl Observer for Progress {
    fn progress(&self, done: usize, of: usize) {
        self.out.send("progress", &StepJson { what: self.what, done, of });
    }

    fn cancelled(&self) -> bool {
        self.out.gone()
    }
}

/// Answers a question as a stream of events.
#[utoipa::path(post, path = "/api/v1/what-if", request_body = WhatIf,
    responses((status = 200, body = String, content_type = "text/event-stream"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn answer(
    State(app): State<Arc<App>>,
    Json(question): Json<WhatIf>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let live = app.slots.take(&question.slot)?;
    let (events, receiver) = unbounded_channel();
    let out = Arc::new(Out { events, ticket: live.ticket.clone(), until: Instant::now() + LONGEST });
    tokio::task::spawn_blocking(move || work(&app, question, live, &out));
    Ok(Sse::new(UnboundedReceiverStream::new(receiver).map(Ok)).keep_alive(KeepAlive::default()))
}

/// The end of an answer.
#[derive(Debug, Serialize, ToSchema)]
pub struct End {
    /// How long it took, ms.
    ms: f64,
}

fn work(app: &App, question: WhatIf, live: Live, out: &Arc<Out>) {
    let began = Instant::now();
    match compute(app, question, out) {
        Err(problem) => out.send("problem", &problem),
        Ok(()) if live.ticket.cancelled() => out.send("cancelled", &serde_json::json!({})),
        Ok(()) if out.gone() => {
            let long =
                Problem::new(axum::http::StatusCode::SERVICE_UNAVAILABLE, "too-long", "answer that took too long");
            out.send("problem", &long);
        }
        Ok(()) => out.send("end", &End { ms: (began.elapsed().as_secs_f64() * 1e4).round() / 10.0 }),
    }
}

fn compute(app: &App, question: WhatIf, out: &Arc<Out>) -> Result<(), Problem> {
    let text = match (&question.base.site, question.base.text) {
        (Some(site), None) => text_of(app, site, question.base.seq)?,
        (None, Some(text)) => text,
        _ => {
            return Err(Problem::bad("base", "base with both or neither of site and text")
                .help("send {\"site\": ID} or {\"text\": TEXT}"));
        }
    };
    let text = changed(&text, question.changes)?;
    if out.gone() {
        return Ok(());
    }
    let job = app.open(&text)?;
    out.send("survey", &views::survey(&job));
    if question.view == View::Survey || out.gone() {
        return Ok(());
    }
    let bin = bin_of(&job, question.bin.as_deref())?;
    out.send("air", &views::air(&job, bin));
    if out.gone() {
        return Ok(());
    }
    match question.view {
        View::Survey | View::Air => {}
        View::Heat => out.send("heat", &views::heat(&job, Some(&bin.name))),
        View::Risk => {
            crate::runs::provable(&job, bin)?;
            risk(app, &job, bin, question.refine, out);
        }
        View::Season => {
            let (year, case) = seasons::case(bin, question.year)?;
            let (layers, accuracy, priority) = match question.refine {
                true => (LAYERS, "verdict", Priority::Ordinary),
                false => (Accuracy::Preview.first_rung(), "preview", Priority::Interactive),
            };
            let observer = Arc::new(Progress { out: Arc::clone(out), what: "season" });
            if let Some((token, kept)) = seasons::season(app, bin, (year, &case), layers, priority, observer) {
                out.send("season", &view(&job, bin, (year, &kept), (&token, accuracy), question.refine));
            }
        }
    }
    Ok(())
}

/// All years: at once and about; after letting go in earnest, with the model range.
fn risk(app: &App, job: &Arc<Job>, bin: &BinJob, refine: bool, out: &Arc<Out>) {
    let input = ProofInput::of(bin, job.chance);
    if !refine {
        let cases = bin.years.clone();
        let observer: Arc<dyn Observer> = Arc::new(Years { out: Arc::clone(out), job: Arc::clone(job), cases });
        let (accuracy, priority) = (Accuracy::Preview, Priority::Interactive);
        let proof = prove(&app.engine, &input, accuracy, Record::Daily, priority, &observer);
        if !proof.partial {
            out.send("risk", &views::risk(job, bin, &proof, None, accuracy));
        }
        return;
    }
    let watch = |what| -> Arc<dyn Observer> { Arc::new(Progress { out: Arc::clone(out), what }) };
    let (accuracy, priority) = (Accuracy::Verdict, Priority::Ordinary);
    let proof = prove(&app.engine, &input, accuracy, Record::Daily, priority, &watch("years"));
    if proof.partial {
        return;
    }
    out.send("risk", &views::risk(job, bin, &proof, None, accuracy));
    let range = model_range(&app.engine, &input, &bin.uncertainty, &watch("model range"));
    if !range.partial {
        out.send("range", &views::range(&range));
    }
}
