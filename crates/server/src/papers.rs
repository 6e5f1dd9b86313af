//! Dossiers of papers, worked out one at a time and kept for the next paper of the same bin.

use crate::problem::Problem;
use advice::dossier::{Dossier, Wanted, gather};
use axum::http::StatusCode;
use documents::paper::PaperKind;
use ensemble::{Engine, Observer};
use job::{Base, Library};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Dossiers kept: a bin or two on either side of a change. About 3 MB each.
const MOST_KEPT: usize = 6;
/// Longest work for a paper that somebody waits for.
const LONGEST: Duration = Duration::from_secs(150);

/// What was worked out, by what it is of.
#[derive(Default)]
pub struct Papers {
    kept: Mutex<Vec<(String, Arc<Dossier>)>>,
    /// One at a time: a page asks for several papers of one bin at once.
    turn: Mutex<()>,
}

/// What a paper needs beside the years.
pub fn wanted(kind: PaperKind) -> Wanted {
    Wanted { weighing: kind == PaperKind::Proposal, limits: kind == PaperKind::Card }
}

struct Watch {
    until: Instant,
}

impl Observer for Watch {
    fn progress(&self, _: usize, _: usize) {}

    fn cancelled(&self) -> bool {
        Instant::now() > self.until
    }
}

impl Papers {
    fn get(&self, key: &str) -> Option<Arc<Dossier>> {
        let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.iter().find(|(known, _)| known == key).map(|(_, dossier)| Arc::clone(dossier))
    }

    fn put(&self, key: String, dossier: Arc<Dossier>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST_KEPT {
            kept.remove(0);
        }
        kept.push((key, dossier));
    }

    /// Forgets everything, after catalogue or weather changed.
    pub fn forget(&self) {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// The dossier of a bin, from what is kept or worked out now.
    ///
    /// # Errors
    /// When it takes too long, or the choice of the site cannot be resolved.
    pub fn dossier(
        &self,
        engine: &Engine,
        (base, library): (&Base, &dyn Library),
        bin: &str,
        text: &str,
        kind: PaperKind,
    ) -> Result<Arc<Dossier>, Problem> {
        let job = base.job();
        let Some(number) = job.bins.iter().position(|other| other.name == bin) else {
            return Err(Problem::missing("bin that is not there"));
        };
        let wanted = wanted(kind);
        let key = format!("{} {bin} {wanted:?}", job::text_identity(text));
        if let Some(kept) = self.get(&key) {
            return Ok(kept);
        }
        let turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(kept) = self.get(&key) {
            return Ok(kept);
        }
        let until = Instant::now() + LONGEST;
        let watch = |_: &str| -> Arc<dyn Observer> { Arc::new(Watch { until }) };
        let dossier = Arc::new(gather(engine, base, number, library, wanted, &watch)?);
        drop(turn);
        if dossier.proof.partial {
            let found = format!("papers that are not worked out after {} s", LONGEST.as_secs());
            return Err(Problem::new(StatusCode::SERVICE_UNAVAILABLE, "papers-too-long", found)
                .help("`binwright propose` on the command line has all the time it needs"));
        }
        self.put(key, Arc::clone(&dossier));
        Ok(dossier)
    }
}
