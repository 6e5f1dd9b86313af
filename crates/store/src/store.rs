//! The [`Store`] trait.

use crate::{
    ContentLine, ContentName, Digest, Head, Moment, PruneRuns, Pruned, Reading, ReadingLine, ReadingQuery, Run,
    RunLine, Site, SiteId, SiteLine, StoreError, Version,
};

/// Where things are kept. Synchronous; each call is one whole: done and kept, or an error and nothing changed.
///
/// Any call can fail with [`StoreError::Busy`], [`StoreError::Full`] (those that write), [`StoreError::Corrupt`],
/// [`StoreError::NewerFile`] (a newer program has meanwhile taken over) or [`StoreError::Failed`]; the lines below name what
/// else each can say. A deleted site is [`StoreError::NotFound`] to all calls but those that name deleted ones.
pub trait Store: Send + Sync {
    /// Makes a site with its first version. `Taken` when the id is in use, also by a deleted site.
    fn create_site(&self, id: &SiteId, name: &str, text: &str, note: &str, at: Moment) -> Result<Site, StoreError>;

    /// The site as it stands. `NotFound`.
    fn site(&self, id: &SiteId) -> Result<Site, StoreError>;

    /// All sites, the last changed first.
    fn sites(&self) -> Result<Vec<SiteLine>, StoreError>;

    /// Sites that were deleted, the last deleted first.
    fn deleted_sites(&self) -> Result<Vec<SiteLine>, StoreError>;

    /// Makes `text` the head. A text equal to the head's makes no version and changes nothing. `NotFound`, `Moved`.
    fn save(&self, id: &SiteId, expected: &Head, text: &str, note: &str, at: Moment) -> Result<Site, StoreError>;

    /// Moves the head to its parent. `NotFound`, `Moved`, `NothingToUndo`.
    fn undo(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError>;

    /// Moves the head to its newest child. `NotFound`, `Moved`, `NothingToRedo`.
    fn redo(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError>;

    /// Saves the text of version `seq` again, as [`Store::save`] does. `NotFound` (site or version), `Moved`.
    fn restore(&self, id: &SiteId, expected: &Head, seq: u32, note: &str, at: Moment) -> Result<Site, StoreError>;

    /// Gives the site another name; versions are not concerned. `NotFound`, `Moved`.
    fn rename(&self, id: &SiteId, expected: &Head, name: &str, at: Moment) -> Result<Site, StoreError>;

    /// Makes a site `new` whose first version is the text that stands in `id`. `NotFound`, `Taken`.
    fn duplicate(&self, id: &SiteId, new: &SiteId, name: &str, note: &str, at: Moment) -> Result<Site, StoreError>;

    /// Puts the site aside with all that belongs to it. `NotFound`, `Moved`.
    fn delete(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<(), StoreError>;

    /// Brings a deleted site back. `NotFound` when no deleted site has this id.
    fn undelete(&self, id: &SiteId, at: Moment) -> Result<Site, StoreError>;

    /// All versions of a site, the newest first. `NotFound`.
    fn versions(&self, id: &SiteId) -> Result<Vec<Version>, StoreError>;

    /// One version with its text, byte for byte. `NotFound` (site or version).
    fn version(&self, id: &SiteId, seq: u32) -> Result<(Version, String), StoreError>;

    /// Keeps `bytes` and gives them the name, which may have stood for something else before. How much is too much, the
    /// caller decides.
    fn put_content(&self, name: &ContentName, bytes: &[u8], at: Moment) -> Result<Digest, StoreError>;

    /// Bytes by digest, also when no name stands for them any more. `NotFound`.
    fn content(&self, digest: &Digest) -> Result<Vec<u8>, StoreError>;

    /// What a name stands for now. `NotFound`.
    fn named_content(&self, name: &ContentName) -> Result<(ContentLine, Vec<u8>), StoreError>;

    /// All names of a kind, in order.
    fn contents(&self, kind: &str) -> Result<Vec<ContentLine>, StoreError>;

    /// Removes a name; the bytes stay until [`Store::prune_contents`]. `NotFound`.
    fn forget_name(&self, name: &ContentName) -> Result<(), StoreError>;

    /// Removes bytes put before `put_before` that no name, version or run refers to.
    fn prune_contents(&self, put_before: Moment) -> Result<Pruned, StoreError>;

    /// Keeps a run. When one with this identity is kept already, that one stays and the uses are added to it. `NotFound`
    /// when a use names a site that never was.
    fn put_run(&self, run: &Run) -> Result<(), StoreError>;

    /// A run by identity, with all its uses. `NotFound`.
    fn run(&self, identity: &Digest) -> Result<Run, StoreError>;

    /// The runs asked for a site, the last finished first; a run asked for two versions stands there twice. `NotFound`.
    fn runs(&self, site: &SiteId) -> Result<Vec<RunLine>, StoreError>;

    /// Lets old runs go.
    fn prune_runs(&self, which: &PruneRuns) -> Result<Pruned, StoreError>;

    /// Keeps readings, all or none, and says how many of them were new. A reading whose id is kept already with the same
    /// content is passed over. `NotFound` (site), `Differs`.
    fn add_readings(&self, readings: &[Reading]) -> Result<u32, StoreError>;

    /// Readings of a site, in the order of arrival. `NotFound`.
    fn readings(&self, site: &SiteId, which: &ReadingQuery) -> Result<Vec<ReadingLine>, StoreError>;

    /// A setting; `None` when it was never set or was removed.
    fn setting(&self, key: &str) -> Result<Option<String>, StoreError>;

    /// Sets a setting, or removes it with `None`.
    fn set_setting(&self, key: &str, value: Option<&str>) -> Result<(), StoreError>;

    /// Looks through all that is kept: every text and content against its digest, every head and parent, and whatever the
    /// layer below can say of itself. Empty when all is well, else what is wrong in words.
    fn check(&self) -> Result<Vec<String>, StoreError>;
}
