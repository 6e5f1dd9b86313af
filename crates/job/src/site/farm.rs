//! `[farm]`: what is harvested and by which rule the bins take it.

use super::bin;
use super::goal::or;
use crate::facts::{Amount, BinFacts, FarmFacts, Goal, LoadOrder};
use crate::library::Library;
use notice::{Diagnostic, Kind};
use sheet::{Limits, Node};

const LIFE: Limits = Limits::within(0.0, 1.0, "from 0 % to 100 %");
/// Longest wait in the field, days.
const LONGEST_WAIT: u32 = 120;
/// Most lots of a harvest.
const MOST_LOTS: usize = 50;

/// Reads the table. Defaults: the lots of the bins are the harvest; the bin with most life left takes a load; none takes one
/// when its grain has used half of its life; a load waits ten days before it is sold wet.
pub(super) fn read(
    node: Node<'_, '_>,
    goal: Option<&Goal>,
    bins: &[BinFacts],
    library: &dyn Library,
) -> Option<FarmFacts> {
    let usual = FarmFacts::default();
    let words = [("most-life", LoadOrder::MostLife), ("as-listed", LoadOrder::AsListed)];
    let order = or(&node, "order", usual.order, |n, k| n.choice(k, &words));
    let life = or(&node, "most_life_used", usual.most_life_used, |n, k| n.quantity(k, Kind::Fraction, LIFE));
    let wait = or(&node, "wait_days", usual.wait, |n, k| n.count(k, 0, LONGEST_WAIT));
    let rows = node.tables("harvest");
    if node.is_list("harvest") && rows.is_empty() {
        node.missing("harvest", "a table [[farm.harvest]] with crop, quantity, moisture and from, or leave it out");
    }
    if rows.len() > MOST_LOTS {
        let found = format!("harvest of {} lots", rows.len());
        node.fault("harvest", "too-many-lots", found, format!("at most {MOST_LOTS} are told apart"));
        return None;
    }
    let (mut harvest, mut whole) = (Vec::new(), true);
    for (k, row) in rows.into_iter().enumerate() {
        let Some(lot) = bin::lot(row, library) else {
            whole = false;
            continue;
        };
        let at = |key: &str| node.place_of_path(&format!("farm.harvest[{k}].{key}"), "harvest");
        if matches!(lot.amount, Amount::Depth(_)) {
            let wrong = Diagnostic::error("depth-of-harvest", "harvest by depth", at("depth"));
            node.add(
                wrong.allowed("a depth belongs to a bin").help("write how much is harvested: quantity = \"40000 bu\""),
            );
            whole = false;
        }
        let same = |other: &str| library.crops().find(other).ok().map(|(crop, _)| crop.id.clone());
        if !bins.iter().flat_map(|bin| &bin.lots).any(|of_bin| same(&of_bin.crop) == same(&lot.crop)) {
            let wrong =
                Diagnostic::error("no-bin-for-harvest", format!("harvest of {} without a bin", lot.crop), at("crop"));
            node.add(wrong.allowed("some bin must have a lot of the crop, which says how much it may take"));
            whole = false;
        }
        harvest.push(lot);
    }
    if whole && let Some(goal) = goal {
        // The days of each lot against the goal; lots of a farm need no order.
        for lot in &harvest {
            bin::check_days(&node, "harvest", std::slice::from_ref(lot), goal);
        }
    }
    node.close();
    whole.then_some(FarmFacts { order: order?, most_life_used: life?, wait: wait?, harvest })
}
