//! The engine that runs many cases: own threads, lanes filled from a queue, priorities that overtake at the end of a slice,
//! cancellation, results in the order of the cases whatever the number of threads.
//!
//! Knows no asynchronous runtime and nothing of what the results mean; [`Observer`] is the only hook.

mod engine;
mod queue;
mod side_by_side;

pub use engine::{Batch, Engine, Observer, Outcome, Priority, Silent};
pub use side_by_side::side_by_side;
