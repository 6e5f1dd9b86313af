//! `air SITE`: fans against the grain of each bin, at every fill.

use super::site;
use crate::{
    args::AirArgs,
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::{air::BinAir, sentences, way::BudgetItem};
use contract::{
    Document,
    air::{AirJson, AirSiteJson, outcome_word},
};
use equipment::Outcome;
use job::BinJob;
use notice::{Kind, Remarks};
use std::path::Path;

/// Works the fans of a site file.
pub fn run(path: &Path, args: &AirArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(path)?;
    let bins = site::bins(&job, args.bin.as_deref())?;
    let points: Vec<(&BinJob, BinAir)> =
        bins.iter().map(|bin| (*bin, advice::air::fills(bin, job.place.elevation))).collect();
    let full = |air: &BinAir| air.fills.last().map_or(Outcome::Off, |f| f.point.outcome);
    let missed = points.iter().any(|(_, air)| matches!(full(air), Outcome::BeyondCurve | Outcome::Unstable));
    if out.json {
        let mut remarks = Remarks::default();
        for (bin, air) in &points {
            remarks.extend(bin.remarks.clone());
            remarks.extend(advice::way::remarks(bin, air));
        }
        let bins = points.iter().map(|(bin, air)| AirJson::of(bin, air)).collect();
        out.json(&Document::new("air-site/1", AirSiteJson { bins }, &remarks))?;
    } else {
        let text: Vec<String> = points
            .iter()
            .map(|(bin, air)| {
                let mut data = Table::facts();
                site::data_rows(bin, &mut data);
                let way = site::notes(&advice::way::remarks(bin, air), out);
                format!("{}{}{}{way}", text(bin, air, out), data.render(), site::notes(&bin.remarks, out))
            })
            .collect();
        out.text(&text.join("\n"))?;
    }
    Ok(if missed { Ending::GoalMissed } else { Ending::Done })
}

/// The fills of a bin as a table.
pub fn text(bin: &BinJob, air: &BinAir, out: &Out) -> String {
    let unit = |kind: Kind| out.unit(kind);
    let mut table = Table::measured(&[
        ("fill", "%"),
        ("depth", unit(Kind::Length)),
        ("airflow", unit(Kind::Airflow)),
        ("per grain", unit(Kind::SpecificAirflow)),
        ("static", unit(Kind::Pressure)),
        ("grain", unit(Kind::Pressure)),
        ("floor", unit(Kind::Pressure)),
        ("other", unit(Kind::Pressure)),
        ("input", unit(Kind::ElectricPower)),
        ("motor", "% of rating"),
        ("fan heat", unit(Kind::TemperatureDifference)),
        ("fans", ""),
    ]);
    for f in &air.fills {
        let p = &f.point;
        table.row([
            format!("{:.0}", 100.0 * f.fill),
            out.number(f.depth, Kind::Length),
            out.number(p.fan_airflow, Kind::Airflow),
            out.number(p.fan_airflow / f.volume, Kind::SpecificAirflow),
            out.number(p.fan_static_pressure, Kind::Pressure),
            out.number(p.budget.grain, Kind::Pressure),
            out.number(p.budget.floor, Kind::Pressure),
            out.number(p.budget.transition + p.budget.spread + p.budget.vents, Kind::Pressure),
            format!("{:.1}", p.input_power / 1000.0),
            format!("{:.0}{}", 100.0 * f.motor_load, if p.flags.overload { " OVERLOAD" } else { "" }),
            out.number(p.fan_heat, Kind::TemperatureDifference),
            outcome_word(p.outcome).to_string(),
        ]);
    }
    let word = |outcome: Outcome, says: &str| match air.fills.iter().any(|f| f.point.outcome == outcome) {
        true => format!("{}: {says}\n", outcome_word(outcome)),
        false => String::new(),
    };
    let words = [
        word(Outcome::Unstable, "left of the fan's peak, where it surges; do not rely on this airflow"),
        word(Outcome::BeyondCurve, "more pressure than the fan can give; no airflow to rely on"),
        word(
            Outcome::HeldBelowFirst,
            "less pressure than its curve begins with; the airflow of its first point is shown",
        ),
    ]
    .concat();
    let demo = if bin.invented { "DEMO: invented equipment. " } else { "" };
    let estimated = air.fills.iter().any(|f| f.point.flags.estimated_power);
    let power = if estimated { " ESTIMATED: power by kind of fan." } else { "" };
    let budget = if bin.way.drawn() { budget(bin, air, out) } else { String::new() };
    let other = if bin.way.drawn() { "everything else" } else { "transition, ducts, vents" };
    format!(
        "bin {}, {}: all fans running, outside air {} and {:.0} % RH, packing factor {:.2}\n\n{}\n\
         {demo}Airflow at the fan inlets; per grain as filled, at {}.{power}\n\
         Static pressure is that of grain, floor and other ({other}) together.\n{words}{budget}{}\n",
        bin.name,
        sentences::short_name(&bin.crop_name),
        out.show(air.temperature, Kind::Temperature),
        100.0 * air.relative_humidity,
        bin.packing,
        table.render(),
        out.show(bin.survey.wet_mass() / bin.survey.volume(), Kind::BulkDensity),
        site::MACHINES,
    )
}

/// The pressure budget item by item, in the order in which the air meets it.
fn budget(bin: &BinJob, air: &BinAir, out: &Out) -> String {
    let columns: Vec<Vec<BudgetItem>> = air.fills.iter().map(|f| advice::way::budget(bin, &f.point)).collect();
    let Some(full) = columns.last() else { return String::new() };
    let pressure = out.unit(Kind::Pressure);
    let fills: Vec<String> = air.fills.iter().map(|f| format!("{:.0} % full", 100.0 * f.fill)).collect();
    let mut head = vec![("pressure budget", "")];
    head.extend(fills.iter().map(|fill| (fill.as_str(), pressure)));
    head.push(("velocity, full", out.unit(Kind::Velocity)));
    let mut table = Table::measured(&head);
    for (k, item) in full.iter().enumerate() {
        let mut cells = vec![item.name.to_string()];
        cells.extend(columns.iter().map(|column| match column.get(k) {
            Some(item) => out.number(item.pressure, Kind::Pressure),
            None => "-".into(),
        }));
        cells.push(item.velocity.map_or("-".into(), |v| out.number(v, Kind::Velocity)));
        table.row(cells);
    }
    let mut sum = vec!["static pressure of the fans".to_string()];
    sum.extend(air.fills.iter().map(|f| out.number(f.point.fan_static_pressure, Kind::Pressure)));
    table.row(sum);
    let stated = match bin.template.system.budget.leakage {
        share if share > 0.0 => format!("{:.1} % of the fans' air escapes before the grain\n", 100.0 * share),
        _ => String::new(),
    };
    format!("\n{}{stated}", table.render())
}
