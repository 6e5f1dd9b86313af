//! `survey`: a site said back.

use super::site;
use crate::{
    args::SiteArgs,
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::sentences;
use contract::{Document, survey::SurveyJson};
use job::{BinJob, Job};
use notice::quantity::BUSHEL_M3;
use notice::{Kind, Remarks, UnitSystem};

/// Surveys a site file.
pub fn run(args: &SiteArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    if out.json {
        let mut remarks = Remarks::default();
        job.bins.iter().for_each(|b| remarks.extend(b.remarks.clone()));
        out.json(&Document::new("survey/1", SurveyJson::of(&job), &remarks))?;
    } else {
        let text: String = text(&job, out);
        out.text(&text)?;
    }
    Ok(Ending::Done)
}

/// The whole site as text.
pub fn text(job: &Job, out: &Out) -> String {
    let mut text = format!(
        "site {}: {} above the sea, weather {}{}\n",
        job.name,
        elevation(job.place.elevation, out),
        job.weather_name,
        if job.typical { " (a typical year)" } else { "" }
    );
    text.push_str(&site::weather_origin(job));
    for bin in &job.bins {
        text.push('\n');
        text.push_str(&bin_text(bin, out));
        text.push_str(&site::notes(&bin.remarks, out));
    }
    text
}

/// Heights above the sea are not known to the inch.
fn elevation(metres: f64, out: &Out) -> String {
    let shown = Kind::Length.shown(out.units);
    format!("{:.0} {}", metres * shown.factor, shown.unit)
}

/// One bin as text.
pub fn bin_text(bin: &BinJob, out: &Out) -> String {
    let s = &bin.survey;
    // Volume bushels beside cubic metres for those who count in metres; in US units the bushel is the measure.
    let space = |volume: f64| match out.units {
        UnitSystem::Us => format!("{:.0} bu by volume", volume / BUSHEL_M3),
        UnitSystem::Si => format!("{volume:.1} m³"),
    };
    let mut table = Table::facts();
    table.row([
        format!("bin {}", bin.name),
        format!(
            "{} diameter, {} to the eave",
            out.show(bin.template.bin.diameter, Kind::Length),
            out.show(s.eave, Kind::Length)
        ),
    ]);
    table.row(["level to the eave".to_string(), space(s.volume_to_eave)]);
    for (k, lot) in s.lots.iter().enumerate() {
        let legal = lot.bushels.map(|b| format!("{b:.0} legal bu by weight = ")).unwrap_or_default();
        let base =
            lot.base_bushels.map(|b| format!(" = {b:.0} legal bu after shrink to base moisture")).unwrap_or_default();
        table.row([
            format!("lot {}", k + 1),
            format!(
                "{} at {}: {legal}{} as filled{base}",
                sentences::short_name(&bin.crop_name),
                out.show(lot.moisture, Kind::MoistureWetBasis),
                out.show(lot.wet_mass, Kind::Mass),
            ),
        ]);
        table.row([
            String::new(),
            format!(
                "{} of dry matter; takes {} at {}; level depth with it {}",
                out.show(lot.dry_matter, Kind::Mass),
                space(lot.volume),
                out.show(lot.bulk_density, Kind::BulkDensity),
                out.show(lot.depth_after, Kind::Length)
            ),
        ]);
    }
    let mut fans: Vec<(&str, usize)> = Vec::new();
    for fan in bin.template.system.outfit.fans() {
        match fans.iter_mut().find(|(id, _)| *id == fan.id) {
            Some((_, count)) => *count += 1,
            None => fans.push((&fan.id, 1)),
        }
    }
    let fans: Vec<String> =
        fans.iter().map(|(id, n)| if *n == 1 { id.to_string() } else { format!("{n} × {id}") }).collect();
    let demo = if bin.invented { " (DEMO: invented equipment)" } else { "" };
    table.row(["fans".to_string(), format!("{}{demo}", fans.join(", "))]);
    if let Some(burner) = &bin.template.burner {
        table.row(["burner".to_string(), burner.id.clone()]);
    }
    site::data_rows(bin, &mut table);
    let years = match (bin.years.first(), bin.years.last()) {
        (Some((a, _)), Some((b, _))) => format!("{} seasons with complete weather, {a} to {b}", bin.years.len()),
        _ => "no season with complete weather".to_string(),
    };
    table.row(["weather".to_string(), years]);
    for (year, reason) in &bin.left_out {
        table.row([String::new(), format!("left out {year}: {reason}")]);
    }
    table.render()
}
