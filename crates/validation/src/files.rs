//! Writing the files, and comparing them with those that lie there.

use std::path::PathBuf;

/// A file to be written: path below the root of the repository, text.
pub type File = (String, String);

fn path(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", "..", name].iter().collect()
}

/// Writes all.
///
/// # Errors
/// In words, when a file cannot be written.
pub fn write(files: &[File]) -> Result<String, String> {
    for (name, text) in files {
        let path = path(name);
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).map_err(|e| format!("{name}: {e}"))?;
        }
        std::fs::write(path, text).map_err(|e| format!("{name}: {e}"))?;
    }
    Ok(format!("{} files written", files.len()))
}

/// Compares all with what lies there.
///
/// # Errors
/// The lines that differ, and how to write the page anew.
pub fn check(files: &[File]) -> Result<String, String> {
    let mut differ = Vec::new();
    for (name, text) in files {
        match std::fs::read_to_string(path(name)) {
            Err(e) => differ.push(format!("{name}: {e}")),
            Ok(committed) => differ.extend(lines(name, &committed, text)),
        }
    }
    if differ.is_empty() {
        return Ok(format!("{} files are up to date", files.len()));
    }
    differ.push("what is computed has changed: look at it, then `cargo run --release -p validation -- write`".into());
    Err(differ.join("\n"))
}

/// The lines that differ, one below the other.
fn lines(name: &str, committed: &str, now: &str) -> Vec<String> {
    let (old, new): (Vec<&str>, Vec<&str>) = (committed.lines().collect(), now.lines().collect());
    let mut said = Vec::new();
    for i in 0..old.len().max(new.len()) {
        let (was, is) = (old.get(i).copied(), new.get(i).copied());
        if was != is {
            said.push(format!("{name}:{}\n  - {}\n  + {}", i + 1, was.unwrap_or("(end)"), is.unwrap_or("(end)")));
        }
    }
    if said.is_empty() && committed != now {
        said.push(format!("{name}: ends of lines differ"));
    }
    said
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn differences_are_named_by_line() {
        assert!(lines("a", "x\ny\n", "x\ny\n").is_empty());
        assert_eq!(lines("a", "x\ny\n", "x\nz\nw\n"), ["a:2\n  - y\n  + z", "a:3\n  - (end)\n  + w"]);
        assert_eq!(lines("a", "x\n", "x").len(), 1);
    }
}
