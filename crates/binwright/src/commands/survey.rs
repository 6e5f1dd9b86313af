//! `survey`: a site said back.

use super::site;
use crate::{
    args::SiteArgs,
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use contract::{Document, survey::SurveyJson};
use job::{BinJob, Job};
use notice::quantity::BUSHEL_M3;
use notice::{Kind, Remarks};

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
        out.show(job.place.elevation, Kind::Length),
        job.weather_name,
        if job.typical { " (a typical year)" } else { "" }
    );
    for bin in &job.bins {
        text.push('\n');
        text.push_str(&bin_text(bin, out));
        text.push_str(&site::notes(&bin.remarks, out));
    }
    text
}

/// One bin as text.
pub fn bin_text(bin: &BinJob, out: &Out) -> String {
    let s = &bin.survey;
    let bushels = |volume: f64| format!("{:.0} volume bu", volume / BUSHEL_M3);
    let mut table = Table::facts();
    table.row([
        format!("bin {}", bin.name),
        format!(
            "{} diameter, {} to the eave",
            out.show(bin.template.bin.diameter, Kind::Length),
            out.show(s.eave, Kind::Length)
        ),
    ]);
    table.row(["level to the eave".to_string(), format!("{:.1} m³ = {}", s.volume_to_eave, bushels(s.volume_to_eave))]);
    for (k, lot) in s.lots.iter().enumerate() {
        let legal = lot.bushels.map(|b| format!("{b:.0} legal bu by weight, ")).unwrap_or_default();
        let base =
            lot.base_bushels.map(|b| format!(", {b:.0} legal bu at base moisture after shrink")).unwrap_or_default();
        table.row([
            format!("lot {}", k + 1),
            format!(
                "{} at {}: {legal}{:.1} t as filled, {:.1} t dry matter{base}",
                bin.crop_name,
                out.show(lot.moisture, Kind::MoistureWetBasis),
                lot.wet_mass / 1000.0,
                lot.dry_matter / 1000.0
            ),
        ]);
        table.row([
            String::new(),
            format!(
                "{:.1} m³ = {} at {}; depth then {}",
                lot.volume,
                bushels(lot.volume),
                out.show(lot.bulk_density, Kind::BulkDensity),
                out.show(lot.depth_after, Kind::Length)
            ),
        ]);
    }
    let fans: Vec<&str> = bin.template.system.outfit.fans().iter().map(|f| f.id.as_str()).collect();
    let demo = if bin.invented { " (DEMO: invented equipment)" } else { "" };
    table.row(["fans".to_string(), format!("{}{demo}", fans.join(", "))]);
    if let Some(burner) = &bin.template.burner {
        table.row(["burner".to_string(), burner.id.clone()]);
    }
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
