//! What results mean: whether a year is met, held or failed and why, the proof over all years with what is uncertain kept
//! apart, and what it costs; and all that is worked out around a proof: air and heat of an outfit, sizing without a site,
//! weighing, limits, tuned controls, the farm, readings against the plan and their likely causes, what a paper is filled from.
//!
//! Knows nothing of files, pages or terminals.

pub mod advantage;
pub mod air;
pub mod commission;
pub mod curves;
pub mod diagnose;
pub mod dossier;
pub mod evidence;
pub mod farm;
pub mod field;
pub mod heat;
pub mod limit;
pub mod lookup;
pub mod money;
pub mod outage;
pub mod proof;
pub mod range;
pub mod ready;
pub mod samples;
pub mod sentences;
pub mod sizing;
pub mod tune;
pub mod verdict;
pub mod way;
pub mod weigh;

pub use advantage::{Advantage, Side as ControlSide};
pub use money::{Cost, Tariff};
pub use proof::{Accuracy, Distribution, Proof, ProofInput, YearResult, Years, prove};
pub use range::{ModelRange, RangeEntry, model_range};
pub use verdict::{Cause, Reading, Verdict, judge};
