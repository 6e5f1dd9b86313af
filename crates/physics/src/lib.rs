//! The physics of moist air and grain as pure functions: moist air, equilibrium moisture, sorption heat, kinetics of a
//! kernel, storability, resistance to airflow, combustion.
//!
//! Every relation is written once, as an inlined total function over [`numerics::Real`]; its range stands beside it as
//! data; a checked twin returns a `Result` for callers with untrusted numbers. Nothing here opens a file, reads a clock,
//! draws a random number or writes a log.

pub mod air;
mod cereal_table;
pub mod combustion;
mod corn_loss;
pub mod direction;
pub mod error;
pub mod grain;
pub mod isotherm;
pub mod kinetics;
pub mod perforated;
pub mod resistance;
pub mod sorption;
pub mod states;
pub mod storability;
pub mod thin_layer;

pub use error::DomainError;
