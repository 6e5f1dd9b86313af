//! Processes beside published benchmarks of energy and published comparisons of controls.
//!
//! The bins are the invented ones of the example sites and the weather is that of Champaign, Illinois: what a process costs
//! and in which order controls stand is compared, never judged to a percent.

use crate::page::{Against, Row as Line, Section, Verdict, not_run, row};
use ensemble::{Batch, Engine, Priority, Silent};
use numerics::quantile::quantile;
use physics::grain::wet_basis;
use season::{Record, SeasonResult, StepKind};
use std::sync::Arc;

const DRYERATION: &str = include_str!("../../../job/data/dryeration.toml");
/// MJ per kg for a Btu per lb.
pub(super) const BTU_PER_LB: f64 = 2.326e-3;

/// All years of a bin of a site.
pub(super) fn years(text: &str, bin: &str) -> Result<Vec<SeasonResult>, String> {
    let job = job::open(text, "site", &job::BuiltIn::new())
        .map_err(|d| d.0.iter().map(|d| d.render().replace('\n', " ")).collect::<Vec<_>>().join("; "))?;
    let bin = job.bin(Some(bin)).ok_or("no such bin")?;
    let cases = bin.years.iter().map(|(_, case)| Arc::clone(case)).collect();
    let batch = Batch { cases, record: Record::Summary, priority: Priority::Ordinary, observer: Arc::new(Silent) };
    let results: Vec<SeasonResult> = Engine::on_all_processors().run(batch).results.into_iter().flatten().collect();
    if results.is_empty() { Err("no year of the bundled weather is complete".into()) } else { Ok(results) }
}

/// Median of a figure over the results that have it.
pub(super) fn median(results: &[SeasonResult], pick: impl Fn(&SeasonResult) -> Option<f64>) -> f64 {
    let values: Vec<f64> = results.iter().filter_map(pick).collect();
    quantile(&values, 0.5).unwrap_or(f64::NAN)
}

fn discharged(lines: &mut Vec<Line>) {
    let (slow, combination) = match (years(DRYERATION, "dryeration"), years(DRYERATION, "combination")) {
        (Ok(a), Ok(b)) => (a, b),
        (Err(why), _) | (_, Err(why)) => return lines.push(not_run("EN-2, EN-3", "", why)),
    };
    let cooled = |r: &SeasonResult| r.steps.iter().find(|s| s.kind == StepKind::CooledHot).copied();
    let each = median(&slow, |r| {
        let s = cooled(r)?;
        let points = 100.0 * (wet_basis(s.moisture.0) - wet_basis(s.moisture.1));
        Some(points / (0.18 * (s.temperature.0 - s.temperature.1)))
    });
    let off = if each < 0.25 { each / 0.25 - 1.0 } else { (each / 0.33 - 1.0).max(0.0) };
    lines.push(
        row(
            "dryeration: moisture that slow cooling takes out for each 10 °F (heat balance, 70 to 140 °F)",
            "0.25 to 0.33 points",
            format!("{each:.2} points"),
        )
        .off(format!("{:+.0} % beyond, allowed 10 %", 100.0 * off))
        .is(Verdict::of(off, 0.1)),
    );
    let kilowatt_hours = |r: &SeasonResult| Some(cooled(r)?.electricity / 3.6e6 / 60.0);
    lines.push(
        row(
            "EN-2: electricity of dryeration, dryer included",
            "7 kWh per 100 bu",
            format!("{:.1} kWh per 100 bu for the cooling alone", median(&slow, kilowatt_hours)),
        )
        .is(Verdict::Band)
        .because("the dryer before the bin is an input here: its 14.5 gal of propane per 100 bu are not computed"),
    );
    let kilowatt_hours = |r: &SeasonResult| Some(r.fan_energy / 3.6e6 / 150.0);
    lines.push(
        row(
            "EN-3: electricity of combination drying, high-speed dryer first, then in the bin",
            "90 kWh per 100 bu",
            format!(
                "{:.0} kWh per 100 bu from 20 % at 50 °C to 15.5 %, holding included",
                median(&combination, kilowatt_hours)
            ),
        )
        .is(Verdict::Band)
        .because("own run in another climate, filled at once and not in layers; the 8 gal of propane are the dryer's"),
    );
}

/// Wheat of 18 % from 1 September under a control.
fn wheat(control: &str, burner: &str) -> Result<Vec<SeasonResult>, String> {
    let text = format!(
        "binwright = 1\nname = \"validation\"\n[place]\nelevation = \"213 m\"\nutc_offset = \"-06:00\"\nweather = \"champaign\"\n[goal]\n\
         mean_moisture = \"14 %\"\nwettest_excess = \"1.5 %\"\nby = \"12-15\"\nhold_until = \"12-31\"\n[bins.a]\ndiameter = \"36 ft\"\neave = \"24 ft\"\n\
         uniform = true\n[[bins.a.lots]]\ncrop = \"wheat-hard\"\nquantity = \"9000 bu\"\nmoisture = \"18 %\"\nfrom = \"09-01\"\ndays = 2\n\
         [bins.a.outfit]\nfans = [\"demo-centrifugal-10hp\"]\n{burner}control = {{ {control} }}\n"
    );
    years(&text, "a")
}

fn controls(lines: &mut Vec<Line>) {
    let heater =
        "burner = { capacity = \"30 kW\", fuel = \"electric\", firing = \"modulating\", minimum_fire = \"5 %\" }\n";
    let heated = "kind = \"continuous\", burner = { kind = \"humidistat\", humidity = \"62 %\" }";
    let all = [
        ("continuous", "kind = \"continuous\"", ""),
        ("night only", "kind = \"clock\", from = \"20:00\", to = \"08:00\"", ""),
        ("day only", "kind = \"clock\", from = \"08:00\", to = \"20:00\"", ""),
        ("heat by a humidistat", heated, heater),
    ];
    let mut found = Vec::new();
    for (name, control, burner) in all {
        match wheat(control, burner) {
            Ok(results) => found.push((name, results)),
            Err(why) => return lines.push(not_run(format!("WC-3: {name}"), "", why)),
        }
    }
    let days = |r: &SeasonResult| Some((r.finished_at.unwrap_or(r.ended_at) - r.started_at) as f64 / 24.0);
    let dry = |results: &[SeasonResult]| results.iter().filter(|r| r.finished_at.is_some()).count();
    let life = |r: &SeasonResult| r.life_published;
    let spread = |r: &SeasonResult| Some(100.0 * (wet_basis(r.wettest_at_stop) - wet_basis(r.driest_at_stop)));
    let of = |(name, results): &(&str, Vec<SeasonResult>)| {
        format!(
            "{name}: {} of {} years dry, {:.0} d, life used {:.2}, spread {:.1} points",
            dry(results),
            results.len(),
            median(results, days),
            median(results, life),
            median(results, spread)
        )
    };
    let [continuous, night, day, heated] = &found[..] else { return };
    let (a, b, h) = (median(&continuous.1, days), median(&night.1, days), median(&heated.1, days));
    let order = h <= a && a < b;
    lines.push(
        row(
            "WC-3: wheat 16 to 20 %, ranking of controls on the Prairies",
            "self-adapting heat best, continuous best without automation, night only poorest",
            [continuous, night, heated].map(of).join("; "),
        )
        .off(if order { "same order" } else { "another order" })
        .is(if order { Verdict::Agrees } else { Verdict::Differs })
        .because(
            "own run: wheat 18 % from 1 September in Champaign, Illinois, 9,000 bu, one invented 10 hp fan, medians; heat by a humidistat at 62 % stands \
             for the self-adapting control, whose rule is not visible",
        ),
    );
    let ratio = median(&day.1, days) / a;
    lines.push(
        row("NDSU-W2 over NDSU-W1: fans by day only against all the time", "62 d against 35 d, 1.77 times, overdried", format!("{ratio:.2} times; {}", of(day)))
            .off(format!("{:+.0} %", 100.0 * (ratio / 1.77 - 1.0)))
            .is(Verdict::Band)
            .because("the same own run, 08:00 to 20:00 for the warmest 12 h; half the hours with drier air: between once and twice the days is what a balance allows"),
    );
}

/// The section.
pub fn section() -> Section {
    let mut section = Section::new(
        "Processes and controls",
        Against::Published,
        "What the other ways of using a bin take, beside published benchmarks. Bins are invented and the climate is that of Champaign, Illinois: \
         direction and size are compared. Front hours of aeration stand under cooling.",
    );
    super::batches::rows(&mut section.rows);
    discharged(&mut section.rows);
    controls(&mut section.rows);
    section.sources([
        "Midwest Plan Service handbook figures in farm press (EN-1 to EN-3)",
        "Singh, Jayas & Larson 2014, Canadian Biosystems Engineering 56:3.25-3.36 (abstract)",
        "Hellevang, North Dakota State University Extension, 24 Aug 2009",
        "extension texts on high-temperature bin drying and stirring, some quoting research at Iowa State University",
        "Iowa State University Extension PM 3063C (Hanna), quoted in farm press 2015",
        "energy audit of a Wisconsin farm, quoted in farm press, August 2010",
        "article on the energy of grain drying (counterflow against cross-flow)",
        "Hellevang, North Dakota State University Extension: cooling in 15 over the airflow",
    ]);
    section
}
