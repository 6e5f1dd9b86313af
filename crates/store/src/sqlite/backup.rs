//! A copy of the whole store in one file, taken while others read and write.

use std::{
    fs,
    path::{Path, PathBuf},
};

use rusqlite::{
    Connection, OpenFlags,
    backup::{Backup, StepResult},
};

use super::{SqliteStore, fault::Inner, open};
use crate::StoreError;

const DOING: &str = "write a backup";

/// The file a backup grows in, beside the one it becomes.
fn partial(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".partial");
    name.into()
}

/// Copies in one step, so that the copy is of one moment however busy the store is, and sees that the copy is sound.
fn copy(from: &Connection, to: &mut Connection) -> Inner<()> {
    match Backup::new(from, to)?.step(-1)? {
        StepResult::Done => {}
        _ => return Err(StoreError::Busy.into()),
    }
    // One file without log: whoever copies it copies all.
    to.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))?;
    match to.query_row("PRAGMA integrity_check(1)", [], |row| row.get::<_, String>(0))? {
        sound if sound == "ok" => Ok(()),
        detail => Err(StoreError::Corrupt { detail }.into()),
    }
}

impl SqliteStore {
    /// Writes all that is kept at one moment to a new file. Put as `binwright.sqlite` into an empty folder, that file is a
    /// store. It appears under its name only when it is complete and on the disk; until then it is called the same with
    /// `.partial` behind, and is removed when something fails.
    ///
    /// # Errors
    /// `Taken` when `path` or the partial file is there already, `Denied`, `Full`, `Busy`, `Corrupt`.
    pub fn backup_to(&self, path: &Path) -> Result<(), StoreError> {
        let taken = |path: &Path| StoreError::Taken { name: path.display().to_string() };
        if path.exists() {
            return Err(taken(path));
        }
        let growing = partial(path);
        open::new_file(&growing).map_err(|cause| match cause.kind() {
            std::io::ErrorKind::AlreadyExists => taken(&growing),
            _ => open::denied(&growing, cause),
        })?;
        let done = self.fill(&growing).and_then(|()| {
            let file = fs::File::open(&growing).and_then(|file| file.sync_all());
            file.and_then(|()| fs::rename(&growing, path)).map_err(|cause| open::denied(path, cause))
        });
        if done.is_err() {
            // What failed is said already; a partial file left behind is named so that nobody takes it for a backup.
            let _ = fs::remove_file(&growing);
        }
        done.and_then(|()| open::flush_entry(path))
    }

    fn fill(&self, growing: &Path) -> Result<(), StoreError> {
        let open = |path: &Path, access| open::plain(path, access).map_err(|fault| fault.say(path, DOING, None));
        // A connection of its own, so that nobody who reads has to wait for the copy.
        let from = open(&self.path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let mut to = open(growing, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        copy(&from, &mut to).map_err(|fault| fault.say(growing, DOING, Some(&to)))
    }
}
