#![no_main]
//! Any text as a site file: facts, or diagnostics that all have a line.
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match job::read_site(text, "fuzzed.toml", &job::BuiltIn::new()) {
        Ok(read) => assert!(!read.warnings.stop()),
        Err(wrong) => assert!(wrong.stop() && wrong.0.iter().all(|d| d.at.line.is_some()), "{wrong}"),
    }
});
