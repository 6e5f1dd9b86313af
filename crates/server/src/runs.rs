//! Long runs: begun once, watched by whoever likes, kept in the store by identity when they are done.

use crate::app::{App, now};
use crate::problem::Problem;
use crate::slots::Ticket;
use crate::views;
use advice::{Accuracy, ProofInput, model_range, prove};
use axum::http::StatusCode;
use ensemble::{Observer, Priority};
use job::{BinJob, Job};
use notice::Diagnostics;
use season::Record;
use serde::Serialize;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use store::{Digest, Run, RunUse};
use tokio::sync::{Semaphore, watch};
use utoipa::ToSchema;

/// Runs that compute at once; they share the engine's threads.
const AT_ONCE: usize = 2;
/// Runs that wait or compute.
const MOST: usize = 16;
/// Finished runs whose end is remembered beside the store (failures and cancellations stand nowhere else).
const MOST_ENDED: usize = 64;
/// Longest run.
const LONGEST: Duration = Duration::from_secs(20 * 60);

/// How far a run is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// Waits for its turn.
    Queued,
    /// Computes.
    Running,
    /// Its result is kept.
    Done,
    /// Ended by a reader.
    Cancelled,
    /// Ended by a limit or a fault.
    Failed,
}

impl State {
    /// Whether nothing more will come.
    pub fn ended(self) -> bool {
        matches!(self, Self::Done | Self::Cancelled | Self::Failed)
    }
}

/// Progress of a run.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Progress {
    /// How far it is.
    pub state: State,
    /// `years` or `model range`.
    pub what: &'static str,
    /// Cases done of this part.
    pub done: usize,
    /// Cases of this part.
    pub of: usize,
    /// Why it failed.
    pub detail: Option<String>,
}

/// A run under way, or ended not long ago.
#[derive(Debug)]
pub struct Live {
    /// Its progress.
    pub progress: watch::Sender<Progress>,
    ticket: Ticket,
    ended_at: Mutex<Option<Instant>>,
}

impl Live {
    /// Asks it to end.
    pub fn cancel(&self) {
        self.ticket.cancel();
    }

    fn say(&self, change: impl FnOnce(&mut Progress)) {
        self.progress.send_modify(change);
    }

    fn end(&self, state: State, detail: Option<String>) {
        *self.ended_at.lock().unwrap_or_else(PoisonError::into_inner) = Some(Instant::now());
        self.say(|p| {
            p.state = state;
            p.detail = detail;
        });
    }
}

/// All runs.
#[derive(Debug)]
pub struct Runs {
    live: Mutex<HashMap<String, Arc<Live>>>,
    turns: Arc<Semaphore>,
}

impl Default for Runs {
    fn default() -> Self {
        Self { live: Mutex::default(), turns: Arc::new(Semaphore::new(AT_ONCE)) }
    }
}

impl Runs {
    /// A run under way or ended not long ago.
    pub fn get(&self, id: &str) -> Option<Arc<Live>> {
        self.live.lock().unwrap_or_else(PoisonError::into_inner).get(id).cloned()
    }

    /// The run of this identity that is under way, or a place for a new one (then `true`).
    fn take(&self, id: &str) -> Result<(Arc<Live>, bool), Problem> {
        let mut live = self.live.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = live.get(id)
            && !known.progress.borrow().state.ended()
        {
            return Ok((Arc::clone(known), false));
        }
        if live.values().filter(|run| !run.progress.borrow().state.ended()).count() >= MOST {
            let full = format!("{MOST} runs under way");
            return Err(Problem::new(StatusCode::TOO_MANY_REQUESTS, "too-many-runs", full).retry_after(10));
        }
        let ended = |run: &Live| *run.ended_at.lock().unwrap_or_else(PoisonError::into_inner);
        while live.values().filter(|run| ended(run).is_some()).count() >= MOST_ENDED {
            let oldest = live.iter().filter_map(|(id, run)| Some((ended(run)?, id.clone()))).min();
            let Some((_, id)) = oldest else { break };
            live.remove(&id);
        }
        let waits = Progress { state: State::Queued, what: "years", done: 0, of: 0, detail: None };
        let run = Arc::new(Live {
            progress: watch::Sender::new(waits),
            ticket: Ticket::default(),
            ended_at: Mutex::default(),
        });
        live.insert(id.to_string(), Arc::clone(&run));
        Ok((run, true))
    }

    /// Ends all runs, when the server goes.
    pub fn cancel_all(&self) {
        self.live.lock().unwrap_or_else(PoisonError::into_inner).values().for_each(|run| run.cancel());
    }
}

/// What is to be proven, and for which version of which site.
pub struct Wanted {
    /// The job.
    pub job: Arc<Job>,
    /// The bin.
    pub bin: String,
    /// The site text.
    pub text: String,
    /// Who asked.
    pub use_of: RunUse,
}

/// Refuses what cannot be proven: typical years, no complete year.
///
/// # Errors
/// Why.
pub fn provable(job: &Job, bin: &BinJob) -> Result<(), Problem> {
    let mut wrong = Diagnostics::default();
    advice::ready::real_years(job, "a proof").err().into_iter().for_each(|d| wrong.add(*d));
    advice::ready::some_year(job, bin).err().into_iter().for_each(|d| wrong.add(*d));
    if wrong.stop() { Err(wrong.into()) } else { Ok(()) }
}

/// Begins a proof unless it is kept or under way; returns its identity.
///
/// # Errors
/// When it cannot be proven, too much is under way, or the store fails.
pub fn begin(app: &Arc<App>, wanted: Wanted) -> Result<String, Problem> {
    let Some(bin) = wanted.job.bin(Some(&wanted.bin)) else { return Err(Problem::missing("bin that is not there")) };
    provable(&wanted.job, bin)?;
    let id = bin.identity("verdict");
    let identity: Digest = id.parse().map_err(|_| Problem::ours("identity that is no digest"))?;
    match app.store.run(&identity) {
        Ok(mut kept) => {
            kept.uses = vec![wanted.use_of];
            app.store.put_run(&kept)?;
            return Ok(id);
        }
        Err(store::StoreError::NotFound { .. }) => {}
        Err(error) => return Err(error.into()),
    }
    let (run, new) = app.runs.take(&id)?;
    if new {
        let (app, turns) = (Arc::clone(app), Arc::clone(&app.runs.turns));
        tokio::spawn(async move {
            let Ok(turn) = turns.acquire_owned().await else { return };
            let worker = Arc::clone(&run);
            let work = tokio::task::spawn_blocking(move || {
                compute(&app, &wanted, identity, &worker);
                drop(turn);
            });
            if work.await.is_err() {
                run.end(State::Failed, Some("the program failed while it computed this run".into()));
            }
        });
    }
    Ok(id)
}

struct Watch {
    run: Arc<Live>,
    what: &'static str,
    until: Instant,
}

impl Observer for Watch {
    fn progress(&self, done: usize, of: usize) {
        self.run.say(|p| (p.what, p.done, p.of) = (self.what, done, of));
    }

    fn cancelled(&self) -> bool {
        self.run.ticket.cancelled() || Instant::now() > self.until
    }
}

fn compute(app: &App, wanted: &Wanted, identity: Digest, run: &Arc<Live>) {
    if run.ticket.cancelled() {
        return run.end(State::Cancelled, None);
    }
    let Some(bin) = wanted.job.bin(Some(&wanted.bin)) else { return run.end(State::Failed, None) };
    run.say(|p| p.state = State::Running);
    let until = Instant::now() + LONGEST;
    let watch = |what| -> Arc<dyn Observer> { Arc::new(Watch { run: Arc::clone(run), what, until }) };
    let input = ProofInput::of(bin, wanted.job.chance);
    let (accuracy, priority) = (Accuracy::Verdict, Priority::Ordinary);
    let proof = prove(&app.engine, &input, accuracy, Record::Daily, priority, &watch("years"));
    let range = (!proof.partial).then(|| model_range(&app.engine, &input, &bin.uncertainty, &watch("model range")));
    let whole = range.as_ref().is_some_and(|range| !range.partial);
    if !whole {
        return match run.ticket.cancelled() {
            true => run.end(State::Cancelled, None),
            false => run.end(State::Failed, Some(format!("ended after {} minutes", LONGEST.as_secs() / 60))),
        };
    }
    let document = views::risk(&wanted.job, bin, &proof, range.as_ref(), accuracy);
    let job = serde_json::json!({
        "program": format!("binwright {}", env!("CARGO_PKG_VERSION")),
        "bin": wanted.bin,
        "weather": wanted.job.weather_name,
        "text": wanted.text,
        "case": format!("{:?}", bin.template),
    });
    let written = serde_json::to_vec(&document).map_err(|error| error.to_string()).and_then(|result| {
        let kept = Run {
            identity,
            model: job::MODEL,
            kind: "prove".into(),
            accuracy: "verdict".into(),
            job: job.to_string().into_bytes(),
            result,
            finished_at: now(),
            uses: vec![wanted.use_of.clone()],
        };
        app.store.put_run(&kept).map_err(|error| error.to_string())
    });
    match written {
        Ok(()) => run.end(State::Done, None),
        Err(detail) => run.end(State::Failed, Some(format!("the result could not be kept: {detail}"))),
    }
}
