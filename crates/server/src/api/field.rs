//! Beside a running fan: the sheet to fill in, what the readings of a visit say, hours left without air.

use super::extract::{Json, Path, Query, site_id};
use super::readings::{check_id, check_text, put};
use super::season::{bin_of, text_of};
use super::site_shapes::instant;
use crate::app::{App, blocking, now};
use crate::field::{FILE, Ledger, Row};
use crate::problem::Problem;
use advice::commission::{Commissioning, commission};
use advice::diagnose::diagnose;
use advice::field::{Setup, dates};
use advice::outage::{HORIZON, of_bins};
use axum::extract::State;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use contract::Document;
use contract::field::{BinOutageJson, CommissionJson, DiagnosisJson, OutageJson, SheetJson};
use job::readings::{Readings, ReadingsRead, read_readings};
use job::{BinJob, Job};
use notice::{Diagnostic, Kind, Phrase, Place, Quantity, Remark, Remarks};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Digest, SiteId};
use utoipa::{IntoParams, ToSchema};

/// Which sheet.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichSheet {
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Visit whose outdoor air, depth, fans and burner are expected with; left out, the plan's.
    visit: Option<String>,
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
}

/// The sheet of a bin: what to read, in which units, what a sound bin gives and how far off it may be.
#[utoipa::path(get, path = "/api/v1/sites/{id}/sheet", params(("id" = String, Path), WhichSheet),
    responses((status = 200, body = Document<SheetJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn sheet(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichSheet>,
) -> Result<Json<Document<SheetJson>>, Problem> {
    blocking(move || {
        let job = app.open(&text_of(&app, &id, which.seq)?)?;
        let bin = bin_of(&job, which.bin.as_deref())?;
        let site = site_id(&id)?;
        let ledger = match &which.visit {
            Some(_) => Ledger::of(&*app.store, &site, Some(&bin.name))?,
            None => Ledger::default(),
        };
        let standing = which.visit.as_deref().map(|visit| ledger.standing(visit)).unwrap_or_default();
        let told = |path: &str| standing.iter().any(|(_, row)| row.field == path);
        // A visit just begun may not hold the outdoor air yet, and a doubtful reading must not hide the sheet.
        let read = which.visit.as_deref().filter(|_| told("air.outdoor")).and_then(|visit| ledger.text(visit).ok());
        let read = read.and_then(|text| read_readings(&text, FILE).ok());
        let plan = Readings::of_outdoor(advice::air::DESIGN_AIR.0);
        let readings = read.as_ref().map_or(&plan, |read| &read.readings);
        let places = Default::default();
        let setup = match Setup::of(bin, job.place.elevation, readings, &places, FILE) {
            Ok(setup) => setup,
            Err(_) => Setup::of(bin, job.place.elevation, &plan, &places, FILE)?,
        };
        let of_visit = std::ptr::eq(setup.readings, readings) && read.is_some();
        let told = |path: &str| of_visit && told(path);
        Ok(Json(Document::new("field-sheet/1", SheetJson::of(&job, bin, &setup, &told), &bin.remarks)))
    })
    .await
}

/// A visit's readings, read, with the bin they are of.
struct Visit {
    job: Arc<Job>,
    bin: String,
    ledger: Ledger,
    text: String,
    read: ReadingsRead,
}

impl Visit {
    fn open(app: &App, id: &str, visit: &str, seq: Option<u32>) -> Result<Self, Problem> {
        check_id("visit", visit)?;
        let ledger = Ledger::of(&*app.store, &site_id(id)?, None)?;
        let text = ledger.text(visit)?;
        let bin = ledger.bin_of(visit).unwrap_or_default().to_string();
        let job = app.open(&text_of(app, id, seq)?)?;
        bin_of(&job, Some(&bin))?;
        let read = read_readings(&text, FILE)?;
        Ok(Self { job, bin, ledger, text, read })
    }

    fn bin(&self) -> Result<&BinJob, Problem> {
        bin_of(&self.job, Some(&self.bin))
    }

    fn setup(&self) -> Result<Setup<'_>, Problem> {
        setup(&self.job, self.bin()?, &self.read)
    }

    /// What is to be said of bin and day, and of readings that cannot be of one state of the air.
    fn remarks(&self, setup: &Setup<'_>, visit: &str) -> Remarks {
        let mut remarks = setup.bin.remarks.clone();
        remarks.extend(dates::remarks(setup, self.job.place.utc_offset));
        let standing = self.ledger.standing(visit);
        let times = || standing.iter().map(|(kept, _)| kept.at.0);
        let hours = times().max().zip(times().min()).map_or(0.0, |(last, first)| (last - first) as f64 / 3.6e6);
        if hours > ONE_STATE {
            let says = Phrase::new(
                "the readings of this visit lie {hours} apart: outdoor air and grain have changed between them; begin a new visit for \
                 each state of the air",
            )
            .with("hours", Quantity::new(3600.0 * hours, Kind::Hours));
            remarks.add(Remark::new("readings-hours-apart", says));
        }
        remarks
    }
}

/// Hours over which the air is taken to stay as it is (judgement).
const ONE_STATE: f64 = 6.0;

fn setup<'a>(job: &'a Job, bin: &'a BinJob, read: &'a ReadingsRead) -> Result<Setup<'a>, Problem> {
    Ok(Setup::of(bin, job.place.elevation, &read.readings, &read.places, FILE)?)
}

/// Which version a visit is held against.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichVersion {
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
}

/// The readings of a visit as a readings file, for the command line and for the records.
#[utoipa::path(get, path = "/api/v1/sites/{id}/visits/{visit}/text",
    params(("id" = String, Path), ("visit" = String, Path)),
    responses((status = 200, body = String, content_type = "text/plain"),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn text(State(app): State<Arc<App>>, Path((id, visit)): Path<(String, String)>) -> Result<Response, Problem> {
    blocking(move || {
        check_id("visit", &visit)?;
        let text = Ledger::of(&*app.store, &site_id(&id)?, None)?.text(&visit)?;
        let mut response = text.into_response();
        let kind = HeaderValue::from_static("text/plain; charset=utf-8");
        response.headers_mut().insert(header::CONTENT_TYPE, kind);
        Ok(response)
    })
    .await
}

fn commissioned(visit: &Visit, name: &str) -> Result<(Commissioning, Document<CommissionJson>), Problem> {
    let bin = visit.bin()?;
    let setup = visit.setup()?;
    let found = commission(&visit.job, &setup);
    let json = CommissionJson::of(bin, &found, &visit.read.readings);
    let remarks = visit.remarks(&setup, name);
    Ok((found, Document::new("commission/1", json, &remarks)))
}

/// The readings of a visit against the plan: what `commission` says.
#[utoipa::path(get, path = "/api/v1/sites/{id}/visits/{visit}/commission",
    params(("id" = String, Path), ("visit" = String, Path), WhichVersion),
    responses((status = 200, body = Document<CommissionJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn commission_visit(
    State(app): State<Arc<App>>,
    Path((id, visit)): Path<(String, String)>,
    Query(which): Query<WhichVersion>,
) -> Result<Json<Document<CommissionJson>>, Problem> {
    blocking(move || Ok(Json(commissioned(&Visit::open(&app, &id, &visit, which.seq)?, &visit)?.1))).await
}

/// Likely causes of the readings of a visit, the bin's baseline considered: what `diagnose` says.
#[utoipa::path(get, path = "/api/v1/sites/{id}/visits/{visit}/diagnosis",
    params(("id" = String, Path), ("visit" = String, Path), WhichVersion),
    responses((status = 200, body = Document<DiagnosisJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn diagnose_visit(
    State(app): State<Arc<App>>,
    Path((id, visit)): Path<(String, String)>,
    Query(which): Query<WhichVersion>,
) -> Result<Json<Document<DiagnosisJson>>, Problem> {
    blocking(move || {
        let open = Visit::open(&app, &id, &visit, which.seq)?;
        let bin = open.bin()?;
        let now = open.setup()?;
        let baseline = open.ledger.baseline(&open.bin).filter(|baseline| baseline.visit != visit);
        let read = baseline.map(|baseline| read_readings(baseline.text, "baseline")).transpose()?;
        let before = read.as_ref().map(|read| setup(&open.job, bin, read)).transpose()?;
        let mut remarks = open.remarks(&now, &visit);
        if let Some(before) = &before {
            remarks
                .extend(dates::baseline(&now, before, Place::file("baseline")).map_err(|wrong| Problem::from(*wrong))?);
        }
        let Some(found) = diagnose(&now, before.as_ref()) else {
            let found = "no reading that a cause would change";
            let wrong = Diagnostic::error("nothing-to-diagnose", found, Place::file(FILE));
            return Err(wrong
                .help("add at least pressure.plenum; volts and amps, plenum temperatures and a traverse tell most")
                .into());
        };
        let json = DiagnosisJson::of(bin, open.read.readings.at.clone(), &found);
        Ok(Json(Document::new("diagnosis/1", json, &remarks)))
    })
    .await
}

/// Who accepts a visit.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Acceptance {
    /// Who.
    #[serde(default)]
    by: String,
}

/// A baseline.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct BaselineJson {
    /// Its id: withdrawn like a reading.
    id: String,
    /// Bin.
    bin: String,
    /// Visit.
    visit: String,
    /// Who accepted it.
    by: String,
    /// When, UTC.
    at: String,
    /// The commissioning it rests on.
    commission: Document<CommissionJson>,
}

/// Makes the readings of a visit the bin's baseline, as they stand now. Refused when a comparison differs or too little was
/// read: readings of a bin that is not shown to be sound would hide its fault later. Done twice, it is one baseline.
#[utoipa::path(post, path = "/api/v1/sites/{id}/visits/{visit}/accept", request_body = Acceptance,
    params(("id" = String, Path), ("visit" = String, Path)),
    responses((status = 200, body = BaselineJson)))]
pub async fn accept(
    State(app): State<Arc<App>>,
    Path((id, visit)): Path<(String, String)>,
    Json(who): Json<Acceptance>,
) -> Result<Json<BaselineJson>, Problem> {
    blocking(move || {
        check_text("by", &who.by, 120)?;
        let open = Visit::open(&app, &id, &visit, None)?;
        let (found, document) = commissioned(&open, &visit)?;
        if let Err(why) = advice::commission::acceptable(&found, &open.read.readings) {
            let wrong = Diagnostic::error("no-baseline", why, Place::file(FILE));
            return Err(wrong
                .help("mend what is wrong, read again and accept then; `diagnosis` ranks the causes")
                .into());
        }
        let site: SiteId = site_id(&id)?;
        // The same readings of the same visit are the same baseline.
        let digest = Digest::of(open.text.as_bytes()).to_string();
        let own = format!("baseline:{visit}:{}", digest.get(..16).unwrap_or_default());
        let standing = open.ledger.baseline(&open.bin).filter(|baseline| baseline.id == own);
        let (by, at) = match standing {
            Some(baseline) => (baseline.by.to_string(), baseline.at),
            None => {
                // A baseline that was withdrawn and is accepted again is a new row.
                let times = open.ledger.rows().iter().filter(|kept| kept.id.starts_with(&own)).count();
                let id = if times == 0 { own.clone() } else { format!("{own}:{times}") };
                let at = now();
                let row = Row::Baseline { visit: visit.clone(), by: who.by.clone(), text: open.text.clone() };
                put(&app, &site, &id, &open.bin, at, &row)?;
                return Ok(Json(BaselineJson {
                    id,
                    bin: open.bin.clone(),
                    visit,
                    by: who.by,
                    at: instant(at),
                    commission: document,
                }));
            }
        };
        Ok(Json(BaselineJson { id: own, bin: open.bin.clone(), visit, by, at: instant(at), commission: document }))
    })
    .await
}

/// Which stop.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichOutage {
    /// When the air stopped, standard time of the place, in a year of the weather: `2011-10-20 14:00`.
    at: String,
    /// When it came back, or will; left out, 72 hours are looked at.
    until: Option<String>,
    /// Only this bin.
    bin: Option<String>,
}

/// The air is off: hours left, which bin comes first, what half of the air buys: what `outage` says.
#[utoipa::path(get, path = "/api/v1/sites/{id}/outage", params(("id" = String, Path), WhichOutage),
    responses((status = 200, body = Document<OutageJson>),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn outage(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichOutage>,
) -> Result<Json<Document<OutageJson>>, Problem> {
    blocking(move || {
        let job = app.open(&text_of(&app, &id, None)?)?;
        let offset = job.place.utc_offset;
        let hour = |text: &str, field: &str| {
            let at = Place { field: Some(field.into()), ..Place::file("request") };
            job::clock::standard_hour(text, offset).map_err(|error| Problem::from(error.at(at)))
        };
        let at = hour(&which.at, "at")?;
        let stretch = match &which.until {
            None => None,
            Some(text) => {
                let hours = hour(text, "until")? - at;
                if !(1..=HORIZON as i64).contains(&hours) {
                    let found = format!("air back {hours} hours after the stop");
                    let wrong = Diagnostic::error("out-of-bounds", found, Place::file("request"));
                    return Err(wrong.allowed(format!("must be 1 to {HORIZON} hours")).into());
                }
                Some(hours as usize)
            }
        };
        let bins: Vec<&BinJob> = match which.bin.as_deref() {
            Some(name) => vec![bin_of(&job, Some(name))?],
            None => job.bins.iter().collect(),
        };
        let (found, left_out) = of_bins(&bins, at, stretch, offset);
        if found.is_empty() {
            let wrong = Diagnostic::error("no-grain-then", left_out.join("; "), Place::file("request"));
            return Err(wrong
                .help("name an hour between first load and hold_until in a year of the weather record")
                .into());
        }
        let bins = found.iter().map(|(bin, one)| BinOutageJson::of(bin, offset, one)).collect();
        Ok(Json(Document::new("outage/1", OutageJson { bins, left_out }, &Remarks::default())))
    })
    .await
}
