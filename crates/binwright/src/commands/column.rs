//! `column`: one even column of grain from a case file.

use super::site;
use crate::{
    args::ColumnArgs,
    exit::{Ending, Failure},
    output::Out,
    stop,
    table::Table,
};
use contract::{Document, column as shape};
use ensemble::Observer as _;
use notice::Kind;
use physics::grain::wet_basis;
use season::column::ColumnProfile;
use std::io::Read as _;
use std::path::Path;

/// Largest table of inlet air, bytes: a hundred thousand rows take less.
const LARGEST_TABLE: u64 = 16 << 20;

/// Runs a case file.
pub fn run(args: &ColumnArgs, out: &mut Out) -> Result<Ending, Failure> {
    let name = args.case.display().to_string();
    let text = job::read_text(&args.case, &name).map_err(|wrong| *wrong)?;
    let folder = args.case.parent().unwrap_or(Path::new("."));
    let read = job::column::read(&name, &text, &|beside| table(&folder.join(beside)))?;
    let watch = site::Watch::new("column, % of its steps", stop::on_interrupt()?);
    let run = read.case.run_until(&|done| {
        watch.progress((100.0 * done) as usize, 100);
        watch.cancelled()
    });
    watch.clear();
    let remarks = read.remarks_on(&run);
    let first = read.case.inlet.iter().rev().find(|step| step.hour <= 0.0);
    let answer = shape::Column {
        crop: read.crop,
        relation: read.relation.id,
        kinetics: read.kinetics,
        depth_m: read.case.depth,
        dry_matter_density_kg_m3: read.case.dry_density,
        dry_air_flux_kg_s_m2: first.map_or(0.0, |step| step.flux),
        layers: read.case.layers,
        step_s: first.map(|air| read.case.step.unwrap_or(f64::INFINITY).min(read.case.default_step(air))),
        profiles: run.profiles.iter().map(profile).collect(),
        partial: run.partial,
        balance: shape::Balance { water: run.water_residual, energy: run.energy_residual },
    };
    if out.json {
        out.json(&Document::new("column/1", &answer, &remarks))?;
    } else {
        let mut text = view(&answer, out);
        for remark in &remarks.0 {
            text.push_str(&format!("note: {}\n", remark.says.render(out.units)));
        }
        if run.partial {
            let (done, all) = (answer.profiles.len(), read.case.hours.len());
            text.push_str(&format!("cut short: {done} of {all} hours reached\n"));
        }
        out.text(&text)?;
    }
    Ok(if run.partial { Ending::Interrupted } else { Ending::Done })
}

/// The text of a table beside the case, never more than is sensible: a name may lead to a device without end.
fn table(path: &Path) -> std::io::Result<String> {
    let mut text = String::new();
    if !std::fs::metadata(path)?.is_file() {
        return Err(std::io::Error::other("no regular file"));
    }
    std::fs::File::open(path)?.take(LARGEST_TABLE + 1).read_to_string(&mut text)?;
    match text.len() as u64 > LARGEST_TABLE {
        true => Err(std::io::Error::other(format!("more than {LARGEST_TABLE} bytes"))),
        false => Ok(text),
    }
}

fn profile(profile: &ColumnProfile) -> shape::Profile {
    shape::Profile {
        hour: profile.hour,
        mean_moisture_wb: wet_basis(profile.mean_moisture),
        exhaust: profile
            .exhaust
            .map(|e| shape::Exhaust { temperature_c: e.temperature, humidity_ratio: e.humidity_ratio }),
        at: profile
            .at
            .iter()
            .map(|at| shape::AtDepth {
                depth_m: at.depth,
                moisture_wb: wet_basis(at.moisture),
                temperature_c: at.temperature,
                storage_life_used: at.life_strict,
                storage_life_used_published: at.life_published,
            })
            .collect(),
        front_depth_m: profile.front_depth,
    }
}

/// The answer as text: a row an hour, then the depths hour by hour.
fn view(answer: &shape::Column, out: &Out) -> String {
    let mut text = format!(
        "{} by {}, {}, {} deep\n\n",
        answer.crop,
        answer.relation,
        answer.kinetics,
        out.show(answer.depth_m, Kind::Length)
    );
    let moisture = |m: f64| format!("{:.2}", 100.0 * m);
    let mut table = Table::measured(&[
        ("hour", ""),
        ("mean moisture", out.unit(Kind::MoistureWetBasis)),
        ("exhaust", out.unit(Kind::Temperature)),
        ("exhaust humidity ratio", out.unit(Kind::HumidityRatio)),
        ("front at", out.unit(Kind::Length)),
    ]);
    for p in &answer.profiles {
        let exhaust = |of: fn(&shape::Exhaust) -> f64, kind: Kind| {
            p.exhaust.as_ref().map_or("-".into(), |e| out.number(of(e), kind))
        };
        table.row([
            format!("{}", p.hour),
            moisture(p.mean_moisture_wb),
            exhaust(|e| e.temperature_c, Kind::Temperature),
            exhaust(|e| e.humidity_ratio, Kind::HumidityRatio),
            p.front_depth_m.map_or("-".into(), |d| out.number(d, Kind::Length)),
        ]);
    }
    text.push_str(&table.render());
    if answer.profiles.iter().any(|p| !p.at.is_empty()) {
        let mut table = Table::measured(&[
            ("hour", ""),
            ("depth", out.unit(Kind::Length)),
            ("moisture", out.unit(Kind::MoistureWetBasis)),
            ("temperature", out.unit(Kind::Temperature)),
            ("storage life used", "% strict"),
            ("as published", "%"),
        ]);
        for p in &answer.profiles {
            for at in &p.at {
                let life = |l: Option<f64>| l.map_or("not judged".into(), |l| format!("{:.1}", 100.0 * l));
                table.row([
                    format!("{}", p.hour),
                    out.number(at.depth_m, Kind::Length),
                    moisture(at.moisture_wb),
                    out.number(at.temperature_c, Kind::Temperature),
                    life(at.storage_life_used),
                    life(at.storage_life_used_published),
                ]);
            }
        }
        text.push('\n');
        text.push_str(&table.render());
    }
    text.push_str(&format!(
        "\nbalance residual: water {:.1e}, energy {:.1e}\n",
        answer.balance.water, answer.balance.energy
    ));
    text
}
