//! `prove`: all weather years of every bin.

use super::site;
use crate::{
    args::ProveArgs,
    exit::{Ending, Failure},
    output::Out,
    stop::{self, Stop},
    table::Table,
};
use advice::{Accuracy, Advantage, ModelRange, Proof, ProofInput, Tariff, advantage, evidence, model_range, sentences};
use contract::{Document, proof::ProofJson, season::words};
use ensemble::{Engine, Observer, Priority};
use job::{BinJob, Job, clock};
use notice::{Diagnostic, Diagnostics, Kind, Remarks};
use physics::grain::wet_basis;
use season::Record;
use std::sync::Arc;

/// Proves a site file.
pub fn run(args: &ProveArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    advice::ready::real_years(&job, "`prove`").map_err(|wrong| *wrong)?;
    let bins = site::bins(&job, args.bin.as_deref())?;
    let wrong: Vec<Diagnostic> =
        bins.iter().filter_map(|bin| advice::ready::some_year(&job, bin).err()).map(|wrong| *wrong).collect();
    if !wrong.is_empty() {
        return Err(Diagnostics(wrong).into());
    }
    let stop = stop::on_interrupt()?;
    let engine = Engine::on_all_processors();
    let tariff = site::tariff(&job);
    let offset = job.place.utc_offset;
    let mut proofs = Vec::new();
    for bin in bins {
        let proof = all_years(&engine, &job, bin, Record::Daily, stop);
        let control = if proof.0.partial { None } else { control(&engine, bin, &proof.0, stop) };
        proofs.push((bin, proof, control));
    }
    if out.json {
        let mut remarks = Remarks::default();
        proofs.iter().for_each(|(bin, (proof, _), _)| remarks.extend(said(bin, proof)));
        let mut documents = proofs.iter().map(|(bin, (proof, range), control)| {
            ProofJson::of(bin, proof, range.as_ref(), offset, tariff.as_ref()).with_control(control.as_ref())
        });
        if let Some(mut first) = documents.next() {
            first.further_bins = documents.collect();
            out.json(&Document::new("proof/1", first, &remarks))?;
        }
    } else {
        let text: Vec<String> = proofs
            .iter()
            .map(|(bin, (proof, range), control)| {
                let mut text = view(&job, bin, proof, range.as_ref(), tariff.as_ref(), out);
                if let Some(control) = control {
                    text.push_str("\nwhat the control is worth\n");
                    for phrase in advantage::says(control) {
                        text.push_str(&format!("  {}\n", site::sentence(&phrase, out.units)));
                    }
                }
                if args.sources {
                    text.push_str(&site::sources(&evidence::of_proof(bin, proof), out));
                }
                text.push_str(&format!("\n{}", site::notes(&said(bin, proof), out)));
                text
            })
            .collect();
        out.text(&format!("{}{}\n", text.join("\n"), site::ENTRY))?;
    }
    Ok(ending(proofs.iter().map(|(_, (proof, _), _)| proof)))
}

/// What the control of a bin is worth with its sensors, where it reads any.
fn control(engine: &Engine, bin: &BinJob, proof: &Proof, stop: Stop) -> Option<Advantage> {
    let watch = site::Watch::new(&format!("bin {}: control", bin.name), stop);
    let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
    let found = advantage::advantage(
        engine,
        bin,
        &|year| proof.years.iter().find(|y| y.year == year).map_or(advice::proof::LADDER[1], |y| y.layers),
        &observer,
    );
    watch.clear();
    found
}

/// What is to be said of a bin and of its years.
pub fn said(bin: &BinJob, proof: &Proof) -> Remarks {
    let mut remarks = bin.remarks.clone();
    remarks.extend(proof.remarks());
    remarks
}

/// How a run over proofs ends.
pub fn ending<'a>(proofs: impl Iterator<Item = &'a Proof>) -> Ending {
    let mut ending = Ending::Done;
    for proof in proofs {
        if proof.partial {
            return Ending::Interrupted;
        }
        if !proof.goal_reached() {
            ending = Ending::GoalMissed;
        }
    }
    ending
}

/// All years of a bin, and what the model leaves open unless the run was cut short.
pub fn all_years(engine: &Engine, job: &Job, bin: &BinJob, record: Record, stop: Stop) -> (Proof, Option<ModelRange>) {
    let input = ProofInput::of(bin, job.chance);
    let watch = site::Watch::new(&format!("bin {}: years", bin.name), stop);
    let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
    let mut proof = advice::prove(engine, &input, Accuracy::Verdict, record, Priority::Ordinary, &observer);
    watch.clear();
    if proof.partial || input.years.is_empty() {
        return (proof, None);
    }
    let watch = site::Watch::new(&format!("bin {}: model range", bin.name), stop);
    let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
    let range = model_range(engine, &input, &bin.uncertainty, &observer);
    watch.clear();
    let whole = !range.partial;
    // All years are known, but not how far the model can be trusted: that too is a run cut short.
    proof.partial |= !whole;
    (proof, whole.then_some(range))
}

/// A proof as text.
pub fn view(
    job: &Job,
    bin: &BinJob,
    proof: &Proof,
    range: Option<&ModelRange>,
    tariff: Option<&Tariff>,
    out: &Out,
) -> String {
    let offset = job.place.utc_offset;
    let mut text = format!("{}\n", site::sentence(&sentences::headline(bin, proof, offset), out.units));
    for phrase in sentences::sentences(bin, proof, range, tariff) {
        text.push_str(&format!("  {}\n", site::sentence(&phrase, out.units)));
    }
    text.push('\n');
    let wet = out.unit(Kind::MoistureWetBasis);
    let mut table = Table::measured(&[
        ("year", ""),
        ("outcome", ""),
        ("on target", "date"),
        ("stopped", "date"),
        ("days", "to target"),
        ("mean", wet),
        ("wettest", wet),
        ("life used", "% strict"),
        ("published", "%"),
        ("fan", "h"),
        ("electricity", "kWh"),
        ("cost", tariff.map_or("", |t| t.currency.as_str())),
    ]);
    let moisture = |m: f64| out.number(wet_basis(m), Kind::MoistureWetBasis);
    let percent = |u: Option<f64>| u.map_or("-".to_string(), |u| format!("{:.0}", 100.0 * u));
    let when = |hour: Option<i64>| hour.map_or("-".to_string(), |h| clock::date(h, offset)[5..].to_string());
    for y in &proof.years {
        let r = &y.result;
        let (outcome, cause) = words(y.verdict);
        let cost = tariff.and_then(|t| t.cost(r)).and_then(|c| c.total());
        table.row([
            y.year.to_string(),
            cause.map_or(outcome.to_string(), |c| format!("{outcome}: {}", c.replace('-', " "))),
            when(r.finished_at),
            when(r.stopped_at),
            r.finished_at.map_or("-".into(), |h| format!("{:.0}", (h - r.started_at) as f64 / 24.0)),
            moisture(r.moisture_at_stop),
            moisture(r.wettest_at_stop),
            percent(r.life_strict),
            percent(r.life_published),
            format!("{:.0}", r.air.running),
            format!("{:.0}", r.electricity() / 3.6e6),
            cost.map_or("-".into(), |c| format!("{c:.0}")),
        ]);
    }
    text.push_str(&table.render());
    text.push_str(
        "\nmean and wettest tenth: when drying stopped, else at the end; life used: by the worst tenth of the grain, to the \
         end;\nfan and electricity: the whole season, holding included\n",
    );
    if let Some(range) = range {
        let mut table = Table::numbers(&["other choices the evidence allows", "met", "held", "failed", "good"]);
        for e in std::iter::once(&range.base).chain(&range.entries).chain(range.worst.as_ref()) {
            table.row([
                e.short_label(),
                e.met.to_string(),
                e.held.to_string(),
                e.failed.to_string(),
                // All of few years are no certainty: no figure that reads like one.
                if e.probability() < 1.0 { format!("{:.0} %", 100.0 * e.probability()) } else { "all".into() },
            ]);
        }
        text.push_str(&format!("\n{}", table.render()));
    }
    text
}
