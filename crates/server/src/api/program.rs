//! The program itself: version, units, the schema of site files, the description of the interface.

use super::extract::Json;
use crate::app::App;
use crate::doors::token;
use axum::extract::State;
use axum::http::HeaderMap;
use notice::{Kind, UnitSystem};
use serde::Serialize;
use std::sync::Arc;
use std::time::Instant;
use utoipa::ToSchema;

/// What answers here.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ProgramJson {
    /// Its name.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// Number of the model.
    pub model: u32,
    /// Whether fans and burners of the built-in catalogue are invented.
    pub demo: bool,
    /// Whether a password is needed.
    pub needs_password: bool,
    /// Whether this request carries a session, or none is needed.
    pub signed_in: bool,
}

/// What answers here.
#[utoipa::path(get, path = "/api/v1/program", responses((status = 200, body = ProgramJson)))]
pub async fn program(State(app): State<Arc<App>>, headers: HeaderMap) -> Json<ProgramJson> {
    let lives =
        |keys: &crate::doors::Keys| token(&headers).is_some_and(|token| keys.sessions.lives(token, Instant::now()));
    Json(ProgramJson {
        program: "binwright",
        version: env!("CARGO_PKG_VERSION"),
        model: job::MODEL,
        demo: true,
        needs_password: app.doors.keys.is_some(),
        signed_in: app.doors.keys.as_ref().is_none_or(lives),
    })
}

/// A unit in which a kind is shown: shown = SI value × factor + offset.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct UnitJson {
    /// Symbol; empty for plain numbers.
    pub unit: &'static str,
    /// Factor from the SI value.
    pub factor: f64,
    /// Added after the factor.
    pub offset: f64,
    /// Decimals that read well.
    pub decimals: usize,
}

/// How a kind of quantity is shown in both systems.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct KindJson {
    /// The kind.
    pub kind: Kind,
    /// In international units.
    pub si: UnitJson,
    /// In United States customary units.
    pub us: UnitJson,
}

/// The unit table.
pub fn unit_table() -> Vec<KindJson> {
    let unit = |kind: Kind, system| {
        let shown = kind.shown(system);
        UnitJson { unit: shown.unit, factor: shown.factor, offset: shown.offset, decimals: shown.decimals }
    };
    let row = |&kind: &Kind| KindJson { kind, si: unit(kind, UnitSystem::Si), us: unit(kind, UnitSystem::Us) };
    Kind::ALL.iter().map(row).collect()
}

/// The unit table.
#[utoipa::path(get, path = "/api/v1/units", responses((status = 200, body = Vec<KindJson>)))]
pub async fn units() -> Json<Vec<KindJson>> {
    Json(unit_table())
}

/// The JSON Schema of the site file.
#[utoipa::path(get, path = "/api/v1/schema", responses((status = 200, description = "JSON Schema", body = Object)))]
pub async fn schema() -> Json<serde_json::Value> {
    Json(serde_json::to_value(job::schema::site_schema()).unwrap_or_default())
}

/// The description of this interface.
#[utoipa::path(get, path = "/api/v1/openapi.json", responses((status = 200, description = "OpenAPI 3.1", body = Object)))]
pub async fn openapi() -> Json<utoipa::openapi::OpenApi> {
    Json(super::document())
}
