//! All bins of a site together.

use super::extract::{Json, Path, Query};
use super::season::text_of;
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
use utoipa::IntoParams;

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
