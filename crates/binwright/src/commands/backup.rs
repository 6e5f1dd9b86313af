//! `backup`: all that the workbench keeps, in one new file.

use super::serve::{failed, folder, now};
use crate::{
    args::BackupArgs,
    exit::{Ending, Failure, say},
};
use store::{SqliteStore, Store as _};

/// Copies what is kept as it stands at one moment, then looks through it.
pub fn run(args: &BackupArgs) -> Result<Ending, Failure> {
    let folder = folder(args.data.as_deref())?;
    let store = SqliteStore::open_existing(&folder, now()).map_err(|error| failed(&error))?;
    store.backup_to(&args.file).map_err(|error| failed(&error))?;
    // A copy of something damaged is better than none, but must not pass for whole.
    let faults = store.check().map_err(|error| failed(&error))?;
    for fault in &faults {
        say(&format!("warning: {fault}"));
    }
    say(&format!("all that is kept in {} now also stands in {}", folder.display(), args.file.display()));
    Ok(Ending::Done)
}
