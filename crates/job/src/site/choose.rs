//! `[bins.NAME.choose]`: what may be chosen in place of the outfit that stands in the file.

use super::costs::Money;
use super::goal::or;
use super::{control, operations};
use crate::choose::{ChooseFacts, ControlChoice, FillChoice, Quiet, Supply};
use crate::facts::{OutfitFacts, SiteFacts};
use crate::library::Library;
use crate::parse;
use equipment::arrangement::MAX_FANS;
use equipment::{Arrangement, Fan};
use notice::{Diagnostic, Kind};
use physics::electric::Phases;
use physics::sound::Surroundings;
use sheet::{Limits, Node};

const SHARE: Limits = Limits::above(0.0, 2.0, "above 0 % and at most 200 %");
const DISTANCE: Limits = Limits::within(5.0, 2000.0, "from 5 m to 2000 m");

/// Most fans of an outfit when nothing is said.
pub const MOST_FANS: u32 = 2;

/// Reads the table. Defaults: every fan of the catalogue, at most two, in parallel; the burner and the control of the
/// outfit; filled as the lots stand; nothing owned; no limit of amperes, sound, money or harvest; fuel where the outfit burns
/// some.
pub(super) fn read(
    node: Node<'_, '_>,
    outfit_there: Option<&OutfitFacts>,
    grain: control::Grain<'_>,
    money: Money<'_>,
    library: &dyn Library,
) -> Option<ChooseFacts> {
    let fans = or(&node, "fans", library.fans().to_vec(), |n, k| {
        let ids = some_of(n, k)?;
        let found: Vec<Fan> = ids
            .iter()
            .filter_map(|id| {
                let fan = library.fans().iter().find(|fan| fan.id == *id).cloned();
                if fan.is_none() {
                    n.unknown_word(k, id, library.fans().iter().map(|fan| fan.id.as_str()));
                }
                fan
            })
            .collect();
        (found.len() == ids.len()).then_some(found)
    });
    let most = or(&node, "most_fans", MOST_FANS, |n, k| n.count(k, 1, MAX_FANS as u32));
    let words = [("parallel", Arrangement::Parallel), ("series", Arrangement::Series)];
    let arrangements = or(&node, "arrangements", vec![Arrangement::Parallel], |n, k| {
        let words_said = some_of(n, k)?;
        let found: Vec<Arrangement> = words_said
            .iter()
            .filter_map(|word| {
                let known = words.iter().find(|(other, _)| other == word).map(|(_, it)| *it);
                if known.is_none() {
                    n.unknown_word(k, word, words.iter().map(|(word, _)| *word));
                }
                known
            })
            .collect();
        (found.len() == words_said.len()).then_some(found)
    });
    let there: Vec<_> = outfit_there.and_then(|outfit| outfit.burner.clone()).into_iter().collect();
    let burners = or(&node, "burners", there, |n, k| {
        let ids = n.texts(k)?;
        let found: Vec<_> = ids
            .iter()
            .filter_map(|id| {
                let burner = library.burners().iter().find(|burner| burner.id == *id).cloned();
                if burner.is_none() {
                    n.unknown_word(k, id, library.burners().iter().map(|burner| burner.id.as_str()));
                }
                burner
            })
            .collect();
        (found.len() == ids.len()).then_some(found)
    });
    let mut whole = true;
    let mut controls = Vec::new();
    for row in node.tables("controls") {
        match control::choice(row, grain) {
            Some(control) => controls.push(ControlChoice { control }),
            None => whole = false,
        }
    }
    let mut fillings = Vec::new();
    for row in node.tables("fillings") {
        let share = or(&row, "share", 1.0, |n, k| n.quantity(k, Kind::Fraction, SHARE));
        let days = or(&row, "days", None, |n, k| n.count(k, 1, 120).map(Some));
        let layers = or(&row, "layers", 1, |n, k| n.count(k, 1, 12));
        row.close();
        match (share, days, layers) {
            (Some(share), Some(days), Some(layers)) => fillings.push(FillChoice { share, days, layers }),
            _ => whole = false,
        }
    }
    let stirring = operations::stirring(&node);
    let owned = or(&node, "owned", Vec::new(), |n, k| {
        let ids = n.texts(k)?;
        let known = || {
            let (fans, burners) = (library.fans().iter(), library.burners().iter());
            fans.map(|fan| fan.id.as_str()).chain(burners.map(|burner| burner.id.as_str()))
        };
        let mut all = true;
        for id in ids.iter().filter(|id| !known().any(|other| other == id.as_str())) {
            all = false;
            n.unknown_word(k, id, known());
        }
        all.then_some(ids)
    });
    let supply = or(&node, "supply", None, |n, k| {
        let table = n.table(k)?;
        let phases = table.needed_choice("phases", &[("single", Phases::Single), ("three", Phases::Three)]);
        for (key, example) in [("volts", "volts = 230"), ("amps", "amps = 100")] {
            if !table.has(key) {
                table.missing(key, example);
            }
        }
        let volts = table.number("volts", 100.0, 1000.0);
        let amps = table.number("amps", 1.0, 10_000.0);
        table.close();
        Some(Some(Supply { phases: phases?, volts: volts?, amps: Some(amps?) }))
    });
    let gas = or(&node, "gas", true, |n, k| n.flag(k));
    let quiet = or(&node, "quiet", None, |n, k| {
        let table = n.table(k)?;
        if !table.has("dba") {
            table.missing("dba", "dba = 55");
        }
        let level = table.number("dba", 20.0, 120.0);
        let distance = table.needed_quantity("distance", "200 ft", Kind::Length, DISTANCE);
        table.close();
        Some(Some(Quiet { level: level?, distance: distance?, surroundings: Surroundings::Ground }))
    });
    let budget = or(&node, "budget", None, |n, k| money.amount(n, k).map(Some));
    let harvest = or(&node, "harvest_per_day", None, |n, k| n.parsed(k, parse::amount).map(Some));
    node.close();
    if !whole {
        return None;
    }
    Some(ChooseFacts {
        fans: fans?,
        most_fans: most?,
        arrangements: arrangements?,
        burners: burners?,
        controls,
        fillings,
        stirring: stirring?,
        owned: owned?,
        supply: supply?,
        gas: gas?,
        quiet: quiet?,
        budget: budget?,
        harvest_per_day: harvest?,
    })
}

/// Levels and distances that are the same when they are as near as this: dB, m.
const SAME: (f64, f64) = (0.5, 1.0);

/// Holds what `choose` says of supply and quiet against `[power]` and `[yard]`: a place has one of each.
pub(super) fn check(top: &Node<'_, '_>, site: &SiteFacts) {
    for bin in &site.bins {
        let Some(choose) = &bin.choose else { continue };
        let at = |key: &str| top.place_of_path(&format!("bins.{}.choose.{key}", bin.name), "bins");
        if let (Some(said), Some(power)) = (choose.supply, &site.power) {
            let word = |phases| if phases == Phases::Three { "three phases" } else { "single phase" };
            let other = said.phases != power.phases || (said.volts - power.volts).abs() > 0.5;
            let more = said.amps.zip(power.service).filter(|(said, there)| said > there);
            if other || more.is_some() {
                let amps = |amps: Option<f64>| amps.map_or(String::new(), |amps| format!(", {amps:.0} A"));
                let shown = |phases, volts: f64, a| format!("{} at {volts:.0} V{}", word(phases), amps(a));
                let found = format!(
                    "supply of {} where [power] says {}",
                    shown(said.phases, said.volts, said.amps),
                    shown(power.phases, power.volts, power.service)
                );
                top.add(
                    Diagnostic::error("supply-contradicts-power", found, at("supply"))
                        .allowed("must be the supply of [power], or a part of its amperes")
                        .help("leave supply out: what [power] leaves to this bin is taken then"),
                );
            }
        }
        let asked = site.yard.as_ref().and_then(|yard| Quiet::of_yard(yard, &bin.name));
        if let (Some(said), Some(asked)) = (choose.quiet, asked)
            && ((said.level - asked.level).abs() > SAME.0 || (said.distance - asked.distance).abs() > SAME.1)
        {
            let found = format!(
                "quiet of {:.0} dB at {:.0} m where [yard] asks {:.0} dB at {:.0} m",
                said.level, said.distance, asked.level, asked.distance
            );
            top.add(
                Diagnostic::error("quiet-contradicts-yard", found, at("quiet"))
                    .allowed("must be the stricter limit of [yard] at its nearest dwelling")
                    .help("leave quiet out: what [yard] asks is taken then"),
            );
        }
    }
}

/// A list that chooses among at least one: an empty one leaves nothing to weigh.
fn some_of(node: &Node<'_, '_>, key: &'static str) -> Option<Vec<String>> {
    let names = node.texts(key)?;
    if names.is_empty() {
        node.fault(
            key,
            "empty-choice",
            "an empty list",
            "must name one at least; leave the key out to choose among all",
        );
        return None;
    }
    Some(names)
}
