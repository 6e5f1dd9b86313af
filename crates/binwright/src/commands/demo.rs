//! `demo`: the whole job on the bundled invented site and real weather, with a report.

use super::weigh::text;
use super::{fills, prove, site, survey};
use crate::{
    args::DemoArgs,
    exit::{Ending, Failure, say},
    output::Out,
    stop,
};
use advice::weigh::{Asking, Field, Rules, weigh};
use advice::{Accuracy, Verdict, proof::on_rung};
use contract::{Document, proof::ProofJson};
use documents::fill::{Results, report_data};
use ensemble::{Batch, Engine, Observer, Priority, Silent};
use job::{Base, BuiltIn, Records};
use season::Record;
use std::path::PathBuf;
use std::sync::Arc;

/// The bundled site.
const SITE: &str = include_str!("../../../job/data/demo.toml");
/// Where the report goes when nobody says.
const FOLDER: &str = "binwright-report";

/// Runs the demonstration.
pub fn run(args: &DemoArgs, out: &mut Out) -> Result<Ending, Failure> {
    let library = BuiltIn::new();
    let base = Base::open(&Records::default(), SITE, "demo.toml", &library)?.seen_on(site::today());
    let job = Arc::clone(base.job());
    site::warn(&job);
    let stop = stop::on_interrupt()?;
    let engine = Engine::on_all_processors();
    let tariff = site::tariff(&job);
    let Some(bin) = job.bins.first() else { return Err(Failure::Ours("the bundled site has no bin".into())) };
    let air = advice::air::fills(bin, job.place.elevation);
    let (proof, range) = prove::all_years(&engine, &job, bin, Record::Daily, stop);

    // The year worth a look: the failed one that used most storage life, else simply that year.
    let worst = proof.years.iter().max_by(|a, b| {
        let key =
            |y: &&advice::YearResult| (matches!(y.verdict, Verdict::Failed(_)), y.result.life_strict.unwrap_or(0.0));
        let (x, y) = (key(a), key(b));
        x.0.cmp(&y.0).then(x.1.total_cmp(&y.1))
    });
    let season = worst.and_then(|y| {
        let case = Arc::new(on_rung(bin.year(y.year)?, y.layers.max(Accuracy::Verdict.first_rung())));
        let outcome = engine.run(Batch {
            cases: vec![case],
            record: Record::Profiles,
            priority: Priority::Ordinary,
            observer: Arc::new(Silent),
        });
        let result = outcome.results.into_iter().next().flatten()?;
        let why =
            if y.verdict.good() { "the year that used most storage life" } else { "the worst of the failed years" };
        Some((result, y.year, why.to_string()))
    });
    // What else the catalogue has: every fan of it, one or two of a kind.
    let weighed = match proof.partial {
        true => None,
        false => {
            let field = Field::of(&base, 0, &library)?;
            let watch = site::Watch::new("outfits weighed: seasons of this round", stop);
            let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
            let answer = weigh(&engine, &job, &field, &Asking::quietly(Rules::Probable, &observer));
            watch.clear();
            Some(answer)
        }
    };
    let partial = proof.partial || weighed.as_ref().is_some_and(|answer| answer.partial);
    let data = report_data(&Results {
        job: &job,
        bin,
        air: &air,
        proof: &proof,
        range: range.as_ref(),
        season: season.as_ref().map(|(r, year, why)| (r, *year, why.clone())),
        weighing: weighed.as_ref(),
        tariff: tariff.as_ref(),
        date: String::new(),
        program: format!("binwright {}", env!("CARGO_PKG_VERSION")),
    });
    let folder = args.out.clone().unwrap_or_else(|| PathBuf::from(FOLDER));
    // Half a proof must not take the place of an earlier report; what is known is said on stdout.
    let report = if partial {
        "none, the run was cut short".to_string()
    } else {
        documents::write::write_report(&folder, &documents::html::files(&data, out.units))
            .map_err(|error| Failure::from(error.diagnostic()))?;
        folder.join("index.html").display().to_string()
    };

    let remarks = prove::said(bin, &proof);
    if out.json {
        let document = ProofJson::of(bin, &proof, range.as_ref(), job.place.utc_offset, tariff.as_ref());
        out.json(&Document::new("proof/1", document, &remarks))?;
        say(&format!("report: {report}"));
    } else {
        let text = format!(
            "DEMO: an invented site with invented equipment in the measured weather of {}.\n\n{}\n{}\n{}\n{}\n{}{}\n\nreport: {}\n",
            job.weather_name,
            survey::bin_text(bin, out),
            fills::text(bin, &air, out),
            prove::view(&job, bin, &proof, range.as_ref(), tariff.as_ref(), out),
            weighed.as_ref().map_or(String::new(), |answer| format!("outfits weighed\n{}", text::short(answer, out))),
            site::notes(&remarks, out),
            site::ENTRY,
            report
        );
        out.text(&text)?;
    }
    // A demonstration never fails a goal; an interrupt is still an interrupt.
    Ok(if partial { Ending::Interrupted } else { Ending::Done })
}
