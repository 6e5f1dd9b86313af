//! A folder that goes when the test ends.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::atomic::{AtomicU32, Ordering},
};

/// A new empty folder under the build's own folder for such things.
pub struct Scratch(PathBuf);

impl Scratch {
    /// Makes one.
    pub fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let name = format!("store-{}-{}", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).expect("the build's folder can be written");
        Self(path)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}
