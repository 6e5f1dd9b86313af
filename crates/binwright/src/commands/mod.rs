//! The commands that work on a site or a case.

mod air;
mod column;
mod demo;
mod fills;
mod prove;
mod season;
mod site;
mod survey;

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
pub fn survey(args: &SiteArgs, out: &mut Out) -> Result<Ending, Failure> {
    survey::run(args, out)
}

/// Fans against the grain.
pub fn air(args: &AirArgs, out: &mut Out) -> Result<Ending, Failure> {
    match &args.site {
        Some(site) => fills::run(site, args, out),
        None => air::without_site(args, out),
    }
}

/// One weather year.
pub fn season(args: &SeasonArgs, out: &mut Out) -> Result<Ending, Failure> {
    season::run(args, out)
}

/// All weather years.
pub fn prove(args: &ProveArgs, out: &mut Out) -> Result<Ending, Failure> {
    prove::run(args, out)
}

/// One column of grain.
pub fn column(args: &ColumnArgs, out: &mut Out) -> Result<Ending, Failure> {
    column::run(args, out)
}

/// The whole job on bundled data.
pub fn demo(args: &DemoArgs, out: &mut Out) -> Result<Ending, Failure> {
    demo::run(args, out)
}

/// The schema of the site file.
pub fn schema(_out: &mut Out) -> Result<Ending, Failure> {
    not_yet("schema")
}
