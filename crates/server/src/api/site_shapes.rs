//! Sites as answers show them.

use crate::app::FILE;
use notice::{Diagnostic, Diagnostics};
use serde::Serialize;
use store::{Moment, Site, SiteLine, Version};
use utoipa::ToSchema;

/// An instant in UTC as ISO 8601, to the millisecond.
pub fn instant(at: Moment) -> String {
    let whole = job::clock::instant_of_second(at.0.div_euclid(1000), 0);
    let seconds = at.0.div_euclid(1000).rem_euclid(60);
    // The clock of seasons knows whole minutes.
    let minutes = whole.get(..17).unwrap_or_default();
    format!("{minutes}{seconds:02}.{:03}Z", at.0.rem_euclid(1000))
}

/// A site in a list.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SiteLineJson {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Number of the version that stands.
    pub seq: u32,
    /// SHA-256 of its text.
    pub sha256: String,
    /// Versions kept.
    pub versions: u32,
    /// Readings kept.
    pub readings: u32,
    /// When it was made.
    pub created_at: String,
    /// When it last changed.
    pub updated_at: String,
}

impl SiteLineJson {
    /// From the store's line.
    pub fn of(line: &SiteLine) -> Self {
        Self {
            id: line.id.to_string(),
            name: line.name.clone(),
            seq: line.head.seq,
            sha256: line.head.digest.to_string(),
            versions: line.versions,
            readings: line.readings,
            created_at: instant(line.created_at),
            updated_at: instant(line.updated_at),
        }
    }
}

/// A deleted site in a list.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DeletedSiteJson {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Versions kept.
    pub versions: u32,
    /// When it was deleted.
    pub deleted_at: String,
}

impl DeletedSiteJson {
    /// From the store's line.
    pub fn of(line: &SiteLine) -> Self {
        Self {
            id: line.id.to_string(),
            name: line.name.clone(),
            versions: line.versions,
            deleted_at: instant(line.deleted_at.unwrap_or(line.updated_at)),
        }
    }
}

/// A site as it stands.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SiteJson {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Number of the version that stands.
    pub seq: u32,
    /// SHA-256 of its text.
    pub sha256: String,
    /// The text, byte for byte.
    pub text: String,
    /// When it was made.
    pub created_at: String,
    /// When it last changed.
    pub updated_at: String,
    /// Whether there is an earlier version to go back to.
    pub can_undo: bool,
    /// Whether there is a later version to go forward to.
    pub can_redo: bool,
    /// What is wrong with the text: a draft may be kept with its faults.
    pub diagnostics: Vec<Diagnostic>,
}

impl SiteJson {
    /// From the store's site and what is wrong with its text.
    pub fn of(site: Site, diagnostics: Diagnostics) -> Self {
        Self {
            id: site.id.to_string(),
            name: site.name,
            seq: site.head.seq,
            sha256: site.head.digest.to_string(),
            text: site.text,
            created_at: instant(site.created_at),
            updated_at: instant(site.updated_at),
            can_undo: site.can_undo,
            can_redo: site.can_redo,
            diagnostics: diagnostics.0,
        }
    }
}

/// A version of a site.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct VersionJson {
    /// Its number.
    pub seq: u32,
    /// The version it was made from; null for the first.
    pub parent: Option<u32>,
    /// SHA-256 of its text.
    pub sha256: String,
    /// Length of its text.
    pub bytes: u64,
    /// When it was made.
    pub at: String,
    /// What was noted.
    pub note: String,
}

impl VersionJson {
    /// From the store's version.
    pub fn of(version: &Version) -> Self {
        Self {
            seq: version.seq,
            parent: version.parent,
            sha256: version.digest.to_string(),
            bytes: version.bytes,
            at: instant(version.at),
            note: version.note.clone(),
        }
    }
}

/// What is wrong with a text, warnings included; nothing that stops when it can be used.
pub fn diagnostics(app: &crate::app::App, text: &str) -> Diagnostics {
    match app.open(text) {
        Ok(job) => job.warnings.clone(),
        Err(problem) => Diagnostics(problem.diagnostics),
    }
}

/// A name for a site: what the user gave, else what the text calls itself.
pub fn name_of(given: Option<&str>, text: &str) -> String {
    let named = |text: &str| {
        let document: toml::Table = text.parse().ok()?;
        document.get("name")?.as_str().map(str::to_string)
    };
    let name = given.map(str::to_string).or_else(|| named(text)).unwrap_or_default();
    let plain: String = name.chars().filter(|c| !notice::unseen(*c)).take(120).collect();
    let plain = plain.trim();
    if plain.is_empty() { FILE.trim_end_matches(".toml").to_string() } else { plain.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn instants_to_the_millisecond() {
        assert_eq!(instant(Moment(0)), "1970-01-01T00:00:00.000Z");
        assert_eq!(instant(Moment(1_700_000_123_456)), "2023-11-14T22:15:23.456Z");
    }
}
