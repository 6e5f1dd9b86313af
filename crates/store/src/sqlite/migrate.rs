//! The form of the file: numbered steps, each applied once and noted with its digest.

use rusqlite::{Connection, Transaction, TransactionBehavior};

use super::fault::Inner;
use crate::{Digest, Moment, StoreError};

/// The steps, in order: number n leads from form n − 1 to form n. A step that was ever released is never changed; a test
/// holds their digests.
const STEPS: &[&str] = &[include_str!("../../migrations/0001_first.sql")];

/// The newest form this program knows.
pub(super) const KNOWN: u32 = STEPS.len() as u32;

/// Marks the file as ours ("Binw" in ASCII), so that no other program's database is ever taken for a store.
pub(super) const APPLICATION_ID: i32 = i32::from_be_bytes(*b"Binw");

/// Digest of a step's text, the same for either custom of ending lines.
fn step_digest(step: &str) -> Digest {
    Digest::of(step.replace("\r\n", "\n").as_bytes())
}

/// What a file is before anything is done to it.
pub(super) enum Form {
    /// No tables at all: a file just made.
    Empty,
    /// Ours.
    Ours,
    /// Something else's.
    Other,
}

/// Looks without touching.
pub(super) fn form(connection: &Connection) -> Inner<Form> {
    let id: i32 = connection.query_row("PRAGMA application_id", [], |row| row.get(0))?;
    let tables: u32 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(match (id, tables) {
        (APPLICATION_ID, _) => Form::Ours,
        (0, 0) => Form::Empty,
        _ => Form::Other,
    })
}

/// Fails when a newer program has taken the file over since it was opened.
pub(super) fn still_known(transaction: &Transaction) -> Inner<()> {
    let mut newest = transaction.prepare_cached("SELECT max(version) FROM migrations")?;
    match newest.query_row([], |row| row.get(0))? {
        found if found > KNOWN => Err(StoreError::NewerFile { found, known: KNOWN }.into()),
        _ => Ok(()),
    }
}

/// Brings the file to the newest form, in one transaction: after a crash it is of the old form or the new one.
pub(super) fn bring_up(connection: &mut Connection, at: Moment) -> Inner<()> {
    bring_up_by(connection, STEPS, at)
}

fn bring_up_by(connection: &mut Connection, steps: &[&str], at: Moment) -> Inner<()> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    transaction.execute_batch(
        "CREATE TABLE IF NOT EXISTS migrations (
            version INTEGER NOT NULL PRIMARY KEY, applied_at INTEGER NOT NULL, sha256 BLOB NOT NULL
        ) STRICT",
    )?;
    let applied = transaction
        .prepare("SELECT version, sha256 FROM migrations ORDER BY version")?
        .query_map([], |row| Ok((row.get::<_, u32>(0)?, row.get::<_, [u8; 32]>(1)?)))?
        .collect::<Result<Vec<_>, _>>()?;
    let known = steps.len() as u32;
    if let Some((found, _)) = applied.last().filter(|(version, _)| *version > known) {
        return Err(StoreError::NewerFile { found: *found, known }.into());
    }
    for (place, (version, sha256)) in applied.iter().enumerate() {
        if *version != place as u32 + 1 || step_digest(steps[place]) != Digest::from_bytes(*sha256) {
            let detail = format!("its form {version} is not the one this program knows by that number");
            return Err(StoreError::Corrupt { detail }.into());
        }
    }
    if applied.is_empty() {
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    }
    for (place, step) in steps.iter().enumerate().skip(applied.len()) {
        transaction.execute_batch(step)?;
        transaction.execute(
            "INSERT INTO migrations (version, applied_at, sha256) VALUES (?1, ?2, ?3)",
            (place as u32 + 1, at.0, step_digest(step).as_bytes()),
        )?;
    }
    Ok(transaction.commit()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sqlite::fault::Fault;

    const ONE: &str = "CREATE TABLE one (a INTEGER) STRICT;";
    const TWO: &str = "ALTER TABLE one ADD COLUMN b INTEGER; CREATE TABLE two (a INTEGER) STRICT;";

    fn file() -> Connection {
        Connection::open_in_memory().unwrap()
    }

    fn newest(connection: &Connection) -> u32 {
        connection.query_row("SELECT max(version) FROM migrations", [], |row| row.get(0)).unwrap()
    }

    fn tables(connection: &Connection) -> u32 {
        connection.query_row("SELECT count(*) FROM sqlite_schema WHERE type = 'table'", [], |row| row.get(0)).unwrap()
    }

    /// Files out there were made by these very steps.
    #[test]
    fn released_steps_never_change() {
        let digests: Vec<String> = STEPS.iter().map(|step| step_digest(step).to_string()).collect();
        assert_eq!(digests, ["6e4e9c0490ea81e3431840cc0a969b3f61cfd518067592a662f05cada08a3e88"]);
    }

    #[test]
    fn each_step_is_applied_once() {
        let mut connection = file();
        bring_up_by(&mut connection, &[ONE], Moment(1)).ok().unwrap();
        bring_up_by(&mut connection, &[ONE, TWO], Moment(2)).ok().unwrap();
        bring_up_by(&mut connection, &[ONE, TWO], Moment(3)).ok().unwrap();
        assert_eq!((newest(&connection), tables(&connection)), (2, 3));
        let at: i64 =
            connection.query_row("SELECT applied_at FROM migrations WHERE version = 2", [], |row| row.get(0)).unwrap();
        assert_eq!(at, 2);
    }

    #[test]
    fn newer_and_foreign_forms_are_refused() {
        let mut connection = file();
        bring_up_by(&mut connection, &[ONE, TWO], Moment(1)).ok().unwrap();
        let newer = bring_up_by(&mut connection, &[ONE], Moment(2));
        assert!(matches!(newer, Err(Fault::Store(StoreError::NewerFile { found: 2, known: 1 }))));
        let other = bring_up_by(&mut connection, &[TWO, TWO], Moment(2));
        assert!(matches!(other, Err(Fault::Store(StoreError::Corrupt { .. }))));
        assert_eq!(tables(&connection), 3);
    }

    #[test]
    fn a_step_that_fails_leaves_the_old_form() {
        let mut connection = file();
        bring_up_by(&mut connection, &[ONE], Moment(1)).ok().unwrap();
        let failed = bring_up_by(&mut connection, &[ONE, "CREATE TABLE three (a INTEGER); nonsense;"], Moment(2));
        assert!(matches!(failed, Err(Fault::Sql(_))));
        assert_eq!((newest(&connection), tables(&connection)), (1, 2));
    }
}
