//! Equilibrium moisture against published tables and statements; the spread of corn's sets as a plot.

use super::Named;
use crate::page::{Against, Section, Verdict, not_run, row};
use crate::plots::{self, Line};
use crate::table::{self, Row, celsius, wet};
use crops::{IsothermSet, Library};

fn set<'l>(library: &'l Library, id: &str) -> Option<&'l IsothermSet> {
    library.crops().iter().find_map(|crop| crop.isotherms.iter().find(|set| set.id == id))
}

fn temperature(r: &Row) -> f64 {
    r.number("temp_f").map_or(r.value("temp_c"), celsius)
}

fn ours(set: &IsothermSet, r: &Row) -> f64 {
    wet(set.form.equilibrium(r.value("rh_pct") / 100.0, temperature(r)).moisture)
}

/// The moisture said, also in words such as "just below 8".
fn said(r: &Row) -> f64 {
    r.text("emc_pct_wb").split(' ').next_back().and_then(|n| n.parse().ok()).unwrap_or(f64::NAN)
}

/// The section.
pub fn section(plots: &mut Vec<Named>) -> Section {
    let rows = table::read(include_str!("../../data/equilibrium.csv"));
    let library = Library::built_in();
    let mut section = Section::new(
        "Equilibrium moisture",
        Against::Published,
        "Allowed: half a printed digit for the tables that the source file marks verified (their temperatures are rounded too), \
         the row's own tolerance for statements. The constants themselves were recalled from the literature; the seen tables are \
         what confirms them. Rows of 1925 recalled from memory confirm nothing and are shown as such.",
    );
    // Groups: a table with one set of constants.
    let mut groups: Vec<(String, &str, Vec<&Row>)> = Vec::new();
    for r in &rows {
        let case = if r.text("status") == "memory" {
            format!("{}: {}", r.text("case"), r.text("crop"))
        } else {
            r.text("case").into()
        };
        let id = r.text("coefficient_id");
        match groups.iter_mut().find(|g| g.0 == case && g.1 == id) {
            Some(group) => group.2.push(r),
            None => groups.push((case, id, vec![r])),
        }
    }
    for (case, id, rows) in &groups {
        let seen = rows[0].text("status") != "memory";
        let Some(set) = set(&library, id) else {
            let why = if id.is_empty() {
                "no set of constants is named for it, and the material is no crop of ours"
            } else {
                "the oil-content equation needs an oil content that the table does not give"
            };
            section.rows.push(not_run(case, format!("{} values", rows.len()), why).times(rows.len()));
            continue;
        };
        let off = |r: &Row| ours(set, r) - said(r);
        let worst = rows.iter().map(|r| off(r).abs()).fold(0.0, f64::max);
        let hit = |r: &&&Row| Verdict::of(off(r), r.value("tolerance_pct_wb")) == Verdict::Agrees;
        if !seen {
            let says = format!("{} values", rows.len());
            let line = row(format!("{case}, set `{id}`"), says, format!("largest difference {worst:.1} points"));
            section.rows.push(line.times(rows.len()).is(Verdict::NoCheck).because("table recalled from memory"));
            continue;
        }
        if rows.len() <= 3 {
            for r in rows {
                let at = format!("{}, {:.0} °C, {} %, set `{id}`", r.text("crop"), temperature(r), r.text("rh_pct"));
                let line = row(at, format!("{} % wb", r.text("emc_pct_wb")), format!("{:.2} %", ours(set, r)));
                let tolerance = r.value("tolerance_pct_wb");
                let line = line.off(format!("{:+.2} points, allowed {tolerance}", off(r)));
                section.rows.push(line.is(Verdict::of(off(r), tolerance)).because(case));
            }
            continue;
        }
        let hits = rows.iter().filter(hit).count();
        let digits = rows.iter().filter(|r| off(r).abs() <= 0.05 + 1e-9).count();
        let found = format!("{hits} within the tolerance, {digits} to the printed digit");
        let line = row(format!("{case}, set `{id}`"), format!("{} values", rows.len()), found).times(hits);
        section.rows.push(line.off(format!("largest {worst:.3} points")).is(Verdict::Agrees));
        for r in rows.iter().filter(|r| !hit(r)) {
            let at = format!("{case}: {:.1} °C, {} %", temperature(r), r.text("rh_pct"));
            let line = row(at, format!("{} % wb", r.text("emc_pct_wb")), format!("{:.2} %", ours(set, r)));
            section.rows.push(line.off(format!("{:+.2} points", off(r))).is(Verdict::Differs));
        }
    }
    let missing = "the source counts 16 values for sorghum and 12 for long-grain rice, but does not print them";
    section.rows.push(not_run("five-crop table: sorghum, long-grain rice", "28 values", missing).times(28));
    section.sources(table::kinds(&rows, "source"));
    spread(&library, &rows, &mut section, plots);
    section
}

/// Corn's sets at 10 and 27 °C with the points of the two published tables nearest to these temperatures.
fn spread(library: &Library, rows: &[Row], section: &mut Section, plots: &mut Vec<Named>) {
    let Ok((corn, _)) = library.find("corn") else { return };
    let fahrenheit = 50.0;
    let mut lines: Vec<Line> = Vec::new();
    for set in corn.spread_sets() {
        let at = |h: u32| (f64::from(h), wet(set.form.equilibrium(f64::from(h) / 100.0, celsius(fahrenheit)).moisture));
        lines.push(Line::new(set.id.clone(), (10..=92).step_by(2).map(at).collect()));
    }
    let points = |case: &str| -> Vec<(f64, f64)> {
        rows.iter()
            .filter(|r| r.text("case").starts_with(case) && (r.value("temp_f") - fahrenheit).abs() < 0.6)
            .map(|r| (r.value("rh_pct"), r.value("emc_pct_wb")))
            .collect()
    };
    let plot = plots::chart(
        "Corn at 50 °F: every published set, and the printed table",
        "Lines: equilibrium moisture of corn against relative humidity from each published set of constants. Rings: the \
         printed shelled-corn table.",
        ("relative humidity, %", 10.0, 92.0),
        ("equilibrium moisture, % wb", 4.0, 24.0),
        lines,
        vec![points("corn table")],
    );
    plots.push(("corn-equilibrium", plot));
    section.plot("corn-equilibrium", "Corn at 50 °F: lines of every published set, rings of the printed table");
}
