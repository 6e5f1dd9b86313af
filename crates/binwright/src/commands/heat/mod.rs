//! `heat SITE`: the burner of each bin against the site's own weather, and what stands behind it.

mod duty;
mod firing;
mod place;
mod power;
mod sound;
mod train;

use super::site;
use crate::{
    args::HeatArgs,
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::{heat::BinHeat, sentences};
use contract::heat::{FiredBurnerJson, HeatSiteJson};
use job::{BinJob, Job};
use notice::Kind;

/// Said wherever gas is burned or its line looked at.
pub const GAS: &str = "caution: gas burns and explodes: a licensed gas fitter and the local code decide on tanks, regulators, \
                       pipes, orifices and safeguards; never bypass the air switch, flame safeguard or high limit";

/// Works out the heat of a site file.
pub fn run(args: &HeatArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    let bins = site::bins(&job, args.bin.as_deref())?;
    let heat = advice::heat::of_site(&job);
    if out.json {
        out.json(&HeatSiteJson::document(&job, &heat, args.bin.as_deref()))?;
        return Ok(Ending::Done);
    }
    let shown = job.bins.iter().zip(&heat.bins).filter(|(bin, _)| bins.iter().any(|shown| shown.name == bin.name));
    let mut parts: Vec<String> = shown.map(|(bin, heat)| text(&job, bin, heat, out)).collect();
    if let Some(train) = &heat.train {
        parts.push(format!("{}{}{GAS}\n", train::text(&job, train, out), site::notes(&heat.remarks, out)));
    } else {
        parts.extend((!heat.remarks.0.is_empty()).then(|| site::notes(&heat.remarks, out)));
    }
    let common = &heat.common;
    parts.extend(common.power.iter().map(|p| power::site(p, out)));
    if !common.demand.months.is_empty() {
        parts.push(power::demand(&job, &common.demand, out));
    }
    parts.extend(common.sound.iter().map(|s| sound::text(s, out)));
    let notes = site::notes(&common.remarks, out);
    if !notes.is_empty() {
        parts.push(format!("{notes}{}\n", site::MACHINES));
    }
    out.text(&parts.join("\n"))?;
    Ok(Ending::Done)
}

/// The heat of a bin as text: one part below the other, then the notes.
fn text(job: &Job, bin: &BinJob, heat: &BinHeat, out: &Out) -> String {
    let demo = if bin.invented { " (DEMO: invented equipment)" } else { "" };
    let mut parts =
        vec![format!("bin {}, {}{demo}\n{}", bin.name, sentences::short_name(&bin.crop_name), burner(bin, out))];
    if let (Some(duty), Some(burner)) = (&heat.duty, &bin.template.burner) {
        parts.push(duty::text(job, duty, burner.fuel, out));
    }
    if let Some(place) = &heat.place {
        parts.push(place::text(place, out));
    }
    if let Some(firing) = &heat.firing {
        parts.push(firing::text(firing, out));
    }
    if let Some(power) = &heat.power {
        parts.push(power::text(power, job.power.is_some(), out));
    }
    let mut notes = site::notes(&heat.remarks, out);
    notes.push_str(&site::notes(&bin.remarks, out));
    if FiredBurnerJson::of(bin).is_some_and(|b| b.fuel != "electric") {
        notes.push_str(GAS);
        notes.push('\n');
    }
    notes.push_str(site::MACHINES);
    notes.push('\n');
    parts.push(notes);
    parts.join("\n")
}

/// The burner and what it is asked.
fn burner(bin: &BinJob, out: &Out) -> String {
    let Some(burner) = FiredBurnerJson::of(bin) else { return String::new() };
    let mut table = Table::facts();
    let kind = match (burner.fuel, burner.indirect_efficiency) {
        ("electric", _) => "electric heater".to_string(),
        (fuel, None) => format!("{fuel}, direct flame"),
        (fuel, Some(efficiency)) => {
            format!("{fuel}, indirect, {} of the lower heating value to the air", out.show(efficiency, Kind::Fraction))
        }
    };
    let side = if burner.side == "inlet" { "before the fan" } else { "after the fan" };
    table.row(["burner".to_string(), format!("{}: {kind}, {side}", burner.id)]);
    let low = if burner.minimum_fire < 1.0 {
        format!(", down to {}", out.show(burner.minimum_fire, Kind::Fraction))
    } else {
        String::new()
    };
    table.row([
        "gives the air".to_string(),
        format!("{}, {}{low}", out.show(burner.capacity_w, Kind::HeatRate), burner.firing),
    ]);
    if let Some(limit) = burner.temperature_limit_c {
        table.row(["limit of the plenum".to_string(), out.show(limit, Kind::Temperature)]);
    }
    let asked = match (burner.rise_k, burner.set_c, burner.set_relative_humidity) {
        (Some(rise), ..) => format!("a rise of {} while the fans run", out.show(rise, Kind::TemperatureDifference)),
        (_, Some(set), Some(humidity)) => format!(
            "plenum no damper than {}, and no warmer than {} (humidistat and thermostat)",
            out.show(humidity, Kind::RelativeHumidity),
            out.show(set, Kind::Temperature)
        ),
        (_, Some(set), _) => format!("plenum at {} (thermostat)", out.show(set, Kind::Temperature)),
        (_, _, Some(humidity)) => {
            format!("plenum no damper than {} (humidistat)", out.show(humidity, Kind::RelativeHumidity))
        }
        _ => "nothing".to_string(),
    };
    table.row(["asked".to_string(), asked]);
    site::data_rows(bin, &mut table);
    table.render()
}
