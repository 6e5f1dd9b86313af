//! From text to cases: site files, units, catalogues, weather by name, validation, schema and changes; everything below
//! this crate is SI and plain structs.
//!
//! Knows neither HTTP nor terminals.

pub mod catalogue;
pub mod change;
pub mod choose;
pub mod clock;
pub mod column;
pub mod costs;
pub mod evidence;
pub mod facts;
pub mod farm;
pub mod fields;
pub mod job;
pub mod library;
pub mod loads;
mod open;
pub mod outfit_text;
pub mod parse;
pub mod prices;
pub mod provenance;
pub mod readings;
mod records;
pub mod resolve;
pub mod schema;
pub mod site;
pub mod survey;
pub mod variation;
pub mod way;

pub use catalogue::{Catalogue, read_catalogue};
pub use farm::{FarmBin, FarmJob, FarmLayers, FarmLoad, FarmYear};
pub use job::{BinJob, Job, JobUncertainty, LotOfYear, MODEL, OtherSet, text_identity};
pub use library::{BuiltIn, FolderLibrary, Library, MemoryLibrary, read_text};
pub use open::{open, open_with};
pub use parse::{QuantityError, quantity};
pub use records::{ReadyRecord, Records};
pub use resolve::{Places, resolve, resolve_on};
pub use site::{SiteRead, read_site};
pub use survey::{LotSurvey, Survey};
pub use variation::{Base, Variation};
