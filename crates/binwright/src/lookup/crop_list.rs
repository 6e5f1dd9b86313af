//! `lookup crops`: what is known of which crop, and how well.

use super::Answer;
use crate::{output::Out, table::Table};
use contract::lookup::{CropList, CropRow};
use crops::Library;
use notice::Remarks;

/// Answers the question.
pub fn answer() -> Answer<CropList> {
    Answer { result: CropList::of(&Library::built_in()), remarks: Remarks::default() }
}

/// The answer as text.
pub fn view(answer: &CropList, _out: &Out) -> String {
    let (grain, other): (Vec<&CropRow>, Vec<&CropRow>) = answer.crops.iter().partition(|crop| crop.grain);
    let mut table = Table::facts();
    table.row(["crop", "equilibrium", "resistance", "drying", "storage", "heat", "also called"]);
    for crop in grain {
        let words = [&crop.equilibrium, &crop.resistance, &crop.kinetics, &crop.storability, &crop.heat];
        let cells = words.map(|cell| if cell.confidence == "missing" { "-" } else { &cell.confidence });
        let aliases = crop.aliases.join(", ");
        table.row([[crop.id.as_str()].as_slice(), &cells, &[aliases.as_str()]].concat());
    }
    let mut text = table.render();
    text.push_str("\n- is missing: what needs it is refused, never filled from another crop\n");
    text.push_str("high: reproduces a published number; medium: from the literature; low: borrowed, bounded or weak\n");
    if !other.is_empty() {
        let names: Vec<&str> = other.iter().map(|crop| crop.id.as_str()).collect();
        text.push_str(&format!("resistance alone: {}\n", names.join(", ")));
    }
    text
}
