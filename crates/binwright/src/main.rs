//! The command line: reads arguments, calls the crates below, writes results to stdout and talk to stderr.
//!
//! Leaves out every equation and every JSON shape. Exit codes: 0; 1 when a stated goal is missed; 2 unusable input;
//! 3 a failure of ours; 130 after an interrupt.

mod args;
mod commands;
mod exit;
mod lookup;
mod output;
mod quantities;
mod stop;
mod table;
mod words;

use args::{Command, CommandLine, ServeArgs};
use clap::Parser;
use exit::{Ending, Failure};
use notice::{Diagnostic, Place};
use output::Out;
use std::process::ExitCode;

fn main() -> ExitCode {
    exit::install_panic_message();
    let ended = std::panic::catch_unwind(run).unwrap_or(Ending::OurFailure);
    ExitCode::from(ended.code())
}

fn run() -> Ending {
    let line = match CommandLine::try_parse() {
        Ok(line) => line,
        Err(error) => return usage(&error),
    };
    let mut out = Out::new(line.json, line.units.into());
    let result = dispatch(line.command.as_ref(), &mut out).and_then(|ending| out.finish().map(|()| ending));
    match result {
        Ok(ending) => ending,
        Err(failure) => exit::report(failure, line.json),
    }
}

fn dispatch(command: Option<&Command>, out: &mut Out) -> Result<Ending, Failure> {
    let Some(command) = command else { return commands::serve(&ServeArgs::default(), out) };
    match command {
        Command::Survey(args) => commands::survey(args, out),
        Command::Air(args) => commands::air(args, out),
        Command::Heat(args) => commands::heat(args, out),
        Command::Season(args) => commands::season(args, out),
        Command::Farm(args) => commands::farm(args, out),
        Command::Prove(args) => commands::prove(args, out),
        Command::Weigh(args) => commands::weigh(args, out),
        Command::Tune(args) => commands::tune(args, out),
        Command::Limit(args) => commands::limit(args, out),
        Command::Propose(args) => commands::propose(args, out),
        Command::Commission(args) => commands::commission(args, out),
        Command::Diagnose(args) => commands::diagnose(args, out),
        Command::Outage(args) => commands::outage(args, out),
        Command::Column(args) => commands::column(args, out),
        Command::Lookup(which) => lookup::run(which, out),
        Command::Demo(args) => commands::demo(args, out),
        Command::Schema(args) => commands::schema(args, out),
        Command::Serve(args) => commands::serve(args, out),
        Command::Password(args) => commands::password(args),
        Command::Backup(args) => commands::backup(args),
    }
}

/// Help and version are results; everything else the parser says is unusable input.
fn usage(error: &clap::Error) -> Ending {
    use clap::error::ErrorKind::{DisplayHelp, DisplayVersion};
    if matches!(error.kind(), DisplayHelp | DisplayVersion) {
        // A closed pipe after `--help | head` is no failure.
        let _ = error.print();
        return Ending::Done;
    }
    if std::env::args_os().any(|word| word == "--json") {
        let text = error.to_string();
        let said = text.lines().map(str::trim).take_while(|line| !line.starts_with("Usage:"));
        let said: Vec<&str> = said.filter(|line| !line.is_empty()).collect();
        let found = said.join(" ").trim_start_matches("error: ").to_string();
        let diagnostic = Diagnostic::error("usage", found, Place::file("command line"))
            .help("`binwright --help` lists the commands, `binwright COMMAND --help` their options");
        return exit::report(Failure::from(diagnostic), true);
    }
    let _ = error.print();
    Ending::UnusableInput
}
