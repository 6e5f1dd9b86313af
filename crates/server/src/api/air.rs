//! The quick question: which fans carry a bin, without a site.

use super::extract::Json;
use crate::app::{App, blocking};
use crate::problem::Problem;
use advice::lookup::Answer;
use advice::sizing::Question;
use axum::extract::State;
use contract::Document;
use contract::sizing::Sizing;
use job::Library as _;
use notice::{Diagnostic, Diagnostics, Kind, Place};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::ToSchema;

/// A bin in a few words, quantities with their units.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AirQuestion {
    /// Bin diameter, "36 ft".
    diameter: String,
    /// Depth of grain, "18 ft".
    depth: String,
    /// Crop or alias.
    crop: String,
    /// Airflow wanted, "1 cfm/bu".
    airflow: String,
    /// Factor on the pressure of loose fill; left out, that of the crop.
    packing: Option<f64>,
    /// Elevation, "700 ft"; left out, the sea.
    elevation: Option<String>,
}

/// Fields as they were typed, with all that is wrong with them.
#[derive(Default)]
struct Reader(Diagnostics);

impl Reader {
    fn quantity(&mut self, field: &str, text: &str, kind: Kind) -> f64 {
        job::parse::quantity(kind, text).unwrap_or_else(|wrong| {
            self.0.add(wrong.at(at(field)));
            f64::NAN
        })
    }
}

fn at(field: &str) -> Place {
    Place { field: Some(field.into()), ..Place::file("question") }
}

/// A fault of a part, at the field it came from.
fn at_field(fault: Diagnostic) -> Diagnostic {
    let place = Place { file: "question".into(), ..fault.at };
    Diagnostic { at: place, ..fault }
}

/// What the airflow asks of a fan, and which fans of the catalogue give it.
#[utoipa::path(post, path = "/api/v1/air", request_body = AirQuestion, responses((status = 200, body = Document<Sizing>)))]
pub async fn question(
    State(app): State<Arc<App>>,
    Json(asked): Json<AirQuestion>,
) -> Result<Json<Document<Sizing>>, Problem> {
    blocking(move || {
        let mut reader = Reader::default();
        let question = Question {
            diameter: reader.quantity("diameter", &asked.diameter, Kind::Length),
            depth: reader.quantity("depth", &asked.depth, Kind::Length),
            crop: asked.crop,
            specific_airflow: reader.quantity("airflow", &asked.airflow, Kind::SpecificAirflow),
            packing: asked.packing,
            elevation: asked.elevation.map_or(0.0, |text| reader.quantity("elevation", &text, Kind::Length)),
        };
        question.faults().0.into_iter().for_each(|fault| reader.0.add(at_field(fault)));
        if reader.0.stop() {
            return Err(reader.0.into());
        }
        let located = |wrong: Diagnostics| Diagnostics(wrong.0.into_iter().map(at_field).collect());
        let Answer { result: (wanted, crop), remarks } = question.answer().map_err(located)?;
        let choices = wanted.choices(app.library()?.fans());
        Ok(Json(Document::new("air-sizing/1", Sizing::of(&wanted, crop, &choices), &remarks)))
    })
    .await
}
