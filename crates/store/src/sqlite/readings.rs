//! Readings in rows.

use rusqlite::{OptionalExtension, Transaction};

use super::{SqliteStore, fault::Inner, sites};
use crate::{Moment, Reading, ReadingLine, ReadingQuery, SiteId, StoreError};

/// Whether a reading is kept already; `Differs` when its id is, for something else.
fn kept(transaction: &Transaction, reading: &Reading) -> Inner<bool> {
    let found = transaction
        .prepare_cached("SELECT site, bin, at, body FROM readings WHERE id = ?1")?
        .query_row([&reading.id], |row| {
            let (site, bin): (String, String) = (row.get(0)?, row.get(1)?);
            let (at, body): (i64, String) = (row.get(2)?, row.get(3)?);
            Ok(site == reading.site.as_str() && bin == reading.bin && at == reading.at.0 && body == reading.body)
        })
        .optional()?;
    match found {
        Some(false) => Err(StoreError::Differs { id: reading.id.clone() }.into()),
        same => Ok(same.is_some()),
    }
}

impl SqliteStore {
    pub(super) fn add_reading_rows(&self, readings: &[Reading]) -> Result<u32, StoreError> {
        self.write("keep readings", |transaction| {
            let mut new = 0;
            for reading in readings {
                sites::must_be(transaction, &reading.site)?;
                if kept(transaction, reading)? {
                    continue;
                }
                transaction
                    .prepare_cached(
                        "INSERT INTO readings (id, site, seq, bin, at, body)
                         SELECT ?1, ?2, coalesce(max(seq), 0) + 1, ?3, ?4, ?5 FROM readings WHERE site = ?2",
                    )?
                    .execute((&reading.id, reading.site.as_str(), &reading.bin, reading.at.0, &reading.body))?;
                new += 1;
            }
            Ok(new)
        })
    }

    pub(super) fn reading_lines(&self, site: &SiteId, which: &ReadingQuery) -> Result<Vec<ReadingLine>, StoreError> {
        self.read("list readings", |transaction| {
            sites::must_be(transaction, site)?;
            let mut statement = transaction.prepare_cached(
                "SELECT seq, id, bin, at, body FROM readings
                 WHERE site = ?1 AND seq > ?2 AND at >= ?3 AND (?4 IS NULL OR bin = ?4)
                 ORDER BY seq LIMIT ?5",
            )?;
            let from = which.from.map_or(i64::MIN, |moment| moment.0);
            let limit = which.limit.map_or(i64::MAX, i64::from);
            let rows = statement.query_map((site.as_str(), which.after, from, &which.bin, limit), |row| {
                let reading = Reading {
                    id: row.get(1)?,
                    site: site.clone(),
                    bin: row.get(2)?,
                    at: Moment(row.get(3)?),
                    body: row.get(4)?,
                };
                Ok(ReadingLine { seq: row.get(0)?, reading })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}
