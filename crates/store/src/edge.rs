//! Where the data folder is when nobody says so. The only place of this crate that reads the environment; for the shell of
//! the program, not for what it is made of.

use std::{
    ffi::OsString,
    path::{Path, PathBuf},
};

/// The user's data folder on this system: `$XDG_DATA_HOME/binwright` or `~/.local/share/binwright`; on macOS
/// `~/Library/Application Support/Binwright`; on Windows `%LOCALAPPDATA%\Binwright`. `None` when the environment names none.
pub fn default_folder() -> Option<PathBuf> {
    folder_from(std::env::consts::OS, |name| std::env::var_os(name))
}

/// As [`default_folder`], for a system and an environment given. Relative folders in the environment are passed over, as
/// the XDG base directory specification asks.
fn folder_from(system: &str, variable: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    let absolute = |name| variable(name).map(PathBuf::from).filter(|path: &PathBuf| is_absolute(system, path));
    match system {
        "windows" => absolute("LOCALAPPDATA").map(|folder| folder.join("Binwright")),
        "macos" => absolute("HOME").map(|home| home.join("Library/Application Support/Binwright")),
        _ => absolute("XDG_DATA_HOME")
            .or_else(|| absolute("HOME").map(|home| home.join(".local/share")))
            .map(|folder| folder.join("binwright")),
    }
}

/// Whether a path begins at a root of the system named.
fn is_absolute(system: &str, path: &Path) -> bool {
    match system {
        "windows" => path.to_str().is_some_and(|text| text.get(1..3) == Some(":\\") || text.starts_with("\\\\")),
        _ => path.to_str().is_some_and(|text| text.starts_with('/')) || path.is_absolute(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(system: &str, variables: &[(&str, &str)]) -> Option<PathBuf> {
        folder_from(system, |name| variables.iter().find(|(n, _)| *n == name).map(|(_, value)| value.into()))
    }

    #[test]
    fn follows_the_custom_of_the_system() {
        let home = ("HOME", "/h/ann");
        assert_eq!(folder("linux", &[home]), Some("/h/ann/.local/share/binwright".into()));
        assert_eq!(folder("linux", &[home, ("XDG_DATA_HOME", "/data")]), Some("/data/binwright".into()));
        assert_eq!(folder("linux", &[home, ("XDG_DATA_HOME", "data")]), Some("/h/ann/.local/share/binwright".into()));
        assert_eq!(folder("linux", &[]), None);
        assert_eq!(folder("macos", &[home]), Some("/h/ann/Library/Application Support/Binwright".into()));
        let windows = folder("windows", &[("LOCALAPPDATA", "C:\\Local")]).unwrap();
        assert!(windows.starts_with("C:\\Local") && windows.ends_with("Binwright"));
        assert_eq!(folder("windows", &[("LOCALAPPDATA", "Local")]), None);
    }
}
