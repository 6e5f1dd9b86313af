//! `commission SITE READINGS`: does the bin do what was promised.

use super::{bin, opened, setup};
use crate::{
    args::CommissionArgs,
    commands::{heat::GAS, site},
    exit::{Ending, Failure, say},
    output::Out,
    table::Table,
};
use advice::commission::{Agreement, Airflow, Commissioning, Line, acceptable, commission, missing};
use advice::field::{dates, propagate::FALSE_ALARMS};
use advice::sentences;
use contract::{
    Document,
    field::{
        CommissionJson,
        sheet::READING,
        words::{agreement_says, check_says, line_says},
    },
};
use job::BinJob;
use notice::{Diagnostic, Kind, Place};
use std::fs::OpenOptions;
use std::io::Write;
use std::path::Path;

/// Compares readings with the plan.
pub fn run(args: &CommissionArgs, out: &mut Out) -> Result<Ending, Failure> {
    let (job, file) = opened(&args.of)?;
    let bin = bin(&job, args.of.bin.as_deref(), &file)?;
    let setup = setup(&job, bin, &file)?;
    let found = commission(&job, &setup);
    let mut remarks = bin.remarks.clone();
    remarks.extend(dates::remarks(&setup, job.place.utc_offset));
    if out.json {
        let json = CommissionJson::of(bin, &found, &file.read.readings);
        out.json(&Document::new("commission/1", json, &remarks))?;
    } else {
        let missing = missing(&file.read.readings);
        let gas = if bin.template.burner.is_some() { format!("{GAS}\n") } else { String::new() };
        let text = format!(
            "{}{}{}{}{READING}\n{gas}{}\n",
            text(bin, &found, file.read.readings.at.as_deref(), out),
            profile(bin, &file.read.readings, out),
            wanted(&missing),
            site::notes(&remarks, out),
            site::MACHINES
        );
        out.text(&text)?;
    }
    if let Some(path) = &args.baseline {
        if let Err(why) = acceptable(&found, &file.read.readings) {
            say(&format!(
                "no baseline written: {why}; readings of a bin that is not shown to be sound would hide its fault later"
            ));
        } else {
            write_baseline(path, bin, &found, &file.text)?;
            say(&format!("baseline of bin {} written to {}", bin.name, path.display()));
        }
    }
    Ok(if found.differs() || !found.urgent.is_empty() { Ending::GoalMissed } else { Ending::Done })
}

/// The readings as they are, under a head that says what they are; a file that is there already is not touched.
fn write_baseline(path: &Path, bin: &BinJob, found: &Commissioning, text: &str) -> Result<(), Failure> {
    let at = || Place::file(path.display().to_string());
    let mut file = OpenOptions::new().write(true).create_new(true).open(path).map_err(|error| {
        Diagnostic::error("cannot-write", format!("cannot write the baseline: {error}"), at())
            .help("name a new file in a folder that is there")
    })?;
    let agree = found.lines.iter().filter(|l| l.agreement == Agreement::Agrees).count();
    let head = format!(
        "# Baseline of bin {}: {agree} comparisons agree at coverage factor {:.2}.\n# Give it to diagnose as --baseline.\n",
        bin.name, found.coverage
    );
    file.write_all(head.as_bytes())?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    Ok(())
}

fn wanted(missing: &[&str]) -> String {
    if missing.is_empty() {
        return String::new();
    }
    format!("Not read, and wanted for a full commissioning: {}.\n", missing.join("; "))
}

/// Moisture by depth.
fn profile(bin: &BinJob, readings: &job::readings::Readings, out: &Out) -> String {
    let points = advice::samples::profile(readings, bin.template.burner.is_some());
    if points.is_empty() {
        return String::new();
    }
    let mut table = Table::numbers(&["below surface", "moisture", "from", "to", "samples", ""]);
    let moisture = |m: f64| out.show(m, Kind::MoistureWetBasis);
    for p in &points {
        let doubt = if p.doubtful { "too cold or too wet for the meter" } else { "" };
        let depth = out.show(p.below_surface, Kind::Length);
        table.row([
            depth,
            moisture(p.moisture),
            moisture(p.low),
            moisture(p.high),
            p.samples.to_string(),
            doubt.into(),
        ]);
    }
    let chart = match points.iter().all(|p| p.corrected) {
        true => "corrected by your chart",
        false => "without a temperature correction where your chart gives none: no general slope is used",
    };
    let rested = readings.rested.is_some_and(|time| time >= advice::samples::RESTED);
    let rebound = match bin.template.burner.is_some() && !rested {
        true => {
            " The bin has a burner and the samples did not rest 12 h in a closed container: they may be 2 points wetter than they read."
        }
        false => "",
    };
    format!("\n{}Moisture by depth, {chart}; bands of about 95 %.{rebound}\n\n", table.render())
}

fn text(bin: &BinJob, found: &Commissioning, at: Option<&str>, out: &Out) -> String {
    let demo = if bin.invented { " DEMO: invented equipment." } else { "" };
    let mut table =
        Table::numbers(&["comparison", "measured", "expected", "may differ by", "result", "most of the doubt"]);
    for line in &found.lines {
        table.row(row(line, found.coverage, out));
    }
    let mut flows = Table::facts();
    for (way, flow) in &found.airflows {
        flows.row([
            format!("airflow by {}", way_words(*way)),
            format!("{} ± {}", out.show(flow.value, Kind::Airflow), out.show(2.0 * flow.standard, Kind::Airflow)),
        ]);
    }
    if let Some(planned) = found.planned_airflow {
        flows.row(["airflow of the plan".to_string(), out.show(planned, Kind::Airflow)]);
    }
    let untold: Vec<String> = found.untold().into_iter().map(line_says).collect();
    let result = if found.differs() {
        "DIFFERS: the bin does not do what was planned, or a reading is wrong. `diagnose` ranks the causes.".to_string()
    } else if !found.urgent.is_empty() {
        "CANNOT TELL before what is said first has been done.".to_string()
    } else if !found.agrees_somewhere() {
        "CANNOT TELL: no comparison tells anything with these readings.".to_string()
    } else if untold.is_empty() {
        "AGREES: nothing read contradicts the plan.".to_string()
    } else {
        format!("AGREES AS FAR AS IT CAN BE TOLD. Not told: {}.", untold.join("; "))
    };
    let seen: Vec<String> = found
        .would_have_seen()
        .into_iter()
        .map(|(check, share)| format!("{} ± {:.0} %", check_says(check), 100.0 * share))
        .collect();
    let seen = match seen.is_empty() {
        true => String::new(),
        false => format!("The smallest fault these readings would have shown: {}.\n", seen.join("; ")),
    };
    format!(
        "{}bin {}, {}{}: {} deep, air of {} at the fan inlets.{demo}\n\n{}\n{}\n{result}\n{seen}\
         Each comparison is within its combined uncertainty times {:.2}; at most {:.0} % of sound bins differ in any of them.\n\
         Airflows at the fan inlets, ± two standard uncertainties.\n",
        super::urgent(&found.urgent),
        bin.name,
        sentences::short_name(&bin.crop_name),
        at.map(|at| format!(", {at}")).unwrap_or_default(),
        out.show(found.depth, Kind::Length),
        out.show(found.density, Kind::Density),
        table.render(),
        flows.render(),
        found.coverage,
        100.0 * FALSE_ALARMS,
    )
}

fn row(line: &Line, coverage: f64, out: &Out) -> [String; 6] {
    let shown = |value: Option<f64>| value.map_or("-".into(), |v| show(v, line.kind, out));
    [
        line_says(line),
        shown(line.measured),
        shown(line.expected),
        line.standard.map_or("-".into(), |u| show_band(u * coverage, line.kind, out)),
        agreement_says(line.agreement).to_string(),
        line.contributions.first().map_or("-".into(), |c| format!("{} {:.0} %", c.input, 100.0 * c.share)),
    ]
}

/// Shares of a volt or two need their decimals.
fn show(value: f64, kind: Kind, out: &Out) -> String {
    match kind {
        Kind::Fraction => format!("{:.1} %", 100.0 * value),
        _ => out.show(value, kind),
    }
}

/// How far two may lie apart: of temperatures a difference.
fn show_band(value: f64, kind: Kind, out: &Out) -> String {
    show(value, if kind == Kind::Temperature { Kind::TemperatureDifference } else { kind }, out)
}

fn way_words(way: Airflow) -> &'static str {
    match way {
        Airflow::Pressure => "static pressure and fan curve",
        Airflow::Rise => "rise of temperature and heat",
        Airflow::Traverse => "traverse",
    }
}
