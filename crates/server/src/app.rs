//! What all requests share: the store, the engine, and what is kept ready between requests.

use crate::doors::Doors;
use crate::library::StoreLibrary;
use crate::papers::Papers;
use crate::problem::Problem;
use crate::runs::Runs;
use crate::seasons::Seasons;
use crate::serve::Log;
use crate::slots::Slots;
use ensemble::Engine;
use job::{Base, Job, Records};
use notice::Diagnostics;
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::{SystemTime, UNIX_EPOCH};
use store::{Digest, Moment, Store};
use tokio::sync::Semaphore;

/// Resolved jobs kept; a page asks several things of one text.
const MOST_JOBS: usize = 8;
/// Weather files on their way in at once.
const MOST_UPLOADS: usize = 4;
/// Name of a site text in messages.
pub const FILE: &str = "site.toml";

/// The state of a server.
pub struct App {
    /// Where everything is kept.
    pub store: Arc<dyn Store>,
    /// Who computes.
    pub engine: Engine,
    /// Who may come in.
    pub doors: Doors,
    /// Live answers.
    pub slots: Slots,
    /// Long runs.
    pub runs: Runs,
    /// Who is told of faults.
    pub log: Log,
    /// Seasons looked at of late.
    pub seasons: Seasons,
    /// What papers of late were filled from.
    pub papers: Papers,
    /// Places for weather files on their way in.
    pub uploads: Arc<Semaphore>,
    records: Records,
    library: RwLock<Option<Arc<StoreLibrary>>>,
    jobs: Mutex<Vec<(Digest, Arc<Job>)>>,
}

impl App {
    /// A server over a store.
    pub fn new(store: Arc<dyn Store>, doors: Doors, log: Log) -> Self {
        Self {
            store,
            engine: Engine::on_all_processors(),
            doors,
            log,
            slots: Slots::default(),
            runs: Runs::default(),
            seasons: Seasons::default(),
            papers: Papers::default(),
            uploads: Arc::new(Semaphore::new(MOST_UPLOADS)),
            records: Records::default(),
            library: RwLock::default(),
            jobs: Mutex::default(),
        }
    }

    /// The library, as the store holds it.
    ///
    /// # Errors
    /// When the store cannot be read or holds a catalogue or weather file that can no longer be understood.
    pub fn library(&self) -> Result<Arc<StoreLibrary>, Problem> {
        if let Some(library) = &*self.library.read().unwrap_or_else(PoisonError::into_inner) {
            return Ok(Arc::clone(library));
        }
        let mut place = self.library.write().unwrap_or_else(PoisonError::into_inner);
        if let Some(library) = &*place {
            return Ok(Arc::clone(library));
        }
        let library = Arc::new(StoreLibrary::open(Arc::clone(&self.store))?);
        *place = Some(Arc::clone(&library));
        Ok(library)
    }

    /// Forgets what rests on contents of the store, after one of them changed.
    pub fn contents_changed(&self) {
        *self.library.write().unwrap_or_else(PoisonError::into_inner) = None;
        self.records.forget();
        self.papers.forget();
        self.jobs.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// Opens a text; what was opened of late is at hand.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn open(&self, text: &str) -> Result<Arc<Job>, Problem> {
        let digest = Digest::of(text.as_bytes());
        let known = {
            let jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
            jobs.iter().find(|(key, _)| *key == digest).map(|(_, job)| Arc::clone(job))
        };
        if let Some(job) = known {
            return Ok(job);
        }
        let job = Arc::new(self.resolve(text)?);
        let mut jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        if jobs.len() >= MOST_JOBS {
            jobs.remove(0);
        }
        jobs.push((digest, Arc::clone(&job)));
        Ok(job)
    }

    /// Opens a text for a question that changes it many times.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn base(&self, text: &str) -> Result<(Base, Arc<StoreLibrary>), Problem> {
        let library = self.library()?;
        let base =
            Base::open(&self.records, text, FILE, &*library).map_err(|wrong: Diagnostics| Problem::from(wrong))?;
        Ok((base.seen_on(job::clock::day_of(now().0.div_euclid(1000))), library))
    }

    fn resolve(&self, text: &str) -> Result<Job, Problem> {
        let library = self.library()?;
        // Deep nesting costs stack; what the reader allows fits into that of a blocking thread.
        let job =
            job::open_with(&self.records, text, FILE, &*library).map_err(|wrong: Diagnostics| Problem::from(wrong))?;
        Ok(job.seen_on(job::clock::day_of(now().0.div_euclid(1000))))
    }
}

/// Now.
pub fn now() -> Moment {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    Moment(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
}

/// Runs what blocks, away from the threads that serve connections.
///
/// # Errors
/// What the work says; a panic in it is our fault and ends nothing else.
pub async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    match tokio::task::spawn_blocking(work).await {
        Ok(result) => result,
        Err(_) => Err(Problem::ours("the program failed while it served this request")),
    }
}
