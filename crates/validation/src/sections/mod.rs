//! The sections of the page in their order, and the plots.

mod air;
mod beds;
mod cooling;
mod equilibrium;
mod equipment;
mod facts;
mod heat;
mod kinetics;
mod pressure;
mod seasons;
mod storage;
mod trials;

use crate::files::File;
use crate::page::{self, Section};
use documents::plot::Plot;

/// A plot and the name of its file.
pub type Named = (&'static str, Plot);

/// Computes everything: the page first, then its plots.
pub fn all() -> Vec<File> {
    let mut plots: Vec<Named> = Vec::new();
    let sections: Vec<Section> = vec![
        air::section(),
        equilibrium::section(&mut plots),
        pressure::section(&mut plots),
        storage::section(),
        kinetics::laws(&mut plots),
        kinetics::kernels(),
        beds::reference(&mut plots),
        beds::closed(),
        beds::stiff(),
        heat::worked(),
        equipment::worked(),
        equipment::practice(),
        cooling::section(),
        trials::section(),
        seasons::section(),
        facts::section(),
    ];
    let mut files = vec![("docs/validation.md".to_string(), page::render(&sections))];
    files.extend(plots.iter().map(|(name, plot)| {
        (format!("docs/validation/{name}.svg"), format!("{}\n", documents::svg::write(&plot.scene(), name)))
    }));
    files
}
