//! Writes `docs/validation.md` and its plots: what we compute beside what is published.
//!
//! `cargo run --release -p validation -- write` writes the page, `-- check` compares it with the committed one and ends with 1
//! when a line differs. The text is the same on any machine: every number is rounded well above what the last bits of a
//! platform's own functions can move.

mod files;
mod page;
mod plots;
mod run;
mod sections;
mod table;

use std::process::ExitCode;

fn main() -> ExitCode {
    let wish = std::env::args().nth(1);
    let files = match wish.as_deref() {
        Some("write" | "check") => sections::all(),
        _ => {
            eprintln!("usage: validation write | check");
            return ExitCode::from(2);
        }
    };
    let done = if wish.as_deref() == Some("write") { files::write(&files) } else { files::check(&files) };
    match done {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(said) => {
            eprintln!("{said}");
            ExitCode::FAILURE
        }
    }
}
