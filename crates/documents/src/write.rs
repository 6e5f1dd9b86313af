//! Writing a report folder so that a reader sees the old one or the new one, never half of either.

use notice::{Diagnostic, Place};
use std::{
    collections::BTreeSet,
    fs, io,
    path::{Component, Path, PathBuf},
};

/// One file of a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportFile {
    /// Path inside the report folder, with forward slashes: "index.html", "data/years.csv".
    pub path: String,
    /// Content.
    pub bytes: Vec<u8>,
}

impl ReportFile {
    /// A file from its path and content.
    pub fn new(path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self { path: path.into(), bytes: bytes.into() }
    }
}

/// Name of the file that marks a folder as a report of ours and lists what we wrote into it.
pub const MARKER: &str = ".binwright-report";

const MARKER_FIRST_LINE: &str = "binwright report 1";

/// Why a report could not be written. In every case the target is as it was before.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// A file of the report would lie outside the folder, or twice at one place.
    #[error("cannot use {path:?} as a file of the report")]
    FilePath {
        /// The path refused.
        path: String,
    },
    /// The target names no folder, as in "/" or "..".
    #[error("{} names no folder that could be written", target.display())]
    TargetName {
        /// The target.
        target: PathBuf,
    },
    /// The target exists and holds something we did not write.
    #[error("{} holds {found}", target.display())]
    NotOurs {
        /// The target.
        target: PathBuf,
        /// What is there.
        found: String,
    },
    /// The file system refused.
    #[error("cannot {doing} {}", path.display())]
    Io {
        /// What was tried.
        doing: &'static str,
        /// On which path.
        path: PathBuf,
        /// What the system says.
        #[source]
        cause: io::Error,
    },
}

impl WriteError {
    /// The error as a notice for the user, with the remedy where one is known.
    pub fn diagnostic(&self) -> Diagnostic {
        let at = |path: &Path| Place::file(path.display().to_string());
        match self {
            Self::FilePath { path } => {
                Diagnostic::error("report-file-path", self.to_string(), Place::file(path.clone()))
            }
            Self::TargetName { target } => Diagnostic::error("report-target-name", self.to_string(), at(target))
                .help("name a folder, as in \"report\""),
            Self::NotOurs { target, .. } => Diagnostic::error("report-target-not-ours", self.to_string(), at(target))
                .allowed("must be a new or empty folder, or one that holds nothing but an earlier report")
                .help("choose another folder, or move away what is in it"),
            Self::Io { path, cause, .. } => {
                Diagnostic::error("report-not-written", format!("{self}: {cause}"), at(path))
            }
        }
    }
}

/// Writes a report folder: into a new folder beside the target, which then takes the target's name.
///
/// An existing target is replaced only when it is empty or holds nothing but an earlier report (told by [`MARKER`]).
/// Between setting the old folder aside and naming the new one there is a moment in which neither has the name; when
/// the second step fails the old folder gets its name back.
///
/// # Errors
/// See [`WriteError`]; the target is then as it was.
pub fn write_report(target: &Path, files: &[ReportFile]) -> Result<(), WriteError> {
    let listed = listed_paths(files)?;
    let name = target
        .file_name()
        .and_then(|name| name.to_str())
        .ok_or_else(|| WriteError::TargetName { target: target.to_path_buf() })?;
    let parent = match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let occupied = check_replaceable(target)?;
    fs::create_dir_all(&parent).map_err(|cause| io_error("create the folder", &parent, cause))?;
    let fresh = new_sibling(&parent, name, "new")?;
    let written = fill(&fresh, files, &listed).and_then(|()| take_the_name(&fresh, target, &parent, name, occupied));
    if written.is_err() {
        // The first error is the one worth telling; a folder that cannot be removed changes nothing about it.
        let _ = fs::remove_dir_all(&fresh);
    }
    written
}

/// Writes one file under a name beside the target, which then takes the target's place: a reader sees the old one or the new one.
///
/// # Errors
/// What the file system says; the target is then as it was.
pub fn replace_file(target: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let name = target
        .file_name()
        .and_then(|name| name.to_str())
        .ok_or_else(|| WriteError::TargetName { target: target.to_path_buf() })?;
    let parent = match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let fresh = new_sibling(&parent, name, "new")?;
    let written = fresh.join(name);
    let done = write_file(&written, bytes)
        .and_then(|()| fs::rename(&written, target).map_err(|cause| io_error("rename the new file to", target, cause)));
    // Empty after a success; after a failure what is in it is worth nothing.
    let _ = fs::remove_dir_all(&fresh);
    done
}

fn io_error(doing: &'static str, path: &Path, cause: io::Error) -> WriteError {
    WriteError::Io { doing, path: path.to_path_buf(), cause }
}

/// Paths of the report in order, each inside the folder and once.
fn listed_paths(files: &[ReportFile]) -> Result<BTreeSet<String>, WriteError> {
    let mut listed = BTreeSet::new();
    for file in files {
        let refused = || WriteError::FilePath { path: file.path.clone() };
        let plain = !file.path.is_empty()
            && !file.path.contains(['\\', ':', '\n', '\r', '\0'])
            && file.path.split('/').all(|part| !part.is_empty() && part != "." && part != "..")
            && Path::new(&file.path).components().all(|part| matches!(part, Component::Normal(_)));
        if !plain || file.path == MARKER || !listed.insert(file.path.clone()) {
            return Err(refused());
        }
    }
    Ok(listed)
}

/// Whether something stands at the target that may be replaced; an error when it may not.
fn check_replaceable(target: &Path) -> Result<bool, WriteError> {
    let not_ours = |found: &str| WriteError::NotOurs { target: target.to_path_buf(), found: found.to_string() };
    let meta = match fs::symlink_metadata(target) {
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(cause) => return Err(io_error("look at", target, cause)),
        Ok(meta) => meta,
    };
    if !meta.is_dir() {
        return Err(not_ours("something that is no folder"));
    }
    let mut found = Vec::new();
    list_files(target, "", &mut found)?;
    if found.is_empty() {
        return Ok(true);
    }
    let marker = target.join(MARKER);
    let text = match fs::read_to_string(&marker) {
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => return Err(not_ours("files but no earlier report")),
        Err(cause) => return Err(io_error("read", &marker, cause)),
        Ok(text) => text,
    };
    let mut lines = text.lines();
    if lines.next() != Some(MARKER_FIRST_LINE) {
        return Err(not_ours("a marker we did not write"));
    }
    let known: BTreeSet<&str> = lines.collect();
    match found.iter().find(|path| path.as_str() != MARKER && !known.contains(path.as_str())) {
        Some(stranger) => Err(not_ours(&format!("{stranger:?}, which is not part of the earlier report"))),
        None => Ok(true),
    }
}

/// Everything below a folder that is no folder, as paths with forward slashes.
fn list_files(folder: &Path, prefix: &str, found: &mut Vec<String>) -> Result<(), WriteError> {
    for entry in fs::read_dir(folder).map_err(|cause| io_error("list", folder, cause))? {
        let entry = entry.map_err(|cause| io_error("list", folder, cause))?;
        let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
        let kind = entry.file_type().map_err(|cause| io_error("look at", &entry.path(), cause))?;
        if kind.is_dir() {
            list_files(&entry.path(), &format!("{path}/"), found)?;
        } else {
            found.push(path);
        }
    }
    Ok(())
}

/// A folder beside the target that nobody else uses.
fn new_sibling(parent: &Path, name: &str, what: &str) -> Result<PathBuf, WriteError> {
    let mut last = None;
    for attempt in 0..100 {
        let path = parent.join(format!(".{name}.{what}-{}-{attempt}", std::process::id()));
        match fs::create_dir(&path) {
            Ok(()) => return Ok(path),
            Err(cause) if cause.kind() == io::ErrorKind::AlreadyExists => last = Some((path, cause)),
            Err(cause) => return Err(io_error("create the folder", &path, cause)),
        }
    }
    let (path, cause) = last.unwrap_or_else(|| (parent.to_path_buf(), io::ErrorKind::AlreadyExists.into()));
    Err(io_error("create the folder", &path, cause))
}

fn fill(folder: &Path, files: &[ReportFile], listed: &BTreeSet<String>) -> Result<(), WriteError> {
    for file in files {
        write_file(&folder.join(&file.path), &file.bytes)?;
    }
    let mut marker = format!("{MARKER_FIRST_LINE}\n");
    for path in listed {
        marker.push_str(path);
        marker.push('\n');
    }
    write_file(&folder.join(MARKER), marker.as_bytes())
}

fn write_file(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    use io::Write;
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).map_err(|cause| io_error("create the folder", folder, cause))?;
    }
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|cause| io_error("create", path, cause))?;
    file.write_all(bytes).and_then(|()| file.sync_all()).map_err(|cause| io_error("write", path, cause))
}

fn take_the_name(fresh: &Path, target: &Path, parent: &Path, name: &str, occupied: bool) -> Result<(), WriteError> {
    if !occupied {
        return fs::rename(fresh, target).map_err(|cause| io_error("rename the new report to", target, cause));
    }
    let aside = new_sibling(parent, name, "old")?;
    let old = aside.join(name);
    let put_back = |cause, doing| {
        let _ = fs::remove_dir(&aside);
        io_error(doing, target, cause)
    };
    fs::rename(target, &old).map_err(|cause| put_back(cause, "set aside the earlier report"))?;
    if let Err(cause) = fs::rename(fresh, target) {
        // Nothing was lost: the earlier report gets its name back; should even that fail it stays beside the target.
        let _ = fs::rename(&old, target);
        return Err(put_back(cause, "rename the new report to"));
    }
    // The new report stands; an earlier one that cannot be removed is only untidy.
    let _ = fs::remove_dir_all(&aside);
    Ok(())
}
