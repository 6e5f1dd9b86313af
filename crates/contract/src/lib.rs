//! Every JSON shape and its conversion: what a program may rely on.
//!
//! Fractions are 0 to 1 (`_wb`, `_db`), temperatures `_c`, everything else SI with the unit in the key. A value that does
//! not exist is null, never NaN. Every document carries `schema`, `program`, `model` and `remarks`.

pub mod air;
pub mod catalogue;
pub mod column;
pub mod document;
pub mod equipment;
pub mod farm;
pub mod field;
pub mod heat;
pub mod limit;
pub mod lookup;
pub mod matters;
pub mod papers;
pub mod process;
pub mod proof;
pub mod race;
pub mod season;
pub mod sizing;
pub mod survey;
pub mod tune;
pub mod weigh;

pub use document::{Document, MODEL, Said, diagnostics_json};
