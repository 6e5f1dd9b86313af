//! What site texts may name: crops, fans, burners.

use super::extract::Json;
use crate::app::{App, blocking};
use crate::problem::Problem;
use axum::extract::State;
use contract::catalogue::CatalogueJson;
use contract::lookup::CropList;
use job::Library as _;
use std::sync::Arc;

/// What is known of which crop, as `lookup crops` says it.
#[utoipa::path(get, path = "/api/v1/crops", responses((status = 200, body = CropList)))]
pub async fn crops(State(app): State<Arc<App>>) -> Result<Json<CropList>, Problem> {
    blocking(move || Ok(Json(CropList::of(app.library()?.crops())))).await
}

/// Fans with their curves, and burners.
#[utoipa::path(get, path = "/api/v1/catalogue", responses((status = 200, body = CatalogueJson)))]
pub async fn catalogue(State(app): State<Arc<App>>) -> Result<Json<CatalogueJson>, Problem> {
    blocking(move || {
        let library = app.library()?;
        Ok(Json(CatalogueJson::of(library.fans(), library.burners())))
    })
    .await
}
