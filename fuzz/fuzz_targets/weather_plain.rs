#![no_main]
//! Any rows under the head line of the plain table.
use libfuzzer_sys::fuzz_target;

const HEAD: &str = "utc,temp_c,rh_pct\n";

fuzz_target!(|rows: &[u8]| binwright_fuzz::weather_under(HEAD, rows));
