//! From text to cases: site files, units, catalogues, weather by name, validation, schema and changes; everything below
//! this crate is SI and plain structs.
//!
//! Knows neither HTTP nor terminals.

pub mod clock;
pub mod facts;
pub mod job;
pub mod loads;
pub mod resolve;
pub mod survey;

pub use job::{BinJob, Job, JobUncertainty, MODEL};
pub use resolve::{Places, resolve};
pub use survey::{LotSurvey, Survey};
