//! What can go wrong with what is kept: one variant a cause a caller treats differently.

use std::path::PathBuf;

use notice::{Diagnostic, Place};

use crate::Head;

/// What was looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// A site that is not deleted (or, where deleted ones are asked for, a deleted one).
    Site,
    /// A version of a site's text.
    Version,
    /// A content by name or digest.
    Content,
    /// A run by identity.
    Run,
    /// A backup or store file.
    File,
}

impl Thing {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Site => "site",
            Self::Version => "version",
            Self::Content => "content",
            Self::Run => "run",
            Self::File => "file",
        }
    }
}

/// Why a store did not do what was asked. Nothing was changed then.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// It is not there.
    #[error("no {} {name:?} is kept here", .what.word())]
    NotFound {
        /// What was looked for.
        what: Thing,
        /// By what name, id or digest.
        name: String,
    },
    /// The site's text is no longer the one the caller has seen.
    #[error("the site has changed meanwhile: it stands at version {}", .current.seq)]
    Moved {
        /// Where it stands.
        current: Head,
    },
    /// The head is the first version.
    #[error("there is no earlier version to go back to")]
    NothingToUndo,
    /// The head has no child.
    #[error("there is no later version to go forward to")]
    NothingToRedo,
    /// Something else has this id, or a file is already there.
    #[error("{name:?} is already taken")]
    Taken {
        /// The id or path.
        name: String,
    },
    /// The same id was used before for something else.
    #[error("reading {id:?} is already kept with other content")]
    Differs {
        /// The reading's id.
        id: String,
    },
    /// An id, digest or head that cannot be one.
    #[error("{found:?} cannot be a name here: {allowed} are needed")]
    BadName {
        /// What was given.
        found: String,
        /// What is allowed.
        allowed: &'static str,
    },
    /// Written by a newer program.
    #[error("the store was written by a newer program (its form is {found}, this program knows up to {known})")]
    NewerFile {
        /// The form found.
        found: u32,
        /// The newest form known.
        known: u32,
    },
    /// A file that is no store of ours.
    #[error("{} is not a store of this program", .path.display())]
    OtherFile {
        /// The file.
        path: PathBuf,
    },
    /// No room on the disk, or a limit on size was met.
    #[error("no room to write: the disk is full or a limit on its use is met")]
    Full,
    /// Somebody else held the store for longer than we wait.
    #[error("the store is busy with another program's work")]
    Busy,
    /// The file or folder may not be opened, written or made.
    #[error("cannot use {}", .path.display())]
    Denied {
        /// Which.
        path: PathBuf,
        /// What the system said.
        #[source]
        cause: std::io::Error,
    },
    /// What is kept does not agree with itself.
    #[error("the store is damaged: {detail}")]
    Corrupt {
        /// What was found.
        detail: String,
    },
    /// What lies underneath failed in a way none of the other causes covers.
    #[error("the store failed while it was asked to {doing}")]
    Failed {
        /// What it was doing.
        doing: &'static str,
        /// What the layer below said.
        #[source]
        cause: Box<dyn std::error::Error + Send + Sync>,
    },
}

impl StoreError {
    /// A [`StoreError::NotFound`].
    pub fn missing(what: Thing, name: impl ToString) -> Self {
        Self::NotFound { what, name: name.to_string() }
    }

    /// A stable word for programs, in kebab case.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotFound { .. } => "not-found",
            Self::Moved { .. } => "moved",
            Self::NothingToUndo => "nothing-to-undo",
            Self::NothingToRedo => "nothing-to-redo",
            Self::Taken { .. } => "taken",
            Self::Differs { .. } => "differs",
            Self::BadName { .. } => "bad-name",
            Self::NewerFile { .. } => "newer-store",
            Self::OtherFile { .. } => "other-file",
            Self::Full => "disk-full",
            Self::Busy => "busy",
            Self::Denied { .. } => "denied",
            Self::Corrupt { .. } => "damaged-store",
            Self::Failed { .. } => "store-failed",
        }
    }

    /// What the reader can do about it; `None` when that depends on what the caller asked.
    pub fn help(&self) -> Option<&'static str> {
        Some(match self {
            Self::Moved { .. } => "read the site again and repeat the change on what it says now",
            Self::NewerFile { .. } => "use the newer program, or another data folder",
            Self::OtherFile { .. } => "name a data folder of its own for this program",
            Self::Full => "make room, then repeat; what was confirmed before is kept",
            Self::Busy => "close the other program that uses this data folder, or try again",
            Self::Denied { .. } => "check owner, permissions and that the disk is there",
            Self::Corrupt { .. } => "keep the file as it is, and start from the last backup (docs/store.md)",
            _ => return None,
        })
    }

    /// The same as a notice for people, with the cause below it where there is one.
    pub fn diagnostic(&self) -> Diagnostic {
        let cause = std::error::Error::source(self).map(|cause| format!(": {cause}")).unwrap_or_default();
        let said = Diagnostic::error(self.code(), format!("{self}{cause}"), Place::default());
        match self.help() {
            Some(help) => said.help(help),
            None => said,
        }
    }
}
