//! Runs the built program for the tests beside this folder.

// Each test file uses its own part of this.
#![allow(dead_code)]

use assert_cmd::Command;
use serde_json::Value;

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

/// Runs `binwright` with arguments.
pub fn binwright(arguments: &[&str]) -> Ran {
    let output =
        Command::new(env!("CARGO_BIN_EXE_binwright")).args(arguments).output().expect("the built program starts");
    Ran {
        code: output.status.code().expect("an exit code, not a signal"),
        stdout: String::from_utf8(output.stdout).expect("text"),
        stderr: String::from_utf8(output.stderr).expect("text"),
    }
}

/// Runs `binwright lookup` with arguments.
pub fn lookup(arguments: &[&str]) -> Ran {
    binwright(&[&["lookup"], arguments].concat())
}

/// The JSON answer of a lookup that succeeds.
pub fn json(arguments: &[&str]) -> Value {
    let ran = lookup(&[arguments, &["--json"]].concat());
    assert_eq!(ran.code, 0, "{arguments:?}: {}", ran.stderr);
    serde_json::from_str(&ran.stdout).expect("one JSON document on stdout")
}
