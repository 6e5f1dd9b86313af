//! `tune`: the control that costs least at the wanted risk, for the outfit that stands there.

use super::prepared::Prepared;
use super::site;
use crate::args::TuneArgs;
use crate::exit::{Ending, Failure};
use crate::output::Out;
use crate::table::Table;
use advice::tune::{PARTS, Tuning, says, tune};
use contract::{Document, tune::TuneJson};
use notice::Kind;

/// Looks for the rule of a site's bins.
pub fn run(args: &TuneArgs, out: &mut Out) -> Result<Ending, Failure> {
    let prepared = Prepared::open(&args.site, args.bin.as_deref(), "tune")?;
    let mut found: Vec<Tuning> = Vec::new();
    for (number, bin) in prepared.bins() {
        let tuning = prepared.watched(&format!("bin {}: seasons of all rules", bin.name), |observer, _| {
            tune(&prepared.engine, (&prepared.base, number), &prepared.library, observer)
        });
        found.push(tuning.map_err(|wrong| *wrong)?);
    }
    let remarks = prepared.remarks();
    if out.json {
        let mut documents = found.iter().map(TuneJson::of);
        if let Some(mut first) = documents.next() {
            first.further_bins = documents.collect();
            out.json(&Document::new("tune/1", first, &remarks))?;
        }
    } else {
        let text: Vec<String> = found.iter().map(|tuning| view(tuning, out)).collect();
        let notes = site::notes(&remarks, out);
        out.text(&format!("{}\n{notes}{}\n{}\n", text.join("\n"), site::MACHINES, site::ENTRY))?;
    }
    if found.iter().any(|tuning| tuning.partial) {
        return Ok(Ending::Interrupted);
    }
    Ok(if found.iter().all(Tuning::goal_reached) { Ending::Done } else { Ending::GoalMissed })
}

fn view(tuning: &Tuning, out: &Out) -> String {
    let mut text = format!("{}\n", site::sentence(&says::headline(tuning), out.units));
    let Some(found) = tuning.found else { return text };
    if let Some(worth) = says::worth(tuning) {
        text.push_str(&format!("  {}\n", site::sentence(&worth, out.units)));
    }
    text.push_str(&format!("  In the site file: control = {}\n", tuning.tried[found].text));
    let of = tuning.years.len();
    text.push_str(&format!(
        "\nfound on each half of the years and scored on the other, with sensors whose errors are drawn anew (±{}, ±{}{}):\n  {} of {of} \
         years failed, {}\n",
        out.show(tuning.sensors.humidity, Kind::RelativeHumidity),
        out.show(tuning.sensors.temperature, Kind::TemperatureDifference),
        if tuning.ideal { "; the file says ideal sensors, these are the usual ones" } else { "" },
        tuning.unseen_failures,
        says::money(tuning, tuning.unseen_cost)
    ));
    for against in &tuning.against {
        text.push_str(&format!("  {}\n", says::against(tuning, against).render(out.units)));
    }
    let mut table = Table::numbers(&["rule", "cost", "failed", "other sensors: cost", "failed"]);
    let mut row = |name: String, place: usize| {
        let tried = &tuning.tried[place];
        let other =
            |show: &dyn Fn(&advice::weigh::score::Score) -> String| tried.unseen.as_ref().map_or("-".to_string(), show);
        table.row([
            name,
            format!("{:.3}", tried.score.cost()),
            tried.score.failures().to_string(),
            other(&|score| format!("{:.3}", score.cost())),
            other(&|score| score.failures().to_string()),
        ]);
    };
    row("found on all years".into(), found);
    for (part, &place) in tuning.halves.iter().enumerate() {
        row(format!("found on half {} of {PARTS}", part + 1), place);
    }
    for (place, tried) in tuning.tried.iter().enumerate() {
        if let Some(usual) = tried.rule.usual {
            row(usual.into(), place);
        }
    }
    text.push_str(&format!("\nall years, found and usual rules\n{}", table.render()));
    for (part, &place) in tuning.halves.iter().enumerate().filter(|(_, place)| **place != found) {
        let rule = says::rule(&tuning.tried[place].rule.control);
        text.push_str(&format!("  on half {}: {}\n", part + 1, rule.render(out.units)));
    }
    text.push_str(&format!(
        "\n{} rules over {of} years, {} seasons on {} layers; the usual rules are common practice, no source. Owning the outfit is not in \
         these costs.\n",
        tuning.tried.len(),
        tuning.seasons,
        tuning.layers
    ));
    text
}
