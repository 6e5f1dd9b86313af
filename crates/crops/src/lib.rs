//! What is known about each crop: data files, each figure with its source and how far it was confirmed, read into plain
//! structs.
//!
//! The files under `data/` are compiled in. [`Library::find`] gives a crop by name or alias, [`Library::with_user_file`]
//! adds a crop or a variety from a file of the same shape. A relation that is not recorded is a [`MissingCapability`], never
//! a number borrowed silently; what is borrowed openly says from whom ([`Evidence::lent_from`]).

pub mod bulk;
pub mod capability;
pub mod crop;
pub mod evidence;
pub mod heat;
pub mod isotherm;
pub mod kinetics;
pub mod library;
pub mod limits;
pub mod line;
mod matrix;
mod reading;
pub mod resistance;
pub mod storage;

pub use bulk::{Bushel, TestWeight};
pub use capability::{Capability, Confidence, MissingCapability, Need};
pub use crop::Crop;
pub use evidence::{Banded, Evidence, Sourced};
pub use isotherm::{IsothermSet, SetUse, Spread};
pub use kinetics::{CompartmentFit, Kinetics, Production};
pub use library::Library;
pub use line::MoistureLine;
pub use resistance::ResistanceRow;
pub use storage::{Storage, StorageRow};
