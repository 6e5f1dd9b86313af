//! What is kept between runs: site texts with all their versions, weather and catalogues by content, runs with their
//! identity, readings, settings. [`Store`] speaks of these, never of tables; [`SqliteStore`] keeps them in a file of the
//! user's data folder, [`MemoryStore`] until the program ends.
//!
//! What every store promises:
//!
//! * A call that returned `Ok` is kept, whatever happens to the program afterwards ([`SqliteStore`] flushes to the disk
//!   before it returns; [`MemoryStore`] promises this for its own lifetime only).
//! * A call that returned an error changed nothing.
//! * Texts and contents come back byte for byte; what no longer has its digest is [`StoreError::Corrupt`], never handed out.
//! * A site's text changes only under the [`Head`] the caller has seen, so nobody overwrites what he has not read.
//!
//! Reads no clock, draws no random number and opens no path but those it is given; instants and ids come from the caller.
//! The one exception stands apart in [`edge`].

mod blob;
pub mod content;
pub mod digest;
pub mod edge;
pub mod error;
pub mod memory;
pub mod reading;
pub mod run;
pub mod site;
pub mod sqlite;
mod store;

pub use content::{ContentLine, ContentName, Pruned};
pub use digest::Digest;
pub use error::{StoreError, Thing};
pub use memory::MemoryStore;
pub use reading::{Reading, ReadingLine, ReadingQuery};
pub use run::{PruneRuns, Run, RunLine, RunUse};
pub use site::{Head, Moment, Site, SiteId, SiteLine, Version};
pub use sqlite::SqliteStore;
pub use store::Store;
