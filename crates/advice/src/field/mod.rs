//! What the field verbs share: a bin as it stands on the day of the readings, the same mechanics with something changed in
//! them, and the propagation of uncertainties.

pub mod dates;
pub mod motors;
pub mod plant;
pub mod propagate;
mod questions;
pub mod setup;
pub mod urgent;

pub use plant::{Plant, PlantState};
pub use propagate::{Contribution, Propagated, propagate};
pub use setup::Setup;
pub use urgent::{Urgent, urgent};
