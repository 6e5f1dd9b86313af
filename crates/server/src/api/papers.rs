//! The papers of a bin: what can be printed, and the papers themselves.

use super::extract::{Json, Path, Query, site_id};
use super::season::bin_of;
use crate::app::{App, blocking, now};
use crate::papers::{Found, PaperWork, Papers};
use crate::problem::Problem;
use crate::runs::provable;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use documents::compose::{Source, papers};
use documents::paper::{Paper, PaperKind, html, xlsx};
use notice::{Remarks, UnitSystem};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};

/// What a paper as a page may load: its own style and pictures written into it, and nothing else.
const PAGE: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; \
                    frame-ancestors 'self'; sandbox";

/// Sizes of paper.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum SheetSize {
    /// US Letter.
    #[default]
    Letter,
    /// ISO A4.
    A4,
}

/// Of which bin and text.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichPapers {
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
}

/// Which paper, how.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct WhichPaper {
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Version of the text; left out, the one that stands.
    seq: Option<u32>,
    /// Size of the paper of a PDF: `letter` unless said.
    #[serde(default)]
    paper: SheetSize,
    /// Units: `us` unless said.
    units: Option<UnitSystem>,
}

/// One paper that can be printed.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PaperJson {
    /// Name in its address: `proposal`, `loads`, `commissioning`, `card`, `annex`.
    pub name: &'static str,
    /// Title as printed.
    pub title: &'static str,
    /// What it holds.
    pub says: &'static str,
    /// Endings of its addresses: `pdf`, `html`, `xlsx`.
    pub formats: Vec<&'static str>,
}

/// A quote, as far as it was said.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct QuoteJson {
    /// Number.
    pub number: String,
    /// Last day on which it holds.
    pub valid_until: Option<String>,
    /// Keys of `[quote]` that an offer needs and the text does not have.
    pub missing: Vec<&'static str>,
}

/// What can be printed of a site.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PapersView {
    /// Version of the text.
    pub seq: u32,
    /// SHA-256 of the text.
    pub text: String,
    /// Bins of the site.
    pub bins: Vec<String>,
    /// The bin asked for.
    pub bin: String,
    /// The quote; null when the text has none, and the proposal offers nothing.
    pub quote: Option<QuoteJson>,
    /// Whether the text says what may be chosen, so that a proposal tells what was weighed.
    pub weighed: bool,
    /// The papers.
    pub papers: Vec<PaperJson>,
    /// What of the text a paper cannot show, as sentences.
    pub unset: Vec<String>,
}

fn text_of(app: &App, id: &str, seq: Option<u32>) -> Result<(u32, String, String), Problem> {
    let id = site_id(id)?;
    Ok(match seq {
        Some(seq) => {
            let (version, text) = app.store.version(&id, seq)?;
            (seq, version.digest.to_string(), text)
        }
        None => {
            let site = app.store.site(&id)?;
            (site.head.seq, site.head.digest.to_string(), site.text)
        }
    })
}

/// What can be printed, and of which version of the text.
#[utoipa::path(get, path = "/api/v1/sites/{id}/papers", params(("id" = String, Path), WhichPapers),
    responses((status = 200, body = PapersView),
        (status = 422, body = Problem, content_type = "application/problem+json")))]
pub async fn list(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Query(which): Query<WhichPapers>,
) -> Result<Json<PapersView>, Problem> {
    blocking(move || {
        let (seq, digest, text) = text_of(&app, &id, which.seq)?;
        let job = app.open(&text)?;
        let bin = bin_of(&job, which.bin.as_deref())?;
        provable(&job, bin)?;
        let formats = if cfg!(feature = "pdf") { vec!["pdf", "html", "xlsx"] } else { vec!["html", "xlsx"] };
        let paper = |kind: PaperKind| PaperJson {
            name: kind.name(),
            title: kind.title(),
            says: kind.says(),
            formats: formats.clone(),
        };
        Ok(Json(PapersView {
            seq,
            text: digest,
            bins: job.bins.iter().map(|bin| bin.name.clone()).collect(),
            bin: bin.name.clone(),
            quote: job.quote.as_ref().map(|quote| QuoteJson {
                number: quote.number.clone(),
                valid_until: quote.valid_until.map(|until| until.to_string()),
                missing: quote.missing(),
            }),
            weighed: bin.choose.is_some(),
            papers: PaperKind::ALL.into_iter().map(paper).collect(),
            unset: unset(&job, &text).0.iter().map(|remark| remark.says.render(UnitSystem::Si)).collect(),
        }))
    })
    .await
}

/// A paper as a file: `proposal.pdf`, `card.html`, `annex.xlsx`. The first of a bin takes as long as its proof: until it is
/// there the answer is 202 and says how far the work is; ask again every second or so. Work that nobody asks for ends.
#[utoipa::path(get, path = "/api/v1/sites/{id}/papers/{file}",
    params(("id" = String, Path), ("file" = String, Path, description = "name of the paper and one of its formats: proposal.pdf"), WhichPaper),
    responses((status = 200, body = Vec<u8>, content_type = "application/pdf"),
        (status = 202, body = PaperWork),
        (status = 422, body = Problem, content_type = "application/problem+json"),
        (status = 503, body = Problem, content_type = "application/problem+json")))]
pub async fn get(
    State(app): State<Arc<App>>,
    Path((id, file)): Path<(String, String)>,
    Query(which): Query<WhichPaper>,
) -> Result<Response, Problem> {
    blocking(move || {
        let missing = || Problem::missing(format!("paper {:?}", notice::plain(&file)));
        let (name, ending) = file.rsplit_once('.').ok_or_else(missing)?;
        let kind = PaperKind::of_name(name).ok_or_else(missing)?;
        let kind_of_file = match ending {
            "pdf" if cfg!(feature = "pdf") => "application/pdf",
            "html" => "text/html; charset=utf-8",
            "xlsx" => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            _ => return Err(missing()),
        };
        let (seq, _, text) = text_of(&app, &id, which.seq)?;
        let job = app.open(&text)?;
        let bin = bin_of(&job, which.bin.as_deref())?;
        provable(&job, bin)?;
        let dossier = match Papers::find(&app, bin, &text, kind)? {
            Found::There(dossier) => dossier,
            Found::UnderWay(work) => {
                let mut response = (StatusCode::ACCEPTED, Json(work)).into_response();
                response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static("1"));
                return Ok(response);
            }
        };
        let source = Source {
            job: &job,
            bin,
            dossier: &dossier,
            text: &text,
            version: format!("{seq} ({})", &job::text_identity(&text)[..12]),
            today: job.seen_on.unwrap_or_else(|| job::clock::day_of(now().0.div_euclid(1000))),
            program: format!("binwright {}", env!("CARGO_PKG_VERSION")),
        };
        let units = which.units.unwrap_or_default();
        let paper = papers(&source, &[kind], units).pop().ok_or_else(missing)?;
        let bytes = print(&paper, ending, which.paper)?;
        let mut response = (StatusCode::OK, bytes).into_response();
        let headers = response.headers_mut();
        if ending == "html" {
            headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(PAGE));
        }
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind_of_file));
        let shown = if ending == "xlsx" { "attachment" } else { "inline" };
        let named = format!("{shown}; {}", file_name(kind, &bin.name, ending));
        if let Ok(named) = HeaderValue::from_str(&named) {
            headers.insert(header::CONTENT_DISPOSITION, named);
        }
        Ok(response)
    })
    .await
}

/// The name a paper is saved under, as a header says it (RFC 6266): plain, and once more with all letters of the bin's name.
fn file_name(kind: PaperKind, bin: &str, ending: &str) -> String {
    let plain = documents::paper::file_stem(bin);
    let ascii: String = plain.chars().map(|sign| if sign.is_ascii() { sign } else { '-' }).collect();
    let whole: String = plain
        .bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'0'..=b'9' | b'-' => char::from(byte).to_string(),
            byte => format!("%{byte:02X}"),
        })
        .collect();
    let kind = kind.name();
    format!("filename=\"{kind}-{ascii}.{ending}\"; filename*=UTF-8''{kind}-{whole}.{ending}")
}

/// What of a text the typefaces of the PDF lack.
#[cfg(feature = "pdf")]
fn unset(job: &job::Job, text: &str) -> Remarks {
    documents::compose::unset(job, text, typeset::lacking)
}

#[cfg(not(feature = "pdf"))]
fn unset(_: &job::Job, _: &str) -> Remarks {
    Remarks::default()
}

#[cfg_attr(not(feature = "pdf"), allow(unused_variables))]
fn print(paper: &Paper, ending: &str, sheet: SheetSize) -> Result<Vec<u8>, Problem> {
    match ending {
        "html" => Ok(html::render(paper).into_bytes()),
        "xlsx" => xlsx::write(paper).map_err(|error| Problem::ours(error.to_string())),
        #[cfg(feature = "pdf")]
        "pdf" => {
            let sheet = match sheet {
                SheetSize::Letter => typeset::Sheet::Letter,
                SheetSize::A4 => typeset::Sheet::A4,
            };
            typeset::pdf(paper, sheet).map(|set| set.pdf).map_err(|error| Problem::ours(error.to_string()))
        }
        _ => Err(Problem::missing("format that is not printed")),
    }
}
