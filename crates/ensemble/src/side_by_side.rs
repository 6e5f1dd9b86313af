//! Independent pieces of work side by side: for what is no case of its own, as a farm whose bins advance day by day.

use crate::engine::Observer;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

/// Does `count` pieces of work on so many threads; results come in the order of the pieces, whatever the number of threads.
///
/// A piece gives nothing when it was cut short. None is begun once the observer is cancelled.
pub fn side_by_side<T: Send>(
    threads: usize,
    count: usize,
    observer: &Arc<dyn Observer>,
    work: impl Fn(usize) -> Option<T> + Sync,
) -> Vec<Option<T>> {
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let results: Mutex<Vec<Option<T>>> = Mutex::new((0..count).map(|_| None).collect());
    std::thread::scope(|scope| {
        for _ in 0..threads.clamp(1, count.max(1)) {
            scope.spawn(|| {
                while !observer.cancelled() {
                    let piece = next.fetch_add(1, Ordering::Relaxed);
                    if piece >= count {
                        break;
                    }
                    let result = work(piece);
                    let finished = result.is_some();
                    results.lock().unwrap_or_else(PoisonError::into_inner)[piece] = result;
                    if finished {
                        observer.progress(done.fetch_add(1, Ordering::Relaxed) + 1, count);
                    }
                }
            });
        }
    });
    results.into_inner().unwrap_or_else(PoisonError::into_inner)
}
