//! Bytes by digest, and the names of the user's library.

use rusqlite::{OptionalExtension, Row, Transaction};

use super::{SqliteStore, digest, fault::Inner};
use crate::{ContentLine, ContentName, Digest, Moment, Pruned, StoreError, Thing, blob::Packed};

/// What must hold for a row of `blobs` to be let go.
const NOTHING_REFERS: &str = "NOT EXISTS (SELECT 1 FROM versions WHERE versions.digest = blobs.digest)
    AND NOT EXISTS (SELECT 1 FROM names WHERE names.digest = blobs.digest)
    AND NOT EXISTS (SELECT 1 FROM runs WHERE runs.job = blobs.digest)
    AND NOT EXISTS (SELECT 1 FROM runs WHERE runs.result = blobs.digest)";

/// Keeps packed bytes, unless they are kept already.
pub(super) fn put(transaction: &Transaction, packed: &Packed, at: Moment) -> Inner<()> {
    transaction
        .prepare_cached(
            "INSERT INTO blobs (digest, size, deflated, put_at, data) VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (digest) DO UPDATE SET put_at = max(put_at, excluded.put_at)",
        )?
        .execute((packed.digest.as_bytes(), packed.size as i64, packed.deflated, at.0, &packed.data))?;
    Ok(())
}

/// Bytes by digest, still packed.
pub(super) fn find(transaction: &Transaction, wanted: &Digest) -> Inner<Option<Packed>> {
    let mut statement = transaction.prepare_cached("SELECT size, deflated, data FROM blobs WHERE digest = ?1")?;
    let row = |row: &Row| {
        Ok(Packed { digest: *wanted, size: row.get::<_, i64>(0)? as u64, deflated: row.get(1)?, data: row.get(2)? })
    };
    Ok(statement.query_row([wanted.as_bytes()], row).optional()?)
}

/// Bytes that some row refers to.
pub(super) fn get(transaction: &Transaction, wanted: &Digest) -> Inner<Packed> {
    find(transaction, wanted)?
        .ok_or_else(|| StoreError::Corrupt { detail: format!("content {wanted} is missing") }.into())
}

/// Lets go what nothing refers to; `which` says among which rows, with one parameter.
pub(super) fn drop_orphans(transaction: &Transaction, which: &str, parameter: impl rusqlite::ToSql) -> Inner<Pruned> {
    let gone = transaction
        .prepare(&format!("DELETE FROM blobs WHERE {which} AND {NOTHING_REFERS} RETURNING size"))?
        .query_map([parameter], |row| row.get::<_, i64>(0))?
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Pruned { count: gone.len() as u64, bytes: gone.iter().sum::<i64>() as u64 })
}

fn line(row: &Row) -> rusqlite::Result<ContentLine> {
    Ok(ContentLine {
        name: ContentName { kind: row.get(0)?, name: row.get(1)? },
        digest: digest(row.get(2)?),
        bytes: row.get::<_, i64>(3)? as u64,
        at: Moment(row.get(4)?),
    })
}

const LINE: &str = "SELECT kind, name, names.digest, size, at FROM names JOIN blobs ON blobs.digest = names.digest";

impl SqliteStore {
    pub(super) fn put_content_row(
        &self,
        name: &ContentName,
        packed: &Packed,
        at: Moment,
    ) -> Result<Digest, StoreError> {
        self.write("keep a content", |transaction| {
            put(transaction, packed, at)?;
            transaction
                .prepare_cached(
                    "INSERT INTO names (kind, name, digest, at) VALUES (?1, ?2, ?3, ?4)
                     ON CONFLICT (kind, name) DO UPDATE SET digest = excluded.digest, at = excluded.at",
                )?
                .execute((&name.kind, &name.name, packed.digest.as_bytes(), at.0))?;
            Ok(packed.digest)
        })
    }

    pub(super) fn content_row(&self, wanted: &Digest) -> Result<Packed, StoreError> {
        let found = self.read("read a content", |transaction| find(transaction, wanted))?;
        found.ok_or_else(|| StoreError::missing(Thing::Content, wanted))
    }

    pub(super) fn named_content_row(&self, name: &ContentName) -> Result<(ContentLine, Packed), StoreError> {
        self.read("read a content", |transaction| {
            let found = transaction
                .prepare_cached(&format!("{LINE} WHERE kind = ?1 AND name = ?2"))?
                .query_row((&name.kind, &name.name), line)
                .optional()?
                .ok_or_else(|| StoreError::missing(Thing::Content, &name.name))?;
            let packed = get(transaction, &found.digest)?;
            Ok((found, packed))
        })
    }

    pub(super) fn content_lines(&self, kind: &str) -> Result<Vec<ContentLine>, StoreError> {
        self.read("list contents", |transaction| {
            let mut statement = transaction.prepare_cached(&format!("{LINE} WHERE kind = ?1 ORDER BY name"))?;
            Ok(statement.query_map([kind], line)?.collect::<Result<_, _>>()?)
        })
    }

    pub(super) fn forget_name_row(&self, name: &ContentName) -> Result<(), StoreError> {
        self.write("remove a name", |transaction| {
            let gone = transaction
                .prepare_cached("DELETE FROM names WHERE kind = ?1 AND name = ?2")?
                .execute((&name.kind, &name.name))?;
            if gone == 0 { Err(StoreError::missing(Thing::Content, &name.name).into()) } else { Ok(()) }
        })
    }

    pub(super) fn prune_content_rows(&self, put_before: Moment) -> Result<Pruned, StoreError> {
        self.write("let contents go", |transaction| drop_orphans(transaction, "put_at < ?1", put_before.0))
    }
}
