//! Allowable storage times.

use crate::page::{Against, Row as Line, Section, Verdict, row};
use crate::table::{self, Row, celsius};
use physics::storability::{StorageLaw, allowable_days};

fn days(law: &StorageLaw, r: &Row) -> f64 {
    let moisture = r.value("moisture_pct_wb");
    allowable_days(law, moisture / (100.0 - moisture), celsius(r.value("temp_F"))).unwrap_or(f64::NAN)
}

fn at(r: &Row) -> String {
    format!("{} {} %, {} °F", r.text("crop"), r.text("moisture_pct_wb"), r.text("temp_F"))
}

/// One line for all hits of a table, one for each miss. `allowed` in days.
fn group(
    rows: &[&Row],
    name: &str,
    law: &StorageLaw,
    allowed: impl Fn(f64) -> f64,
    says: &str,
    why: &str,
) -> Vec<Line> {
    let off = |r: &Row| days(law, r) - r.value("published_days");
    let (hits, misses): (Vec<&&Row>, Vec<&&Row>) =
        rows.iter().partition(|r| Verdict::of(off(r), allowed(r.value("published_days"))) == Verdict::Agrees);
    let mut lines = Vec::new();
    if !hits.is_empty() {
        let worst = hits.iter().map(|r| (off(r) / r.value("published_days")).abs()).fold(0.0, f64::max);
        let found = format!("{} within {says}", hits.len());
        let line = row(name, format!("{} values", rows.len()), found).times(hits.len()).is(Verdict::Agrees);
        lines.push(line.off(format!("largest of these {:.1} %", 100.0 * worst)));
    }
    for r in misses {
        let (published, ours) = (r.value("published_days"), days(law, r));
        let line = row(
            format!("{name}: {}", at(r)),
            format!("{published} d"),
            format!("{ours:.*} d", usize::from(ours < 30.0)),
        );
        lines.push(line.off(format!("{:+.0} %", 100.0 * (ours / published - 1.0))).is(Verdict::Differs).because(why));
    }
    lines
}

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../data/storage-time.csv"));
    let of = |table: &str, operator: &str| -> Vec<&Row> {
        rows.iter().filter(|r| r.text("table") == table && r.text("operator") == operator).collect()
    };
    let corn = StorageLaw::CornDryMatterLoss { loss: 0.005, damage: 0.30 };
    let cereal = StorageLaw::CerealTable { moisture_shift: 0.0 };
    let sunflower = StorageLaw::CerealTable { moisture_shift: 0.05 };
    let wheat = StorageLaw::WheatGermination { divide: 1.0 };
    let barley = StorageLaw::Viability { k_e: 9.983, c_w: 5.896, c_h: 0.040, c_q: 0.000428, probits: 1.0 };
    let mut section = Section::new(
        "Storage time",
        Against::Published,
        "Days to the limit at steady moisture and temperature, read as published (the verdict of a season uses the stricter reading). \
         Table A: within 1 day or 1 %. Table B is interpolated by us, so its own cells must come back. Others are judged at ±20 %.",
    );
    let lines = &mut section.rows;
    let exact = |p: f64| (0.01 * p).max(1.0);
    let fifth = |p: f64| 0.2 * p;
    lines.extend(group(&of("A", "="), "A: corn, 0.5 % dry-matter loss", &corn, exact, "1 day or 1 %", ""));
    let why = "these rows come from another source than the rest of the table; the strict reading takes the shorter of two relations";
    lines.extend(group(&of("A2", "="), "A2: corn below 16 %", &corn, fifth, "20 %", why));
    lines.extend(group(&of("B", "="), "B: cereals, cells in days", &cereal, |p| 1e-9 * p, "1e-9", ""));
    let bounds = of("B", ">");
    let above = bounds.iter().filter(|r| days(&cereal, r) >= r.value("published_days") * (1.0 - 1e-9)).count();
    let line = row(
        "B: cereals, cells printed as more than 300 d",
        format!("{} values", bounds.len()),
        format!("{above} not below"),
    );
    lines.push(line.times(bounds.len()).is(Verdict::of((bounds.len() - above) as f64, 0.0)));
    let why = "measured; the published law keeps too long here, so the strict reading divides its time by 1.5";
    lines.extend(group(&of("C", "="), "C: wheat, germination to 90 %", &wheat, fifth, "20 %", why));
    for r in of("C", ">") {
        let (bound, ours) = (r.value("published_days"), days(&wheat, r));
        let line = row(format!("C: {}, no change seen", at(r)), format!("more than {bound} d"), format!("{ours:.0} d"));
        let verdict = if ours >= bound { Verdict::Agrees } else { Verdict::Differs };
        lines.push(
            line.is(verdict)
                .because("the law counts to 90 % germination: shorter than what was seen, on the safe side"),
        );
    }
    let why =
        "viability law with recalled constants, offered for barley by name only; short on the safe side when cool";
    lines.extend(group(&of("D", "="), "D: malting barley, germination", &barley, fifth, "20 %", why));
    lines.extend(group(&of("E", "="), "E: oil sunflower, cereal table at +5 points", &sunflower, fifth, "20 %", ""));
    for r in of("F", "=") {
        let published = r.value("published_days");
        let (a, b) = (days(&wheat, r), days(&corn, r));
        let line = row(
            format!("F: {}", at(r)),
            format!("{published} d, for cereals without a name"),
            format!("wheat {a:.0} d, corn {b:.0} d"),
        );
        let why = "risk-free storage, read off a nomogram; the crop and the criterion are not stated";
        lines.push(line.off(format!("×{:.1} to ×{:.1}", a / published, b / published)).is(Verdict::Band).because(why));
    }
    section.sources(table::kinds(&rows, "source"));
    section
}
