//! `limit`: how wet, how deep, how late with the outfit that stands there.

use super::prepared::Prepared;
use super::{pictures, site};
use crate::{
    args::{AskedArg, LimitArgs},
    exit::{Ending, Failure},
    output::Out,
    table::Table,
};
use advice::limit::{self, Asked, Map};
use contract::{
    Document,
    limit::{LimitJson, day},
};
use notice::Kind;

/// Draws the map of a site's bins.
pub fn run(args: &LimitArgs, out: &mut Out) -> Result<Ending, Failure> {
    let prepared = Prepared::open(&args.site, args.bin.as_deref(), "limit")?;
    let asked = match args.asked {
        AskedArg::Moisture => Asked::Moisture,
        AskedArg::Depth => Asked::Depth,
        AskedArg::Date => Asked::Date,
    };
    let maps: Vec<Map> = prepared
        .bins()
        .map(|(number, bin)| {
            prepared.watched(&format!("bin {}: seasons of the map", bin.name), |observer, _| {
                let (base, library) = (&prepared.base, &prepared.library);
                limit::map(&prepared.engine, base, number, library, (asked, !args.apart), observer)
            })
        })
        .collect();
    let remarks = prepared.remarks();
    if out.json {
        let mut documents = maps.iter().map(LimitJson::of);
        if let Some(mut first) = documents.next() {
            first.further_bins = documents.collect();
            out.json(&Document::new("limit/1", first, &remarks))?;
        }
    } else {
        let text: Vec<String> = maps.iter().map(|map| view(map, out)).collect();
        out.text(&format!("{}\n{}{}\n", text.join("\n"), site::notes(&remarks, out), site::ENTRY))?;
    }
    if let Some(folder) = &args.plots {
        for map in &maps {
            let scene = documents::weighing::limits(map, documents::shown::Reader(out.units));
            pictures::picture(folder, &format!("limit-{}", map.bin), &scene)?;
        }
    }
    if maps.iter().any(|map| map.partial) {
        return Ok(Ending::Interrupted);
    }
    Ok(if maps.iter().all(Map::reached) { Ending::Done } else { Ending::GoalMissed })
}

/// A map as text.
fn view(map: &Map, out: &Out) -> String {
    let wanted = format!("{:.0} %", 100.0 * map.wanted);
    let mut text = match map.asked {
        Asked::Moisture => format!("bin {}: how wet, for {wanted} of the years\n", map.bin),
        Asked::Depth => format!("bin {}: how deep, for {wanted} of the years\n", map.bin),
        Asked::Date => format!("bin {}: how late, for {wanted} of the years\n", map.bin),
    };
    text.push_str(match (map.together, map.asked) {
        (true, Asked::Date) => {
            "  The later the harvest, the drier the field: both move together (--apart keeps the moisture).\n"
        }
        (true, _) => "  Wetter grain is harvested earlier: both move together by the field (--apart keeps the day).\n",
        (false, _) => "  Day and moisture of the harvest do not move together.\n",
    });
    if let Some(why) = &map.apart_because {
        text.push_str(&format!("  {why}.\n"));
    }
    text.push_str("  In the cells: good years of those that ran.\n");
    let depths: Vec<String> = map.depths.iter().map(|&depth| out.show(depth, Kind::Length)).collect();
    let mut head: Vec<&str> = vec!["moisture", "from"];
    head.extend(depths.iter().map(String::as_str));
    head.push("deepest");
    let mut table = Table::numbers(&head);
    for ((row, cells), deepest) in map.rows.iter().zip(&map.cells).zip(map.deepest()) {
        let mut line = vec![out.show(row.moisture, Kind::MoistureWetBasis), day(row.from)];
        line.extend(cells.iter().map(|cell| cell.map_or("-".into(), |cell| format!("{} of {}", cell.good, cell.of))));
        line.push(deepest.map_or("none".into(), |depth| out.show(depth, Kind::Length)));
        table.row(line);
    }
    let airflow = |d: usize| map.cells.iter().find_map(|row| row[d]).map(|cell| cell.specific_airflow);
    let mut line = vec!["airflow".to_string(), String::new()];
    line.extend((0..map.depths.len()).map(|d| airflow(d).map_or("-".into(), |q| out.show(q, Kind::SpecificAirflow))));
    table.row(line);
    let mut line = match map.asked {
        Asked::Date => vec!["latest".to_string(), String::new()],
        _ => vec!["wettest".to_string(), String::new()],
    };
    match map.asked {
        Asked::Date => line.extend(map.latest().into_iter().map(|latest| latest.map_or("none".into(), day))),
        _ => line.extend(
            map.wettest().into_iter().map(|wet| wet.map_or("none".into(), |m| out.show(m, Kind::MoistureWetBasis))),
        ),
    }
    table.row(line);
    text.push_str(&format!("\nshare of years met or held\n{}", table.render()));
    text.push_str(&format!("\non {} layers; limits between rows and depths are linear in the chance\n", map.layers));
    text
}
