//! Other facts of beds and bins: hot batches, kernels in humid air.

use crate::page::{Against, Section, Verdict, not_run, row};
use crate::run::{Bed, band};
use crate::table;
use crops::{Library, Production};

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../data/bed-facts.csv"));
    let mut section = Section::new(
        "Other facts of beds and bins",
        Against::Published,
        "Trials and measurements beside the reference beds. Bins without air have sections of their own.",
    );
    let mut all = Vec::new();
    for (air, humidity) in [(60.0, 8.0), (71.0, 5.0)] {
        for (depth, airflow) in [(1.0, 15.0), (2.0, 8.0)] {
            let bed = Bed {
                crop: "corn",
                more: String::new(),
                depth,
                airflow,
                moisture: 30.0,
                grain: 15.0,
                air,
                humidity,
                last: 48.0,
                every: 0.5,
                step: 60.0,
            };
            all.push(bed.days(15.5));
        }
    }
    let line = row(
        "BOB87, BIB: batch in a bin, corn of 30 %, 1 to 2 m, 60 to 100 °C",
        "12 to 20 h with cooling",
        format!("{} h without cooling", band(&all, 24.0)),
    );
    section.rows.push(line.is(Verdict::Band).because(
        "airflow and final moisture not given: 60 to 71 °C (the drying law's end), 15 cfm/bu in 1 m to 8 cfm/bu in 2 m, to 15.5 %",
    ));
    let library = Library::built_in();
    let kernel = library.find("corn").ok().and_then(|(corn, _)| match &corn.kinetics().ok()?.production {
        Production::Fitted(fit) => Some((fit.constants, corn.isotherm(None).ok()?.form)),
        Production::Bounds { .. } => None,
    });
    if let Some((kernel, form)) = kernel {
        let mut ends = Vec::new();
        for t in [25.0, 35.0] {
            for start in [0.11, 0.16] {
                let me = form.equilibrium(0.90, t).moisture;
                let span = 100.0 * (me - start);
                let apart = |hours: f64| {
                    let (shell, core) = kernel.step_response(t, hours * 3600.0);
                    span * (core - shell)
                };
                let (peak, at) = (1..=96)
                    .map(|i| f64::from(i) * 0.25)
                    .map(|h| (apart(h), h))
                    .fold((0.0, 0.0), |a, b| if b.0 > a.0 { b } else { a });
                ends.push((apart(1.0), peak, at));
            }
        }
        let of = |pick: fn(&(f64, f64, f64)) -> f64| {
            let all: Vec<f64> = ends.iter().map(pick).collect();
            let (low, high) =
                (all.iter().copied().fold(f64::INFINITY, f64::min), all.iter().copied().fold(0.0, f64::max));
            format!("{low:.1} to {high:.1}")
        };
        let found = format!("{} at 1 h; largest {} at {} h", of(|e| e.0), of(|e| e.1), of(|e| e.2));
        let line = row(
            "MG94: moisture at the surface above that at the centre of a corn kernel in air of 25 to 35 °C, 90 %",
            "about 4 points at 1 h; largest, about 9, at 7.5 h",
            found,
        );
        section.rows.push(line.is(Verdict::Band).because(
            "initial moisture not given: 10 to 14 % wb; shell and core are means of halves, so less apart than surface and centre",
        ));
    }
    for (id, what, why) in [
        (
            "BL97",
            "blend of wet and dry kernels",
            "a layer holds one state: kernels of different moisture within it are not modelled",
        ),
        ("PAMI16", "canola, left alone, aerated, turned", "no number is visible"),
        ("IN09", "corn cooled by chilled air", "airflow and time not given, no chiller is modelled"),
        ("US23", "error of an aeration model", "a pass mark for calibrated models, no trial with inputs"),
    ] {
        let said = rows
            .iter()
            .find(|r| r.text("case") == id && r.text("record") == "result")
            .or(table::find(&rows, "case", id));
        if let Some(r) = said {
            section.rows.push(not_run(
                format!("{id}: {what}"),
                format!("{}: {} {}", r.text("quantity"), r.text("value"), r.text("unit")),
                why,
            ));
        }
    }
    section.sources(table::kinds(&rows, "source"));
    section
}
