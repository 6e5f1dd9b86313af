//! The commands that work on a site or a case.

mod air;
mod column;

use crate::{
    args::{AirArgs, ColumnArgs, DemoArgs, ProveArgs, SeasonArgs, SiteArgs},
    exit::{Ending, Failure},
    output::Out,
};
use notice::{Diagnostic, Place};

/// Says plainly that a command is not there yet, instead of pretending.
fn not_yet(command: &str) -> Result<Ending, Failure> {
    Err(Diagnostic::error(
        "not-built",
        format!("`{command}` is not built into this version"),
        Place::file("command line"),
    )
    .help("`binwright lookup --help` lists what works today")
    .into())
}

/// Checks a site file and says it back.
pub fn survey(_args: &SiteArgs, _out: &mut Out) -> Result<Ending, Failure> {
    not_yet("survey")
}

/// Fans against the grain.
pub fn air(args: &AirArgs, out: &mut Out) -> Result<Ending, Failure> {
    match &args.site {
        Some(_) => not_yet("air SITE"),
        None => air::without_site(args, out),
    }
}

/// One weather year.
pub fn season(_args: &SeasonArgs, _out: &mut Out) -> Result<Ending, Failure> {
    not_yet("season")
}

/// All weather years.
pub fn prove(_args: &ProveArgs, _out: &mut Out) -> Result<Ending, Failure> {
    not_yet("prove")
}

/// One column of grain.
pub fn column(args: &ColumnArgs, out: &mut Out) -> Result<Ending, Failure> {
    column::run(args, out)
}

/// The whole job on bundled data.
pub fn demo(_args: &DemoArgs, _out: &mut Out) -> Result<Ending, Failure> {
    not_yet("demo")
}

/// The schema of the site file.
pub fn schema(_out: &mut Out) -> Result<Ending, Failure> {
    not_yet("schema")
}
