//! Pictures and workbooks beside an answer: each written under another name first, then put in its place.

use crate::exit::{Failure, say};
use documents::scene::Scene;
use documents::write::replace_file;
use notice::{Diagnostic, Place};
use std::path::Path;

/// Writes a picture into a folder, which is made where it is not there.
pub fn svg(folder: &Path, name: &str, scene: &Scene) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| {
        let found = format!("folder that cannot be made: {error}");
        Failure::from(Diagnostic::error("folder", found, Place::file(folder.display().to_string())))
    })?;
    let target = folder.join(format!("{name}.svg"));
    file(&target, documents::svg::write(scene, name).as_bytes())
}

/// Writes a file and says where it is.
pub fn file(target: &Path, bytes: &[u8]) -> Result<(), Failure> {
    replace_file(target, bytes).map_err(|error| Failure::from(error.diagnostic()))?;
    say(&format!("written: {}", target.display()));
    Ok(())
}
