#![no_main]
//! Any rows under the eight head lines of an EPW file.
use libfuzzer_sys::fuzz_target;

const HEAD: &str = "\
LOCATION,Somewhere,IL,USA,TMY3,725300,41.98,-87.92,-6.0,201.0
DESIGN CONDITIONS,0
TYPICAL/EXTREME PERIODS,0
GROUND TEMPERATURES,0
HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0
COMMENTS 1,
COMMENTS 2,
DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31
";

fuzz_target!(|rows: &[u8]| binwright_fuzz::weather_under(HEAD, rows));
