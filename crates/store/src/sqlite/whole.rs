//! Whether all that is kept agrees with itself.

use rusqlite::Transaction;

use super::{SqliteStore, contents, digest, fault::Inner};
use crate::StoreError;

/// What the file says of itself.
fn file_faults(transaction: &Transaction, faults: &mut Vec<String>) -> Inner<()> {
    let mut statement = transaction.prepare("PRAGMA integrity_check")?;
    let lines = statement.query_map([], |row| row.get::<_, String>(0))?.collect::<Result<Vec<_>, _>>()?;
    faults.extend(lines.into_iter().filter(|line| line != "ok"));
    let mut statement = transaction.prepare("PRAGMA foreign_key_check")?;
    let rows = statement.query_map([], |row| {
        Ok(format!("a row of {} refers to nothing in {}", row.get::<_, String>(0)?, row.get::<_, String>(2)?))
    })?;
    for row in rows {
        faults.push(row?);
    }
    Ok(())
}

/// Every kept byte against its digest, one content at a time.
fn content_faults(transaction: &Transaction, faults: &mut Vec<String>) -> Inner<()> {
    let mut statement = transaction.prepare("SELECT digest FROM blobs ORDER BY digest")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        match contents::get(transaction, &digest(row.get(0)?))?.open() {
            Ok(_) => {}
            Err(error) => faults.push(error.to_string()),
        }
    }
    Ok(())
}

/// Numbers without gaps, one first version for each site.
fn history_faults(transaction: &Transaction, faults: &mut Vec<String>) -> Inner<()> {
    let mut statement = transaction.prepare(
        "SELECT site FROM versions GROUP BY site
         HAVING min(seq) <> 1 OR max(seq) <> count(*) OR sum(parent IS NULL) <> 1 OR max(parent IS NULL AND seq <> 1)",
    )?;
    for site in statement.query_map([], |row| row.get::<_, String>(0))? {
        faults.push(format!("the versions of site {} are not whole", site?));
    }
    let mut statement =
        transaction.prepare("SELECT site FROM readings GROUP BY site HAVING min(seq) <> 1 OR max(seq) <> count(*)")?;
    for site in statement.query_map([], |row| row.get::<_, String>(0))? {
        faults.push(format!("the readings of site {} are not whole", site?));
    }
    Ok(())
}

impl SqliteStore {
    pub(super) fn faults(&self) -> Result<Vec<String>, StoreError> {
        let looked = self.read("check", |transaction| {
            let mut faults = Vec::new();
            file_faults(transaction, &mut faults)?;
            // A file that is damaged below says little of use above.
            if faults.is_empty() {
                content_faults(transaction, &mut faults)?;
                history_faults(transaction, &mut faults)?;
            }
            Ok(faults)
        });
        match looked {
            Err(StoreError::Corrupt { detail }) => Ok(vec![detail]),
            other => other,
        }
    }
}
