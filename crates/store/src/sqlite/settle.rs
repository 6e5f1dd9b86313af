//! The [`Store`] of a file: each call handed to the rows that hold it.

use rusqlite::OptionalExtension;

use super::SqliteStore;
use crate::{
    ContentLine, ContentName, Digest, Head, Moment, PruneRuns, Pruned, Reading, ReadingLine, ReadingQuery, Run,
    RunLine, Site, SiteId, SiteLine, Store, StoreError, Version, blob::Packed,
};

impl Store for SqliteStore {
    fn create_site(&self, id: &SiteId, name: &str, text: &str, note: &str, at: Moment) -> Result<Site, StoreError> {
        self.create_site_rows(id, name, text, note, at)
    }

    fn site(&self, id: &SiteId) -> Result<Site, StoreError> {
        self.site_row(id)
    }

    fn sites(&self) -> Result<Vec<SiteLine>, StoreError> {
        self.site_lines(false)
    }

    fn deleted_sites(&self) -> Result<Vec<SiteLine>, StoreError> {
        self.site_lines(true)
    }

    fn save(&self, id: &SiteId, expected: &Head, text: &str, note: &str, at: Moment) -> Result<Site, StoreError> {
        self.save_rows(id, expected, text, note, at)
    }

    fn undo(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError> {
        self.undo_rows(id, expected, at)
    }

    fn redo(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError> {
        self.redo_rows(id, expected, at)
    }

    fn restore(&self, id: &SiteId, expected: &Head, seq: u32, note: &str, at: Moment) -> Result<Site, StoreError> {
        self.restore_rows(id, expected, seq, note, at)
    }

    fn rename(&self, id: &SiteId, expected: &Head, name: &str, at: Moment) -> Result<Site, StoreError> {
        self.rename_row(id, expected, name, at)
    }

    fn duplicate(&self, id: &SiteId, new: &SiteId, name: &str, note: &str, at: Moment) -> Result<Site, StoreError> {
        self.duplicate_rows(id, new, name, note, at)
    }

    fn delete(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<(), StoreError> {
        self.delete_row(id, expected, at)
    }

    fn undelete(&self, id: &SiteId, at: Moment) -> Result<Site, StoreError> {
        self.undelete_row(id, at)
    }

    fn versions(&self, id: &SiteId) -> Result<Vec<Version>, StoreError> {
        self.version_lines(id)
    }

    fn version(&self, id: &SiteId, seq: u32) -> Result<(Version, String), StoreError> {
        self.version_row(id, seq)
    }

    fn put_content(&self, name: &ContentName, bytes: &[u8], at: Moment) -> Result<Digest, StoreError> {
        self.put_content_row(name, &Packed::of(bytes), at)
    }

    fn content(&self, digest: &Digest) -> Result<Vec<u8>, StoreError> {
        self.content_row(digest)?.open()
    }

    fn named_content(&self, name: &ContentName) -> Result<(ContentLine, Vec<u8>), StoreError> {
        let (line, packed) = self.named_content_row(name)?;
        Ok((line, packed.open()?))
    }

    fn contents(&self, kind: &str) -> Result<Vec<ContentLine>, StoreError> {
        self.content_lines(kind)
    }

    fn forget_name(&self, name: &ContentName) -> Result<(), StoreError> {
        self.forget_name_row(name)
    }

    fn prune_contents(&self, put_before: Moment) -> Result<Pruned, StoreError> {
        self.prune_content_rows(put_before)
    }

    fn put_run(&self, run: &Run) -> Result<(), StoreError> {
        self.put_run_rows(run)
    }

    fn run(&self, identity: &Digest) -> Result<Run, StoreError> {
        self.run_row(identity)
    }

    fn runs(&self, site: &SiteId) -> Result<Vec<RunLine>, StoreError> {
        self.run_lines(site)
    }

    fn prune_runs(&self, which: &PruneRuns) -> Result<Pruned, StoreError> {
        self.prune_run_rows(which)
    }

    fn add_readings(&self, readings: &[Reading]) -> Result<u32, StoreError> {
        self.add_reading_rows(readings)
    }

    fn readings(&self, site: &SiteId, which: &ReadingQuery) -> Result<Vec<ReadingLine>, StoreError> {
        self.reading_lines(site, which)
    }

    fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.read("read a setting", |transaction| {
            let mut statement = transaction.prepare_cached("SELECT value FROM settings WHERE key = ?1")?;
            Ok(statement.query_row([key], |row| row.get(0)).optional()?)
        })
    }

    fn set_setting(&self, key: &str, value: Option<&str>) -> Result<(), StoreError> {
        self.write("keep a setting", |transaction| {
            match value {
                Some(value) => transaction
                    .prepare_cached(
                        "INSERT INTO settings (key, value) VALUES (?1, ?2)
                         ON CONFLICT (key) DO UPDATE SET value = excluded.value",
                    )?
                    .execute((key, value))?,
                None => transaction.prepare_cached("DELETE FROM settings WHERE key = ?1")?.execute([key])?,
            };
            Ok(())
        })
    }

    fn check(&self) -> Result<Vec<String>, StoreError> {
        self.faults()
    }
}
