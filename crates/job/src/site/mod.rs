//! The site file: format 1, from text to [`SiteFacts`], with everything wrong in it said at once and by line.
//!
//! Every quantity is a text with its unit; counts, ratios and coefficients are bare. Keys that are not known are refused.
//! What is left out takes the default that the reader of the key states. What needs the crop's density (whether a lot
//! fits the bin) is checked by [`crate::resolve()`], which gets the places of the fields for that.

mod bin;
pub mod choose;
mod control;
mod costs;
mod farm;
mod firing;
mod fuel;
mod goal;
mod harvest;
mod operations;
pub(crate) mod outfit;
mod place;
mod power;
mod process;
mod quote;
mod way;
mod yard;

pub(crate) use process::STAGE_BEFORE;

use crate::facts::SiteFacts;
use crate::library::Library;
use crate::resolve::Places;
use notice::{Diagnostic, Diagnostics};
use sheet::{Node, Sheet};

/// Longest name of a site, letters: a line of a title block.
const LONGEST_NAME: usize = 120;

/// Version of the format this program writes and reads.
pub const FORMAT: u32 = 1;

/// Most bins of a site. Each may begin on a day of its own and then carries the weather of all its seasons.
const MOST_BINS: usize = 100;

/// A site file as read.
#[derive(Debug, Clone)]
pub struct SiteRead {
    /// What it says, in SI.
    pub facts: SiteFacts,
    /// Where each field stands.
    pub places: Places,
    /// What is odd but does not stop the work.
    pub warnings: Diagnostics,
}

/// Reads a site file. `file` is its name for messages, and without folder and ending the name of a site that gives none.
///
/// # Errors
/// All that is wrong with the file, in the order of its lines; each diagnostic has a line.
pub fn read_site(text: &str, file: &str, library: &dyn Library) -> Result<SiteRead, Diagnostics> {
    let sheet = Sheet::new(file, text);
    let facts = sheet.parse().and_then(|table| {
        let top = Node::top(&sheet, &table);
        site(top, file, library)
    });
    let (found, places) = sheet.finish();
    match facts {
        Some(facts) if !found.stop() => Ok(SiteRead { facts, places, warnings: found }),
        _ => Err(found),
    }
}

fn site(top: Node<'_, '_>, file: &str, library: &dyn Library) -> Option<SiteFacts> {
    if !version(&top) {
        // A newer file may mean other things by the same keys: nothing else is worth saying.
        return None;
    }
    let name = top.text("name").unwrap_or_else(|| stem(file));
    if name.chars().any(char::is_control) {
        top.fault(
            "name",
            "not-a-line",
            format!("name {:?}", crate::parse::shown(&name)),
            "must be one line without tabs",
        );
    }
    let long = name.chars().count();
    if long > LONGEST_NAME {
        top.fault("name", "too-long", format!("name of {long} letters"), format!("must be at most {LONGEST_NAME}"));
    }
    let place = top.needed_table("place").and_then(|node| place::read(node, library));
    let (goal, prices) = (top.needed_table("goal"), top.table("prices"));
    let currency = top.table("prices").and_then(|node| goal::currency_said(&node));
    let money = costs::Money(currency.as_deref());
    let goal = goal.and_then(|node| goal::read(node, money));
    let mut bins = Vec::new();
    let (mut whole, mut named) = (true, Vec::new());
    if let Some(table) = top.needed_table("bins") {
        let names = table.names();
        named.clone_from(&names);
        if names.is_empty() {
            top.fault("bins", "no-bin", "no bin", "at least one table [bins.NAME] is needed");
        }
        if names.len() > MOST_BINS {
            let found = format!("{} bins", names.len());
            top.fault("bins", "too-many-bins", found, format!("at most {MOST_BINS} fit one file: split it into sites"));
            return None;
        }
        for name in names {
            match table.named(&name).and_then(|node| bin::read(&name, node, goal.as_ref(), money, library)) {
                Some(bin) => bins.push(bin),
                None => whole = false,
            }
        }
    }
    drawn_elsewhere(&top, &bins);
    single_phase(&top, &mut bins);
    let fuels: Vec<_> = bins.iter().filter_map(|bin| bin.outfit.burner.as_ref().map(|burner| burner.fuel)).collect();
    let gas = top.table("fuel").map(fuel::read);
    if let Some(Some(gas)) = &gas {
        fuel::check(&top, gas, &bins);
    }
    let power = top.table("power").map(power::read);
    let yard = top.table("yard").map(|node| yard::read(node, &bins, &named));
    let farm = top.table("farm").map(|node| farm::read(node, goal.as_ref(), &bins, library));
    let quote = top.table("quote").map(quote::read);
    let unread = farm.as_ref().is_some_and(Option::is_none)
        || power.as_ref().is_some_and(Option::is_none)
        || yard.as_ref().is_some_and(Option::is_none)
        || quote.as_ref().is_some_and(Option::is_none);
    let has_prices = prices.is_some();
    let prices = prices.and_then(|node| goal::prices(node, &fuels, library));
    top.close();
    if !whole || unread || (has_prices && prices.is_none()) || matches!(gas, Some(None)) {
        return None;
    }
    let facts = SiteFacts {
        name,
        place: place?,
        goal: goal?,
        prices,
        fuel: gas.flatten(),
        power: power.flatten(),
        yard: yard.flatten(),
        farm: farm.flatten(),
        quote: quote.flatten(),
        bins,
    };
    choose::check(&top, &facts);
    Some(facts)
}

/// Fits the motors of a site on one phase, those that stand and those that may be chosen.
fn single_phase(top: &Node<'_, '_>, bins: &mut [crate::facts::BinFacts]) {
    let one = top
        .table("power")
        .is_some_and(|power| power.is_text("phases") && power.text("phases").as_deref() == Some("single"));
    if !one {
        return;
    }
    for bin in bins {
        let chosen = bin.choose.iter_mut().flat_map(|choose| &mut choose.fans);
        for fan in bin.outfit.fans.iter_mut().chain(chosen) {
            fan.on_one_phase();
        }
    }
}

/// Looks where grain drawn from a bin goes: to another bin than its own, and not to one whose name is nearly that of a bin here.
fn drawn_elsewhere(top: &Node<'_, '_>, bins: &[crate::facts::BinFacts]) {
    for bin in bins {
        let Some(counterflow) = &bin.outfit.counterflow else { continue };
        let at = || top.place_of_path(&format!("bins.{}.outfit.counterflow.to", bin.name), "bins");
        let to = counterflow.to.as_str();
        let others = || bins.iter().map(|other| other.name.as_str()).filter(|name| *name != bin.name);
        if to == bin.name {
            let wrong =
                Diagnostic::error("drawn-into-itself", format!("to is {to:?}, the bin that is drawn from"), at());
            top.add(wrong.allowed("must name where the dry grain goes"));
        } else if !others().any(|name| name == to)
            && let Some(near) = notice::nearest(to, others())
        {
            let odd = Diagnostic::error("no-such-bin", format!("to is {to:?}, no bin of this site"), at());
            top.add(
                odd.as_warning().help(format!("did you mean {near:?}? else the grain goes out of this site's sight")),
            );
        }
    }
}

/// Whether the file is of a format that can be read.
fn version(top: &Node<'_, '_>) -> bool {
    if !top.has("binwright") {
        top.missing("binwright", &format!("binwright = {FORMAT} as the first line"));
        // Without it the rest is still read as the current format, so that all faults are told at once.
        let _ = top.count("binwright", 1, u32::MAX);
        return true;
    }
    match top.count("binwright", 1, u32::MAX) {
        Some(FORMAT) => true,
        Some(newer) => {
            top.add(
                Diagnostic::error("format-newer", format!("site file of format {newer}"), top.place("binwright"))
                    .allowed(format!("this program reads format {FORMAT}"))
                    .help("use a newer program"),
            );
            false
        }
        None => false,
    }
}

/// Name of a file without folder and ending.
fn stem(file: &str) -> String {
    let base = file.rsplit(['/', '\\']).next().unwrap_or(file);
    match base.rsplit_once('.') {
        Some((stem, _)) if !stem.is_empty() => stem.to_string(),
        _ => base.to_string(),
    }
}
