//! The interface as a browser meets it: every address good and bad, streams, doors, hostile inputs, its own description.

mod client;
mod described;
mod doors;
mod farm;
mod field;
mod heat;
mod hostile;
mod papers;
mod runs;
mod seasons;
mod sites;
mod small;
mod weigh;
mod what_if;
