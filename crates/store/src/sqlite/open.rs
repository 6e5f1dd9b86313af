//! Opening a store: the folder, the file, its connections.

use std::{
    fs::{self, File, OpenOptions},
    path::Path,
    sync::Mutex,
    time::Duration,
};

use rusqlite::{Connection, ErrorCode, OpenFlags};

use super::{
    FILE_NAME, PATIENCE, READERS, SqliteStore,
    fault::{Fault, Inner},
    migrate::{self, Form},
};
use crate::{Moment, StoreError, Thing};

impl SqliteStore {
    /// Opens the store in `folder`, and makes folder and file when they are not there, for the user's eyes only (on Unix).
    /// `at` is noted when the file is made or brought to a newer form.
    ///
    /// # Errors
    /// `Denied`, `OtherFile`, `NewerFile`, `Busy`, `Full`, `Corrupt`.
    pub fn open(folder: &Path, at: Moment) -> Result<Self, StoreError> {
        make_folder(folder)?;
        let path = folder.join(FILE_NAME);
        make_file(&path)?;
        // Another program may be making the file at this very moment: what looks foreign for a blink is looked at again.
        for _ in 0..20 {
            match Self::connect(&path, at) {
                Err(StoreError::OtherFile { .. }) => std::thread::sleep(std::time::Duration::from_millis(25)),
                opened => return opened,
            }
        }
        Self::connect(&path, at)
    }

    /// Opens the store in `folder` only if there is one. `NotFound` (file), else as [`SqliteStore::open`].
    pub fn open_existing(folder: &Path, at: Moment) -> Result<Self, StoreError> {
        let path = folder.join(FILE_NAME);
        if !path.is_file() {
            return Err(StoreError::missing(Thing::File, path.display()));
        }
        Self::connect(&path, at)
    }

    fn connect(path: &Path, at: Moment) -> Result<Self, StoreError> {
        let mut writer = plain(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(|f| f.say(path, "open", None))?;
        prepare(&mut writer, path, at).map_err(|fault| fault.say(path, "open", Some(&writer)))?;
        let mut readers = Vec::with_capacity(READERS);
        for _ in 0..READERS {
            let reader = plain(path, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(|f| f.say(path, "open", None))?;
            readers.push(Mutex::new(reader));
        }
        Ok(Self { path: path.to_path_buf(), writer: Mutex::new(writer), readers })
    }
}

/// A connection that waits for others and trusts nothing in the file beyond its rows.
pub(super) fn plain(path: &Path, access: OpenFlags) -> Inner<Connection> {
    let connection = Connection::open_with_flags(path, access | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    connection.busy_timeout(PATIENCE)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    Ok(connection)
}

/// Makes the connection one that writes, and the file one of the newest form.
fn prepare(writer: &mut Connection, path: &Path, at: Moment) -> Inner<()> {
    if let Form::Other = migrate::form(writer)? {
        return Err(StoreError::OtherFile { path: path.to_path_buf() }.into());
    }
    set_log_ahead(writer)?;
    writer.pragma_update(None, "synchronous", "FULL")?;
    writer.pragma_update(None, "foreign_keys", true)?;
    writer.set_prepared_statement_cache_capacity(64);
    migrate::bring_up(writer, at)
}

/// Asks for the write-ahead log. SQLite does not wait here as it does elsewhere when another program asks for the same at
/// the same moment.
fn set_log_ahead(writer: &Connection) -> Inner<()> {
    const PAUSE: Duration = Duration::from_millis(20);
    let mut left = PATIENCE.as_millis() / PAUSE.as_millis();
    loop {
        match writer.query_row("PRAGMA journal_mode = WAL", [], |row| row.get::<_, String>(0)) {
            Ok(mode) if mode == "wal" => return Ok(()),
            Err(error) if busy(&error) && left > 0 => {}
            Err(error) => return Err(error.into()),
            Ok(mode) => {
                let detail = format!("the file system allows no write-ahead log (journal mode {mode})");
                return Err(Fault::Store(StoreError::Failed { doing: "open", cause: detail.into() }));
            }
        }
        left -= 1;
        std::thread::sleep(PAUSE);
    }
}

fn busy(error: &rusqlite::Error) -> bool {
    matches!(error.sqlite_error_code(), Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked))
}

/// Makes the folder and those above it, the user's own, and sees that their entries reach the disk.
fn make_folder(folder: &Path) -> Result<(), StoreError> {
    if folder.is_dir() {
        return Ok(());
    }
    if let Some(above) = folder.parent().filter(|above| !above.as_os_str().is_empty()) {
        make_folder(above)?;
    }
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match builder.create(folder) {
        Ok(()) => flush_entry(folder),
        // Another program was first.
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        Err(cause) => Err(denied(folder, cause)),
    }
}

/// Makes an empty file for the user's eyes only; SQLite gives its log and index the same permissions.
fn make_file(path: &Path) -> Result<(), StoreError> {
    match new_file(path) {
        Ok(_) => flush_entry(path),
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => Ok(()),
        Err(cause) => Err(denied(path, cause)),
    }
}

/// Makes a file that must not be there yet.
pub(super) fn new_file(path: &Path) -> std::io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Flushes the folder in which `path` stands, so that the entry survives a loss of power. Windows offers no such call.
pub(super) fn flush_entry(path: &Path) -> Result<(), StoreError> {
    #[cfg(unix)]
    {
        let folder = path.parent().filter(|above| !above.as_os_str().is_empty()).unwrap_or(Path::new("."));
        File::open(folder).and_then(|folder| folder.sync_all()).map_err(|cause| denied(path, cause))?;
    }
    #[cfg(not(unix))]
    let _ = path;
    Ok(())
}

/// `Full` when there was no room, else `Denied`.
pub(super) fn denied(path: &Path, cause: std::io::Error) -> StoreError {
    match cause.kind() {
        std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => StoreError::Full,
        _ => StoreError::Denied { path: path.to_path_buf(), cause },
    }
}
