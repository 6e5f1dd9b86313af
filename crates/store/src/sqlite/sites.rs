//! Sites and their versions in rows.

use rusqlite::{OptionalExtension, Row, Transaction, types::Type};

use super::{SqliteStore, contents, digest, fault::Inner};
use crate::{Digest, Head, Moment, Site, SiteId, SiteLine, StoreError, Thing, Version, blob::Packed};

/// Where a site stands, not deleted.
fn head(transaction: &Transaction, id: &SiteId) -> Inner<Head> {
    let mut statement = transaction.prepare_cached(
        "SELECT head, digest FROM sites JOIN versions ON site = id AND seq = head WHERE id = ?1 AND deleted_at IS NULL",
    )?;
    let row = |row: &Row| Ok(Head { seq: row.get(0)?, digest: digest(row.get(1)?) });
    let found = statement.query_row([id.as_str()], row).optional()?;
    Ok(found.ok_or_else(|| StoreError::missing(Thing::Site, id))?)
}

/// Fails unless the site stands where the caller has seen it.
fn must_stand(transaction: &Transaction, id: &SiteId, expected: &Head) -> Inner<()> {
    match head(transaction, id)? {
        current if current == *expected => Ok(()),
        current => Err(StoreError::Moved { current }.into()),
    }
}

/// Whether a site with this id is or was there.
pub(super) fn known(transaction: &Transaction, id: &SiteId) -> Inner<bool> {
    Ok(transaction.prepare_cached("SELECT 1 FROM sites WHERE id = ?1")?.exists([id.as_str()])?)
}

/// Fails unless a site with this id is there and not deleted.
pub(super) fn must_be(transaction: &Transaction, id: &SiteId) -> Inner<()> {
    head(transaction, id).map(|_| ())
}

fn insert_version(
    transaction: &Transaction,
    id: &SiteId,
    seq: u32,
    parent: Option<u32>,
    text: &Digest,
    note: &str,
    at: Moment,
) -> Inner<()> {
    transaction
        .prepare_cached("INSERT INTO versions (site, seq, parent, digest, at, note) VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?
        .execute((id.as_str(), seq, parent, text.as_bytes(), at.0, note))?;
    Ok(())
}

fn insert_site(transaction: &Transaction, id: &SiteId, name: &str, text: &Digest, note: &str, at: Moment) -> Inner<()> {
    if known(transaction, id)? {
        return Err(StoreError::Taken { name: id.to_string() }.into());
    }
    transaction
        .prepare_cached("INSERT INTO sites (id, name, head, created_at, updated_at) VALUES (?1, ?2, 1, ?3, ?3)")?
        .execute((id.as_str(), name, at.0))?;
    insert_version(transaction, id, 1, None, text, note, at)
}

fn move_head(transaction: &Transaction, id: &SiteId, seq: u32, at: Moment) -> Inner<()> {
    transaction.prepare_cached("UPDATE sites SET head = ?2, updated_at = ?3 WHERE id = ?1")?.execute((
        id.as_str(),
        seq,
        at.0,
    ))?;
    Ok(())
}

/// Makes a text that is kept already the head, as a new version; nothing when it is the head's own text.
fn append(transaction: &Transaction, id: &SiteId, from: &Head, text: &Digest, note: &str, at: Moment) -> Inner<()> {
    if *text == from.digest {
        return Ok(());
    }
    let seq: u32 = transaction
        .prepare_cached("SELECT max(seq) + 1 FROM versions WHERE site = ?1")?
        .query_row([id.as_str()], |row| row.get(0))?;
    insert_version(transaction, id, seq, Some(from.seq), text, note, at)?;
    move_head(transaction, id, seq, at)
}

/// A site as it stands, its text still packed.
pub(super) struct PackedSite {
    site: Site,
    text: Packed,
}

impl PackedSite {
    /// Unpacks the text; outside the transaction, for it takes longer than reading it.
    pub(super) fn open(self) -> Result<Site, StoreError> {
        Ok(Site { text: open_text(self.text)?, ..self.site })
    }
}

/// Unpacks a text.
pub(super) fn open_text(packed: Packed) -> Result<String, StoreError> {
    let digest = packed.digest;
    String::from_utf8(packed.open()?).map_err(|_| StoreError::Corrupt { detail: format!("text {digest} is not UTF-8") })
}

fn stand(transaction: &Transaction, id: &SiteId) -> Inner<PackedSite> {
    let head = head(transaction, id)?;
    let site = transaction
        .prepare_cached(
            "SELECT name, created_at, updated_at,
                (SELECT parent IS NOT NULL FROM versions WHERE site = id AND seq = head),
                EXISTS (SELECT 1 FROM versions WHERE site = id AND parent = head)
             FROM sites WHERE id = ?1",
        )?
        .query_row([id.as_str()], |row| {
            Ok(Site {
                id: id.clone(),
                name: row.get(0)?,
                head,
                text: String::new(),
                created_at: Moment(row.get(1)?),
                updated_at: Moment(row.get(2)?),
                can_undo: row.get(3)?,
                can_redo: row.get(4)?,
            })
        })?;
    Ok(PackedSite { site, text: contents::get(transaction, &head.digest)? })
}

fn site_line(row: &Row) -> rusqlite::Result<SiteLine> {
    // Every id was checked on its way in; a row with another one was not written by us.
    let id = row.get::<_, String>(0)?.parse::<SiteId>();
    let id = id.map_err(|error| rusqlite::Error::FromSqlConversionFailure(0, Type::Text, Box::new(error)))?;
    Ok(SiteLine {
        id,
        name: row.get(1)?,
        head: Head { seq: row.get(2)?, digest: digest(row.get(3)?) },
        versions: row.get(4)?,
        readings: row.get(5)?,
        created_at: Moment(row.get(6)?),
        updated_at: Moment(row.get(7)?),
        deleted_at: row.get::<_, Option<i64>>(8)?.map(Moment),
    })
}

const VERSION: &str =
    "SELECT seq, parent, versions.digest, size, at, note FROM versions JOIN blobs ON blobs.digest = versions.digest";

fn version(row: &Row) -> rusqlite::Result<Version> {
    Ok(Version {
        seq: row.get(0)?,
        parent: row.get(1)?,
        digest: digest(row.get(2)?),
        bytes: row.get::<_, i64>(3)? as u64,
        at: Moment(row.get(4)?),
        note: row.get(5)?,
    })
}

fn find_version(transaction: &Transaction, id: &SiteId, seq: u32) -> Inner<Version> {
    must_be(transaction, id)?;
    let mut statement = transaction.prepare_cached(&format!("{VERSION} WHERE site = ?1 AND seq = ?2"))?;
    let found = statement.query_row((id.as_str(), seq), version).optional()?;
    Ok(found.ok_or_else(|| StoreError::missing(Thing::Version, seq))?)
}

impl SqliteStore {
    /// Works on a site that stands where the caller has seen it, and says how it stands afterwards.
    pub(super) fn change_site(
        &self,
        doing: &'static str,
        id: &SiteId,
        expected: &Head,
        work: impl FnOnce(&Transaction) -> Inner<()>,
    ) -> Result<Site, StoreError> {
        let stands = self.write(doing, |transaction| {
            must_stand(transaction, id, expected)?;
            work(transaction)?;
            stand(transaction, id)
        })?;
        stands.open()
    }

    pub(super) fn create_site_rows(
        &self,
        id: &SiteId,
        name: &str,
        text: &str,
        note: &str,
        at: Moment,
    ) -> Result<Site, StoreError> {
        let packed = Packed::of(text.as_bytes());
        let stands = self.write("make a site", |transaction| {
            contents::put(transaction, &packed, at)?;
            insert_site(transaction, id, name, &packed.digest, note, at)?;
            stand(transaction, id)
        })?;
        stands.open()
    }

    pub(super) fn site_row(&self, id: &SiteId) -> Result<Site, StoreError> {
        self.read("read a site", |transaction| stand(transaction, id))?.open()
    }

    pub(super) fn site_lines(&self, deleted: bool) -> Result<Vec<SiteLine>, StoreError> {
        let (which, order) = if deleted { ("IS NOT NULL", "deleted_at") } else { ("IS NULL", "updated_at") };
        self.read("list sites", |transaction| {
            let mut statement = transaction.prepare_cached(&format!(
                "SELECT id, name, head, digest,
                    (SELECT count(*) FROM versions WHERE versions.site = id),
                    (SELECT count(*) FROM readings WHERE readings.site = sites.id),
                    created_at, updated_at, deleted_at
                 FROM sites JOIN versions ON versions.site = id AND seq = head
                 WHERE deleted_at {which} ORDER BY {order} DESC, id"
            ))?;
            Ok(statement.query_map([], site_line)?.collect::<Result<_, _>>()?)
        })
    }

    pub(super) fn save_rows(
        &self,
        id: &SiteId,
        expected: &Head,
        text: &str,
        note: &str,
        at: Moment,
    ) -> Result<Site, StoreError> {
        let packed = Packed::of(text.as_bytes());
        self.change_site("save a site", id, expected, |transaction| {
            contents::put(transaction, &packed, at)?;
            append(transaction, id, expected, &packed.digest, note, at)
        })
    }

    pub(super) fn undo_rows(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError> {
        self.change_site("undo", id, expected, |transaction| {
            let parent = find_version(transaction, id, expected.seq)?.parent.ok_or(StoreError::NothingToUndo)?;
            move_head(transaction, id, parent, at)
        })
    }

    pub(super) fn redo_rows(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<Site, StoreError> {
        self.change_site("redo", id, expected, |transaction| {
            let newest: Option<u32> = transaction
                .prepare_cached("SELECT max(seq) FROM versions WHERE site = ?1 AND parent = ?2")?
                .query_row((id.as_str(), expected.seq), |row| row.get(0))?;
            move_head(transaction, id, newest.ok_or(StoreError::NothingToRedo)?, at)
        })
    }

    pub(super) fn restore_rows(
        &self,
        id: &SiteId,
        expected: &Head,
        seq: u32,
        note: &str,
        at: Moment,
    ) -> Result<Site, StoreError> {
        self.change_site("restore a version", id, expected, |transaction| {
            let old = find_version(transaction, id, seq)?;
            append(transaction, id, expected, &old.digest, note, at)
        })
    }

    pub(super) fn rename_row(&self, id: &SiteId, expected: &Head, name: &str, at: Moment) -> Result<Site, StoreError> {
        self.change_site("rename a site", id, expected, |transaction| {
            transaction.prepare_cached("UPDATE sites SET name = ?2, updated_at = ?3 WHERE id = ?1")?.execute((
                id.as_str(),
                name,
                at.0,
            ))?;
            Ok(())
        })
    }

    pub(super) fn duplicate_rows(
        &self,
        id: &SiteId,
        new: &SiteId,
        name: &str,
        note: &str,
        at: Moment,
    ) -> Result<Site, StoreError> {
        let stands = self.write("duplicate a site", |transaction| {
            let text = head(transaction, id)?.digest;
            insert_site(transaction, new, name, &text, note, at)?;
            stand(transaction, new)
        })?;
        stands.open()
    }

    pub(super) fn delete_row(&self, id: &SiteId, expected: &Head, at: Moment) -> Result<(), StoreError> {
        self.write("delete a site", |transaction| {
            must_stand(transaction, id, expected)?;
            transaction
                .prepare_cached("UPDATE sites SET deleted_at = ?2 WHERE id = ?1")?
                .execute((id.as_str(), at.0))?;
            Ok(())
        })
    }

    pub(super) fn undelete_row(&self, id: &SiteId, at: Moment) -> Result<Site, StoreError> {
        let stands = self.write("bring a site back", |transaction| {
            let back = transaction
                .prepare_cached(
                    "UPDATE sites SET deleted_at = NULL, updated_at = ?2 WHERE id = ?1 AND deleted_at IS NOT NULL",
                )?
                .execute((id.as_str(), at.0))?;
            if back == 0 {
                return Err(StoreError::missing(Thing::Site, id).into());
            }
            stand(transaction, id)
        })?;
        stands.open()
    }

    pub(super) fn version_lines(&self, id: &SiteId) -> Result<Vec<Version>, StoreError> {
        self.read("list versions", |transaction| {
            must_be(transaction, id)?;
            let mut statement = transaction.prepare_cached(&format!("{VERSION} WHERE site = ?1 ORDER BY seq DESC"))?;
            Ok(statement.query_map([id.as_str()], version)?.collect::<Result<_, _>>()?)
        })
    }

    pub(super) fn version_row(&self, id: &SiteId, seq: u32) -> Result<(Version, String), StoreError> {
        let (version, packed) = self.read("read a version", |transaction| {
            let version = find_version(transaction, id, seq)?;
            let packed = contents::get(transaction, &version.digest)?;
            Ok((version, packed))
        })?;
        Ok((version, open_text(packed)?))
    }
}
