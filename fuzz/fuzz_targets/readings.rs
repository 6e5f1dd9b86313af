#![no_main]
//! Any text as a file of readings.
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Err(wrong) = job::readings::read_readings(text, "fuzzed.toml") {
        assert!(wrong.stop());
    }
});
