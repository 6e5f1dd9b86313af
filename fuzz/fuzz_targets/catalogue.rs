#![no_main]
//! Any text as a catalogue of fans and burners.
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Err(wrong) = job::read_catalogue(text, "fuzzed.toml") {
        assert!(wrong.stop());
    }
});
