//! What people write, read with care: quantities with the units that may be written, and TOML texts table by table. All
//! that is wrong with a text is collected with line, column and field, and each fault says what would be right.
//!
//! Site files, catalogues, readings, crop files and cases of a column pass through this one door. Leaves out what the
//! fields mean.

mod limits;
mod node;
mod quantity;
mod text;
pub mod units;

pub use limits::Limits;
pub use node::Node;
pub use quantity::{
    GrainAirflow, Moisture, QuantityError, clean, grain_airflow, in_units, missing_unit, moisture, points, quantity,
    shown, split, unknown_unit,
};
pub use text::{LARGEST_TEXT, Sheet};
