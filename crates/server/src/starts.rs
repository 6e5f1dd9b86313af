//! What a new site may begin with.

/// The bundled demonstration: an invented bin in measured weather.
pub const DEMO: &str = include_str!("../../job/data/demo.toml");
/// A plain beginning.
pub const BLANK: &str = include_str!("../data/blank.toml");
