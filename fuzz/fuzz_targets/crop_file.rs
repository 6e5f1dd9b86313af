#![no_main]
//! Any text as a crop file of the user.
use crops::Library;
use libfuzzer_sys::fuzz_target;
use std::sync::OnceLock;

static BUILT_IN: OnceLock<Library> = OnceLock::new();

fuzz_target!(|text: &str| {
    let library = BUILT_IN.get_or_init(Library::built_in).clone();
    if let Err(wrong) = library.with_user_file("fuzzed.toml", text) {
        assert!(wrong.stop());
    }
});
