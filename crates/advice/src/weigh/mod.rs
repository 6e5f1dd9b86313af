//! Which outfits are worth buying, and why the others are not: everything that may be chosen, weighed by cost against the chance
//! of failure over all weather years.
//!
//! [`field`] lists what may be chosen, [`exclude`] takes out what physics and the site forbid, [`surface`]
//! says who runs where too many are left, [`race`] runs the rest over the
//! years and ends each as soon as it is beaten, [`answer`] holds what is left, [`says`] puts it into sentences. Leaves out how it
//! is shown.

pub mod answer;
pub mod breaks;
pub mod exclude;
pub mod field;
pub mod matters;
pub mod news;
pub mod race;
pub mod says;
pub mod score;
pub(crate) mod settle;
pub mod shares;
pub mod surface;
mod variant;
mod weighing;

pub use answer::{Answer, Beaten, Shown, Standing};
pub use exclude::{Excluded, Reason};
pub use field::{Candidate, Field, Setting};
pub use news::News;
pub use race::{Race, Rules};
pub use settle::DIFFERENT;
pub use weighing::{Asking, weigh};
