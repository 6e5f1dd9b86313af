//! Readings of a site, one by one: kept once however often they are sent, replaced and withdrawn without being lost.

use super::extract::{Json, Path, Query, site_id};
use super::site_shapes::instant;
use crate::app::{App, blocking, now};
use crate::field::{Kept, Ledger, ReadingRow, Row};
use crate::problem::Problem;
use axum::extract::State;
use axum::http::StatusCode;
use job::readings::fields;
use notice::{Diagnostic, Place};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Moment, Reading, SiteId, StoreError};
use utoipa::{IntoParams, ToSchema};

/// Readings in one request at most.
pub const MOST_AT_ONCE: usize = 200;
/// Readings of a site at most, withdrawn ones included: a phone that repeats itself must not fill the store.
const MOST_OF_A_SITE: usize = 20_000;
/// Readings in one answer at most.
const MOST_LISTED: usize = 1000;
/// Longest id, visit and bin, characters.
const LONGEST_ID: usize = 64;
/// Longest value, name and instrument, characters.
const LONGEST_TEXT: usize = 120;
/// Longest note, characters.
const LONGEST_NOTE: usize = 500;
/// How far a phone's clock may go before ours, ms: a day.
const AHEAD: i64 = 24 * 3600 * 1000;

/// A reading as a phone sends it. Sent twice under one id it is kept once.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewReading {
    /// Id made by the client, unique for all time: 1 to 64 letters, digits, `-` and `_`.
    id: String,
    /// The visit it belongs to, made by the client likewise: one bin in one state of the air.
    visit: String,
    /// Bin.
    bin: String,
    /// Path of the field, as the sheet names it: `pressure.plenum`, `motors.amps[0]`.
    field: String,
    /// Value as it was typed, with its unit: `4.05 in wc`.
    value: String,
    /// When, with offset: `2026-10-16T14:03:00-05:00`.
    at: String,
    /// Who.
    #[serde(default)]
    by: String,
    /// With what instrument.
    #[serde(default)]
    instrument: String,
    /// What was noted beside it.
    #[serde(default)]
    note: String,
    /// Id of the reading it replaces: the one that stands. Of two that replace the same one the first to come is kept.
    replaces: Option<String>,
}

/// Readings to keep.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewReadings {
    /// The readings, 1 to 200; each is kept or refused by itself.
    readings: Vec<NewReading>,
}

/// What became of a reading.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct KeptJson {
    /// Its id.
    id: String,
    /// `new`, `known` (it was sent before) or `refused`. What is not refused need not be sent again.
    outcome: &'static str,
    /// Why it was refused.
    diagnostics: Vec<Diagnostic>,
}

/// What became of readings, in their order.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct KeptReadings {
    /// Each of them.
    readings: Vec<KeptJson>,
}

/// Keeps readings. No If-Match is needed: rows are only added, and the id of a reading is its version. A reading that
/// cannot be kept is refused by itself and holds back no other.
#[utoipa::path(post, path = "/api/v1/sites/{id}/readings", request_body = NewReadings, params(("id" = String, Path)),
    responses((status = 200, body = KeptReadings)))]
pub async fn add(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Json(sent): Json<NewReadings>,
) -> Result<Json<KeptReadings>, Problem> {
    blocking(move || {
        let site = site_id(&id)?;
        if sent.readings.is_empty() || sent.readings.len() > MOST_AT_ONCE {
            let found = format!("{} readings at once", sent.readings.len());
            return Err(Problem::bad("too-many-readings", found).help("send 1 to 200 at once"));
        }
        let mut ledger = Ledger::of(&*app.store, &site, None)?;
        let mut kept = Vec::new();
        for reading in sent.readings {
            let id = reading.id.clone();
            let (outcome, diagnostics) = match keep(&app, &site, &mut ledger, reading) {
                Ok(true) => ("new", Vec::new()),
                Ok(false) => ("known", Vec::new()),
                // The store itself failing is no fault of this reading: it must be sent again.
                Err(problem) if problem.status >= 500 => return Err(problem),
                Err(problem) => ("refused", problem.diagnostics),
            };
            kept.push(KeptJson { id: id.chars().take(LONGEST_ID).collect(), outcome, diagnostics });
        }
        Ok(Json(KeptReadings { readings: kept }))
    })
    .await
}

fn is_id(text: &str) -> bool {
    let fits = |c: u8| c.is_ascii_alphanumeric() || c == b'-' || c == b'_';
    (1..=LONGEST_ID).contains(&text.len()) && text.bytes().all(fits)
}

/// Refuses what no visit can be called.
pub(super) fn check_id(what: &str, text: &str) -> Result<(), Problem> {
    if is_id(text) {
        return Ok(());
    }
    let found = format!("{what} {:?}", text.chars().take(LONGEST_ID).collect::<String>());
    Err(Problem::bad("bad-name", found).help("use 1 to 64 letters, digits, - and _"))
}

fn refused(code: &str, found: String, field: &str, help: &str) -> Problem {
    let at = Place { field: Some(field.into()), ..Place::file("request") };
    Problem::from(Diagnostic::error(code, found, at).help(help))
}

/// Refuses a free text that is too long or holds what is not seen.
pub(super) fn check_text(field: &str, text: &str, longest: usize) -> Result<(), Problem> {
    if text.chars().count() > longest {
        let found = format!("{field} of {} characters", text.chars().count());
        return Err(refused("text-too-long", found, field, &format!("use at most {longest} characters")));
    }
    if text.chars().any(notice::unseen) {
        let found = format!("{field} with characters that are not seen");
        return Err(refused("unseen-characters", found, field, "type it anew, on one line"));
    }
    Ok(())
}

/// Reads when something was done, and refuses what lies ahead.
pub(super) fn moment(at: &str) -> Result<Moment, Problem> {
    let place = || Place { field: Some("at".into()), ..Place::file("request") };
    let at = job::clock::moment(at).map_err(|error| Problem::from(error.at(place())))?;
    if at > now().0 + AHEAD {
        let found = format!("reading of {}", instant(Moment(at)));
        return Err(refused("not-yet", found, "at", "set the clock of the phone, and send it again"));
    }
    Ok(Moment(at))
}

/// Keeps one reading; whether it was new.
fn keep(app: &App, site: &SiteId, ledger: &mut Ledger, new: NewReading) -> Result<bool, Problem> {
    for (what, text) in [("id", &new.id), ("visit", &new.visit)] {
        check_id(what, text)?;
    }
    if new.bin.is_empty() {
        return Err(refused("missing-key", "reading without a bin".into(), "bin", "name the bin of the site"));
    }
    for (field, text) in [("bin", &new.bin), ("by", &new.by), ("instrument", &new.instrument), ("value", &new.value)] {
        check_text(field, text, LONGEST_TEXT)?;
    }
    check_text("note", &new.note, LONGEST_NOTE)?;
    let at = moment(&new.at)?;
    fields::check(&new.field, &new.value).map_err(|wrong| Problem::from(*wrong))?;
    let row = ReadingRow {
        visit: new.visit,
        field: new.field,
        value: new.value,
        at: new.at,
        by: new.by,
        instrument: new.instrument,
        note: new.note,
        replaces: new.replaces,
    };
    let known = ledger.rows().iter().any(|kept| kept.id == new.id);
    if !known {
        if ledger.rows().len() >= MOST_OF_A_SITE {
            let found = format!("more than {MOST_OF_A_SITE} readings at one site");
            return Err(refused("too-many-readings", found, "id", "make a copy of the site for the next season"));
        }
        if ledger.bin_of(&row.visit).is_some_and(|bin| bin != new.bin) {
            let found = format!("visit {:?} at another bin", row.visit);
            return Err(refused("visit-of-another-bin", found, "visit", "begin a new visit at each bin"));
        }
        if let Some(before) = &row.replaces {
            let stands = ledger.reading(before).is_some_and(|(kept, old)| {
                old.visit == row.visit && old.field == row.field && !ledger.is_gone(&kept.id)
            });
            if !stands {
                let found = format!("replaces {:?}, which does not stand", before.chars().take(64).collect::<String>());
                let help = "read the list anew: it was replaced or withdrawn meanwhile, or is of another field";
                return Err(refused("superseded", found, "replaces", help));
            }
        }
    }
    let row = Row::Reading(row);
    let new_here = put(app, site, &new.id, &new.bin, at, &row)?;
    if new_here {
        let seq = ledger.rows().last().map_or(1, |kept| kept.seq + 1);
        ledger.push(Kept { seq, id: new.id, bin: new.bin, at, row });
    }
    Ok(new_here)
}

/// Adds a row; whether it was new.
pub(super) fn put(app: &App, site: &SiteId, id: &str, bin: &str, at: Moment, row: &Row) -> Result<bool, Problem> {
    let body = serde_json::to_string(row).map_err(|error| Problem::ours(error.to_string()))?;
    let reading = Reading { id: id.into(), site: site.clone(), bin: bin.into(), at, body };
    Ok(app.store.add_readings(&[reading])? > 0)
}

/// Which readings.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichReadings {
    /// Of this bin only.
    bin: Option<String>,
    /// Of this visit only.
    visit: Option<String>,
    /// That arrived after this place in the order.
    #[serde(default)]
    after: u32,
    /// At most so many, and at most 1000.
    limit: Option<u32>,
    /// Also those that were replaced or withdrawn.
    #[serde(default)]
    all: bool,
}

/// A reading as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReadingJson {
    /// Place in the order of arrival.
    seq: u32,
    /// Id.
    id: String,
    /// Visit.
    visit: String,
    /// Bin.
    bin: String,
    /// Path of the field.
    field: String,
    /// Value as typed.
    value: String,
    /// When, UTC.
    at: String,
    /// Who.
    by: String,
    /// With what.
    instrument: String,
    /// Note.
    note: String,
    /// The reading it replaced.
    replaces: Option<String>,
    /// `stands`, or `gone` when it was replaced or withdrawn.
    state: &'static str,
}

/// Readings in the order of arrival.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ReadingsJson {
    /// The readings.
    readings: Vec<ReadingJson>,
    /// Place of the last row that was looked at: ask after it for what came since.
    last: u32,
    /// Whether there are more.
    more: bool,
}

fn json(ledger: &Ledger, kept: &Kept, row: &ReadingRow) -> ReadingJson {
    ReadingJson {
        seq: kept.seq,
        id: kept.id.clone(),
        visit: row.visit.clone(),
        bin: kept.bin.clone(),
        field: row.field.clone(),
        value: row.value.clone(),
        at: instant(kept.at),
        by: row.by.clone(),
        instrument: row.instrument.clone(),
        note: row.note.clone(),
        replaces: row.replaces.clone(),
        state: if ledger.is_gone(&kept.id) { "gone" } else { "stands" },
    }
}

/// Readings of a site, in the order of arrival.
#[utoipa::path(get, path = "/api/v1/sites/{id}/readings", params(("id" = String, Path), WhichReadings),
    responses((status = 200, body = ReadingsJson)))]
pub async fn list(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichReadings>,
) -> Result<Json<ReadingsJson>, Problem> {
    blocking(move || {
        let ledger = Ledger::of(&*app.store, &site_id(&id)?, which.bin.as_deref())?;
        let most = which.limit.map_or(MOST_LISTED, |limit| (limit as usize).min(MOST_LISTED));
        let wanted = |row: &ReadingRow| which.visit.as_ref().is_none_or(|visit| *visit == row.visit);
        let mut found: Vec<ReadingJson> = ledger
            .readings()
            .filter(|(kept, row)| kept.seq > which.after && wanted(row))
            .filter(|(kept, _)| which.all || !ledger.is_gone(&kept.id))
            .take(most + 1)
            .map(|(kept, row)| json(&ledger, kept, row))
            .collect();
        let more = found.len() > most;
        found.truncate(most);
        let last = match (more, found.last()) {
            (true, Some(last)) => last.seq,
            // Nothing is left: all rows were looked at, withdrawals too.
            _ => ledger.rows().last().map_or(which.after, |kept| kept.seq).max(which.after),
        };
        Ok(Json(ReadingsJson { readings: found, last, more }))
    })
    .await
}

/// Who withdraws.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhoWithdraws {
    /// Who.
    #[serde(default)]
    by: String,
}

/// Withdraws a reading, or the baseline whose id this is. It is kept among those that no longer stand; done twice, nothing
/// more happens.
#[utoipa::path(delete, path = "/api/v1/sites/{id}/readings/{reading}",
    params(("id" = String, Path), ("reading" = String, Path), WhoWithdraws),
    responses((status = 204, description = "withdrawn"),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn withdraw(
    State(app): State<Arc<App>>,
    Path((id, reading)): Path<(String, String)>,
    Query(who): Query<WhoWithdraws>,
) -> Result<StatusCode, Problem> {
    blocking(move || {
        let site = site_id(&id)?;
        check_text("by", &who.by, LONGEST_TEXT)?;
        let ledger = Ledger::of(&*app.store, &site, None)?;
        let found = ledger.rows().iter().find(|kept| kept.id == reading && !matches!(kept.row, Row::Withdrawal { .. }));
        let Some(kept) = found else {
            return Err(Problem::missing(format!("reading {:?}", reading.chars().take(64).collect::<String>())));
        };
        if !ledger.is_gone(&kept.id) {
            // An id of ours holds a colon, which no client's id can.
            let own = format!("withdraw:{}", kept.id);
            match put(&app, &site, &own, &kept.bin, now(), &Row::Withdrawal { of: kept.id.clone(), by: who.by }) {
                // Two withdrew it at the same time: it is withdrawn.
                Err(problem) if problem.code == StoreError::Differs { id: own }.code() => {}
                done => {
                    done?;
                }
            }
        }
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}
