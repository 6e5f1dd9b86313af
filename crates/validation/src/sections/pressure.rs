//! Static pressure of grain: the published table of corn, and the recomputed rows.

use super::Named;
use crate::page::{Against, Section, Verdict, row};
use crate::plots::{self, Line};
use crate::table::{self, Row};
use crops::Library;
use notice::quantity::{BUSHEL_M3, CFM_M3_S, INCH_WATER_PA};
use physics::resistance::BedResistance;
use std::fmt::Write;

/// Packing of corn that the published table implies.
const PACKING: f64 = 1.5;

fn inches(bed: &BedResistance, r: &Row) -> f64 {
    let specific = r.value("airflow_cfm_per_bu") * CFM_M3_S / BUSHEL_M3;
    bed.static_pressure(specific, r.value("depth_ft") * 0.3048) / INCH_WATER_PA
}

/// The section.
pub fn section(plots: &mut Vec<Named>) -> Section {
    let rows = table::read(include_str!("../../data/static-pressure.csv"));
    let library = Library::built_in();
    let bed = |crop: &str, multiplier: f64| {
        let (crop, _) = library.find(crop).ok()?;
        let row = crop.resistance(None).ok()?;
        Some(BedResistance { law: row.law, multiplier, fines: 0.0 })
    };
    let mut section = Section::new(
        "Static pressure of grain",
        Against::Published,
        "Corn by the log law of ASAE D272.3 with a packing factor of 1.5, which is inferred from this very table and not printed in \
         it: the table confirms the law's shape and that factor together. Allowed: 0.1 in. of water. Below, published / computed.",
    );
    let published: Vec<&Row> = rows.iter().filter(|r| r.text("kind") == "published").collect();
    let mut grid = String::new();
    if let Some(corn) = bed("corn", PACKING) {
        let off = |r: &Row| inches(&corn, r) - r.value("published_static_inwc");
        let worst = published.iter().map(|r| off(r).abs()).fold(0.0, f64::max);
        let digits = published.iter().filter(|r| off(r).abs() <= 0.05 + 1e-9).count();
        let hits = published.iter().filter(|r| off(r).abs() <= 0.1).count();
        let found = format!("{hits} within 0.1 in., {digits} to the printed digit");
        let line = row("corn, 8 to 24 ft, 0.5 to 1.5 cfm/bu", format!("{} values", published.len()), found).times(hits);
        section.rows.push(line.off(format!("largest {worst:.3} in.")).is(Verdict::Agrees));
        for r in published.iter().filter(|r| off(r).abs() > 0.1) {
            let at = format!("corn, {} ft, {} cfm/bu", r.text("depth_ft"), r.text("airflow_cfm_per_bu"));
            let says = format!("{} in.", r.text("published_static_inwc"));
            let line = row(at, says, format!("{:.2} in.", inches(&corn, r))).off(format!("{:+.2} in.", off(r)));
            section.rows.push(line.is(Verdict::Differs));
        }
        let flows = table::kinds(published.iter().copied(), "airflow_cfm_per_bu");
        let depths = table::kinds(published.iter().copied(), "depth_ft");
        let head: Vec<String> = flows.iter().map(|f| format!("{f} cfm/bu")).collect();
        let _ = writeln!(grid, "\n| depth, ft | {} |\n| --- |{}", head.join(" | "), " --- |".repeat(flows.len()));
        for depth in depths {
            let cell = |flow: &&str| {
                let at = |r: &&&Row| r.text("depth_ft") == depth && r.text("airflow_cfm_per_bu") == *flow;
                published
                    .iter()
                    .find(at)
                    .map_or("–".into(), |r| format!("{} / {:.2}", r.text("published_static_inwc"), inches(&corn, r)))
            };
            let cells: Vec<String> = flows.iter().map(cell).collect();
            let _ = writeln!(grid, "| {depth} | {} |", cells.join(" | "));
        }
        let pairs: Vec<(f64, f64)> =
            published.iter().map(|r| (r.value("published_static_inwc"), inches(&corn, r))).collect();
        let most = pairs.iter().map(|p| p.0.max(p.1)).fold(1.0, f64::max).ceil();
        let plot = plots::chart(
            "Corn: 42 published static pressures against ours",
            "Each ring is one depth and airflow; on the line both are equal.",
            ("published, in. of water", 0.0, most),
            ("computed, in. of water", 0.0, most),
            vec![Line::new("equal", vec![(0.0, 0.0), (most, most)])],
            vec![pairs],
        );
        plots.push(("corn-pressure", plot));
    }
    let recomputed: Vec<&Row> = rows.iter().filter(|r| r.text("kind") == "computed").collect();
    for crop in table::kinds(recomputed.iter().copied(), "crop") {
        let of: Vec<&&Row> = recomputed.iter().filter(|r| r.text("crop") == crop).collect();
        let Some(loose) = bed(alias(crop), 1.0) else { continue };
        let off = |r: &Row| inches(&loose, r) / r.value("recomputed_loose_inwc") - 1.0;
        let worst = of.iter().map(|r| off(r).abs()).fold(0.0, f64::max);
        let line = row(format!("{crop}, loose"), format!("{} values recomputed from the constants", of.len()), "")
            .times(of.len())
            .off(format!("largest {:.1} %", 100.0 * worst));
        section.rows.push(line.is(Verdict::NoCheck).because("constants recalled: the rows restate them"));
    }
    section.below = grid;
    section.plot(
        "corn-pressure",
        "Published against computed static pressure of corn, all points near the line of equality",
    );
    section.sources(table::kinds(&rows, "source"));
    section
}

/// Our name of a crop of the table.
fn alias(crop: &str) -> &str {
    match crop.split(',').next().unwrap_or(crop) {
        "soybeans" => "soybean",
        "sunflower" => "sunflower-oil",
        other => other,
    }
}
