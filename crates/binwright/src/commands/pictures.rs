//! Pictures and workbooks beside an answer: each written under another name first, then put in its place.

use crate::exit::{Failure, say};
use documents::scene::Scene;
use documents::write::replace_file;
use notice::{Diagnostic, Place};
use std::path::Path;

/// Writes a picture into a folder, which is made where it is not there: as SVG, and as PNG where the program draws such.
pub fn picture(folder: &Path, name: &str, scene: &Scene) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| {
        let found = format!("folder that cannot be made: {error}");
        Failure::from(Diagnostic::error("folder", found, Place::file(folder.display().to_string())))
    })?;
    file(&folder.join(format!("{name}.svg")), documents::svg::write(scene, name).as_bytes())?;
    #[cfg(feature = "pdf")]
    {
        let bytes = typeset::png(scene).map_err(|error| Failure::Ours(error.to_string()))?;
        file(&folder.join(format!("{name}.png")), &bytes)?;
    }
    #[cfg(not(feature = "pdf"))]
    say("SVG alone: this program was built without the feature pdf, which draws PNG too");
    Ok(())
}

/// Writes a file and says where it is.
pub fn file(target: &Path, bytes: &[u8]) -> Result<(), Failure> {
    replace_file(target, bytes).map_err(|error| Failure::from(error.diagnostic()))?;
    say(&format!("written: {}", target.display()));
    Ok(())
}
