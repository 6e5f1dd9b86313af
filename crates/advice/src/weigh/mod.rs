//! Which outfits are worth buying, and why the others are not: everything that may be chosen, weighed by cost against the chance
//! of failure over all weather years.
//!
//! [`field`] lists what may be chosen, [`exclude`] takes out what physics and the site forbid, [`surface`]
//! says who runs where too many are left, [`race`] runs the rest over the
//! years and ends each as soon as it is beaten, [`answer`] says what is left. Leaves out how it is shown.

pub mod answer;
pub mod exclude;
pub mod field;
pub mod matters;
pub mod race;
pub mod score;
pub mod surface;

pub use answer::{Answer, Beaten, Shown, Standing, weigh, weigh_at_most};
pub use exclude::{Excluded, Reason};
pub use field::{Candidate, Field, Setting};
pub use race::{Race, Rules};
