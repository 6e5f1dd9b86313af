//! The weighing of a bin's outfits, and the limits of the one that stands there, each as a stream.

use super::extract::Json;
use super::season::bin_of;
use super::stream::{self, Base, Events, Out, Progress};
use crate::app::App;
use crate::problem::Problem;
use crate::runs::provable;
use advice::limit::{self, Asked};
use advice::weigh::matters::mattering;
use advice::weigh::{self, Asking, Field, News, Rules};
use axum::extract::State;
use contract::Document;
use contract::limit::LimitJson;
use contract::race::NewsJson;
use contract::tune::TuneJson;
use contract::weigh::WeighJson;
use ensemble::Observer;
use serde::Deserialize;
use std::sync::Arc;
use std::time::Duration;
use utoipa::ToSchema;

/// Longest answer.
const LONGEST: Duration = Duration::from_secs(20 * 60);

/// Which outfits of which bin.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WeighQuestion {
    /// What it stands on.
    base: Base,
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Whether an outfit ends early only where it is certainly beaten: slower.
    #[serde(default)]
    exact: bool,
    /// Whether what matters comes too, for the outfit worth buying: `weigh` is then sent again, with it.
    #[serde(default)]
    matters: bool,
    /// The tab: a newer question of the same tab ends this one.
    slot: String,
}

/// Weighs what may be chosen for a bin. Events, in this order: `problem` and the end; or `sorted` (the field and what fell out),
/// then `progress` and `stands` (how the race stands after each round) as they come, `weigh` (the answer), with `matters` more
/// `progress` and `weigh` once more with what matters; at last `end`, or `cancelled`.
#[utoipa::path(post, path = "/api/v1/weigh", request_body = WeighQuestion,
    responses((status = 200, body = String, content_type = "text/event-stream"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn weigh(State(app): State<Arc<App>>, Json(question): Json<WeighQuestion>) -> Result<Events, Problem> {
    let slot = question.slot.clone();
    stream::answered(&app.clone(), &slot, LONGEST, move |out| weighed(&app, &question, out))
}

/// A site that a longer question changes, the number of the bin it asks for, its library.
type Opened = (job::Base, usize, Arc<crate::library::StoreLibrary>);

fn opened(app: &App, base: &Base, bin: Option<&str>) -> Result<Opened, Problem> {
    let (base, library) = app.base(&base.text(app)?)?;
    let job = Arc::clone(base.job());
    let bin = bin_of(&job, bin)?;
    provable(&job, bin)?;
    let number = job.bins.iter().position(|other| other.name == bin.name).unwrap_or(0);
    Ok((base, number, library))
}

fn weighed(app: &App, question: &WeighQuestion, out: &Arc<Out>) -> Result<(), Problem> {
    let (base, number, library) = opened(app, &question.base, question.bin.as_deref())?;
    let job = base.job();
    let field = Field::of(&base, number, &*library)?;
    let currency = job.prices.as_ref().map(|prices| prices.currency.as_str());
    let told = |news: News<'_>| match NewsJson::of(&news, currency) {
        NewsJson::Sorted(sorted) => out.send("sorted", &sorted),
        NewsJson::Stands(stands) => out.send("stands", &stands),
    };
    let observer: Arc<dyn Observer> = Arc::new(Progress::of(out, "seasons"));
    let rules = if question.exact { Rules::Certain } else { Rules::Probable };
    let asking = Asking { rules, most: rules.most(), observer: &observer, told: &told };
    let answer = weigh::weigh(&app.engine, job, &field, &asking);
    if out.gone() {
        return Ok(());
    }
    let remarks = &job.bins[number].remarks;
    out.send("weigh", &Document::new("weigh/1", WeighJson::of(&answer), remarks));
    if !question.matters {
        return Ok(());
    }
    let observer: Arc<dyn Observer> = Arc::new(Progress::of(out, "what matters"));
    let found = mattering(&app.engine, (&base, number), &*library, (&field, &answer), &observer);
    if let Some(found) = found.filter(|_| !out.gone()) {
        let document = WeighJson::of(&answer).with_matters(&answer, &found);
        out.send("weigh", &Document::new("weigh/1", document, remarks));
    }
    Ok(())
}

/// What a limit is asked of.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum AskedJson {
    /// How wet.
    Moisture,
    /// How deep.
    Depth,
    /// How late.
    Date,
}

/// Which limit of which bin.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LimitQuestion {
    /// What it stands on.
    base: Base,
    /// Bin; left out, the first.
    bin: Option<String>,
    /// What the limit is asked of.
    r#for: AskedJson,
    /// Whether day and moisture of the harvest are kept apart; else they move together by the dry-down of the field.
    #[serde(default)]
    apart: bool,
    /// The tab: a newer question of the same tab ends this one.
    slot: String,
}

/// How wet, how deep, how late, with the outfit that stands there. Events: `problem` and the end; or `progress`, `limit` (the map),
/// `end` or `cancelled`.
#[utoipa::path(post, path = "/api/v1/limit", request_body = LimitQuestion,
    responses((status = 200, body = String, content_type = "text/event-stream"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn limit(State(app): State<Arc<App>>, Json(question): Json<LimitQuestion>) -> Result<Events, Problem> {
    let slot = question.slot.clone();
    stream::answered(&app.clone(), &slot, LONGEST, move |out| mapped(&app, &question, out))
}

fn mapped(app: &App, question: &LimitQuestion, out: &Arc<Out>) -> Result<(), Problem> {
    let (base, number, library) = opened(app, &question.base, question.bin.as_deref())?;
    let asked = match question.r#for {
        AskedJson::Moisture => Asked::Moisture,
        AskedJson::Depth => Asked::Depth,
        AskedJson::Date => Asked::Date,
    };
    let observer: Arc<dyn Observer> = Arc::new(Progress::of(out, "seasons"));
    let map = limit::map(&app.engine, &base, number, &*library, (asked, !question.apart), &observer);
    if !out.gone() {
        let remarks = &base.job().bins[number].remarks;
        out.send("limit", &Document::new("limit/1", LimitJson::of(&map), remarks));
    }
    Ok(())
}

/// Which bin is tuned.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TuneQuestion {
    /// What it stands on.
    base: Base,
    /// Bin; left out, the first.
    bin: Option<String>,
    /// The tab: a newer question of the same tab ends this one.
    slot: String,
}

/// The control that costs least at the wanted risk, as a rule of a panel. Events: `problem` and the end; or `progress`, `tune`,
/// `end` or `cancelled`.
#[utoipa::path(post, path = "/api/v1/tune", request_body = TuneQuestion,
    responses((status = 200, body = String, content_type = "text/event-stream"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn tune(State(app): State<Arc<App>>, Json(question): Json<TuneQuestion>) -> Result<Events, Problem> {
    let slot = question.slot.clone();
    stream::answered(&app.clone(), &slot, LONGEST, move |out| tuned(&app, &question, out))
}

fn tuned(app: &App, question: &TuneQuestion, out: &Arc<Out>) -> Result<(), Problem> {
    let (base, number, library) = opened(app, &question.base, question.bin.as_deref())?;
    let observer: Arc<dyn Observer> = Arc::new(Progress::of(out, "seasons"));
    let tuning = advice::tune::tune(&app.engine, (&base, number), &*library, &observer).map_err(|wrong| *wrong)?;
    if !out.gone() {
        let remarks = &base.job().bins[number].remarks;
        out.send("tune", &Document::new("tune/1", TuneJson::of(&tuning), remarks));
    }
    Ok(())
}
