//! `[bins.NAME]` and its lots: geometry, how it was filled, what lies in it.

use super::costs::Money;
use super::goal::{days_between, or};
use super::{choose, harvest, operations, outfit, process, way};
use crate::facts::{BinFacts, Filling, Goal, LotFacts};
use crate::library::{self, Library};
use crate::parse;
use notice::{Diagnostic, Kind};
use sheet::{Limits, Node};

const DIAMETER: Limits = Limits::within(1.0, 60.0, "from 1 m to 60 m (3.3 ft to 197 ft)");
const EAVE: Limits = Limits::within(0.5, 60.0, "from 0.5 m to 60 m (1.6 ft to 197 ft)");
const OPENING: Limits = Limits::within(0.01, 1.0, "from 1 % to 100 %");
const VENTS: Limits = Limits::within(1e-3, 1000.0, "from 10 cm2 (1.6 in2) to 1000 m2");
const PLUGGED: Limits = Limits::within(0.0, 0.9, "from 0 % to 90 %");
const PLENUM: Limits = Limits::within(0.01, 5.0, "from 1 cm (0.4 in) to 5 m (16 ft)");
const GAPS: Limits = Limits::above(0.0, 10.0, "above 0 and at most 10 m2 (108 ft2)");
const TRANSITION_AREA: Limits = Limits::within(1e-3, 100.0, "from 10 cm2 (1.6 in2) to 100 m2");
const LEAKAGE: Limits = Limits::within(0.0, 0.5, "from 0 % to 50 %");
const FINES: Limits = Limits::within(0.0, 0.2, "from 0 % to 20 %");
pub(super) const MOISTURE: Limits = Limits::within(0.03, 0.45, "from 3 % to 45 % wet basis");
const MOISTURE_SD: Limits = Limits::within(0.0, 0.10, "from 0 to 10 points");
pub(super) const TEMPERATURE: Limits = Limits::within(-30.0, 60.0, "from -30 °C to 60 °C (-22 °F to 140 °F)");
const LIFE_USED: Limits = Limits::within(0.0, 1.0, "from 0 % to 100 %");
const DAMAGE: Limits = Limits::within(0.0, 1.0, "from 0 % to 100 %");
const TEST_WEIGHT: Limits = Limits::within(100.0, 1200.0, "from 100 kg/m3 to 1200 kg/m3 (8 lb/bu to 93 lb/bu)");

/// Open part of a perforated floor when none is said.
pub const FLOOR_OPENING: f64 = 0.10;
/// Loads a day when none are said.
pub const LOADS_PER_DAY: u32 = 6;
/// Mechanically damaged kernels when nothing is said: what the corn storage chart is drawn for.
pub const DAMAGE_ASSUMED: f64 = 0.30;
/// Longest filling, days.
const MOST_DAYS: u32 = 120;
/// Most lots of a bin: half a year of two a week.
const MOST_LOTS: usize = 50;

/// Reads a bin. Defaults: full floor with a tenth of it open, vents large enough to lose nothing, no loss in transition
/// and duct, no leakage, filled from the spout and not cored, the customary packing of the crop, no fines, one node of the
/// wall for still air.
pub(super) fn read(
    name: &str,
    node: Node<'_, '_>,
    goal: Option<&Goal>,
    money: Money<'_>,
    library: &dyn Library,
) -> Option<BinFacts> {
    if let Err(error) = library::check_name(name) {
        node.refuse("", error);
        return None;
    }
    let diameter = node.needed_quantity("diameter", "36 ft", Kind::Length, DIAMETER);
    let eave = node.needed_quantity("eave", "24 ft", Kind::Length, EAVE);
    let floor = way::floor(&node, diameter);
    let opening = or(&node, "floor_opening", FLOOR_OPENING, |n, k| n.quantity(k, Kind::Fraction, OPENING));
    let plugged = or(&node, "floor_plugged", 0.0, |n, k| n.quantity(k, Kind::Fraction, PLUGGED));
    let plenum = or(&node, "plenum", None, |n, k| n.quantity(k, Kind::SmallLength, PLENUM).map(Some));
    let drawn = way::way(&node);
    let roof = way::roof(&node);
    let gaps = or(&node, "gaps", None, |n, k| n.quantity(k, Kind::Area, GAPS).map(Some));
    let vents = or(&node, "vents", None, |n, k| n.quantity(k, Kind::Area, VENTS).map(Some));
    let coefficient = or(&node, "transition_k", None, |n, k| n.number(k, 0.0, 50.0).map(Some));
    let area = or(&node, "transition_area", None, |n, k| n.quantity(k, Kind::Area, TRANSITION_AREA).map(Some));
    for (has, lacks, example) in [
        ("transition_k", "transition_area", "transition_area = \"0.5 m2\", the area that the coefficient refers to"),
        ("transition_area", "transition_k", "transition_k = 1.2"),
    ] {
        if node.has(has) && !node.has(lacks) {
            node.missing(lacks, example);
        }
    }
    let leakage = or(&node, "leakage", 0.0, |n, k| n.quantity(k, Kind::Fraction, LEAKAGE));
    let filling = filling(&node);
    let packing = or(&node, "packing", None, |n, k| n.number(k, 0.3, 4.0).map(Some));
    let fines = or(&node, "fines", 0.0, |n, k| n.quantity(k, Kind::Fraction, FINES));
    let rings = or(&node, "still_air", false, |n, k| n.choice(k, &[("one-node", false), ("rings", true)]));
    let rows = node.tables("lots");
    // What stands there but is no list was said as that.
    if rows.is_empty() && (!node.has("lots") || node.is_list("lots")) {
        node.missing("lots", &format!("a table [[{}]] with crop, quantity, moisture and from", node.path("lots")));
    }
    if rows.len() > MOST_LOTS {
        let found = format!("{} lots in one bin", rows.len());
        let allowed = format!("at most {MOST_LOTS} are told apart");
        node.add(Diagnostic::error("too-many-lots", found, node.place("lots")).allowed(allowed).help(
            "put together what comes at the same moisture: days and loads_per_day say over which days it is filled",
        ));
        return None;
    }
    let mut lots = Vec::new();
    let mut whole = true;
    for row in rows {
        match lot(row, library) {
            Some(lot) => lots.push(lot),
            None => whole = false,
        }
    }
    if whole && let Some(goal) = goal {
        check_days(&node, "lots", &lots, goal);
    }
    let set = lots.first().and_then(|lot| {
        let (crop, _) = library.crops().find(&lot.crop).ok()?;
        Some(crop.isotherm(lot.relation.as_deref()).map(|set| set.form))
    });
    let layers = operations::layers(&node, lots.len());
    let outfit = node.needed_table("outfit").and_then(|table| outfit::read(table, set.as_ref(), library));
    let choose = or(&node, "choose", None, |n, k| {
        choose::read(n.table(k)?, outfit.as_ref(), set.as_ref(), money, library).map(Some)
    });
    let range = or(&node, "without_law", false, |n, k| n.choice(k, &[("refuse", false), ("range", true)]));
    let process = process::read(&node, &lots, outfit.as_ref(), rings == Some(true));
    node.close();
    if !whole {
        return None;
    }
    Some(BinFacts {
        name: name.to_string(),
        diameter: diameter?,
        eave: eave?,
        floor: floor?,
        floor_opening: opening?,
        floor_plugged: plugged?,
        plenum: plenum?,
        way: drawn?,
        roof: roof?,
        gaps: gaps?,
        vent_area: vents?,
        transition: coefficient?.zip(area?),
        leakage: leakage?,
        filling: filling?,
        packing: packing?,
        fines: fines?,
        rings: rings?,
        lots,
        layers: layers?,
        range_wanted: range?,
        process: process?,
        outfit: outfit?,
        choose: choose?,
    })
}

/// How it was filled: from the spout unless it says leveled, cored, both, or even all through.
fn filling(node: &Node<'_, '_>) -> Option<Filling> {
    let uniform = or(node, "uniform", false, |n, k| n.flag(k));
    let levelled = or(node, "fill", false, |n, k| n.choice(k, &[("spout", false), ("leveled", true)]));
    let cored = or(node, "cored", false, |n, k| n.flag(k));
    let (uniform, levelled, cored) = (uniform?, levelled?, cored?);
    if uniform && (levelled || cored || node.has("fill")) {
        let key = if node.has("fill") { "fill" } else { "cored" };
        node.fault(key, "uniform-and-filled", format!("{key} beside uniform = true"), "an even bin needs neither");
        return None;
    }
    Some(match (uniform, levelled, cored) {
        (true, ..) => Filling::Uniform,
        (_, true, true) => Filling::LevelledAndCored,
        (_, true, false) => Filling::Levelled,
        (_, false, true) => Filling::Cored,
        _ => Filling::Spout,
    })
}

/// Reads a lot. Defaults: the crop's own equilibrium set, scatter of a tenth of the moisture between loads, grain as warm
/// as the air at harvest and a little more, one day of filling, six loads a day, fresh, 30 % damaged kernels, the
/// published test weight.
pub(super) fn lot(node: Node<'_, '_>, library: &dyn Library) -> Option<LotFacts> {
    let crop = node.needed_text("crop", "corn");
    let known = crop.as_deref().and_then(|name| match library.crops().find(name) {
        Ok((crop, _)) => Some(crop),
        Err(diagnostic) => {
            node.add(Diagnostic { at: node.place("crop"), ..*diagnostic });
            None
        }
    });
    let relation = or(&node, "relation", None, |n, k| n.text(k).map(Some));
    if let (Some(crop), Some(Some(set))) = (known, &relation)
        && !crop.isotherms.iter().any(|s| s.id == *set)
    {
        node.unknown_word("relation", set, crop.isotherms.iter().map(|s| s.id.as_str()));
    }
    let given = node.has("quantity") || node.has("depth");
    if !given {
        node.missing("quantity", "quantity = \"20000 bu\" or depth = \"18 ft\"");
    }
    if node.has("quantity") && node.has("depth") {
        node.fault("depth", "quantity-twice", "depth beside quantity", "one of the two says how much it is");
    }
    let quantity = node.parsed("quantity", parse::amount);
    let depth = node.parsed("depth", |text| {
        let amount = parse::amount(text)?;
        match amount {
            crate::facts::Amount::Depth(_) => Ok(amount),
            _ => Err(parse::QuantityError::new("wrong-kind", format!("{:?} is no depth", parse::shown(text)))
                .allowed("must be in ft or m")
                .help("write it as quantity")),
        }
    });
    let moisture = or(&node, "moisture", None, |n, k| n.quantity(k, Kind::MoistureWetBasis, MOISTURE).map(Some));
    let sd = or(&node, "moisture_sd", None, |n, k| n.parsed(k, |t| MOISTURE_SD.hold(t, parse::points(t)?)).map(Some));
    let temperature = or(&node, "temperature", None, |n, k| n.quantity(k, Kind::Temperature, TEMPERATURE).map(Some));
    let from = or(&node, "from", None, |n, k| n.parsed(k, parse::month_day).map(Some));
    let days = or(&node, "days", 1, |n, k| n.count(k, 1, MOST_DAYS));
    let loads = or(&node, "loads_per_day", LOADS_PER_DAY, |n, k| n.count(k, 1, 24));
    let life = or(&node, "life_used", 0.0, |n, k| n.quantity(k, Kind::Fraction, LIFE_USED));
    let damage = or(&node, "damage", DAMAGE_ASSUMED, |n, k| n.quantity(k, Kind::Fraction, DAMAGE));
    let weight = or(&node, "test_weight", None, |n, k| n.quantity(k, Kind::BulkDensity, TEST_WEIGHT).map(Some));
    let weighed_at =
        or(&node, "test_weight_moisture", None, |n, k| n.quantity(k, Kind::MoistureWetBasis, MOISTURE).map(Some));
    if node.has("test_weight_moisture") && !node.has("test_weight") {
        node.missing("test_weight", "test_weight = \"56 lb/bu\"");
    }
    let when = harvest::read(&node, moisture, from, known);
    node.close();
    known?;
    let harvest::When { moisture, from, harvest } = when?;
    let weighed_at = weighed_at?.unwrap_or(moisture);
    Some(LotFacts {
        crop: crop?,
        relation: relation?,
        amount: quantity.or(depth)?,
        moisture,
        moisture_sd: sd?,
        temperature: temperature?,
        from,
        harvest,
        days: days?,
        loads_per_day: loads?,
        life_used: life?,
        damage: damage?,
        test_weight: weight?.map(|weight| (weight, weighed_at)),
    })
}

/// Days that contradict each other, counted around the year from the first load.
pub(super) fn check_days(node: &Node<'_, '_>, key: &str, lots: &[LotFacts], goal: &Goal) {
    let Some(first) = lots.first() else { return };
    let shown = |day: crate::facts::MonthDay| format!("{:02}-{:02}", day.month, day.day);
    let mut last = 0;
    for (k, lot) in lots.iter().enumerate() {
        let start = days_between(first.from, lot.from);
        if start + (lot.days as i32) - 1 < last && k > 0 {
            let found = format!("lot {} of {} from {}", k + 1, lots.len(), shown(lot.from));
            let at = node.place_of_path(&format!("{}[{k}].from", node.path(key)), key);
            node.add(
                Diagnostic::error("lots-out-of-order", found, at)
                    .allowed("lots must stand in the order in which they arrive")
                    .help("begin it on or after the last day of the lot above it (its from and days), or move it up"),
            );
        }
        last = last.max(start + lot.days as i32 - 1);
    }
    let by = days_between(first.from, goal.by);
    let hold = days_between(first.from, goal.hold_until);
    if by <= last {
        let found = format!(
            "goal of being dry by {} for a bin that fills for {} days from {}",
            shown(goal.by),
            last + 1,
            shown(first.from)
        );
        node.add(
            Diagnostic::error("goal-before-harvest", found, node.place_of_path("goal.by", key))
                .allowed("must come after the last load")
                .help("set goal.by later, or fill earlier or in fewer days"),
        );
    } else if hold <= by {
        let found = format!(
            "hold_until {} for a bin that fills from {} and is to be dry by {}",
            shown(goal.hold_until),
            shown(first.from),
            shown(goal.by)
        );
        node.add(
            Diagnostic::error("hold-before-goal", found, node.place_of_path("goal.hold_until", key))
                .allowed("must come after by, and within a year of the first load")
                .help(format!(
                    "counted from the first load, by is day {by} and hold_until day {hold}: set by first, hold_until after it"
                )),
        );
    }
}
