//! From what SQLite says to what a caller can act on.

use std::path::Path;

use rusqlite::{Connection, ErrorCode, ffi};

use crate::StoreError;

/// What stops a piece of work: a cause of ours, or SQLite's word.
pub(super) enum Fault {
    /// Ours.
    Store(StoreError),
    /// SQLite's.
    Sql(rusqlite::Error),
}

/// The result of a piece of work inside a transaction.
pub(super) type Inner<T> = Result<T, Fault>;

impl From<StoreError> for Fault {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sql(error)
    }
}

impl Fault {
    /// The cause, in our words. `connection` is the one it happened on, still with the system's error in it.
    pub(super) fn say(self, path: &Path, doing: &'static str, connection: Option<&Connection>) -> StoreError {
        let error = match self {
            Self::Store(error) => return error,
            Self::Sql(error) => error,
        };
        let detail = || error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => StoreError::Full,
            Some(ErrorCode::SystemIoFailure) if connection.is_some_and(no_room) => StoreError::Full,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Busy,
            Some(ErrorCode::DatabaseCorrupt) => StoreError::Corrupt { detail: detail() },
            Some(ErrorCode::NotADatabase) => StoreError::OtherFile { path: path.to_path_buf() },
            // What our own statements never do to a whole file: a row that refers to nothing, a number out of range.
            Some(ErrorCode::ConstraintViolation) => StoreError::Corrupt { detail: detail() },
            Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => {
                StoreError::Denied { path: path.to_path_buf(), cause: std::io::Error::other(error) }
            }
            None if matches!(
                error,
                rusqlite::Error::FromSqlConversionFailure(..)
                    | rusqlite::Error::IntegralValueOutOfRange(..)
                    | rusqlite::Error::InvalidColumnType(..)
            ) =>
            {
                StoreError::Corrupt { detail: detail() }
            }
            _ => StoreError::Failed { doing, cause: Box::new(error) },
        }
    }
}

/// Whether the last input or output that failed on this connection failed for want of room. SQLite says "full" only of a
/// full disk; a quota or a limit on a file's length it calls an error of input and output.
fn no_room(connection: &Connection) -> bool {
    // SAFETY: the handle is that of an open connection, which the borrow keeps open, and only its error number is read.
    let number = unsafe { ffi::sqlite3_system_errno(connection.handle()) };
    let kind = std::io::Error::from_raw_os_error(number).kind();
    matches!(
        kind,
        std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded | std::io::ErrorKind::FileTooLarge
    )
}
