//! What waits and what is under way, under one lock.

use crate::engine::{Observer, Priority};
use season::{CaseSpec, LaneKey, Lanes, Record, SeasonResult};
use std::cmp::Reverse;
use std::sync::Arc;
use std::sync::mpsc::Sender;

/// A batch inside the engine.
pub(crate) struct Running {
    pub priority: Priority,
    /// Turn at which it was last served: within a priority whoever waited longest goes first, so that two people who drag
    /// at once both see their answers grow.
    pub served: u64,
    pub record: Record,
    pub observer: Arc<dyn Observer>,
    /// Cases not yet begun, as indices into `cases`, last first.
    pub waiting: Vec<usize>,
    pub cases: Vec<Option<Arc<CaseSpec>>>,
    pub results: Vec<Option<SeasonResult>>,
    /// Most cases side by side in one worker's lanes.
    pub share: usize,
    /// Cases without a result yet.
    pub left: usize,
    /// Lanes put aside at the end of a slice.
    pub parked: Vec<Lanes>,
    /// Lanes in the hands of workers.
    pub out: usize,
    pub cancelled: bool,
    pub done: Sender<()>,
}

impl Running {
    /// Whether a worker could do something for it.
    fn wants_worker(&self) -> bool {
        !self.cancelled && (!self.parked.is_empty() || !self.waiting.is_empty())
    }

    /// Next waiting case that fits lanes of a key.
    pub fn next_for(&mut self, key: &LaneKey) -> Option<(usize, Arc<CaseSpec>)> {
        let place =
            self.waiting.iter().rposition(|&i| self.cases[i].as_ref().is_some_and(|case| &LaneKey::of(case) == key))?;
        let index = self.waiting.remove(place);
        self.cases[index].take().map(|case| (index, case))
    }
}

/// All batches.
#[derive(Default)]
pub(crate) struct Queue {
    pub batches: Vec<(u64, Running)>,
    pub next_ticket: u64,
    pub turn: u64,
    pub closing: bool,
}

impl Queue {
    /// The batch that deserves a worker now; it is counted as served.
    pub fn best(&mut self) -> Option<u64> {
        let wants = self.batches.iter_mut().filter(|(_, b)| b.wants_worker());
        let (ticket, batch) = wants.max_by_key(|(ticket, b)| (b.priority, Reverse(b.served), *ticket))?;
        self.turn += 1;
        batch.served = self.turn;
        Some(*ticket)
    }

    pub fn get(&mut self, ticket: u64) -> Option<&mut Running> {
        self.batches.iter_mut().find(|(t, _)| *t == ticket).map(|(_, b)| b)
    }
}
