//! Weather hour by hour: reading the files that weather comes in, filling gaps by stated rules, joining station-years,
//! and one record built into the program.
//!
//! Whatever a file says, a [`Series`] holds means over whole UTC hours; each reader states what its stamps mean and one
//! conversion does the rest. Files are recognised by their content, never by their name; bad ones give diagnostics, never
//! a panic. Leaves out daylight-saving time altogether: records are in standard time or UTC, others are refused.

mod assemble;
mod bundle;
pub mod calendar;
pub mod gaps;
mod grid;
mod join;
mod origin;
mod plausible;
pub mod pressure;
mod readers;
mod records;
mod report;
mod series;
mod text;

pub use bundle::{BUNDLED, bundled};
pub use gaps::{Gap, Mending};
pub use grid::Stamps;
pub use join::join;
pub use origin::{Origin, origin};
pub use readers::{MOST_LINES, read, read_records};
pub use records::{Hints, Record, Records};
pub use report::{Format, HumidityUse, PressureUse, Report};
pub use series::{
    FILLED_DIURNAL, FILLED_SHORT, Hourly, Incomplete, Kind, MEASURED, MISSING, Series, StationPlace, Window,
    YearCoverage,
};

/// Nominal year under which a typical year is kept: no leap year, and none that a record is taken for by its length.
pub const TYPICAL_YEAR: i32 = 2001;
