//! The sections of the page in their order, and the plots.

mod air;
mod batches;
mod beds;
mod cooling;
mod crowding;
mod equilibrium;
mod equipment;
mod facts;
mod field;
mod firing;
mod gas;
mod group;
mod heat;
mod kinetics;
mod power;
mod pressure;
mod processes;
mod properties;
mod recommended;
mod seasons;
mod still;
mod storage;
mod trials;

use crate::files::File;
use crate::page::{self, Section};
use documents::plot::Plot;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

/// A plot and the name of its file.
pub type Named = (&'static str, Plot);

/// A section and its plots.
type Made = (Section, Vec<Named>);
/// What makes one.
type Maker = fn() -> Made;

fn plotted(make: fn(&mut Vec<Named>) -> Section) -> Made {
    let mut plots = Vec::new();
    (make(&mut plots), plots)
}

fn bare(make: fn() -> Section) -> Made {
    (make(), Vec::new())
}

/// The sections in the order of the page.
const MAKERS: [Maker; 25] = [
    || bare(air::section),
    || plotted(equilibrium::section),
    || plotted(pressure::section),
    || bare(properties::section),
    || bare(storage::section),
    || plotted(kinetics::laws),
    || bare(kinetics::kernels),
    || plotted(beds::reference),
    || bare(beds::closed),
    || bare(beds::stiff),
    || bare(heat::worked),
    || bare(equipment::worked),
    || bare(equipment::practice),
    || bare(firing::section),
    || bare(gas::section),
    || bare(power::section),
    || bare(cooling::section),
    || bare(trials::section),
    || bare(seasons::section),
    || bare(processes::section),
    || bare(recommended::section),
    || bare(facts::section),
    || bare(still::wave),
    || bare(still::trials),
    || bare(field::section),
];

/// Computes everything, on all processors: the page first, then its plots, in the same order however many work.
pub fn all() -> Vec<File> {
    let next = AtomicUsize::new(0);
    let made: Mutex<Vec<(usize, Made)>> = Mutex::new(Vec::new());
    let workers = std::thread::available_parallelism().map_or(1, |n| n.get());
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    let Some(maker) = MAKERS.get(number) else { break };
                    let section = maker();
                    made.lock().unwrap_or_else(PoisonError::into_inner).push((number, section));
                }
            });
        }
    });
    let mut made = made.into_inner().unwrap_or_else(PoisonError::into_inner);
    made.sort_by_key(|(number, _)| *number);
    let (sections, plots): (Vec<Section>, Vec<Vec<Named>>) = made.into_iter().map(|(_, made)| made).unzip();
    let mut files = vec![("docs/validation.md".to_string(), page::render(&sections))];
    files.extend(plots.iter().flatten().map(|(name, plot)| {
        (format!("docs/validation/{name}.svg"), format!("{}\n", documents::svg::write(&plot.scene(), name)))
    }));
    files
}
