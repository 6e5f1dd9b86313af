//! Readings taken at bins: rows a client sends, perhaps twice, perhaps late.

use crate::{Moment, SiteId};

/// A reading as the client made it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The client's own id for it, unique among all readings: sending it again changes nothing.
    pub id: String,
    /// At which site.
    pub site: SiteId,
    /// At which bin of it.
    pub bin: String,
    /// When it was taken.
    pub at: Moment,
    /// What was read, as JSON of the caller.
    pub body: String,
}

/// A reading as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingLine {
    /// Its place in the order in which the site's readings arrived, from 1.
    pub seq: u32,
    /// The reading.
    pub reading: Reading,
}

/// Which readings of a site, in the order of arrival.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReadingQuery {
    /// Of this bin only.
    pub bin: Option<String>,
    /// Taken at this instant or later.
    pub from: Option<Moment>,
    /// Arrived after this place in the order: 0 for all. Late readings have old instants but new places, so a client that
    /// keeps up asks by place.
    pub after: u32,
    /// At most so many.
    pub limit: Option<u32>,
}
