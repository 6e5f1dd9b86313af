//! Properties of grain: lines against the values printed beside them, bushels.

use crate::page::{Against, Section, Verdict, row};
use crate::table::{self, Row};
use crops::{Library, MoistureLine};
use notice::quantity::POUND_KG;

/// The source whose text was read; the other lines were recalled.
const READ: &str = "lee-1996";

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../../crops/tests/tables/properties.csv"));
    let bushels = table::read(include_str!("../../../crops/tests/tables/bushels.csv"));
    let library = Library::built_in();
    let mut section = Section::new(
        "Grain properties",
        Against::Published,
        "Values printed beside each published line of density, specific heat and conductivity, to their last digit or to the end \
         values that the source prints. Apart from the rice rows the lines were recalled: those rows guard against slips only. Bushels: \
         extension and a compiled list; popcorn recalled.",
    );
    let ours = |r: &Row| -> Option<f64> {
        let (crop, _) = library.find(r.text("crop")).ok()?;
        let lines: &[MoistureLine] = match r.text("property") {
            "specific_heat" => &crop.specific_heat,
            "conductivity" => &crop.conductivity,
            "bulk_density" => &crop.bulk_density,
            _ => &crop.kernel_density,
        };
        Some(lines.iter().find(|line| line.id == r.text("row"))?.at(r.value("moisture_wb")))
    };
    for property in table::kinds(&rows, "property") {
        for read in [true, false] {
            let of = |r: &&Row| r.text("property") == property && r.text("source").starts_with(READ) == read;
            let of: Vec<&Row> = rows.iter().filter(of).collect();
            if of.is_empty() {
                continue;
            }
            let off = |r: &&&Row| {
                Verdict::of(ours(r).unwrap_or(f64::NAN) - r.value("value"), r.value("tolerance")) != Verdict::Agrees
            };
            let missed = of.iter().filter(off).count();
            let what = format!("{}, {}", property.replace('_', " "), if read { "read" } else { "recalled" });
            let found = format!("{} within their tolerance", of.len() - missed);
            let verdict = match (read, missed) {
                (false, _) => Verdict::NoCheck,
                (true, missed) => Verdict::of(missed as f64, 0.0),
            };
            let why = table::kinds(of.iter().copied(), "crop").join(", ");
            section
                .rows
                .push(row(what, format!("{} values", of.len()), found).times(of.len()).is(verdict).because(why));
        }
    }
    let (popcorn, others): (Vec<&Row>, Vec<&Row>) = bushels.iter().partition(|r| r.text("crop") == "popcorn");
    for (of, recalled) in [(others, false), (popcorn, true)] {
        let good = |r: &&&Row| {
            let mass = library.find(r.text("crop")).ok().and_then(|(c, _)| Some(c.bushel.as_ref()?.mass));
            mass.is_some_and(|mass| {
                (mass / POUND_KG - r.value("mass_lb")).abs() < 1e-9 && (mass - r.value("kg_bu")).abs() <= 5e-4
            })
        };
        let hits = of.iter().filter(good).count();
        let verdict = if recalled { Verdict::NoCheck } else { Verdict::of((of.len() - hits) as f64, 0.0) };
        let what = if recalled { "bushel of popcorn" } else { "legal and customary bushels" };
        section
            .rows
            .push(row(what, format!("{} values", of.len()), format!("{hits} as listed")).times(of.len()).is(verdict));
    }
    let keys: Vec<&str> = table::kinds(&rows, "source").into_iter().filter_map(|s| s.split(' ').next()).collect();
    section.sources(library.bibliography().filter(|(key, _)| keys.contains(key)).map(|(_, citation)| citation));
    section.sources(["University of Wisconsin Extension (Rankin) and a compiled list of bushels"]);
    section
}
