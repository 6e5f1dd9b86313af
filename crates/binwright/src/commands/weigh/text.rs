//! A weighing as text: the sentence, the outfits worth a look and the others with why, costs, the excluded.

use crate::commands::site;
use crate::output::Out;
use crate::table::Table;
use advice::weigh::breaks::Breaks;
use advice::weigh::matters::Mattering;
use advice::weigh::shares::Shares;
use advice::weigh::{Answer, Standing, says};
use notice::{Kind, UnitSystem};
use std::collections::BTreeMap;

/// Rows of outfits that are shown as text; JSON has all.
const MOST_ROWS: usize = 25;
/// Fuel by its weight.
const FUEL: Kind = Kind::Mass;

/// A weighing as text.
pub fn weighing(answer: &Answer, out: &Out) -> String {
    let mut text = String::new();
    if answer.partial {
        text.push_str(
            "UNFINISHED: stopped before every outfit had run its years. What follows is what was known by then.\n",
        );
    }
    text.push_str(&format!("{}\n", site::sentence(&says::headline(answer), out.units)));
    if let Some(unseen) = &answer.unseen {
        text.push_str(&format!(
            "  Chosen so on three quarters of the years and scored on the rest, in turn: {} of {} years failed, {}.\n",
            unseen.failures,
            unseen.of,
            says::money(answer, unseen.cost)
        ));
    }
    if let (Some(base), Some(_)) = (answer.base_moisture, &answer.currency) {
        text.push_str(&format!(
            "  Costs are for a {} of grain at {} after shrink and handling.\n",
            if answer.measure == "bushel" { "legal bushel" } else { "tonne" },
            out.show(base, Kind::MoistureWetBasis)
        ));
    }
    if let Some(why) = says::unpriced(answer) {
        text.push_str(&format!(
            "  A cost marked * is the least it can be, because {why}: of such an outfit no more is said than that it costs the least in what has a price.\n"
        ));
    }
    let head = head(answer, out);
    let mut places: Vec<usize> = answer.front.clone();
    let chosen_first = answer.chosen.iter().copied().filter(|place| !answer.front.contains(place));
    places.extend(chosen_first);
    for (title, list) in [
        ("worth a look: nothing that ran is both cheaper and surer", places),
        (
            "as good as the choice, as far as these years can tell: neither cost nor failed years differ by more than chance",
            answer.equal.clone(),
        ),
        ("not worth it: another is no dearer and fails no more often", beaten(answer)),
        ("none is good enough: these fail in every year", answer.hopeless.clone()),
        ("not decided when it was stopped: over the years each had run", undecided(answer)),
    ] {
        if list.is_empty() {
            continue;
        }
        let mut table = Table::measured(&head);
        for &place in list.iter().take(MOST_ROWS) {
            row(answer, place, &mut table, out);
        }
        text.push_str(&format!("\n{title}\n{}", table.render()));
        if list.len() > MOST_ROWS {
            text.push_str(&format!("and {} more (--json has all)\n", list.len() - MOST_ROWS));
        }
        if title.starts_with("not worth it") || title.starts_with("none") {
            text.push('\n');
            for &place in list.iter().take(MOST_ROWS) {
                let why = says::why(answer, place).render(out.units);
                text.push_str(&format!("{}: {why}\n", answer.outfits[place].name));
            }
        }
    }
    if let Some(chosen) = answer.chosen {
        text.push_str(&costs(answer, chosen, out));
    }
    text.push_str(&excluded(answer, out.units));
    if let Some(check) = &answer.surface {
        text.push_str(&format!(
            "\n{} more outfits were read off a surface of {} seasons over airflow and settings, and not run: they were worse there.\nHeld \
             against the {} that ran all years, it is off by {} in the mean and {} at most, and by {:.0} and {:.0} points in the share of \
             years failed\n",
            answer.not_run,
            check.seasons,
            check.compared,
            says::money(answer, check.cost.0),
            says::money(answer, check.cost.1),
            100.0 * check.failures.0,
            100.0 * check.failures.1
        ));
    }
    text.push_str(&format!(
        "\n{} candidates, {} excluded, {} {} {} years, {} seasons on {} layers{}\n",
        answer.candidates,
        answer.excluded.len(),
        answer.outfits.len(),
        if answer.partial { "to be run over" } else { "run over" },
        answer.years.len(),
        answer.seasons,
        answer.layers,
        if answer.exact { "; only what was certainly beaten ended early" } else { "" }
    ));
    text
}

/// Headings of a table of outfits.
fn head<'a>(answer: &'a Answer, out: &Out) -> [(&'static str, &'a str); 11] {
    let measure = match (answer.currency.as_deref(), answer.measure) {
        (None, _) => "kWh/t",
        (Some(_), "bushel") => "per bu",
        (Some(_), _) => "per t",
    };
    [
        ("outfit", ""),
        ("cost", measure),
        ("failed", "years"),
        ("of", "run"),
        ("airflow", out.unit(Kind::SpecificAirflow)),
        ("static", out.unit(Kind::Pressure)),
        ("load", "kW"),
        ("electricity", "kWh"),
        ("fuel", out.unit(FUEL)),
        ("first cost", answer.currency.as_deref().unwrap_or("")),
        ("worst", "year"),
    ]
}

/// A weighing in a few lines: the sentence and the outfits worth a look.
pub fn short(answer: &Answer, out: &Out) -> String {
    let mut text = format!("{}\n", site::sentence(&says::headline(answer), out.units));
    if let Some(why) = says::unpriced(answer) {
        text.push_str(&format!("  Costs marked * are the least they can be: {why}.\n"));
    }
    let mut table = Table::measured(&head(answer, out));
    answer.front.iter().for_each(|&place| row(answer, place, &mut table, out));
    text.push_str(&format!(
        "{}{} candidates, {} excluded (`weigh` says why)\n",
        table.render(),
        answer.candidates,
        answer.excluded.len()
    ));
    text
}

/// Of a weighing that was stopped those that had run a year or more and were not decided, the surest and cheapest first.
fn undecided(answer: &Answer) -> Vec<usize> {
    let score = |place: usize| &answer.outfits[place].score;
    let mut list: Vec<usize> = (0..answer.outfits.len())
        .filter(|&place| {
            answer.partial && answer.outfits[place].standing == Standing::Unknown && score(place).run() > 0
        })
        .collect();
    let share = |place: usize| score(place).failures() as f64 / score(place).run() as f64;
    let cheaper = |a: usize, b: usize| score(a).cost().total_cmp(&score(b).cost());
    list.sort_by(|&a, &b| share(a).total_cmp(&share(b)).then(cheaper(a, b)).then(a.cmp(&b)));
    list
}

fn beaten(answer: &Answer) -> Vec<usize> {
    let mut list: Vec<usize> = (0..answer.outfits.len())
        .filter(|&place| matches!(answer.outfits[place].standing, Standing::Beaten(_)))
        .filter(|place| !answer.equal.contains(place) && Some(*place) != answer.chosen)
        .collect();
    list.sort_by(|&a, &b| answer.outfits[a].score.cost().total_cmp(&answer.outfits[b].score.cost()).then(a.cmp(&b)));
    list
}

fn row(answer: &Answer, place: usize, table: &mut Table, out: &Out) {
    let shown = &answer.outfits[place];
    let years: Vec<_> = shown.score.years.iter().flatten().collect();
    let of = years.len().max(1) as f64;
    let mark = if shown.unpriced { "*" } else { "" };
    let there = if shown.present { " (stands there)" } else { "" };
    table.row([
        format!("{}{there}", shown.name),
        format!("{:.3}{mark}", shown.score.cost()),
        shown.score.failures().to_string(),
        years.len().to_string(),
        out.number(shown.specific_airflow, Kind::SpecificAirflow),
        out.number(shown.point.fan_static_pressure, Kind::Pressure),
        format!("{:.1}", shown.point.input_power / 1e3),
        format!("{:.0}", years.iter().map(|y| y.electricity).sum::<f64>() / of / 3.6e6),
        out.number(years.iter().map(|y| y.fuel).sum::<f64>() / of, FUEL),
        shown.first_cost.map_or("-".into(), |cost| format!("{cost:.0}")),
        shown.worst().map_or("-".into(), |year| year.year.to_string()),
    ]);
}

/// The lines of the choice's mean year.
fn costs(answer: &Answer, chosen: usize, out: &Out) -> String {
    let shown = &answer.outfits[chosen];
    let Some(code) = &answer.currency else { return String::new() };
    let mut table = Table::facts();
    for line in &shown.lines {
        table.row([line.label.replace('-', " "), format!("{:.2} {code}", line.amount), line.how.render(out.units)]);
    }
    let failed = shown.score.years.iter().flatten().filter(|year| year.failed());
    for year in failed {
        let remedy = year.cost.as_ref().and_then(|cost| cost.remedy.as_ref());
        if let Some(remedy) = remedy {
            let amount = remedy.amount.map_or("no price".to_string(), |amount| format!("{amount:.2} {code}"));
            table.row([format!("failed {}", year.year), amount, remedy.how.render(out.units)]);
        }
    }
    format!("\na mean year of {}\n{}", shown.name, table.render())
}

fn excluded(answer: &Answer, units: UnitSystem) -> String {
    let mut by_code: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (place, out) in answer.excluded.iter().enumerate() {
        by_code.entry(out.reason.code()).or_default().push(place);
    }
    let mut text = String::new();
    for (code, places) in by_code {
        text.push_str(&format!("\nexcluded, {} ({})\n", code.replace('-', " "), places.len()));
        for &place in places.iter().take(5) {
            let out = &answer.excluded[place];
            text.push_str(&format!("  {}: {}\n", out.name, out.reason.says().render(units)));
        }
        if places.len() > 5 {
            text.push_str(&format!("  and {} more (--json has all)\n", places.len() - 5));
        }
    }
    text
}

/// What matters, as text.
pub fn matters(answer: &Answer, found: &Mattering, out: &Out) -> String {
    let mut table = Table::numbers(&["one assumption changed", "cost", "change", "failed", "change"]);
    for effect in &found.effects {
        table.row([
            effect.name.clone(),
            format!("{:.3}", effect.cost),
            format!("{:+.3}", effect.cost - effect.cost_before),
            format!("{:.0} %", 100.0 * effect.failures),
            format!("{:+.0} points", 100.0 * (effect.failures - effect.failures_before)),
        ]);
    }
    let name = answer.chosen.map_or("", |place| answer.outfits[place].name.as_str());
    let mut text = format!("\nwhat matters for {name}, the largest change of cost first\n{}", table.render());
    text.push_str(&breaks(answer, &found.breaks, out.units));
    if let Some(shares) = &found.shares {
        text.push_str(&variance(shares));
    }
    text
}

/// Where the choice changes.
fn breaks(answer: &Answer, breaks: &Breaks, units: UnitSystem) -> String {
    let mut text = String::from("\nwhere the choice changes\n");
    for at in &breaks.found {
        text.push_str(&format!("  {}\n", says::breaking(answer, at).render(units)));
    }
    let stays: Vec<String> =
        breaks.stays.iter().map(|&(axis, low, high)| says::staying(axis, low, high).render(units)).collect();
    if !stays.is_empty() {
        text.push_str(&format!("  it stays with {}\n", stays.join("; ")));
    }
    text.push_str(&format!(
        "  (moistures and days among the {} outfits nearest the choice, prices among all that ran all years)\n",
        breaks.outfits
    ));
    text
}

/// Shares of the variance.
fn variance(shares: &Shares) -> String {
    let mut table = Table::numbers(&["all assumptions together", "of cost", "±", "of failed years", "±"]);
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    for share in &shares.list {
        let (cost, failed) = (share.cost, share.failures);
        table.row([share.name.clone(), percent(cost.0), percent(cost.1), percent(failed.0), percent(failed.1)]);
    }
    format!(
        "\nshare of the variance that each brings by itself (± one standard error)\n{}\
         {} points of a hypercube ran in all years; between them a polynomial of the second degree is read, which tells {} of the\n\
         variance of cost and {} of that of failed years at points it has not seen. The ranges are judgement.\n",
        table.render(),
        shares.points,
        percent(shares.told.0),
        percent(shares.told.1)
    )
}
