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
pub fn schema(out: &mut Out) -> Result<Ending, Failure> {
    out.json(&job::schema::site_schema())?;
    Ok(Ending::Done)
}
