//! The store in a file of the user's data folder, by SQLite.
//!
//! One connection writes, behind a mutex; a few others read, each call from one consistent state. Between programs SQLite's
//! own locks hold: two may use one folder, and each waits for the other up to [`PATIENCE`].
//!
//! Write-ahead log with `synchronous = FULL`: a commit returns after the log was flushed to the disk, so what was confirmed
//! survives the end of the program at any moment and, as far as the disk keeps what it said it has, the loss of power.

mod backup;
mod contents;
mod fault;
mod migrate;
mod open;
mod readings;
mod runs;
mod settle;
mod sites;
mod whole;

use std::{
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
    time::Duration,
};

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::{Digest, StoreError};
use fault::{Fault, Inner};

/// Name of the file in the data folder.
pub const FILE_NAME: &str = "binwright.sqlite";

/// How long a call waits for another program before it says [`StoreError::Busy`].
pub const PATIENCE: Duration = Duration::from_secs(5);

/// How many connections read.
const READERS: usize = 3;

/// A store in a file.
pub struct SqliteStore {
    path: PathBuf,
    writer: Mutex<Connection>,
    readers: Vec<Mutex<Connection>>,
}

/// The connection behind a mutex. A panic while it was held left a transaction that was rolled back when it was dropped.
fn held(connection: &Mutex<Connection>) -> MutexGuard<'_, Connection> {
    connection.lock().unwrap_or_else(PoisonError::into_inner)
}

impl SqliteStore {
    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Works in one transaction that holds the write lock from its beginning; kept when `work` ends well.
    fn write<T>(&self, doing: &'static str, work: impl FnOnce(&Transaction) -> Inner<T>) -> Result<T, StoreError> {
        let mut connection = held(&self.writer);
        let transaction = match connection.transaction_with_behavior(TransactionBehavior::Immediate) {
            Ok(transaction) => transaction,
            Err(error) => return Err(self.say(error.into(), doing, None)),
        };
        let done = migrate::still_known(&transaction).and_then(|()| work(&transaction));
        // Committed by hand: `Transaction::commit` would roll back, and so forget the system's error, before we see it.
        let done = done.and_then(|value| Ok(transaction.execute_batch("COMMIT").map(|()| value)?));
        done.map_err(|fault| self.say(fault, doing, Some(&transaction)))
    }

    /// Works on one consistent state.
    fn read<T>(&self, doing: &'static str, work: impl FnOnce(&Transaction) -> Inner<T>) -> Result<T, StoreError> {
        let free = self.readers.iter().find_map(|reader| reader.try_lock().ok());
        let mut connection = free.unwrap_or_else(|| held(&self.readers[0]));
        let transaction = match connection.transaction() {
            Ok(transaction) => transaction,
            Err(error) => return Err(self.say(error.into(), doing, None)),
        };
        let done = migrate::still_known(&transaction).and_then(|()| work(&transaction));
        done.map_err(|fault| self.say(fault, doing, Some(&transaction)))
    }

    fn say(&self, fault: Fault, doing: &'static str, connection: Option<&Connection>) -> StoreError {
        fault.say(&self.path, doing, connection)
    }
}

/// A digest as it lies in a row.
fn digest(bytes: [u8; 32]) -> Digest {
    Digest::from_bytes(bytes)
}
