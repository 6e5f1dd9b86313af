//! The physics of moist air and grain as pure functions: moist air, equilibrium moisture, sorption heat, kinetics of a
//! kernel, storability, resistance to airflow; and of what moves and warms the air: combustion, gas in orifices and pipes,
//! propane in tanks, electric currents, sound, ducts.
//!
//! Every relation is written once, as an inlined total function over [`numerics::Real`]; its range stands beside it as
//! data; a checked twin returns a `Result` for callers with untrusted numbers. Nothing here opens a file, reads a clock,
//! draws a random number or writes a log.

pub mod air;
pub mod burner_duty;
mod cereal_table;
pub mod combustion;
mod corn_loss;
pub mod direction;
pub mod dry_down;
pub mod duct;
pub mod electric;
pub mod error;
pub mod fan_sound;
pub mod gas_pipe;
pub mod grain;
pub mod isotherm;
pub mod kinetics;
pub mod opening;
pub mod orifice;
pub mod perforated;
pub mod perforated_duct;
pub mod propane;
pub mod propane_tank;
pub mod resistance;
pub mod sorption;
pub mod sound;
pub mod spreading;
pub mod states;
pub mod storability;
pub mod sun;
pub mod thin_layer;

pub use error::DomainError;
