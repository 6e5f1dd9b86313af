//! The report folder: all or nothing, and never over what is not ours.

use documents::write::{MARKER, ReportFile, WriteError, write_report};
use std::{fs, path::PathBuf};

/// An empty folder of its own for each test, removed afterwards.
struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("documents-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).expect("the temporary folder can be written");
        Self(path)
    }

    /// Names in the folder, sorted.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).expect("it exists");
        let mut names: Vec<String> =
            entries.filter_map(Result::ok).map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn files(text: &str) -> Vec<ReportFile> {
    vec![ReportFile::new("index.html", text), ReportFile::new("data/years.csv", "year\n")]
}

#[test]
fn writes_a_new_folder_and_replaces_its_own() {
    let scratch = Scratch::new("own");
    let target = scratch.0.join("deep/report");
    write_report(&target, &files("one")).expect("new folder");
    write_report(&target, &files("two")).expect("our own folder");
    assert_eq!(fs::read_to_string(target.join("index.html")).ok().as_deref(), Some("two"));
    assert!(target.join("data/years.csv").exists());
    assert_eq!(fs::read_dir(scratch.0.join("deep")).map(Iterator::count).ok(), Some(1), "nothing is left beside it");
    // What the new report no longer has is gone.
    write_report(&target, &files("three")[..1]).expect("our own folder");
    assert!(!target.join("data").exists());
}

#[test]
fn takes_an_empty_folder() {
    let scratch = Scratch::new("empty");
    let target = scratch.0.join("report");
    fs::create_dir(&target).expect("new");
    write_report(&target, &files("one")).expect("an empty folder may be taken");
    assert_eq!(scratch.names(), ["report"]);
}

#[test]
fn leaves_what_is_not_ours() {
    let scratch = Scratch::new("foreign");
    let foreign = scratch.0.join("photos");
    fs::create_dir(&foreign).expect("new");
    fs::write(foreign.join("cat.txt"), "meow").expect("new");
    let plain = scratch.0.join("file");
    fs::write(&plain, "text").expect("new");
    let forged = scratch.0.join("forged");
    fs::create_dir(&forged).expect("new");
    fs::write(forged.join(MARKER), "something else\n").expect("new");
    let ours = scratch.0.join("ours");
    write_report(&ours, &files("one")).expect("new");
    fs::write(ours.join("notes.txt"), "mine").expect("new");
    for target in [&foreign, &plain, &forged, &ours] {
        let refused = write_report(target, &files("two"));
        assert!(matches!(refused, Err(WriteError::NotOurs { .. })), "{}: {refused:?}", target.display());
    }
    assert_eq!(fs::read_to_string(foreign.join("cat.txt")).ok().as_deref(), Some("meow"));
    assert_eq!(fs::read_to_string(ours.join("index.html")).ok().as_deref(), Some("one"));
    assert_eq!(scratch.names(), ["file", "forged", "ours", "photos"]);
}

#[cfg(unix)]
#[test]
fn does_not_follow_a_link() {
    let scratch = Scratch::new("link");
    let real = scratch.0.join("real");
    write_report(&real, &files("one")).expect("new");
    let link = scratch.0.join("link");
    std::os::unix::fs::symlink(&real, &link).expect("new");
    assert!(matches!(write_report(&link, &files("two")), Err(WriteError::NotOurs { .. })));
    assert_eq!(fs::read_to_string(real.join("index.html")).ok().as_deref(), Some("one"));
}

#[test]
fn refuses_paths_that_lead_elsewhere() {
    let scratch = Scratch::new("paths");
    for path in ["../x", "/x", "a/../b", "", "a//b", "a\\b", "c:x", "a\nb", ".", MARKER] {
        let refused = write_report(&scratch.0.join("report"), &[ReportFile::new(path, "x")]);
        assert!(matches!(refused, Err(WriteError::FilePath { .. })), "{path:?}: {refused:?}");
    }
    let twice = [ReportFile::new("a", "1"), ReportFile::new("a", "2")];
    assert!(matches!(write_report(&scratch.0.join("report"), &twice), Err(WriteError::FilePath { .. })));
    assert!(scratch.names().is_empty());
}

#[test]
fn a_failure_in_the_middle_leaves_the_earlier_report() {
    let scratch = Scratch::new("middle");
    let target = scratch.0.join("report");
    write_report(&target, &files("one")).expect("new");
    // A file where a folder is needed: found only while writing.
    let clash = [ReportFile::new("index.html", "two"), ReportFile::new("a", "x"), ReportFile::new("a/b", "y")];
    let failed = write_report(&target, &clash);
    let error = failed.expect_err("a file cannot hold a file");
    assert!(matches!(error, WriteError::Io { .. }), "{error:?}");
    assert_eq!(error.diagnostic().code, "report-not-written");
    assert_eq!(fs::read_to_string(target.join("index.html")).ok().as_deref(), Some("one"));
    assert_eq!(scratch.names(), ["report"]);
}

#[test]
fn names_no_folder() {
    for target in ["/", "..", ""] {
        assert!(matches!(write_report(target.as_ref(), &files("x")), Err(WriteError::TargetName { .. })), "{target:?}");
    }
}
