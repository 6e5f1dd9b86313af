//! `weigh`: which outfits are worth buying for every bin, and why the others are not.

use super::site;
use crate::{
    args::WeighArgs,
    exit::{Ending, Failure},
    output::Out,
    stop::{self, Stop},
    table::Table,
};
use advice::weigh::answer::{self, Answer, Standing};
use advice::weigh::matters::{Effect, matters};
use advice::weigh::{Field, Rules};
use contract::{Document, weigh::WeighJson};
use ensemble::{Engine, Observer};
use job::{Base, FolderLibrary, Job, Records};
use notice::{Diagnostic, Kind, Remarks};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// Rows of outfits that are shown as text; JSON has all.
const MOST_ROWS: usize = 25;

/// A site that changes are made to: its base and its library.
pub struct Opened {
    /// The site.
    pub base: Base,
    /// What it names.
    pub library: FolderLibrary,
}

/// Opens a site for those who change it.
pub fn open(path: &Path) -> Result<Opened, Failure> {
    let name = path.display().to_string();
    let text = job::read_text(path, &name).map_err(|wrong| *wrong)?;
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let library = FolderLibrary::open(folder)?;
    let base = Base::open(&Records::default(), &text, &name, &library)?.seen_on(site::today());
    site::warn(base.job());
    Ok(Opened { base, library })
}

/// Weighs a site file.
pub fn run(args: &WeighArgs, out: &mut Out) -> Result<Ending, Failure> {
    let opened = open(&args.site)?;
    let job = Arc::clone(opened.base.job());
    advice::ready::real_years(&job, "`weigh`").map_err(|wrong| *wrong)?;
    let bins = site::bins(&job, args.bin.as_deref())?;
    let wrong: Vec<Diagnostic> =
        bins.iter().filter_map(|bin| advice::ready::some_year(&job, bin).err()).map(|wrong| *wrong).collect();
    if !wrong.is_empty() {
        return Err(notice::Diagnostics(wrong).into());
    }
    let stop = stop::on_interrupt()?;
    let engine = Engine::on_all_processors();
    let rules = if args.exact { Rules::Certain } else { Rules::Probable };
    let mut answers: Vec<Weighed> = Vec::new();
    let mut remarks = Remarks::default();
    for bin in bins {
        let number = job.bins.iter().position(|other| other.name == bin.name).unwrap_or(0);
        let field = Field::of(&opened.base, number, &opened.library)?;
        let answer = of_bin(&engine, &job, &field, &bin.name, rules, stop);
        let chosen = answer.chosen.filter(|_| args.matters && !answer.partial).map(|place| &answer.outfits[place]);
        let effects = chosen.map(|shown| {
            let watch = site::Watch::new(&format!("bin {}: what matters", bin.name), stop);
            let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
            let found = matters(&engine, (&opened.base, number), &opened.library, (&field, shown), &observer);
            watch.clear();
            found
        });
        answers.push((answer, effects));
        remarks.extend(bin.remarks.clone());
    }
    if out.json {
        let mut documents = answers.iter().map(|(answer, effects)| match effects {
            Some((effects, partial)) => WeighJson::of(answer).with_matters(effects, *partial),
            None => WeighJson::of(answer),
        });
        if let Some(mut first) = documents.next() {
            first.further_bins = documents.collect();
            out.json(&Document::new("weigh/1", first, &remarks))?;
        }
    } else {
        let text: Vec<String> = answers
            .iter()
            .map(|(answer, effects)| {
                let effects = effects.as_ref().map_or(String::new(), |(effects, _)| matters_view(answer, effects));
                format!("{}{effects}", view(answer, out))
            })
            .collect();
        let notes = site::notes(&remarks, out);
        out.text(&format!("{}\n{notes}{}\n{}\n", text.join("\n"), site::MACHINES, site::ENTRY))?;
    }
    Ok(ending(&answers))
}

/// A weighing, and what matters where it was asked (the flag: cut short).
type Weighed = (Answer, Option<(Vec<Effect>, bool)>);

fn ending(answers: &[Weighed]) -> Ending {
    if answers.iter().any(|(answer, effects)| answer.partial || effects.as_ref().is_some_and(|(_, partial)| *partial)) {
        return Ending::Interrupted;
    }
    if answers.iter().all(|(answer, _)| answer.goal_reached()) { Ending::Done } else { Ending::GoalMissed }
}

/// What matters, as text.
fn matters_view(answer: &Answer, effects: &[Effect]) -> String {
    let mut table = Table::numbers(&["one assumption changed", "cost", "change", "failed", "change"]);
    for effect in effects {
        table.row([
            effect.name.clone(),
            format!("{:.3}", effect.cost),
            format!("{:+.3}", effect.cost - effect.cost_before),
            format!("{:.0} %", 100.0 * effect.failures),
            format!("{:+.0} points", 100.0 * (effect.failures - effect.failures_before)),
        ]);
    }
    let name = answer.chosen.map_or("", |place| answer.outfits[place].name.as_str());
    format!("\nwhat matters for {name}, the largest change of cost first\n{}", table.render())
}

/// Weighs one bin of a job, with progress on a terminal.
fn of_bin(engine: &Engine, job: &Job, field: &Field, name: &str, rules: Rules, stop: Stop) -> Answer {
    let watch = site::Watch::new(&format!("bin {name}: seasons of this round"), stop);
    let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
    let answer = advice::weigh::weigh(engine, job, field, rules, &observer);
    watch.clear();
    answer
}

/// A weighing as text.
fn view(answer: &Answer, out: &Out) -> String {
    let mut text = format!("{}\n", site::sentence(&answer::headline(answer), out.units));
    let measure = match (&answer.currency, answer.measure) {
        (None, _) => "kWh/t".to_string(),
        (Some(code), "bushel") => format!("{code}/bu"),
        (Some(code), _) => format!("{code}/t"),
    };
    if let Some(unseen) = &answer.unseen {
        text.push_str(&format!(
            "  Chosen so on three quarters of the years and scored on the rest, in turn: {} of {} years failed, {}.\n",
            unseen.failures,
            unseen.of,
            answer::money(answer, unseen.cost)
        ));
    }
    if let (Some(base), Some(_)) = (answer.base_moisture, &answer.currency) {
        text.push_str(&format!(
            "  Costs are for a {} of grain at {} after shrink and handling.\n",
            if answer.measure == "bushel" { "legal bushel" } else { "tonne" },
            out.show(base, Kind::MoistureWetBasis)
        ));
    }
    if answer.outfits.iter().any(|shown| shown.unpriced) {
        text.push_str("  Something has no price (marked *): it counts as nothing in these costs.\n");
    }
    let head = [
        ("outfit", ""),
        ("cost", measure.as_str()),
        ("failed", "years"),
        ("of", "run"),
        ("airflow", out.unit(Kind::SpecificAirflow)),
        ("static", out.unit(Kind::Pressure)),
        ("load", "kW"),
        ("electricity", "kWh"),
        ("fuel", "kg"),
        ("first cost", answer.currency.as_deref().unwrap_or("")),
        ("worst", "year"),
    ];
    let mut places: Vec<usize> = answer.front.clone();
    let chosen_first = answer.chosen.iter().copied().filter(|place| !answer.front.contains(place));
    places.extend(chosen_first);
    for (title, list) in [
        ("on the front: nothing that ran is both cheaper and surer", places),
        ("no different from the choice, by these years", answer.equal.clone()),
        ("beaten", beaten(answer)),
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
        if title == "beaten" {
            text.push('\n');
            for &place in list.iter().take(MOST_ROWS) {
                let why = answer::why(answer, place).render(out.units);
                text.push_str(&format!("{}: {why}\n", answer.outfits[place].name));
            }
        }
    }
    if let Some(chosen) = answer.chosen {
        text.push_str(&costs(answer, chosen));
    }
    text.push_str(&excluded(answer));
    if let Some(check) = &answer.surface {
        text.push_str(&format!(
            "\n{} more outfits were read off a surface of {} seasons over airflow and settings, and not run: they were worse there.\nHeld \
             against the {} that ran all years, it is off by {} in the mean and {} at most, and by {:.0} and {:.0} points in the share of \
             years failed\n",
            answer.not_run,
            check.seasons,
            check.compared,
            answer::money(answer, check.cost.0),
            answer::money(answer, check.cost.1),
            100.0 * check.failures.0,
            100.0 * check.failures.1
        ));
    }
    text.push_str(&format!(
        "\n{} candidates, {} excluded, {} run over {} years, {} seasons on {} layers{}\n",
        answer.candidates,
        answer.excluded.len(),
        answer.outfits.len(),
        answer.years.len(),
        answer.seasons,
        answer.layers,
        if answer.exact { "; only what was certainly beaten ended early" } else { "" }
    ));
    text
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
        format!("{:.0}", years.iter().map(|y| y.fuel).sum::<f64>() / of),
        shown.first_cost.map_or("-".into(), |cost| format!("{cost:.0}")),
        shown.worst().map_or("-".into(), |year| year.year.to_string()),
    ]);
}

/// The lines of the choice's mean year.
fn costs(answer: &Answer, chosen: usize) -> String {
    let shown = &answer.outfits[chosen];
    let Some(code) = &answer.currency else { return String::new() };
    let mut table = Table::facts();
    for line in &shown.lines {
        table.row([line.label.replace('-', " "), format!("{:.2} {code}", line.amount), line.how.clone()]);
    }
    let failed = shown.score.years.iter().flatten().filter(|year| year.failed());
    for year in failed {
        let remedy = year.cost.as_ref().and_then(|cost| cost.remedy.as_ref());
        if let Some(remedy) = remedy {
            let amount = remedy.amount.map_or("no price".to_string(), |amount| format!("{amount:.2} {code}"));
            table.row([format!("failed {}", year.year), amount, remedy.how.clone()]);
        }
    }
    format!("\na mean year of {}\n{}", shown.name, table.render())
}

fn excluded(answer: &Answer) -> String {
    let mut by_code: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (place, out) in answer.excluded.iter().enumerate() {
        by_code.entry(out.reason.code()).or_default().push(place);
    }
    let mut text = String::new();
    for (code, places) in by_code {
        text.push_str(&format!("\nexcluded, {} ({})\n", code.replace('-', " "), places.len()));
        for &place in places.iter().take(5) {
            let out = &answer.excluded[place];
            text.push_str(&format!("  {}: {}\n", out.name, out.reason.says()));
        }
        if places.len() > 5 {
            text.push_str(&format!("  and {} more (--json has all)\n", places.len() - 5));
        }
    }
    text
}
