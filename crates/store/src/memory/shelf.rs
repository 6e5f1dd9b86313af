//! One site in memory: its versions, which of them stands, its readings.

use crate::{Digest, Head, Moment, Reading, Site, SiteId, SiteLine, StoreError, Thing, Version};

/// A site with all its versions; version n stands at place n − 1.
pub(super) struct Shelf {
    name: String,
    versions: Vec<(Version, String)>,
    head: u32,
    created_at: Moment,
    updated_at: Moment,
    /// When it was deleted, if it is.
    pub deleted_at: Option<Moment>,
    /// Its readings, in the order of arrival.
    pub readings: Vec<Reading>,
}

impl Shelf {
    /// A site with its first version.
    pub fn new(name: &str, text: &str, note: &str, at: Moment) -> Self {
        let mut shelf = Self {
            name: name.to_string(),
            versions: Vec::new(),
            head: 0,
            created_at: at,
            updated_at: at,
            deleted_at: None,
            readings: Vec::new(),
        };
        shelf.push(None, text, note, at);
        shelf
    }

    fn push(&mut self, parent: Option<u32>, text: &str, note: &str, at: Moment) {
        let version = Version {
            seq: self.versions.len() as u32 + 1,
            parent,
            digest: Digest::of(text.as_bytes()),
            bytes: text.len() as u64,
            at,
            note: note.to_string(),
        };
        self.versions.push((version, text.to_string()));
        self.move_to(self.versions.len() as u32, at);
    }

    fn standing(&self) -> &(Version, String) {
        &self.versions[self.head as usize - 1]
    }

    /// Which version stands.
    pub fn head(&self) -> Head {
        self.standing().0.head()
    }

    /// The version the head was made from.
    pub fn parent(&self) -> Option<u32> {
        self.standing().0.parent
    }

    /// The last version made from the head.
    pub fn newest_child(&self) -> Option<u32> {
        let child = self.versions.iter().rev().find(|(version, _)| version.parent == Some(self.head));
        child.map(|(version, _)| version.seq)
    }

    /// Makes a text the head; nothing when it is that already.
    pub fn append(&mut self, text: &str, note: &str, at: Moment) {
        if self.standing().1 != text {
            self.push(Some(self.head), text, note, at);
        }
    }

    /// Makes a version the head.
    pub fn move_to(&mut self, seq: u32, at: Moment) {
        self.head = seq;
        self.updated_at = at;
    }

    /// Gives it another name.
    pub fn rename(&mut self, name: &str, at: Moment) {
        self.name = name.to_string();
        self.updated_at = at;
    }

    /// Undoes a deletion.
    pub fn bring_back(&mut self, at: Moment) {
        self.deleted_at = None;
        self.updated_at = at;
    }

    /// As it stands.
    pub fn site(&self, id: &SiteId) -> Site {
        Site {
            id: id.clone(),
            name: self.name.clone(),
            head: self.head(),
            text: self.standing().1.clone(),
            created_at: self.created_at,
            updated_at: self.updated_at,
            can_undo: self.parent().is_some(),
            can_redo: self.newest_child().is_some(),
        }
    }

    /// As it stands in a list.
    pub fn line(&self, id: &SiteId) -> SiteLine {
        SiteLine {
            id: id.clone(),
            name: self.name.clone(),
            head: self.head(),
            versions: self.versions.len() as u32,
            readings: self.readings.len() as u32,
            created_at: self.created_at,
            updated_at: self.updated_at,
            deleted_at: self.deleted_at,
        }
    }

    /// All versions, the newest first.
    pub fn versions(&self) -> Vec<Version> {
        self.versions.iter().rev().map(|(version, _)| version.clone()).collect()
    }

    /// One version with its text.
    pub fn version(&self, seq: u32) -> Result<(Version, String), StoreError> {
        let place = (seq as usize).checked_sub(1);
        place
            .and_then(|place| self.versions.get(place))
            .cloned()
            .ok_or_else(|| StoreError::missing(Thing::Version, seq))
    }

    /// Whether every text has its digest.
    pub fn is_whole(&self) -> bool {
        self.versions.iter().all(|(version, text)| Digest::of(text.as_bytes()) == version.digest)
    }
}
