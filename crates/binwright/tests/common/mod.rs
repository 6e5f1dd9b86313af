//! Runs the built program for the tests beside this folder. Commands are written as one types them: words apart by spaces, an
//! argument with spaces in single quotes.

// Each test file uses its own part of this.
#![allow(dead_code)]

use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

/// What a run left behind.
#[derive(Debug)]
pub struct Ran {
    /// Exit code.
    pub code: i32,
    /// Results.
    pub stdout: String,
    /// Talk.
    pub stderr: String,
}

impl Ran {
    /// The JSON document on stdout.
    pub fn document(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|_| panic!("no JSON document on stdout: {self:?}"))
    }
}

/// Arguments of a typed line.
fn words(line: &str) -> Vec<String> {
    line.split('\'')
        .enumerate()
        .flat_map(|(i, part)| match i % 2 {
            0 => part.split_whitespace().map(String::from).collect(),
            _ => vec![part.to_string()],
        })
        .collect()
}

/// Runs `binwright` with a line of arguments.
pub fn binwright(line: &str) -> Ran {
    let output =
        Command::new(env!("CARGO_BIN_EXE_binwright")).args(words(line)).output().expect("the built program starts");
    Ran {
        code: output.status.code().expect("an exit code, not a signal"),
        stdout: String::from_utf8(output.stdout).expect("text"),
        stderr: String::from_utf8(output.stderr).expect("text"),
    }
}

/// Runs `binwright lookup` with a line of arguments.
pub fn lookup(line: &str) -> Ran {
    binwright(&format!("lookup {line}"))
}

/// The JSON document of a command that ends with one of the codes.
pub fn document(line: &str, codes: &[i32]) -> Value {
    let ran = binwright(&format!("{line} --json"));
    assert!(codes.contains(&ran.code), "{line:?} ended with {}: {}", ran.code, ran.stderr);
    ran.document()
}

/// The JSON answer of a lookup that succeeds.
pub fn json(line: &str) -> Value {
    document(&format!("lookup {line}"), &[0])
}

/// The bundled site, quoted for a line.
pub fn demo_site() -> String {
    bundled("demo.toml")
}

/// The bundled site with a burner, quoted for a line.
pub fn heated_site() -> String {
    bundled("heated.toml")
}

fn bundled(name: &str) -> String {
    format!("'{}'", Path::new(env!("CARGO_MANIFEST_DIR")).join("../job/data").join(name).display())
}
