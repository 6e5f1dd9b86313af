//! One weather year, with maps of depth and time.

use super::extract::{Json, Path, Query, site_id};
use crate::app::{App, blocking};
use crate::maps::{MapQuantity, map};
use crate::problem::Problem;
use crate::seasons::{self, Kept, LAYERS};
use crate::views::{MapAddresses, SeasonView};
use advice::Tariff;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use contract::Document;
use contract::season::SeasonJson;
use ensemble::{Priority, Silent};
use job::{BinJob, Job};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// Which season.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct Which {
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Calendar year of the first load; left out, the last complete one.
    year: Option<i32>,
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
    /// Whether the hours come too (about 5000 rows).
    #[serde(default)]
    hourly: bool,
    /// What a map shows.
    quantity: Option<MapQuantity>,
}

/// Which map of a season.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichMap {
    /// What it shows.
    quantity: MapQuantity,
}

/// The text of a version, or of the one that stands.
pub(super) fn text_of(app: &App, id: &str, seq: Option<u32>) -> Result<String, Problem> {
    let id = site_id(id)?;
    Ok(match seq {
        Some(seq) => app.store.version(&id, seq)?.1,
        None => app.store.site(&id)?.text,
    })
}

/// A bin by name, or the first.
pub(super) fn bin_of<'a>(job: &'a Job, name: Option<&str>) -> Result<&'a BinJob, Problem> {
    job.bin(name).ok_or_else(|| {
        let names: Vec<&str> = job.bins.iter().map(|b| b.name.as_str()).collect();
        let found = format!("bin {:?} is not in the site", name.unwrap_or_default());
        let wrong = notice::Diagnostic::error("no-such-bin", found, notice::Place::file("bin"));
        Problem::from(wrong.help(format!("bins of this site: {}", names.join(", "))))
    })
}

/// The document of a season that was run.
pub(crate) fn view(
    job: &Job,
    bin: &BinJob,
    (year, kept): (i32, &Kept),
    (token, accuracy): (&str, &'static str),
    hourly: bool,
) -> Document<SeasonView> {
    let offset = job.place.utc_offset;
    let tariff = job.prices.as_ref().map(Tariff::of);
    let mut season = SeasonJson::of(bin, year, &kept.case, &kept.result, offset, tariff.as_ref());
    if !hourly {
        season.hourly = Vec::new();
    }
    let mut remarks = bin.remarks.clone();
    remarks.extend(kept.result.remarks.clone());
    Document::new("season/1", SeasonView { accuracy, season, maps: MapAddresses::of(token) }, &remarks)
}

/// A season that was run, and of what.
struct Ran {
    job: Arc<Job>,
    bin: String,
    year: i32,
    token: String,
    kept: Arc<Kept>,
}

fn ran(app: &App, id: &str, which: &Which) -> Result<Ran, Problem> {
    let job = app.open(&text_of(app, id, which.seq)?)?;
    let bin = bin_of(&job, which.bin.as_deref())?;
    let (year, case) = seasons::case(bin, which.year)?;
    let (token, kept) = seasons::season(app, bin, (year, &case), LAYERS, Priority::Ordinary, Arc::new(Silent))
        .ok_or_else(|| Problem::ours("the season ended without a result"))?;
    let bin = bin.name.clone();
    Ok(Ran { job, bin, year, token, kept })
}

/// A season at verdict accuracy.
#[utoipa::path(get, path = "/api/v1/sites/{id}/season", params(("id" = String, Path), Which),
    responses((status = 200, body = Document<SeasonView>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn season(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<Which>,
) -> Result<Json<Document<SeasonView>>, Problem> {
    blocking(move || {
        let ran = ran(&app, &id, &which)?;
        let bin = bin_of(&ran.job, Some(&ran.bin))?;
        Ok(Json(view(&ran.job, bin, (ran.year, &ran.kept), (&ran.token, "verdict"), which.hourly)))
    })
    .await
}

fn bytes(kept: &Kept, quantity: MapQuantity) -> Result<Response, Problem> {
    let bytes = map(&kept.result, quantity).map_err(|error| Problem::ours(error.to_string()))?;
    let mut response = bytes.into_response();
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static("application/octet-stream"));
    Ok(response)
}

/// A map of a season of a site: see the header's shape, `MapHeader`.
#[utoipa::path(get, path = "/api/v1/sites/{id}/season/maps", params(("id" = String, Path), Which),
    responses((status = 200, body = Vec<u8>, content_type = "application/octet-stream"),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn site_maps(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<Which>,
) -> Result<Response, Problem> {
    blocking(move || {
        let Ran { kept, .. } = ran(&app, &id, &which)?;
        bytes(&kept, which.quantity.unwrap_or(MapQuantity::Moisture))
    })
    .await
}

/// A map of a season shown of late, also of a what-if; the season's document names the address.
#[utoipa::path(get, path = "/api/v1/seasons/{token}/maps", params(("token" = String, Path), WhichMap),
    responses((status = 200, body = Vec<u8>, content_type = "application/octet-stream"),
        (status = 410, body = Problem, content_type = "application/problem+json")))]
pub async fn maps(
    State(app): State<Arc<App>>,
    Path(token): Path<String>,
    Query(which): Query<WhichMap>,
) -> Result<Response, Problem> {
    blocking(move || match app.seasons.get(&token) {
        Some(kept) => bytes(&kept, which.quantity),
        None => Err(Problem::new(StatusCode::GONE, "season-gone", "season that is no longer kept")
            .help("ask for the season again; its answer names the maps")),
    })
    .await
}
