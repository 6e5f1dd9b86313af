//! Live answers: one for each tab. A newer question of a tab ends the older.

use crate::problem::Problem;
use axum::http::StatusCode;
use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// Tabs that are answered at once.
const MOST_SLOTS: usize = 32;
/// Longest name of a tab.
const LONGEST_NAME: usize = 64;

/// All live answers.
#[derive(Debug, Default)]
pub struct Slots {
    live: Arc<Mutex<HashMap<String, Ticket>>>,
}

/// Whether somebody still wants an answer.
#[derive(Debug, Clone, Default)]
pub struct Ticket(Arc<AtomicBool>);

impl Ticket {
    /// Says that nobody does.
    pub fn cancel(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether nobody does.
    pub fn cancelled(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// A place among the live answers, given back when it is dropped.
#[derive(Debug)]
pub struct Live {
    name: String,
    /// Whether the answer is still wanted.
    pub ticket: Ticket,
    slots: Arc<Mutex<HashMap<String, Ticket>>>,
}

impl Slots {
    /// Takes a tab's place and ends what it was answered before.
    ///
    /// # Errors
    /// When the name is empty or too long, or too many tabs are being answered.
    pub fn take(&self, name: &str) -> Result<Live, Problem> {
        if name.is_empty() || name.len() > LONGEST_NAME {
            return Err(Problem::bad("slot", format!("slot of {} bytes, must be 1 to {LONGEST_NAME}", name.len())));
        }
        let ticket = Ticket::default();
        let mut live = self.live.lock().unwrap_or_else(PoisonError::into_inner);
        if live.len() >= MOST_SLOTS && !live.contains_key(name) {
            let full = format!("{MOST_SLOTS} answers under way");
            return Err(Problem::new(StatusCode::TOO_MANY_REQUESTS, "too-many-answers", full).retry_after(1));
        }
        if let Some(older) = live.insert(name.to_string(), ticket.clone()) {
            older.cancel();
        }
        Ok(Live { name: name.to_string(), ticket, slots: Arc::clone(&self.live) })
    }
}

impl Drop for Live {
    fn drop(&mut self) {
        let mut live = self.slots.lock().unwrap_or_else(PoisonError::into_inner);
        // A newer question may have taken the place meanwhile.
        if live.get(&self.name).is_some_and(|ticket| Arc::ptr_eq(&ticket.0, &self.ticket.0)) {
            live.remove(&self.name);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_newer_question_ends_the_older_of_its_tab_only() {
        let slots = Slots::default();
        let other = slots.take("other").unwrap();
        let older = slots.take("tab").unwrap();
        let newer = slots.take("tab").unwrap();
        assert!(older.ticket.cancelled() && !newer.ticket.cancelled() && !other.ticket.cancelled());
        drop(older);
        assert!(slots.live.lock().unwrap().contains_key("tab"), "the place belongs to the newer");
        drop(newer);
        assert_eq!(slots.live.lock().unwrap().len(), 1);
        assert!(slots.take("").is_err() && slots.take(&"x".repeat(65)).is_err());
    }

    #[test]
    fn so_many_and_no_more() {
        let slots = Slots::default();
        let held: Vec<_> = (0..MOST_SLOTS).map(|k| slots.take(&k.to_string()).unwrap()).collect();
        assert_eq!(slots.take("one more").unwrap_err().status, 429);
        assert!(slots.take("3").is_ok(), "a tab that has a place may ask anew");
        drop(held);
        assert!(slots.take("one more").is_ok());
    }
}
