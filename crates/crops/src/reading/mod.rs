//! From data files to plain structs: the compiled-in files and those of the user go through the same reader.

mod crop;
mod files;
mod rows;

use crate::{crop::Crop, library::Library};
use files::CROP_FILES;
use notice::Diagnostics;
pub(crate) use rows::Shared;
use sheet::{Node, Sheet};

/// Rows that crops refer to by name.
const ROW_FILES: [(&str, &str); 7] = [
    ("bibliography.toml", include_str!("../../data/bibliography.toml")),
    ("defaults.toml", include_str!("../../data/defaults.toml")),
    ("isotherms.toml", include_str!("../../data/isotherms.toml")),
    ("resistance.toml", include_str!("../../data/resistance.toml")),
    ("kinetics.toml", include_str!("../../data/kinetics.toml")),
    ("lines.toml", include_str!("../../data/lines.toml")),
    ("storage.toml", include_str!("../../data/storage.toml")),
];

/// Reads the compiled-in files.
pub(crate) fn built_in() -> Result<Library, Diagnostics> {
    let mut shared = Shared::default();
    let mut found = Diagnostics::default();
    for (name, text) in ROW_FILES {
        let sheet = Sheet::new(name, text);
        if let Some(table) = sheet.parse() {
            let top = Node::top(&sheet, &table);
            shared.read(&top);
            top.close();
        }
        found.0.extend(sheet.finish().0.0);
    }
    let mut crops = Vec::new();
    for (name, text) in CROP_FILES {
        let sheet = Sheet::new(name, text);
        if let Some(table) = sheet.parse() {
            let top = Node::top(&sheet, &table);
            crops.extend(crop::read(&top, &shared, None));
            top.close();
        }
        found.0.extend(sheet.finish().0.0);
    }
    crops.sort_by(|a: &Crop, b: &Crop| a.id.cmp(&b.id));
    if found.stop() { Err(found) } else { Ok(Library { crops, shared }) }
}

/// Reads a crop file of the user: rows of its own first, then the crop that uses them.
pub(crate) fn user_file(library: &Library, name: &str, text: &str) -> Result<Crop, Diagnostics> {
    let sheet = Sheet::new(name, text);
    let table = sheet.parse();
    // What a broken text seems to say would only add misleading faults.
    let crop = table.filter(|_| !sheet.stops()).and_then(|table| {
        let top = Node::top(&sheet, &table);
        let mut shared = library.shared.clone();
        shared.read(&top);
        let base = crop::base(&top, library);
        let crop = crop::read(&top, &shared, base);
        top.close();
        crop
    });
    let (found, _) = sheet.finish();
    match crop {
        Some(crop) if !found.stop() => Ok(crop),
        _ => Err(found),
    }
}
