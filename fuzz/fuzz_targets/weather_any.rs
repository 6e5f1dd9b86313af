#![no_main]
//! Any bytes as a weather file, packed ones too.
use libfuzzer_sys::fuzz_target;

fuzz_target!(|content: &[u8]| binwright_fuzz::weather(content));
