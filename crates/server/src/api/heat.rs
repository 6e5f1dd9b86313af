//! The burners of a site against its weather, and the fuel train behind them.

use super::extract::{Json, Path, Query};
use super::season::{bin_of, text_of};
use crate::app::{App, blocking};
use crate::problem::Problem;
use crate::views;
use axum::extract::State;
use contract::Document;
use contract::heat::HeatSiteJson;
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// Which bins of which text.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichHeat {
    /// Bin; left out, all.
    bin: Option<String>,
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
}

/// Duty of the burners, ways of firing, the fuel train sheet: what `heat` says.
#[utoipa::path(get, path = "/api/v1/sites/{id}/heat", params(("id" = String, Path), WhichHeat),
    responses((status = 200, body = Document<HeatSiteJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn heat(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichHeat>,
) -> Result<Json<Document<HeatSiteJson>>, Problem> {
    blocking(move || {
        let job = app.open(&text_of(&app, &id, which.seq)?)?;
        if let Some(name) = which.bin.as_deref() {
            bin_of(&job, Some(name))?;
        }
        Ok(Json(views::heat(&job, which.bin.as_deref())))
    })
    .await
}
