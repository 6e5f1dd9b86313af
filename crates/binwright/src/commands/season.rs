//! `season`: one weather year of every bin.

use super::site;
use crate::{
    args::SeasonArgs,
    exit::{Ending, Failure, say},
    output::Out,
    stop,
    table::Table,
};
use advice::{Reading, Tariff, Verdict, evidence, judge, proof::on_rung, sentences};
use contract::{Document, season::SeasonJson};
use ensemble::{Batch, Engine, Priority};
use job::{BinJob, Job, clock};
use notice::{Diagnostic, Kind, Place, Remarks, UnitSystem};
use physics::grain::wet_basis;
use season::{CaseSpec, Process, Record, SeasonResult};
use std::sync::Arc;

/// Layers of a single season: the second rung that a proof uses.
const LAYERS: usize = 48;

/// Runs a year.
pub fn run(args: &SeasonArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    let bins = site::bins(&job, args.bin.as_deref())?;
    let cases = bins.iter().map(|bin| case(bin, args.year)).collect::<Result<Vec<_>, _>>()?;
    let stop = stop::on_interrupt()?;
    let watch = site::Watch::new("season", stop);
    let record = if args.hourly { Record::Everything } else { Record::Daily };
    let engine = Engine::on_all_processors();
    // Bins of one site may differ in what lanes must share; the engine sorts that out.
    let outcome = engine.run(Batch {
        cases: cases.clone(),
        record,
        priority: Priority::Ordinary,
        observer: Arc::<site::Watch>::clone(&watch),
    });
    watch.clear();
    let tariff = site::tariff(&job);
    let mut documents = Vec::new();
    let mut remarks = Remarks::default();
    let mut text = Vec::new();
    let mut all_good = true;
    let mut stopped = 0;
    for ((bin, case), result) in bins.iter().zip(&cases).zip(&outcome.results) {
        let Some(result) = result else {
            stopped += 1;
            continue;
        };
        let verdict = judge(&case.programme, result, Reading::Strict);
        all_good &= verdict.good();
        remarks.extend(bin.remarks.clone());
        remarks.extend(result.remarks.clone());
        if out.json {
            let offset = job.place.utc_offset;
            documents.push(SeasonJson::of(bin, args.year, case, result, offset, tariff.as_ref()));
        } else {
            let mut bin_text = view(&job, bin, args.year, case, result, tariff.as_ref(), out);
            if args.sources {
                let uses = evidence::uses(bin, std::iter::once((case.as_ref(), result)));
                bin_text.push_str(&site::sources(&uses, out));
            }
            text.push(bin_text);
        }
    }
    if out.json {
        let mut documents = documents.into_iter();
        if let Some(mut first) = documents.next() {
            first.further_bins = documents.collect();
            out.json(&Document::new("season/1", first, &remarks))?;
        }
    } else {
        out.text(&format!("{}\n{}{}\n", text.join("\n"), site::notes(&remarks, out), site::ENTRY))?;
    }
    if stopped > 0 {
        say(&format!("cut short: {} of {} bins done", bins.len() - stopped, bins.len()));
        return Ok(Ending::Interrupted);
    }
    Ok(if all_good { Ending::Done } else { Ending::GoalMissed })
}

/// What a process came to, when its goal is met.
fn met(process: Process) -> &'static str {
    match process {
        Process::Drying | Process::Discharge => "dry in time",
        Process::Aeration => "as cold as wanted in time",
        Process::Batches => "all batches dry in time",
        Process::Conditioning => "wetted in time",
    }
}

/// What a process ends with.
fn stopped(process: Process) -> &'static str {
    match process {
        Process::Drying | Process::Aeration | Process::Discharge => "drying stopped",
        Process::Batches => "the last batch was out",
        Process::Conditioning => "wetting stopped",
    }
}

fn case(bin: &BinJob, year: i32) -> Result<Arc<CaseSpec>, Failure> {
    if let Some(case) = bin.year(year) {
        return Ok(Arc::new(on_rung(case, LAYERS)));
    }
    let wrong = advice::ready::no_such_year(bin, Some(year));
    Err(Diagnostic { at: Place::file("--year"), ..wrong }.into())
}

fn view(
    job: &Job,
    bin: &BinJob,
    year: i32,
    case: &CaseSpec,
    r: &SeasonResult,
    tariff: Option<&Tariff>,
    out: &Out,
) -> String {
    let offset = job.place.utc_offset;
    let verdict = judge(&case.programme, r, Reading::Strict);
    let moisture = |m: f64| out.show(wet_basis(m), Kind::MoistureWetBasis);
    let when = |hour: Option<i64>| hour.map_or("not reached".to_string(), |h| clock::date(h, offset));
    let life = |used: Option<f64>| used.map_or("not judged".to_string(), |u| format!("{:.0} %", 100.0 * u));
    let mut table = Table::facts();
    table.row([
        format!("bin {}, {year}", bin.name),
        match verdict {
            Verdict::Met => format!("met: {}, within the storage life allowed", met(r.process)),
            Verdict::Held => "held: cold over winter, finished in spring".to_string(),
            Verdict::Failed(cause) => format!("failed: {}", sentences::cause_says(cause)),
        },
    ]);
    table.row(["first load".to_string(), clock::date(r.started_at, offset)]);
    // Grain that came dry is neither dried nor stopped.
    if r.process != Process::Aeration {
        table.row(["mean moisture at target".to_string(), when(r.finished_at)]);
        table.row([stopped(r.process).to_string(), when(r.stopped_at)]);
    }
    if r.suspended_at.is_some() {
        table.row(["winter stopped drying".to_string(), when(r.suspended_at)]);
    }
    if r.stop_rule != season::StopRule::Ideal {
        let read = r.read_at_stop.map_or(String::new(), |m| format!("the probes read {} on the mean; ", moisture(m)));
        let ideal = format!("{read}with the grain seen through, drying would have stopped: {}", when(r.ideal_stop_at));
        table.row(["stop rule".to_string(), ideal]);
    }
    match r.process {
        Process::Batches => {}
        Process::Aeration => {
            table.row(["grain as cold as wanted".to_string(), when(r.cooled_at)]);
        }
        _ => {
            table.row(["grain cold afterwards".to_string(), when(r.cooled_at)]);
        }
    }
    table.row([
        match (r.process, r.stopped_at) {
            (Process::Aeration, Some(_)) => "moisture as it came".to_string(),
            (_, Some(_)) => format!("moisture when {}", stopped(r.process)),
            (_, None) => "moisture at the end".to_string(),
        },
        format!(
            "mean {}, wettest tenth {}, driest tenth {}",
            moisture(r.moisture_at_stop),
            moisture(r.wettest_at_stop),
            moisture(r.driest_at_stop)
        ),
    ]);
    table.row([
        "storage life used".to_string(),
        format!(
            "{} by the strict reading (the shortest published times), {} as published; worst tenth of the grain, to {}",
            life(r.life_strict),
            life(r.life_published),
            clock::date(r.ended_at, offset)
        ),
    ]);
    table.row([
        "fan".to_string(),
        format!(
            "{:.0} h{}, {}",
            r.air.running,
            match (r.process, r.stopped_at) {
                (Process::Aeration, _) | (_, None) => String::new(),
                (_, Some(_)) => format!(" ({:.0} h until {})", r.drying_fan_hours, stopped(r.process)),
            },
            out.show(r.fan_energy, Kind::ElectricEnergy)
        ),
    ]);
    if r.burner_energy > 0.0 {
        table.row([
            "burner".to_string(),
            format!(
                "{} to the air, {} of fuel",
                out.about(r.burner_energy, Kind::Heat, 3),
                out.about(r.fuel, Kind::Mass, 3)
            ),
        ]);
    }
    if r.stirring_rounds > 0 {
        table.row([
            "stirring".to_string(),
            format!("{} rounds, {}", r.stirring_rounds, out.show(r.stirring_energy, Kind::ElectricEnergy)),
        ]);
    }
    if let Some(each) = r.throughput() {
        let a_day = 86_400.0 * each / (1.0 - wet_basis(r.mean_moisture));
        table.row(["throughput".to_string(), format!("{} of dry grain a day", out.show(a_day, Kind::Mass))]);
    }
    if let Some(each) = r.energy_per_water().filter(|_| r.process != Process::Aeration) {
        table.row([
            "energy for the water".to_string(),
            match out.units {
                UnitSystem::Si => {
                    format!("{:.2} MJ/kg (heat of the burner and electricity, the whole season)", each / 1e6)
                }
                UnitSystem::Us => format!(
                    "{} (heat of the burner and electricity, the whole season)",
                    out.about(each, Kind::SpecificEnthalpy, 3)
                ),
            },
        ]);
    }
    if let Some(bushels) = bin.base_bushels() {
        let each = r.electricity() / 3.6e6 / bushels;
        table.row(["electricity".to_string(), format!("{each:.2} kWh per legal bushel at base moisture")]);
    }
    if let Some(cost) = tariff.and_then(|t| t.cost(r).and_then(|c| c.total()).map(|c| format!("{c:.0} {}", t.currency)))
    {
        table.row(["energy cost".to_string(), cost]);
    }
    table.row(["balance residual".to_string(), format!("water {:.1e}, energy {:.1e}", r.residual.0, r.residual.1)]);
    let steps = super::steps::table(r, offset, out);
    let (wet, degrees) = (out.unit(Kind::MoistureWetBasis), out.unit(Kind::Temperature));
    let mut days = Table::measured(&[
        ("week of", ""),
        ("mean", wet),
        ("wettest", wet),
        ("driest", wet),
        ("grain", degrees),
        ("outside", degrees),
        ("fan", "h/day"),
        ("life used", "%"),
    ]);
    let number = |m: f64| out.number(wet_basis(m), Kind::MoistureWetBasis);
    let mut begun = r.started_at;
    for week in r.daily.chunks(7) {
        let Some(d) = week.last() else { continue };
        // By elapsed hours: when clocks change a day has 23 or 25.
        let elapsed = (d.hour - begun).max(1) as f64 / 24.0;
        let fan = week.iter().map(|d| d.fan_hours).sum::<f64>() / elapsed;
        let outside = week.iter().map(|d| d.ambient_temperature).sum::<f64>() / week.len() as f64;
        days.row([
            clock::date(week[0].hour - 1, offset),
            number(d.mean_moisture),
            number(d.wettest),
            number(d.driest),
            out.number(d.mean_temperature, Kind::Temperature),
            out.number(outside, Kind::Temperature),
            format!("{fan:.1}"),
            r.life_strict.map_or("-".into(), |_| format!("{:.0}", 100.0 * d.life_strict)),
        ]);
        begun = d.hour;
    }
    format!(
        "{}{steps}\nmoisture, grain temperature and life used stand for the end of the week, outside air for its mean\n\n{}",
        table.render(),
        days.render()
    )
}
