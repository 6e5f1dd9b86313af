//! What is kept between runs: site texts with all their versions, weather and catalogues by content, runs with their
//! identity, readings. [`Store`] speaks of these, never of tables.

/// Where things are kept.
pub trait Store: Send + Sync {}
