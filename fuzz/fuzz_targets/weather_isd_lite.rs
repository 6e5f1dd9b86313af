#![no_main]
//! Any rows under the first row of an ISD-Lite file.
use libfuzzer_sys::fuzz_target;

const HEAD: &str = "2018 01 01 00  -139  -206 10370   310    51     2 -9999 -9999\n";

fuzz_target!(|rows: &[u8]| binwright_fuzz::weather_under(HEAD, rows));
