//! Reads weather files (or the bundled record when none is named) and prints what became of them.
//!
//!     cargo run --release -p weather --example summary -- station-2015.gz station-2016.gz
//!
//! Several files are taken for station-years and joined.

use std::time::Instant;
use weather::{Hints, MEASURED, MISSING, bundled, calendar, join, read};

fn main() {
    let files: Vec<String> = std::env::args().skip(1).collect();
    let hints = Hints { elevation_m: Some(200.0), ..Hints::default() };
    let begun = Instant::now();
    let result = if files.is_empty() {
        Ok(bundled("champaign").expect("the bundled record is tested"))
    } else {
        let read_one = |name: &String| {
            let bytes = std::fs::read(name).expect("a file that can be opened");
            read(name, &bytes, &hints)
        };
        files.iter().map(read_one).collect::<Result<Vec<_>, _>>().and_then(join)
    };
    let took = begun.elapsed();
    match result {
        Err(all) => println!("{all}"),
        Ok(series) => {
            println!("{}: {:?}, {:?}, read in {took:?}", series.name, series.kind, series.place);
            println!("{} to {}", calendar::show(series.start_hour), calendar::show(series.end_hour()));
            let count = |flag: u8| series.filled.iter().filter(|&&f| f == flag).count();
            println!("{} hours, {} missing", series.len(), count(MISSING));
            println!("{:#?}", series.report);
            let series = series.mended();
            let count = |flag: u8| series.filled.iter().filter(|&&f| f == flag).count();
            println!("after filling: {} measured, {} missing", count(MEASURED), count(MISSING));
            let complete: Vec<i32> = series.coverage().iter().filter(|y| y.complete()).map(|y| y.year).collect();
            println!("complete years {complete:?}");
        }
    }
}
