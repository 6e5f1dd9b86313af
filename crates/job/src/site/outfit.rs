//! `[bins.NAME.outfit]`: fans, how they stand, burner, control.

use super::goal::or;
use super::{control, firing, operations};
use crate::facts::OutfitFacts;
use crate::library::Library;
use equipment::arrangement::MAX_FANS;
use equipment::{Arrangement, Burner, BurnerRule, BurnerSide, Fan, Firing, Fuel};
use notice::{Diagnostic, Kind};
use sheet::{Limits, Node};

const CAPACITY: Limits = Limits::within(100.0, 1e7, "from 100 W (340 Btu/h) to 10 MW (34 MMBtu/h)");
const FIRE: Limits = Limits::above(0.0, 1.0, "above 0 % and at most 100 %");
const EFFICIENCY: Limits = Limits::within(0.3, 1.0, "from 30 % to 100 %");
/// Highest turndown, of line burners.
const MOST_TURNDOWN: f64 = 100.0;
const LIMIT: Limits = Limits::within(20.0, 150.0, "from 20 °C to 150 °C (68 °F to 302 °F)");

/// Driest air that a humidistat is asked for: drier than any grain is to be (judgement).
const DRIEST: f64 = 0.10;

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
    let firing = firing::read(&node, count);
    if let (Some(control), Some(Some(burner))) = (&control, &burner) {
        held_above_limit(&node, control.burner, burner);
    }
    if let (Some(control), Some(firing)) = (&control, &firing) {
        dry_humidistat(&node, control.burner, firing.humidity_band);
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
        // Several equal burners are one of the capacity of all.
        burner: burner?.map(|one| Burner { capacity: one.capacity * firing.map_or(1.0, |f| f.burners as f64), ..one }),
        firing: firing?,
        control: control?,
        sensors: sensors?,
        stop: stop?,
        stirring: stirring?,
        counterflow: counterflow?,
    })
}

/// A thermostat that is set above what the limit of the burner lets the plenum have: the limit trips, the set point never comes.
fn held_above_limit(node: &Node<'_, '_>, rule: BurnerRule, burner: &Burner) {
    let (BurnerRule::Thermostat(set) | BurnerRule::HumidistatWithin { temperature: set, .. }) = rule else { return };
    if let Some(limit) = burner.temperature_limit.filter(|limit| set > *limit) {
        let both = |t: f64| format!("{t:.0} °C ({:.0} °F)", t * 1.8 + 32.0);
        let found = format!("thermostat at {} on a burner limited to {}", both(set), both(limit));
        let at = "control.burner.temperature";
        node.add(
            Diagnostic::error("set-above-limit", found, node.place_of_path(&node.path(at), "control"))
                .allowed("must be at or below temperature_limit of the burner, whose high limit would trip first")
                .help("lower the thermostat, or correct the limit"),
        );
    }
}

/// A humidistat whose band reaches air as dry as no burner makes it: the fire would never go out.
fn dry_humidistat(node: &Node<'_, '_>, rule: BurnerRule, band: f64) {
    let (BurnerRule::Humidistat(set) | BurnerRule::HumidistatWithin { humidity: set, .. }) = rule else { return };
    if set - 0.5 * band < DRIEST {
        let found = format!("humidistat at {:.0} % with a band of {:.0} points", 100.0 * set, 100.0 * band);
        let at = "control.burner.humidity";
        node.add(
            Diagnostic::error("humidistat-too-dry", found, node.place_of_path(&node.path(at), "control"))
                .allowed(format!(
                    "the low end of its band must be at {:.0} % or above: drier air would take full fire all season",
                    100.0 * DRIEST
                ))
                .help("set it near the humidity in equilibrium with the moisture wanted: 55 to 70 % for most grain"),
        );
    }
}

/// Least steady fire as a share of full, said as such or as the turndown.
fn minimum_fire(node: &Node<'_, '_>, firing: Option<Firing>) -> Option<f64> {
    let given = (node.has("minimum_fire"), node.has("turndown"));
    let needs = matches!(firing, Some(Firing::HighLow | Firing::Modulating));
    match given {
        (true, true) => {
            node.fault(
                "turndown",
                "fire-twice",
                "turndown beside minimum_fire",
                "one of the two says how low it burns",
            );
        }
        (false, false) if needs => node.missing("minimum_fire", "minimum_fire = \"25 %\" or turndown = 4"),
        _ => {}
    }
    let least = or(node, "minimum_fire", 1.0, |n, k| n.quantity(k, Kind::Fraction, FIRE));
    let turndown = or(node, "turndown", 1.0, |n, k| {
        let turndown = n.number(k, f64::MIN, f64::MAX)?;
        if (1.0..=MOST_TURNDOWN).contains(&turndown) {
            return Some(turndown);
        }
        n.add(
            Diagnostic::error("out-of-bounds", format!("turndown of {turndown}"), n.place(k))
                .allowed(format!("must be from 1 to {MOST_TURNDOWN}"))
                .help("turndown is full fire over least steady fire: 4 for a burner that goes down to a quarter"),
        );
        None
    });
    if given.1 { turndown.map(|turndown| 1.0 / turndown) } else { least }
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
/// minimum fire or its turndown.
pub(crate) fn burner_table(node: Node<'_, '_>, id: &str, invented: bool) -> Option<Burner> {
    let capacity = node.needed_quantity("capacity", "250000 Btu/h", Kind::HeatRate, CAPACITY);
    let fuel = node.needed_choice("fuel", &FUELS);
    let side = or(&node, "side", BurnerSide::Discharge, |n, k| n.choice(k, &SIDES));
    let firing = or(&node, "firing", Firing::OnOff, |n, k| n.choice(k, &FIRINGS));
    let minimum = minimum_fire(&node, firing);
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
