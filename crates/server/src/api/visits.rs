//! Visits to the bins of a site: who read what when, and which of them is the baseline.

use super::extract::{Json, Path, Query, site_id};
use super::site_shapes::instant;
use crate::app::{App, blocking};
use crate::field::Ledger;
use crate::problem::Problem;
use axum::extract::State;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::sync::Arc;
use store::Moment;
use utoipa::{IntoParams, ToSchema};

/// A visit.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct VisitJson {
    /// Id.
    visit: String,
    /// Bin.
    bin: String,
    /// When its first reading was taken, UTC.
    from: String,
    /// When its last one was.
    to: String,
    /// Readings that stand.
    readings: usize,
    /// Who read.
    by: Vec<String>,
    /// Id of the baseline it became, if it is the bin's baseline now; withdrawn like a reading.
    baseline: Option<String>,
}

/// Which visits.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichVisits {
    /// Of this bin only.
    bin: Option<String>,
}

/// Visits with readings that stand, the newest first, at most 200.
#[utoipa::path(get, path = "/api/v1/sites/{id}/visits", params(("id" = String, Path), WhichVisits),
    responses((status = 200, body = Vec<VisitJson>)))]
pub async fn list(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichVisits>,
) -> Result<Json<Vec<VisitJson>>, Problem> {
    blocking(move || {
        let ledger = Ledger::of(&*app.store, &site_id(&id)?, which.bin.as_deref())?;
        let names: BTreeSet<&str> = ledger.readings().map(|(_, row)| row.visit.as_str()).collect();
        let mut found: Vec<(Moment, VisitJson)> = names
            .into_iter()
            .filter_map(|visit| {
                let standing = ledger.standing(visit);
                let bin = &standing.first()?.0.bin;
                let times = || standing.iter().map(|(kept, _)| kept.at);
                let (from, to) = (times().min()?, times().max()?);
                let by: BTreeSet<&str> =
                    standing.iter().map(|(_, row)| row.by.as_str()).filter(|by| !by.is_empty()).collect();
                let baseline = ledger.baseline(bin).filter(|baseline| baseline.visit == visit);
                Some((
                    to,
                    VisitJson {
                        visit: visit.into(),
                        bin: bin.clone(),
                        from: instant(from),
                        to: instant(to),
                        readings: standing.len(),
                        by: by.into_iter().map(str::to_string).collect(),
                        baseline: baseline.map(|baseline| baseline.id.to_string()),
                    },
                ))
            })
            .collect();
        found.sort_by_key(|(to, visit)| (std::cmp::Reverse(*to), visit.visit.clone()));
        Ok(Json(found.into_iter().take(200).map(|(_, visit)| visit).collect()))
    })
    .await
}
