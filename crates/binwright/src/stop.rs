//! Ctrl-C: asked once, a run ends at the next pause and says what it knows; asked twice, the process ends at once.

use crate::exit::{Ending, Failure};
use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

/// Whether an end was asked for.
#[derive(Debug, Clone, Copy)]
pub struct Stop(&'static AtomicBool);

impl Stop {
    /// Whether Ctrl-C was pressed.
    pub fn asked(self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Listens for Ctrl-C from now on; for commands that take long enough to be stopped.
pub fn on_interrupt() -> Result<Stop, Failure> {
    ctrlc::set_handler(|| {
        if ASKED.swap(true, Ordering::Relaxed) {
            std::process::exit(i32::from(Ending::Interrupted.code()));
        }
    })
    .map_err(|error| Failure::Ours(format!("cannot listen for an interrupt: {error}")))?;
    Ok(Stop(&ASKED))
}
