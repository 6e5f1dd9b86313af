//! Columns of grain that air passes from inlet to outlet: their layers, the operations on layers, and the kernel that
//! carries them through a stretch of time side by side.
//!
//! A layer is kilograms of dry matter per m² with moisture of shell and core, enthalpy and storage life used. Water and
//! enthalpy are the conserved states, temperature and depth are derived. This crate does not know when anything happens
//! (crate `season`) or where the air comes from (crate `equipment`).

pub mod balance;
pub mod block;
pub mod hukill;
mod kernel;
pub mod literal;
pub mod operations;
pub mod params;
pub mod profile;
pub mod ring_exchange;
pub mod rings;
mod still;

pub use balance::Balance;
pub use block::{Air, Block, Exhaust, LayerState};
pub use operations::Parcel;
pub use params::{ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
pub use ring_exchange::RingExchange;
pub use rings::{Edge, Passed, RingGrid, Surroundings};
