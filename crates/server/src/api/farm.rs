//! All bins of a site together.

use super::extract::{Json, Path, Query};
use super::season::text_of;
use super::stream::{self, Base, Events, Out, Progress};
use crate::app::{App, blocking};
use crate::problem::Problem;
use axum::extract::State;
use contract::Document;
use contract::farm::FarmJson;
use ensemble::{Observer, Silent};
use notice::{Diagnostic, Place};
use season::Record;
use serde::Deserialize;
use std::sync::Arc;
use std::time::Duration;
use utoipa::{IntoParams, ToSchema};

/// Longest answer.
const LONGEST: Duration = Duration::from_secs(20 * 60);

/// Which year of the farm.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichFarm {
    /// Calendar year of the first load; left out, the last complete one.
    year: Option<i32>,
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
    /// Whether the hours of the service come too (about 5000 rows).
    #[serde(default)]
    hourly: bool,
}

/// One year of all bins together: what `farm` says. Its list of years names those that can be asked for.
#[utoipa::path(get, path = "/api/v1/sites/{id}/farm", params(("id" = String, Path), WhichFarm),
    responses((status = 200, body = Document<FarmJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn farm(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichFarm>,
) -> Result<Json<Document<FarmJson>>, Problem> {
    blocking(move || {
        let job = app.open(&text_of(&app, &id, which.seq)?)?;
        let years = &job.farm.years;
        let found = match which.year {
            Some(year) => years.iter().find(|(known, _)| *known == year),
            None => years.last(),
        };
        let Some(year) = found else {
            let known: Vec<String> = years.iter().map(|(year, _)| year.to_string()).collect();
            let asked = which.year.map_or("a season of the farm".to_string(), |year| year.to_string());
            let wrong = Diagnostic::error("no-such-year", format!("{asked} is not there"), Place::file("year"));
            return Err(Problem::from(wrong.help(format!("years with all weather: {}", known.join(", ")))));
        };
        let observer: Arc<dyn Observer> = Arc::new(Silent);
        let how = (advice::farm::LAYERS, Record::Daily);
        let seasons = advice::farm::years(&job, std::slice::from_ref(year), how, 1, &observer);
        let seasons: Vec<_> = seasons.into_iter().flatten().collect();
        let mut remarks = advice::farm::remarks(&job);
        job.bins.iter().for_each(|bin| remarks.extend(bin.remarks.clone()));
        let results = seasons.iter().flat_map(|s| &s.bins).filter_map(|bin| bin.result.as_ref());
        results.for_each(|result| remarks.extend(result.remarks.clone()));
        Ok(Json(Document::new("farm/1", FarmJson::of(&job, &seasons, true, which.hourly), &remarks)))
    })
    .await
}

/// All years of which farm.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FarmQuestion {
    /// What it stands on.
    base: Base,
    /// The tab: a newer question of the same tab ends this one.
    slot: String,
}

/// All bins together in all years. Events: `problem` and the end; or `progress`, `farm` (what `farm` says of all years, days of the
/// harvest included, without the seasons of the bins), `end` or `cancelled`.
#[utoipa::path(post, path = "/api/v1/farm", request_body = FarmQuestion,
    responses((status = 200, body = String, content_type = "text/event-stream"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn farm_years(State(app): State<Arc<App>>, Json(question): Json<FarmQuestion>) -> Result<Events, Problem> {
    let slot = question.slot.clone();
    stream::answered(&app.clone(), &slot, LONGEST, move |out| all_years(&app, &question, out))
}

fn all_years(app: &App, question: &FarmQuestion, out: &Arc<Out>) -> Result<(), Problem> {
    let job = app.open(&question.base.text(app)?)?;
    let years = &job.farm.years;
    if years.is_empty() {
        let wrong =
            Diagnostic::error("no-such-year", "no year in which all bins have their weather", Place::file("years"));
        return Err(Problem::from(wrong.help("the weather record has no complete season")));
    }
    let observer: Arc<dyn Observer> = Arc::new(Progress::of(out, "years"));
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let how = (advice::farm::LAYERS, Record::Summary);
    let seasons = advice::farm::years(&job, years, how, threads, &observer);
    if out.gone() {
        return Ok(());
    }
    let seasons: Vec<_> = seasons.into_iter().flatten().collect();
    let mut remarks = advice::farm::remarks(&job);
    job.bins.iter().for_each(|bin| remarks.extend(bin.remarks.clone()));
    out.send("farm", &Document::new("farm/1", FarmJson::of(&job, &seasons, false, false), &remarks));
    Ok(())
}
