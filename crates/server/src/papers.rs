//! Dossiers of papers: worked out one at a time in the background, kept for the next paper of the same bin, given up when nobody
//! asks for them any more.

use crate::app::App;
use crate::problem::Problem;
use advice::dossier::{Dossier, Wanted, gather};
use axum::http::StatusCode;
use documents::paper::PaperKind;
use ensemble::Observer;
use job::BinJob;
use serde::Serialize;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use utoipa::ToSchema;

/// Dossiers kept: a bin or two on either side of a change. About 3 MB each.
const MOST_KEPT: usize = 6;
/// Works under way at once, those that wait for their turn with them.
const MOST_UNDER_WAY: usize = 8;
/// Work goes on for so long after it was last asked for: a page asks every second.
const PATIENCE: Duration = Duration::from_secs(60);

/// How far the work for a paper is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct PaperWork {
    /// Which part: `years`, `model range`, `weighing`, `limits`; `turn` while other papers go before.
    pub what: String,
    /// Cases done of this part.
    pub done: usize,
    /// Cases of this part; 0 while not known.
    pub of: usize,
}

/// What there is for a paper.
pub enum Found {
    /// All it is filled from.
    There(Arc<Dossier>),
    /// It is being worked out.
    UnderWay(PaperWork),
}

/// A work under way, or one that failed and has not said so yet.
struct Work {
    key: String,
    wanted: Wanted,
    at: Mutex<PaperWork>,
    asked: Mutex<Instant>,
    wrong: Mutex<Option<Problem>>,
    cancelled: AtomicBool,
}

impl Work {
    fn given_up(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed) || lock(&self.asked).elapsed() > PATIENCE
    }
}

struct Watch {
    work: Arc<Work>,
    what: String,
}

impl Observer for Watch {
    fn progress(&self, done: usize, of: usize) {
        *lock(&self.work.at) = PaperWork { what: self.what.clone(), done, of };
    }

    fn cancelled(&self) -> bool {
        self.work.given_up()
    }
}

fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

#[derive(Default)]
struct Shelf {
    kept: Vec<(String, Arc<Dossier>)>,
    works: Vec<Arc<Work>>,
    /// Goes up when catalogue or weather change: what was begun before is not kept.
    edition: u64,
    /// The program ends: nothing more is begun, and what runs is given up.
    closing: bool,
}

/// What was worked out, by what it is of.
#[derive(Default)]
pub struct Papers {
    shelf: Mutex<Shelf>,
    /// One at a time: a page asks for several papers of one bin at once, and each takes all processors.
    turn: Mutex<()>,
}

/// What a paper needs beside the years.
pub fn wanted(kind: PaperKind) -> Wanted {
    Wanted { weighing: kind == PaperKind::Proposal, limits: kind == PaperKind::Card }
}

impl Papers {
    /// Forgets everything, after catalogue or weather changed.
    pub fn forget(&self) {
        let mut shelf = lock(&self.shelf);
        shelf.kept.clear();
        shelf.edition += 1;
    }

    /// Gives up all work, when the program ends.
    pub fn cancel_all(&self) {
        let mut shelf = lock(&self.shelf);
        shelf.closing = true;
        shelf.works.iter().for_each(|work| work.cancelled.store(true, Ordering::Relaxed));
    }

    fn kept(&self, key: &str) -> Option<Arc<Dossier>> {
        lock(&self.shelf).kept.iter().find(|(known, _)| known == key).map(|(_, dossier)| Arc::clone(dossier))
    }

    /// The dossier of a bin, or how far it is; begins the work where nobody has.
    ///
    /// # Errors
    /// What the work ended with, or when too much is asked at once.
    pub fn find(app: &Arc<App>, bin: &BinJob, text: &str, kind: PaperKind) -> Result<Found, Problem> {
        let (key, wanted) = (format!("{} {}", job::text_identity(text), bin.name), wanted(kind));
        if let Some(dossier) = app.papers.kept(&key).filter(|dossier| !dossier.lacks(bin, wanted)) {
            return Ok(Found::There(dossier));
        }
        let work = {
            let mut shelf = lock(&app.papers.shelf);
            if let Some(place) = shelf.works.iter().position(|work| work.key == key && work.wanted == wanted) {
                let work = Arc::clone(&shelf.works[place]);
                *lock(&work.asked) = Instant::now();
                if let Some(wrong) = lock(&work.wrong).take() {
                    shelf.works.remove(place);
                    return Err(wrong);
                }
                return Ok(Found::UnderWay(lock(&work.at).clone()));
            }
            // One that failed unheard makes room.
            shelf.works.retain(|work| !(work.given_up() && lock(&work.wrong).is_some()));
            if shelf.works.len() >= MOST_UNDER_WAY {
                return Err(Problem::new(
                    StatusCode::TOO_MANY_REQUESTS,
                    "busy",
                    "papers of many bins that are being worked out at once",
                )
                .retry_after(10));
            }
            let work = Arc::new(Work {
                key,
                wanted,
                at: Mutex::new(PaperWork { what: "turn".into(), done: 0, of: 0 }),
                asked: Mutex::new(Instant::now()),
                wrong: Mutex::default(),
                cancelled: AtomicBool::new(shelf.closing),
            });
            shelf.works.push(Arc::clone(&work));
            work
        };
        let at = lock(&work.at).clone();
        let (app, text, name) = (Arc::clone(app), text.to_string(), bin.name.clone());
        tokio::task::spawn_blocking(move || {
            // A panic in the work must not leave it standing as under way for ever.
            let ended =
                std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| Self::work(&app, &work, &name, &text)));
            let wrong = match ended {
                Ok(ended) => ended.err(),
                Err(_) => Some(Problem::ours("the program failed while it worked out a paper")),
            };
            match wrong {
                Some(wrong) => *lock(&work.wrong) = Some(wrong),
                None => lock(&app.papers.shelf).works.retain(|other| !Arc::ptr_eq(other, &work)),
            }
        });
        Ok(Found::UnderWay(at))
    }

    fn work(app: &Arc<App>, work: &Arc<Work>, bin: &str, text: &str) -> Result<(), Problem> {
        let _turn = lock(&app.papers.turn);
        if work.given_up() {
            return Ok(());
        }
        let edition = lock(&app.papers.shelf).edition;
        let (base, library) = app.base(text)?;
        let Some(number) = base.job().bins.iter().position(|other| other.name == bin) else {
            return Err(Problem::missing("bin that is not there"));
        };
        let watch = |what: &str| -> Arc<dyn Observer> {
            *lock(&work.at) = PaperWork { what: what.into(), done: 0, of: 0 };
            Arc::new(Watch { work: Arc::clone(work), what: what.into() })
        };
        let dossier = match app.papers.kept(&work.key) {
            Some(kept) => {
                let mut dossier = (*kept).clone();
                dossier.add(&app.engine, (&base, number), &*library, work.wanted, &watch)?;
                dossier
            }
            None => gather(&app.engine, &base, number, &*library, work.wanted, &watch)?,
        };
        let mut shelf = lock(&app.papers.shelf);
        if dossier.proof.partial || shelf.edition != edition {
            return Ok(());
        }
        shelf.kept.retain(|(known, _)| *known != work.key);
        if shelf.kept.len() >= MOST_KEPT {
            shelf.kept.remove(0);
        }
        shelf.kept.push((work.key.clone(), Arc::new(dossier)));
        Ok(())
    }
}
