//! `weigh`: which outfits are worth buying for every bin, and why the others are not.

pub mod text;

use super::prepared::Prepared;
use super::{pictures, site};
use crate::args::WeighArgs;
use crate::exit::{Ending, Failure};
use crate::output::Out;
use advice::weigh::matters::{Mattering, mattering};
use advice::weigh::news::PointState;
use advice::weigh::{Answer, Asking, Field, News, Rules, weigh};
use contract::{Document, weigh::WeighJson};
use documents::shown::Reader;
use documents::weighing;
use notice::{Diagnostic, Place};
use std::path::Path;

/// A weighing, and what matters where it was asked.
type Weighed = (Answer, Option<Mattering>);

/// Weighs a site file.
pub fn run(args: &WeighArgs, out: &mut Out) -> Result<Ending, Failure> {
    let prepared = Prepared::open(&args.site, args.bin.as_deref(), "weigh")?;
    if args.xlsx.is_some() && prepared.bins().count() > 1 {
        let names: Vec<&str> = prepared.bins().map(|(_, bin)| bin.name.as_str()).collect();
        let wrong = Diagnostic::error("one-bin", "one workbook for several bins", Place::file("--xlsx"));
        return Err(wrong.allowed("must be of one bin").help(format!("add --bin: {}", names.join(", "))).into());
    }
    args.xlsx.as_deref().map_or(Ok(()), workbook_target)?;
    let rules = if args.exact { Rules::Certain } else { Rules::Probable };
    let mut answers: Vec<Weighed> = Vec::new();
    for (number, bin) in prepared.bins() {
        let field = Field::of(&prepared.base, number, &prepared.library)?;
        let answer = of_bin(&prepared, &field, &bin.name, rules);
        let found = (args.matters && !answer.partial).then(|| {
            prepared.watched(&format!("bin {}: what matters", bin.name), |observer, _| {
                let site = (&prepared.base, number);
                mattering(&prepared.engine, site, &prepared.library, (&field, &answer), observer)
            })
        });
        answers.push((answer, found.flatten()));
    }
    let remarks = prepared.remarks();
    if out.json {
        let mut documents = answers.iter().map(|(answer, found)| match found {
            Some(found) => WeighJson::of(answer).with_matters(answer, found),
            None => WeighJson::of(answer),
        });
        if let Some(mut first) = documents.next() {
            first.further_bins = documents.collect();
            out.json(&Document::new("weigh/1", first, &remarks))?;
        }
    } else {
        let text: Vec<String> = answers
            .iter()
            .map(|(answer, found)| {
                let found = found.as_ref().map_or(String::new(), |found| text::matters(answer, found, out));
                format!("{}{found}", text::weighing(answer, out))
            })
            .collect();
        let notes = site::notes(&remarks, out);
        out.text(&format!("{}\n{notes}{}\n{}\n", text.join("\n"), site::MACHINES, site::ENTRY))?;
    }
    for (answer, found) in &answers {
        write(args, out, answer, found.as_ref())?;
    }
    Ok(ending(&answers))
}

/// Refuses a workbook where it would overwrite something else, or has no folder: before the work, not after it.
fn workbook_target(target: &Path) -> Result<(), Failure> {
    let refuse = |found: &str, allowed: &str| {
        let at = Place::file(target.display().to_string());
        Err(Failure::from(Diagnostic::error("workbook", format!("--xlsx: {found}"), at).allowed(allowed)))
    };
    if !target.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx")) {
        return refuse("the name of a workbook", "must end in .xlsx");
    }
    if target.is_dir() {
        return refuse("a folder", "must be a file");
    }
    let folder = target.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return refuse("a file in a folder that is not there", "must lie in a folder that is there");
    }
    Ok(())
}

/// Writes what was asked for beside the answer.
fn write(args: &WeighArgs, out: &Out, answer: &Answer, found: Option<&Mattering>) -> Result<(), Failure> {
    let reader = Reader(out.units);
    if let Some(folder) = &args.plots {
        pictures::picture(folder, &format!("front-{}", answer.bin), &weighing::front(answer, reader, weighing::WIDTH))?;
        if let Some(found) = found {
            let scene = weighing::effects(answer, &found.effects, reader);
            pictures::picture(folder, &format!("matters-{}", answer.bin), &scene)?;
        }
    }
    if let Some(target) = &args.xlsx {
        let today = site::today();
        let date = (today.year.clamp(1900, 9999) as u16, today.month.unwrap_or(1), today.day.unwrap_or(1));
        let bytes =
            weighing::workbook(answer, found, reader, date).map_err(|error| Failure::Ours(error.to_string()))?;
        pictures::file(target, &bytes)?;
    }
    Ok(())
}

fn ending(answers: &[Weighed]) -> Ending {
    if answers.iter().any(|(answer, found)| answer.partial || found.as_ref().is_some_and(|found| found.partial)) {
        return Ending::Interrupted;
    }
    if answers.iter().all(|(answer, _)| answer.goal_reached()) { Ending::Done } else { Ending::GoalMissed }
}

/// Weighs one bin, with progress and who leads on a terminal.
fn of_bin(prepared: &Prepared, field: &Field, name: &str, rules: Rules) -> Answer {
    prepared.watched(&format!("bin {name}: seasons"), |observer, watch| {
        let told = |news: News<'_>| match news {
            News::Sorted { candidates, left, .. } => {
                watch.say(&format!("bin {name}: {left} of {candidates} candidates run"));
            }
            News::Stands { points, .. } => {
                // Of those that fail least the cheapest: who has run all years, or before the first round who was read off.
                let of = |state: PointState| {
                    let list = points.iter().filter(move |point| point.state == state);
                    list.min_by(|a, b| a.failed.cmp(&b.failed).then(a.cost.total_cmp(&b.cost)))
                };
                match (of(PointState::Complete), of(PointState::Read)) {
                    (Some(leads), _) => {
                        let (leader, failed, run) = (&leads.name, leads.failed, leads.run);
                        watch.say(&format!("bin {name}: surest so far {leader}, {failed} of {run} years failed"));
                    }
                    (None, Some(leads)) => watch.say(&format!("bin {name}: about {}, still to be run", leads.name)),
                    (None, None) => {}
                }
            }
        };
        let asking = Asking { rules, most: rules.most(), observer, told: &told };
        weigh(&prepared.engine, &prepared.job, field, &asking)
    })
}
