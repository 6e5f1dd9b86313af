//! What the model itself leaves open: the same years with each uncertain choice at its other values, one at a time, and the
//! worst combination.

use crate::proof::{Accuracy, ProofInput, on_rung};
use crate::verdict::{Reading, judge};
use ensemble::{Batch, Engine, Observer, Priority};
use job::JobUncertainty;
use season::{CaseSpec, Record, SeasonResult};
use std::sync::Arc;

/// One choice and what became of the years with it.
#[derive(Debug, Clone, PartialEq)]
pub struct RangeEntry {
    /// What was changed; of a moisture set its id.
    pub name: String,
    /// What was changed, in a reader's words.
    pub label: String,
    /// Kind of choice, for grouping.
    pub kind: &'static str,
    /// Years met, held, failed.
    pub met: usize,
    /// Years held.
    pub held: usize,
    /// Years failed.
    pub failed: usize,
}

impl RangeEntry {
    /// The choice as a sentence names it.
    pub fn says(&self) -> String {
        match self.kind {
            "moisture set" => format!("another published moisture set, {}", self.label),
            "storability" => "storage times as published instead of the shortest".into(),
            _ => self.name.clone(),
        }
    }

    /// The choice as a table names it.
    pub fn short_label(&self) -> String {
        match self.kind {
            "moisture set" => format!("moisture set {}", self.label),
            "storability" => "storage times as published".into(),
            "worst combination" => "the worst of these together".into(),
            _ => self.name.clone(),
        }
    }

    /// Share of years met or held.
    pub fn probability(&self) -> f64 {
        (self.met + self.held) as f64 / (self.met + self.held + self.failed).max(1) as f64
    }
}

/// The range the model leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelRange {
    /// As chosen.
    pub base: RangeEntry,
    /// One choice changed at a time.
    pub entries: Vec<RangeEntry>,
    /// Every choice at its worst at once.
    pub worst: Option<RangeEntry>,
    /// Lowest share of good years among single changes.
    pub low: f64,
    /// Highest share.
    pub high: f64,
    /// Layers of the grid used.
    pub layers: usize,
    /// Whether it was cut short.
    pub partial: bool,
}

/// A single change.
struct Change {
    kind: &'static str,
    name: String,
    label: String,
    apply: Box<dyn Fn(&mut CaseSpec)>,
}

impl Change {
    fn new(kind: &'static str, name: String, apply: impl Fn(&mut CaseSpec) + 'static) -> Self {
        Self { kind, label: name.clone(), name, apply: Box::new(apply) }
    }
}

/// Runs every single change and the worst combination over all years, on the first rung of a verdict, on which settled years
/// fall as they are reported. A coarser grid mixes loads of unlike moisture: with wet corn 20 layers called 8 of 28 years
/// good where the proof called 1.
pub fn model_range(
    engine: &Engine,
    input: &ProofInput,
    uncertainty: &JobUncertainty,
    observer: &Arc<dyn Observer>,
) -> ModelRange {
    let layers = Accuracy::Verdict.first_rung();
    let changes = changes(uncertainty);
    let years = input.years.len();
    let mut cases = base_cases(input, layers);
    for change in &changes {
        cases.extend(input.years.iter().map(|(_, case)| {
            let mut case = on_rung(case, layers);
            (change.apply)(&mut case);
            Arc::new(case)
        }));
    }
    let outcome = engine.run(Batch {
        cases,
        record: Record::Summary,
        priority: Priority::Ordinary,
        observer: Arc::clone(observer),
    });
    let mut partial = outcome.cancelled;
    let block = |k: usize| &outcome.results[k * years..(k + 1) * years];
    let base = entry("as chosen", "base", input, block(0), Reading::Strict);
    let mut entries = vec![entry("storage life as published", "storability", input, block(0), Reading::Published)];
    for (k, change) in changes.iter().enumerate() {
        let counted = entry(&change.name, change.kind, input, block(k + 1), Reading::Strict);
        entries.push(RangeEntry { label: change.label.clone(), ..counted });
    }

    // The worst of each kind together; kinds that never do worse than the base stay as chosen.
    let mut picked: Vec<usize> = Vec::new();
    for kind in ["moisture set", "drying rate", "packing", "air shares", "rewetting"] {
        let worst = entries
            .iter()
            .enumerate()
            .filter(|(_, e)| e.kind == kind && e.probability() < base.probability())
            .min_by(|a, b| a.1.probability().total_cmp(&b.1.probability()));
        // Entry 0 is the published reading, which no change stands behind.
        picked.extend(worst.map(|(i, _)| i - 1));
    }
    let worst = (picked.len() > 1).then(|| {
        let cases = input
            .years
            .iter()
            .map(|(_, case)| {
                let mut case = on_rung(case, layers);
                picked.iter().for_each(|&k| (changes[k].apply)(&mut case));
                Arc::new(case)
            })
            .collect();
        let outcome = engine.run(Batch {
            cases,
            record: Record::Summary,
            priority: Priority::Ordinary,
            observer: Arc::clone(observer),
        });
        partial |= outcome.cancelled;
        let names: Vec<_> = picked.iter().map(|&k| entries[k + 1].says()).collect();
        entry(&names.join("; "), "worst combination", input, &outcome.results, Reading::Strict)
    });
    let shares: Vec<f64> = entries.iter().chain([&base]).map(RangeEntry::probability).collect();
    ModelRange {
        low: shares.iter().copied().fold(f64::INFINITY, f64::min),
        high: shares.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        base,
        entries,
        worst,
        layers,
        partial,
    }
}

fn base_cases(input: &ProofInput, layers: usize) -> Vec<Arc<CaseSpec>> {
    input.years.iter().map(|(_, case)| Arc::new(on_rung(case, layers))).collect()
}

fn entry(
    name: &str,
    kind: &'static str,
    input: &ProofInput,
    results: &[Option<SeasonResult>],
    reading: Reading,
) -> RangeEntry {
    use crate::verdict::Verdict;
    let mut entry = RangeEntry { name: name.into(), label: name.into(), kind, met: 0, held: 0, failed: 0 };
    for ((_, case), result) in input.years.iter().zip(results) {
        match result.as_ref().map(|r| judge(&case.programme, r, reading)) {
            Some(Verdict::Met) => entry.met += 1,
            Some(Verdict::Held) => entry.held += 1,
            Some(Verdict::Failed(_)) => entry.failed += 1,
            None => {}
        }
    }
    entry
}

/// Every single change.
fn changes(u: &JobUncertainty) -> Vec<Change> {
    let mut list = Vec::new();
    for set in &u.isotherms {
        let (form, sorption) = (set.form, set.sorption);
        let change = Change::new("moisture set", set.id.clone(), move |case| {
            case.grain.column.isotherm = form;
            case.grain.column.sorption = sorption;
            case.grain.group.family = bed::IsothermFamily::of(&form).0;
        });
        list.push(Change { label: set.words.clone(), ..change });
    }
    for (name, kernel) in &u.kinetics {
        let kernel = *kernel;
        list.push(Change::new("drying rate", name.clone(), move |case| case.grain.column.kinetics = kernel));
    }
    for &factor in &u.packing {
        // All years share fans and grain, so the map for the changed bed is compiled once.
        let compiled = std::cell::OnceCell::new();
        list.push(Change::new("packing", format!("resistance × {factor:.2}"), move |case| {
            case.grain.resistance.multiplier *= factor;
            let map =
                compiled.get_or_init(|| Arc::new(equipment::AirMap::new(&case.system, case.grain.resistance, None)));
            case.air = Arc::clone(map);
        }));
    }
    for &factor in &u.air_spread {
        let name = if factor == 0.0 { "even air".into() } else { format!("unevenness of the air × {factor:.1}") };
        list.push(Change::new("air shares", name, move |case| {
            for column in &mut case.bin.columns {
                let spread = |air: f64| (1.0 + factor * (air - 1.0)).max(0.05);
                column.air = spread(column.air);
                column.air_filling = spread(column.air_filling);
            }
        }));
    }
    for &gap in &u.gaps {
        let name = format!("rewetting branch {:.1} points (d.b.) lower", 100.0 * gap);
        list.push(Change::new("rewetting", name, move |case| case.grain.column.adsorption_gap = gap));
    }
    list
}
