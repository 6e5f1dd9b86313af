//! `[bins.NAME.outfit]`: fans, how they stand, burner, control.

use super::goal::or;
use super::sheet::{Limits, Node};
use super::{control, operations};
use crate::facts::OutfitFacts;
use crate::library::Library;
use equipment::arrangement::MAX_FANS;
use equipment::{Arrangement, Burner, BurnerRule, BurnerSide, Fan, Firing, Fuel};
use notice::{Diagnostic, Kind};

const CAPACITY: Limits = Limits::above(0.0, 1e7, "above 0 and at most 10 MW (34 MMBtu/h)");
const FIRE: Limits = Limits::above(0.0, 1.0, "above 0 % and at most 100 %");
const EFFICIENCY: Limits = Limits::within(0.3, 1.0, "from 30 % to 100 %");
const LIMIT: Limits = Limits::within(20.0, 150.0, "from 20 °C to 150 °C (68 °F to 302 °F)");

/// Words for fuels.
pub(crate) const FUELS: [(&str, Fuel); 3] =
    [("propane", Fuel::Propane), ("natural-gas", Fuel::NaturalGas), ("electric", Fuel::Electric)];
/// Words for the side of the fan.
pub(crate) const SIDES: [(&str, BurnerSide); 2] = [("discharge", BurnerSide::Discharge), ("inlet", BurnerSide::Inlet)];
/// Words for ways of firing.
pub(crate) const FIRINGS: [(&str, Firing); 3] =
    [("on-off", Firing::OnOff), ("high-low", Firing::HighLow), ("modulating", Firing::Modulating)];

/// Reads the table. `grain` is the equilibrium of the first lot, for controls that work by it.
/// Defaults: fans in parallel, air pushed up through the grain, no burner, cooling as [`control::cooling_default`].
pub(super) fn read(node: Node<'_, '_>, grain: control::Grain<'_>, library: &dyn Library) -> Option<OutfitFacts> {
    let fans = fans(&node, library);
    let arrangement = or(&node, "arrangement", Arrangement::Parallel, |n, k| {
        n.choice(k, &[("parallel", Arrangement::Parallel), ("series", Arrangement::Series)])
    });
    let suction = or(&node, "draw", false, |n, k| n.choice(k, &[("up", false), ("down", true)]));
    let burner = or(&node, "burner", None, |n, k| burner(n, k, library).map(Some));
    let count = fans.as_ref().map_or(1, Vec::len);
    let control = control::read(&node, count, grain);
    if let (Some(control), Some(burner)) = (&control, &burner) {
        match (burner.is_some(), control.burner != BurnerRule::Off) {
            (true, false) if !control_names_burner(&node) => node.add(
                Diagnostic::error("burner-without-rule", "burner without a rule when to fire", node.place("burner"))
                    .allowed("the control must say what the burner is asked")
                    .help("add burner = { kind = \"rise\", rise = \"3 K\" } to control"),
            ),
            (false, true) => node.add(
                Diagnostic::error(
                    "rule-without-burner",
                    "control of a burner that is not there",
                    node.place("control"),
                )
                .help("add burner = \"NAME\" to the outfit, or leave burner out of control"),
            ),
            _ => {}
        }
    }
    let sensors = operations::sensors(&node);
    let stop = operations::stop(&node);
    let stirring = operations::stirring(&node);
    let counterflow = operations::counterflow(&node);
    node.close();
    Some(OutfitFacts {
        fans: fans?,
        arrangement: arrangement?,
        suction: suction?,
        burner: burner?,
        control: control?,
        sensors: sensors?,
        stop: stop?,
        stirring: stirring?,
        counterflow: counterflow?,
    })
}

/// Whether the control says anything of the burner, be it `off`.
fn control_names_burner(node: &Node<'_, '_>) -> bool {
    node.table("control").is_some_and(|control| control.has("burner"))
}

fn fans(node: &Node<'_, '_>, library: &dyn Library) -> Option<Vec<Fan>> {
    if !node.has("fans") {
        node.missing("fans", "fans = [\"NAME\"]");
    }
    let ids = node.texts("fans")?;
    if ids.is_empty() || ids.len() > MAX_FANS {
        let allowed = format!("must be from 1 to {MAX_FANS}");
        node.fault("fans", "number-of-fans", format!("{} fans", ids.len()), allowed);
        return None;
    }
    let known = library.fans();
    let mut fans = Vec::new();
    for id in &ids {
        match known.iter().find(|fan| fan.id == *id) {
            Some(fan) => fans.push(fan.clone()),
            None => node.unknown_word("fans", id, known.iter().map(|fan| fan.id.as_str())),
        }
    }
    (fans.len() == ids.len()).then_some(fans)
}

fn burner(node: &Node<'_, '_>, key: &'static str, library: &dyn Library) -> Option<Burner> {
    if !node.is_text(key) {
        return burner_table(node.table(key)?, "burner", false);
    }
    let id = node.text(key)?;
    let known = library.burners();
    let found = known.iter().find(|burner| burner.id == id);
    if found.is_none() {
        node.unknown_word(key, &id, known.iter().map(|burner| burner.id.as_str()));
    }
    found.cloned()
}

/// Reads a burner. Defaults: after the fan, on-off, direct fire, no limit; a modulating or high-low burner must say its
/// minimum fire.
pub(crate) fn burner_table(node: Node<'_, '_>, id: &str, invented: bool) -> Option<Burner> {
    let capacity = node.needed_quantity("capacity", "250000 Btu/h", Kind::HeatRate, CAPACITY);
    let fuel = node.needed_choice("fuel", &FUELS);
    let side = or(&node, "side", BurnerSide::Discharge, |n, k| n.choice(k, &SIDES));
    let firing = or(&node, "firing", Firing::OnOff, |n, k| n.choice(k, &FIRINGS));
    if matches!(firing, Some(Firing::HighLow | Firing::Modulating)) && !node.has("minimum_fire") {
        node.missing("minimum_fire", "minimum_fire = \"25 %\"");
    }
    let minimum = or(&node, "minimum_fire", 1.0, |n, k| n.quantity(k, Kind::Fraction, FIRE));
    let efficiency = or(&node, "indirect_efficiency", None, |n, k| n.quantity(k, Kind::Fraction, EFFICIENCY).map(Some));
    let limit = or(&node, "temperature_limit", None, |n, k| n.quantity(k, Kind::Temperature, LIMIT).map(Some));
    let provenance = crate::provenance::read(&node);
    node.close();
    Some(Burner {
        id: id.to_string(),
        capacity: capacity?,
        minimum_fire: minimum?,
        fuel: fuel?,
        side: side?,
        indirect_efficiency: efficiency?,
        firing: firing?,
        temperature_limit: limit?,
        invented,
        provenance,
    })
}
