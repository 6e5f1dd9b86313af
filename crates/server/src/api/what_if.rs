//! The live answer: a text with changes, answered as a stream while somebody drags.
//!
//! Events, in this order: `problem` and the end, or `survey`, `air`, then by what is looked at `heat`, or `year` … `risk` (and
//! after letting go `progress` … `risk`, `range`) or `season`; at last `end`, or `cancelled` when a newer question took the place.

use super::extract::Json;
use super::season::{bin_of, view};
use super::stream::{self, Base, Events, Out, Progress};
use super::text::{ChangeJson, changed};
use crate::app::App;
use crate::problem::Problem;
use crate::seasons::{self, LAYERS};
use crate::views;
use advice::{Accuracy, ProofInput, model_range, prove};
use axum::extract::State;
use ensemble::{Observer, Priority};
use job::{BinJob, Job};
use season::{CaseSpec, Record, SeasonResult};
use serde::Deserialize;
use std::sync::Arc;
use std::time::Duration;
use utoipa::ToSchema;

/// Longest answer; a slow machine with many years gets through in this.
const LONGEST: Duration = Duration::from_secs(300);

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum View {
    /// The site said back.
    Survey,
    /// And the air.
    Air,
    /// And the heat: the bin's, with the fuel train of the site.
    Heat,
    /// And all years.
    Risk,
    /// And one year.
    Season,
}

/// A question.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WhatIf {
    /// What the changes are made to.
    base: Base,
    /// Changes, made in order.
    #[serde(default)]
    changes: Vec<ChangeJson>,
    /// What is looked at.
    view: View,
    /// Bin; left out, the first.
    bin: Option<String>,
    /// Year, for a season; left out, the last complete one.
    year: Option<i32>,
    /// The tab: a newer question of the same tab ends this one.
    slot: String,
    /// Whether to go on to verdict accuracy and the model range.
    #[serde(default)]
    refine: bool,
}

/// Hands finished years on as they come.
struct Years {
    out: Arc<Out>,
    job: Arc<Job>,
    cases: Vec<(i32, Arc<CaseSpec>)>,
}

impl Observer for Years {
    fn partial(&self, index: usize, result: &SeasonResult) {
        if let Some((year, case)) = self.cases.get(index) {
            self.out.send("year", &views::year(*year, case, result, self.job.place.utc_offset));
        }
    }

    fn cancelled(&self) -> bool {
        self.out.gone()
    }
}

/// Answers a question as a stream of events.
#[utoipa::path(post, path = "/api/v1/what-if", request_body = WhatIf,
    responses((status = 200, body = String, content_type = "text/event-stream"),
        (status = 429, body = Problem, content_type = "application/problem+json")))]
pub async fn answer(State(app): State<Arc<App>>, Json(question): Json<WhatIf>) -> Result<Events, Problem> {
    let slot = question.slot.clone();
    stream::answered(&app.clone(), &slot, LONGEST, move |out| compute(&app, question, out))
}

fn compute(app: &App, question: WhatIf, out: &Arc<Out>) -> Result<(), Problem> {
    let text = question.base.text(app)?;
    let text = changed(&text, question.changes)?;
    if out.gone() {
        return Ok(());
    }
    let job = app.open(&text)?;
    out.send("survey", &views::survey(&job));
    if question.view == View::Survey || out.gone() {
        return Ok(());
    }
    let bin = bin_of(&job, question.bin.as_deref())?;
    out.send("air", &views::air(&job, bin));
    if out.gone() {
        return Ok(());
    }
    match question.view {
        View::Survey | View::Air => {}
        View::Heat => out.send("heat", &views::heat(&job, Some(&bin.name))),
        View::Risk => {
            crate::runs::provable(&job, bin)?;
            risk(app, &job, bin, question.refine, out);
        }
        View::Season => {
            let (year, case) = seasons::case(bin, question.year)?;
            let (layers, accuracy, priority) = match question.refine {
                true => (LAYERS, "verdict", Priority::Ordinary),
                false => (Accuracy::Preview.first_rung(), "preview", Priority::Interactive),
            };
            let observer = Arc::new(Progress::of(out, "season"));
            if let Some((token, kept)) = seasons::season(app, bin, (year, &case), layers, priority, observer) {
                out.send("season", &view(&job, bin, (year, &kept), (&token, accuracy), question.refine));
            }
        }
    }
    Ok(())
}

/// All years: at once and about; after letting go in earnest, with the model range.
fn risk(app: &App, job: &Arc<Job>, bin: &BinJob, refine: bool, out: &Arc<Out>) {
    let input = ProofInput::of(bin, job.chance);
    if !refine {
        let cases = bin.years.clone();
        let observer: Arc<dyn Observer> = Arc::new(Years { out: Arc::clone(out), job: Arc::clone(job), cases });
        let (accuracy, priority) = (Accuracy::Preview, Priority::Interactive);
        let proof = prove(&app.engine, &input, accuracy, Record::Daily, priority, &observer);
        if !proof.partial {
            out.send("risk", &views::risk(job, bin, &proof, None, accuracy));
        }
        return;
    }
    let watch = |what| -> Arc<dyn Observer> { Arc::new(Progress::of(out, what)) };
    let (accuracy, priority) = (Accuracy::Verdict, Priority::Ordinary);
    let proof = prove(&app.engine, &input, accuracy, Record::Daily, priority, &watch("years"));
    if proof.partial {
        return;
    }
    out.send("risk", &views::risk(job, bin, &proof, None, accuracy));
    let range = model_range(&app.engine, &input, &bin.uncertainty, &watch("model range"));
    if !range.partial {
        out.send("range", &views::range(&range));
    }
}
