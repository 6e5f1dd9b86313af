//! Weather records: the bundled ones and the user's own.

use super::extract::{Json, Path, Upload};
use crate::app::{App, blocking, now};
use crate::library::{WEATHER, read_weather};
use crate::problem::Problem;
use axum::extract::State;
use axum::http::StatusCode;
use job::Library as _;
use job::library::check_name;
use notice::{Diagnostic, Place};
use serde::Serialize;
use std::sync::Arc;
use store::ContentName;
use utoipa::ToSchema;
use weather::{Hints, Kind, Series, calendar};

/// A record.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct WeatherJson {
    /// Name, as site texts call it.
    pub name: String,
    /// `bundled` or `own`.
    pub origin: &'static str,
    /// First calendar year in its standard time; null for a file that needs the site's elevation or time to be read.
    pub from_year: Option<i32>,
    /// Last calendar year.
    pub to_year: Option<i32>,
    /// Hours in it, missing ones included.
    pub hours: Option<usize>,
    /// Hours that are missing.
    pub missing: Option<usize>,
    /// A typical year, from which nothing can be proven.
    pub typical: Option<bool>,
    /// What is wrong with it, read alone; null when nothing is.
    pub detail: Option<String>,
}

/// Calendar year of an hour in the record's standard time.
fn year_of(series: &Series, hour: i64) -> i32 {
    calendar::date((hour * 3600 + series.utc_offset_s()).div_euclid(86_400)).0
}

fn summary(name: &str, origin: &'static str, read: Result<Series, notice::Diagnostics>) -> WeatherJson {
    match read {
        Ok(series) => WeatherJson {
            name: name.into(),
            origin,
            from_year: Some(year_of(&series, series.start_hour)),
            to_year: Some(year_of(&series, series.end_hour() - 1)),
            hours: Some(series.len()),
            missing: Some(series.filled.iter().filter(|f| **f == weather::MISSING).count()),
            typical: Some(series.kind == Kind::Typical),
            detail: None,
        },
        Err(wrong) => WeatherJson {
            name: name.into(),
            origin,
            from_year: None,
            to_year: None,
            hours: None,
            missing: None,
            typical: None,
            detail: wrong.0.first().map(|d| d.found.clone()),
        },
    }
}

/// All records.
#[utoipa::path(get, path = "/api/v1/weather", responses((status = 200, body = Vec<WeatherJson>)))]
pub async fn list(State(app): State<Arc<App>>) -> Result<Json<Vec<WeatherJson>>, Problem> {
    blocking(move || {
        let library = app.library()?;
        let own = library.own_weather();
        let one = |name: String| {
            let origin = if own.contains(&name) { "own" } else { "bundled" };
            let read = library.weather(&name, &Hints::default())?;
            Some(summary(&name, origin, read))
        };
        Ok(Json(library.weather_names().into_iter().filter_map(one).collect()))
    })
    .await
}

fn checked(name: &str) -> Result<ContentName, Problem> {
    check_name(name).map_err(|error| Problem::of(StatusCode::BAD_REQUEST, error.at(Place::file("request"))))?;
    Ok(ContentName::new(WEATHER, name))
}

/// Keeps a weather file under a name; it is read at once, and refused with its lines when it cannot be.
#[utoipa::path(put, path = "/api/v1/weather/{name}", params(("name" = String, Path)),
    request_body(content = Vec<u8>, content_type = "application/octet-stream"),
    responses((status = 200, body = WeatherJson),
        (status = 409, body = Problem, content_type = "application/problem+json")))]
pub async fn put(
    State(app): State<Arc<App>>,
    Path(name): Path<String>,
    upload: Upload,
) -> Result<Json<WeatherJson>, Problem> {
    blocking(move || {
        let content = checked(&name)?;
        if weather::BUNDLED.contains(&name.as_str()) {
            let taken = Diagnostic::error("taken", format!("weather {name:?} is built in"), Place::file("request"));
            return Err(Problem::of(StatusCode::CONFLICT, taken.help("choose another name")));
        }
        // Files that leave elevation or time to the site are read here as at sea level in UTC, to see whether they can be.
        let hints = Hints { elevation_m: Some(0.0), utc_offset_s: Some(0), ..Hints::default() };
        let series = read_weather(&name, &upload.bytes, &hints)?;
        app.store.put_content(&content, &upload.bytes, now())?;
        app.contents_changed();
        Ok(Json(summary(&name, "own", Ok(series))))
    })
    .await
}

/// Forgets a record of the user's own. Sites that name it cannot be computed until it comes back.
#[utoipa::path(delete, path = "/api/v1/weather/{name}", params(("name" = String, Path)),
    responses((status = 204, description = "forgotten")))]
pub async fn remove(State(app): State<Arc<App>>, Path(name): Path<String>) -> Result<StatusCode, Problem> {
    blocking(move || {
        app.store.forget_name(&checked(&name)?)?;
        app.contents_changed();
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}
