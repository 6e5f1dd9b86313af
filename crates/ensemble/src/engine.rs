//! Threads, slices and tickets.

use crate::queue::{Queue, Running};
use season::{CaseSpec, Lanes, Record, SeasonResult};
use std::sync::mpsc::channel;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// How long a worker keeps lanes before it looks whether something more urgent waits.
const SLICE: Duration = Duration::from_millis(2);
/// Ticks between two looks at the clock.
const TICKS: usize = 16;

/// Who goes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Priority {
    /// May wait: searches, refinements.
    Background,
    /// What was asked for.
    Ordinary,
    /// Somebody drags a slider.
    Interactive,
}

/// Told what happens; called from the engine's threads.
pub trait Observer: Send + Sync {
    /// A case has finished.
    fn partial(&self, _index: usize, _result: &SeasonResult) {}
    /// So many of so many are finished.
    fn progress(&self, _done: usize, _of: usize) {}
    /// Asked at the end of each slice; true ends the batch with what is known.
    fn cancelled(&self) -> bool {
        false
    }
}

/// Nobody listens.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent;

impl Observer for Silent {}

/// Cases to run.
pub struct Batch {
    /// The cases; results come in this order.
    pub cases: Vec<Arc<CaseSpec>>,
    /// What to keep of each.
    pub record: Record,
    /// Who goes first.
    pub priority: Priority,
    /// Who is told.
    pub observer: Arc<dyn Observer>,
}

/// What came of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Results in the order of the cases; `None` for those a cancellation cut off.
    pub results: Vec<Option<SeasonResult>>,
    /// Whether the observer ended it early.
    pub cancelled: bool,
}

struct Shared {
    queue: Mutex<Queue>,
    wake: Condvar,
}

impl Shared {
    /// The queue, also after a worker died: its state is whole between calls.
    fn lock(&self) -> MutexGuard<'_, Queue> {
        self.queue.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Worker threads that live as long as the engine.
pub struct Engine {
    shared: Arc<Shared>,
    workers: Vec<JoinHandle<()>>,
}

impl Engine {
    /// An engine of so many threads (at least one).
    pub fn new(threads: usize) -> Self {
        let shared = Arc::new(Shared { queue: Mutex::new(Queue::default()), wake: Condvar::new() });
        let workers = (0..threads.max(1))
            .map(|_| {
                let shared = Arc::clone(&shared);
                std::thread::spawn(move || work(&shared))
            })
            .collect();
        Self { shared, workers }
    }

    /// An engine on all processors.
    pub fn on_all_processors() -> Self {
        Self::new(std::thread::available_parallelism().map_or(1, usize::from))
    }

    /// How many threads it has.
    pub fn threads(&self) -> usize {
        self.workers.len()
    }

    /// Runs a batch and waits for it; other threads may run theirs meanwhile.
    pub fn run(&self, batch: Batch) -> Outcome {
        let of = batch.cases.len();
        if of == 0 {
            return Outcome { results: Vec::new(), cancelled: false };
        }
        let (done, finished) = channel();
        let ticket = {
            let mut queue = self.shared.lock();
            let ticket = queue.next_ticket;
            queue.next_ticket += 1;
            queue.batches.push((
                ticket,
                Running {
                    priority: batch.priority,
                    served: 0,
                    record: batch.record,
                    observer: batch.observer,
                    waiting: (0..of).rev().collect(),
                    cases: batch.cases.into_iter().map(Some).collect(),
                    results: vec![None; of],
                    // All processors get their part: lanes side by side save less than a processor that stands idle loses.
                    share: of.div_ceil(self.workers.len()),
                    left: of,
                    parked: Vec::new(),
                    out: 0,
                    cancelled: false,
                    done,
                },
            ));
            ticket
        };
        self.shared.wake.notify_all();
        // The sender is dropped only with the batch, so an error cannot come before the word.
        let _ = finished.recv();
        let mut queue = self.shared.lock();
        let place = queue.batches.iter().position(|(t, _)| *t == ticket);
        match place.map(|i| queue.batches.swap_remove(i).1) {
            Some(batch) => Outcome { results: batch.results, cancelled: batch.cancelled },
            None => Outcome { results: vec![None; of], cancelled: true },
        }
    }
}

impl Drop for Engine {
    fn drop(&mut self) {
        self.shared.lock().closing = true;
        self.shared.wake.notify_all();
        for worker in self.workers.drain(..) {
            let _ = worker.join();
        }
    }
}

/// A worker: takes lanes of the most urgent batch, runs them for a slice, puts them back.
fn work(shared: &Shared) {
    let mut queue = shared.lock();
    loop {
        if queue.closing {
            return;
        }
        let Some(ticket) = queue.best() else {
            queue = shared.wake.wait(queue).unwrap_or_else(PoisonError::into_inner);
            continue;
        };
        let Some(lanes) = take(&mut queue, ticket) else { continue };
        drop(queue);
        let (lanes, ended) = slice(shared, ticket, lanes);
        queue = shared.lock();
        give_back(&mut queue, ticket, lanes, ended, shared);
    }
}

/// Parked lanes of a batch, or fresh ones for its next case.
fn take(queue: &mut Queue, ticket: u64) -> Option<Lanes> {
    let batch = queue.get(ticket)?;
    let mut lanes = match batch.parked.pop() {
        Some(lanes) => lanes,
        None => {
            let first = batch.cases[*batch.waiting.last()?].as_ref()?;
            Lanes::new(first, batch.record)
        }
    };
    refill(batch, &mut lanes);
    batch.out += 1;
    Some(lanes)
}

/// Fills free lanes from the queue, as many as pay on this processor, but no more than a worker's share of the batch.
fn refill(batch: &mut Running, lanes: &mut Lanes) {
    while let Some(lane) = lanes.free().filter(|&lane| lane < batch.share.min(lanes.worth_filling())) {
        let key = lanes.key().clone();
        match batch.next_for(&key) {
            Some((index, case)) => lanes.start(lane, index, case),
            None => break,
        }
    }
}

/// Runs lanes for a slice; refills them as cases end. Returns the results that came out.
fn slice(shared: &Shared, ticket: u64, mut lanes: Lanes) -> (Lanes, Vec<(usize, SeasonResult)>) {
    let began = Instant::now();
    let mut ended = Vec::new();
    while lanes.busy() && began.elapsed() < SLICE {
        for _ in 0..TICKS {
            let out = lanes.tick();
            if !out.is_empty() {
                ended.extend(out);
                if let Some(batch) = shared.lock().get(ticket) {
                    refill(batch, &mut lanes);
                }
            }
            if !lanes.busy() {
                break;
            }
        }
    }
    (lanes, ended)
}

fn give_back(queue: &mut Queue, ticket: u64, lanes: Lanes, ended: Vec<(usize, SeasonResult)>, shared: &Shared) {
    let Some(batch) = queue.get(ticket) else { return };
    batch.out -= 1;
    let of = batch.results.len();
    for (index, result) in ended {
        batch.observer.partial(index, &result);
        batch.results[index] = Some(result);
        batch.left -= 1;
        batch.observer.progress(of - batch.left, of);
    }
    if batch.observer.cancelled() {
        batch.cancelled = true;
        batch.waiting.clear();
        batch.parked.clear();
    } else if lanes.busy() {
        batch.parked.push(lanes);
    }
    if (batch.left == 0 || batch.cancelled) && batch.out == 0 {
        let _ = batch.done.send(());
    }
    shared.wake.notify_one();
}
