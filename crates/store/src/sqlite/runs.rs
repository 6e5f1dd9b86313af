//! Runs in rows.

use rusqlite::{OptionalExtension, Row, Transaction};

use super::{SqliteStore, contents, digest, fault::Inner, sites};
use crate::{Digest, Moment, PruneRuns, Pruned, Run, RunLine, RunUse, SiteId, StoreError, Thing, blob::Packed};

/// A run whose job and result are still packed.
struct PackedRun {
    run: Run,
    job: Packed,
    result: Packed,
}

fn find(transaction: &Transaction, identity: &Digest) -> Inner<PackedRun> {
    let (run, job, result) = transaction
        .prepare_cached("SELECT model, kind, accuracy, finished_at, job, result FROM runs WHERE identity = ?1")?
        .query_row([identity.as_bytes()], |row| {
            let run = Run {
                identity: *identity,
                model: row.get(0)?,
                kind: row.get(1)?,
                accuracy: row.get(2)?,
                job: Vec::new(),
                result: Vec::new(),
                finished_at: Moment(row.get(3)?),
                uses: Vec::new(),
            };
            Ok((run, digest(row.get(4)?), digest(row.get(5)?)))
        })
        .optional()?
        .ok_or_else(|| StoreError::missing(Thing::Run, identity))?;
    let uses = transaction
        .prepare_cached("SELECT site, version FROM run_uses WHERE identity = ?1 ORDER BY site, version")?
        .query_map([identity.as_bytes()], |row| Ok((row.get::<_, String>(0)?, digest(row.get(1)?))))?
        .collect::<Result<Vec<_>, _>>()?;
    let uses = uses.into_iter().map(|(site, version)| Ok(RunUse { site: site.parse()?, version }));
    Ok(PackedRun {
        run: Run { uses: uses.collect::<Result<_, StoreError>>()?, ..run },
        job: contents::get(transaction, &job)?,
        result: contents::get(transaction, &result)?,
    })
}

fn line(row: &Row) -> rusqlite::Result<RunLine> {
    Ok(RunLine {
        identity: digest(row.get(0)?),
        model: row.get(1)?,
        kind: row.get(2)?,
        accuracy: row.get(3)?,
        version: digest(row.get(4)?),
        bytes: row.get::<_, i64>(5)? as u64,
        finished_at: Moment(row.get(6)?),
    })
}

/// A run's job and result as they were put.
const SIZE: &str = "(SELECT size FROM blobs WHERE digest = job) + (SELECT size FROM blobs WHERE digest = result)";

impl SqliteStore {
    pub(super) fn put_run_rows(&self, run: &Run) -> Result<(), StoreError> {
        let (job, result) = (Packed::of(&run.job), Packed::of(&run.result));
        self.write("keep a run", |transaction| {
            let kept = transaction
                .prepare_cached("SELECT 1 FROM runs WHERE identity = ?1")?
                .exists([run.identity.as_bytes()])?;
            if !kept {
                contents::put(transaction, &job, run.finished_at)?;
                contents::put(transaction, &result, run.finished_at)?;
                transaction
                    .prepare_cached(
                        "INSERT INTO runs (identity, model, kind, accuracy, job, result, finished_at)
                         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                    )?
                    .execute((
                        run.identity.as_bytes(),
                        run.model,
                        &run.kind,
                        &run.accuracy,
                        job.digest.as_bytes(),
                        result.digest.as_bytes(),
                        run.finished_at.0,
                    ))?;
            }
            for used in &run.uses {
                if !sites::known(transaction, &used.site)? {
                    return Err(StoreError::missing(Thing::Site, &used.site).into());
                }
                transaction
                    .prepare_cached(
                        "INSERT INTO run_uses (identity, site, version) VALUES (?1, ?2, ?3) ON CONFLICT DO NOTHING",
                    )?
                    .execute((run.identity.as_bytes(), used.site.as_str(), used.version.as_bytes()))?;
            }
            Ok(())
        })
    }

    pub(super) fn run_row(&self, identity: &Digest) -> Result<Run, StoreError> {
        let found = self.read("read a run", |transaction| find(transaction, identity))?;
        Ok(Run { job: found.job.open()?, result: found.result.open()?, ..found.run })
    }

    pub(super) fn run_lines(&self, site: &SiteId) -> Result<Vec<RunLine>, StoreError> {
        self.read("list runs", |transaction| {
            sites::must_be(transaction, site)?;
            let mut statement = transaction.prepare_cached(&format!(
                "SELECT runs.identity, model, kind, accuracy, version, {SIZE}, finished_at
                 FROM run_uses JOIN runs ON runs.identity = run_uses.identity
                 WHERE site = ?1 ORDER BY finished_at DESC, runs.identity, version"
            ))?;
            Ok(statement.query_map([site.as_str()], line)?.collect::<Result<_, _>>()?)
        })
    }

    pub(super) fn prune_run_rows(&self, which: &PruneRuns) -> Result<Pruned, StoreError> {
        self.write("let runs go", |transaction| {
            // Newest first, with the room taken up to and including each; the identity decides between equals.
            let gone = transaction
                .prepare(&format!(
                    "SELECT identity, bytes, job, result FROM (
                        SELECT identity, job, result, finished_at, {SIZE} AS bytes,
                            sum({SIZE}) OVER (ORDER BY finished_at DESC, identity) AS taken
                        FROM runs)
                     WHERE finished_at < ?1 OR taken > ?2"
                ))?
                .query_map(
                    (
                        which.finished_before.map_or(i64::MIN, |moment| moment.0),
                        which.keep_bytes.map_or(i64::MAX, |bytes| bytes.min(i64::MAX as u64) as i64),
                    ),
                    |row| Ok((row.get(0)?, row.get::<_, i64>(1)?, row.get(2)?, row.get(3)?)),
                )?
                .collect::<Result<Vec<([u8; 32], i64, [u8; 32], [u8; 32])>, _>>()?;
            for (identity, _, job, result) in &gone {
                transaction.prepare_cached("DELETE FROM runs WHERE identity = ?1")?.execute([identity])?;
                for blob in [job, result] {
                    contents::drop_orphans(transaction, "digest = ?1", blob)?;
                }
            }
            let bytes = gone.iter().map(|(_, bytes, ..)| *bytes as u64).sum();
            Ok(Pruned { count: gone.len() as u64, bytes })
        })
    }
}
