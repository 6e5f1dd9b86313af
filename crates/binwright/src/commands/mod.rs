//! The commands that work on a site or a case.

mod air;
mod backup;
mod column;
mod demo;
mod farm;
mod field;
mod fills;
mod heat;
mod limit;
mod password;
mod pictures;
mod prepared;
mod propose;
mod prove;
mod season;
mod serve;
mod site;
mod steps;
mod survey;
mod tune;
mod weigh;

use crate::{
    args::{
        AirArgs, BackupArgs, ColumnArgs, CommissionArgs, DemoArgs, DiagnoseArgs, FarmArgs, HeatArgs, LimitArgs,
        OutageArgs, PasswordArgs, ProposeArgs, ProveArgs, SchemaArgs, SeasonArgs, ServeArgs, SiteArgs, TuneArgs,
        WeighArgs,
    },
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

/// Burners against the weather, and what stands behind them.
pub fn heat(args: &HeatArgs, out: &mut Out) -> Result<Ending, Failure> {
    heat::run(args, out)
}

/// One weather year.
pub fn season(args: &SeasonArgs, out: &mut Out) -> Result<Ending, Failure> {
    season::run(args, out)
}

/// All bins together.
pub fn farm(args: &FarmArgs, out: &mut Out) -> Result<Ending, Failure> {
    farm::run(args, out)
}

/// All weather years.
pub fn prove(args: &ProveArgs, out: &mut Out) -> Result<Ending, Failure> {
    prove::run(args, out)
}

/// The outfits worth buying.
pub fn weigh(args: &WeighArgs, out: &mut Out) -> Result<Ending, Failure> {
    weigh::run(args, out)
}

/// How wet, how deep, how late.
pub fn limit(args: &LimitArgs, out: &mut Out) -> Result<Ending, Failure> {
    limit::run(args, out)
}

/// A control beyond practice.
pub fn tune(args: &TuneArgs, out: &mut Out) -> Result<Ending, Failure> {
    tune::run(args, out)
}

/// The papers.
pub fn propose(args: &ProposeArgs, out: &mut Out) -> Result<Ending, Failure> {
    propose::run(args, out)
}

/// Readings beside the running fan against the plan.
pub fn commission(args: &CommissionArgs, out: &mut Out) -> Result<Ending, Failure> {
    field::commission::run(args, out)
}

/// Likely causes of readings.
pub fn diagnose(args: &DiagnoseArgs, out: &mut Out) -> Result<Ending, Failure> {
    field::diagnose::run(args, out)
}

/// Hours left without air.
pub fn outage(args: &OutageArgs, out: &mut Out) -> Result<Ending, Failure> {
    field::outage::run(args, out)
}

/// One column of grain.
pub fn column(args: &ColumnArgs, out: &mut Out) -> Result<Ending, Failure> {
    column::run(args, out)
}

/// The whole job on bundled data.
pub fn demo(args: &DemoArgs, out: &mut Out) -> Result<Ending, Failure> {
    demo::run(args, out)
}

/// The schema of the site file, or the description of the workbench's interface.
pub fn schema(args: &SchemaArgs, out: &mut Out) -> Result<Ending, Failure> {
    match args.api {
        true => out.json(&server::api::document())?,
        false => out.json(&job::schema::site_schema())?,
    }
    Ok(Ending::Done)
}

/// The workbench.
pub fn serve(args: &ServeArgs, out: &mut Out) -> Result<Ending, Failure> {
    serve::run(args, out)
}

/// The password of the workbench.
pub fn password(args: &PasswordArgs) -> Result<Ending, Failure> {
    password::run(args)
}

/// All that is kept, in one file.
pub fn backup(args: &BackupArgs) -> Result<Ending, Failure> {
    backup::run(args)
}
