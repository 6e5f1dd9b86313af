//! What the typesetter may see: the template, the data of one paper, the faces. Nothing else exists for it.

use crate::faces::{BOOK, FACES};
use std::collections::HashMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

const TEMPLATE: &str = include_str!("../templates/paper.typ");

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(<Library as LibraryExt>::default()));

static MAIN: LazyLock<Source> = LazyLock::new(|| Source::new(id("paper.typ"), TEMPLATE.into()));

/// The file of a name of ours.
fn id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("names of ours are plain");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// One paper on its way to type.
pub struct Desk {
    files: HashMap<FileId, Bytes>,
}

impl Desk {
    /// With the files that the template asks for.
    pub fn new(files: Vec<(String, Vec<u8>)>) -> Self {
        Self { files: files.into_iter().map(|(name, bytes)| (id(&name), Bytes::new(bytes))).collect() }
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        MAIN.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == MAIN.id() { Ok(MAIN.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(&id).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FACES.get(index).cloned()
    }

    /// No clock: the date of a paper travels with it.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
