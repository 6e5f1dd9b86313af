//! `[fuel]`: supply and line of the gas that the burners of the site burn.

use super::goal::or;
use crate::facts::{BinFacts, FuelFacts, LinePiece, MainFacts, PipeMaterial, SupplyFacts, TankFacts, VaporizerFacts};
use equipment::Fuel;
use notice::{Diagnostic, Kind};
use physics::gas_pipe::SCHEDULE_40;
use sheet::{Limits, Node};
use std::f64::consts::PI;

const CAPACITY: Limits = Limits::above(0.0, 200.0, "above 0 and at most 200 m3 (52,800 gal)");
const SIDE: Limits = Limits::above(0.0, 30.0, "above 0 and at most 30 m (98 ft)");
const LOWEST: Limits = Limits::within(0.05, 0.60, "from 5 % to 60 %");
const FILLED: Limits = Limits::within(0.30, 0.85, "from 30 % to 85 %");
const DELIVERY: Limits = Limits::within(0.0, 60.0 * 86_400.0, "from 0 d to 60 d");
const VAPORIZER: Limits = Limits::above(0.0, 1e6, "above 0 and at most 1 MW (3.4 MMBtu/h)");
const PRESSURE: Limits = Limits::above(0.0, 1.5e6, "above 0 and at most 1500 kPa (218 psi)");
const METER: Limits = Limits::above(0.0, 5.0, "above 0 and at most 5 m3/s (636,000 ft3/h)");
const INSIDE: Limits = Limits::within(1e-3, 0.5, "from 1 mm (0.04 in) to 0.5 m (20 in)");
const LENGTH: Limits = Limits::above(0.0, 3000.0, "above 0 and at most 3000 m (9840 ft)");

/// Refilled at this share when nothing is said (judgement).
pub const LOWEST_FILL: f64 = 0.20;
/// Filled to this share when nothing is said: the usual 80 % (42 % by weight, 29 CFR 1910.110).
pub const FILLED_TO: f64 = 0.80;
/// From order to delivery when nothing is said, s (judgement).
pub const DELIVERY_TIME: f64 = 3.0 * 86_400.0;
/// Length over diameter of a tank of which only the capacity is known (judgement: between the common 500 and 1,000 gal).
const SLENDERNESS: f64 = 4.0;
/// Water capacity over that of a cylinder of the outside measures, for such a tank (judgement, as above).
const ROUNDED: f64 = 0.90;
/// Most pieces of a line.
const MOST_PIECES: usize = 20;

#[derive(Clone, Copy, PartialEq)]
enum Feed {
    Vapor,
    Liquid,
    Main,
}

/// Reads the table. Defaults: vapour for propane, a main for natural gas; tanks refilled at 20 %, filled to 80 %, three days
/// after the order; steel pipe.
pub(super) fn read(node: Node<'_, '_>) -> Option<FuelFacts> {
    let fuel = node.needed_choice("kind", &[("propane", Fuel::Propane), ("natural-gas", Fuel::NaturalGas)]);
    let usual = if fuel == Some(Fuel::NaturalGas) { Feed::Main } else { Feed::Vapor };
    let words = [("vapor", Feed::Vapor), ("liquid", Feed::Liquid), ("main", Feed::Main)];
    let feed = or(&node, "feed", usual, |n, k| n.choice(k, &words));
    if fuel == Some(Fuel::NaturalGas) && feed.is_some_and(|feed| feed != Feed::Main) {
        node.fault(
            "feed",
            "gas-from-tank",
            "natural gas from a tank",
            "natural gas comes from a main: feed = \"main\"",
        );
    }
    let tank = or(&node, "tank", None, |n, k| tank(n.table(k)?).map(Some));
    let vaporizer = or(&node, "vaporizer", None, |n, k| vaporizer(n.table(k)?).map(Some));
    let main = or(&node, "main", None, |n, k| main(n.table(k)?).map(Some));
    for (key, feeds, example) in [
        (
            "tank",
            &[Feed::Vapor, Feed::Liquid][..],
            "a table with count and capacity: tank = { count = 2, capacity = \"1000 gal\" }",
        ),
        ("vaporizer", &[Feed::Liquid], "vaporizer = { capacity = \"40000 Btu/h\", pressure = \"20 psi\" }"),
        ("main", &[Feed::Main], "main = { pressure = \"2 psi\" }"),
    ] {
        let Some(feed) = feed else { break };
        match (node.has(key), feeds.contains(&feed)) {
            (false, true) => node.missing(key, example),
            (true, false) => {
                let allowed = "feed says where the gas comes from: vapor and liquid from tanks, main from a main";
                node.fault(key, "other-feed", format!("{key} beside a feed that has none"), allowed);
            }
            _ => {}
        }
    }
    let line = line(&node, feed);
    node.close();
    let supply = match feed? {
        Feed::Vapor => SupplyFacts::Vapor(tank??),
        Feed::Liquid => SupplyFacts::Liquid(tank??, vaporizer??),
        Feed::Main => SupplyFacts::Main(main??),
    };
    Some(FuelFacts { fuel: fuel?, supply, line: line? })
}

fn tank(node: Node<'_, '_>) -> Option<TankFacts> {
    let count = or(&node, "count", 1, |n, k| n.count(k, 1, 50));
    let capacity = node.needed_quantity("capacity", "1000 gal", Kind::LiquidVolume, CAPACITY);
    let diameter = or(&node, "diameter", None, |n, k| n.quantity(k, Kind::Length, SIDE).map(Some));
    let length = or(&node, "length", None, |n, k| n.quantity(k, Kind::Length, SIDE).map(Some));
    for (has, lacks, example) in [
        ("diameter", "length", "length = \"192 in\", the other outside measure of the tank"),
        ("length", "diameter", "diameter = \"41 in\", the other outside measure of the tank"),
    ] {
        if node.has(has) && !node.has(lacks) {
            node.missing(lacks, example);
        }
    }
    let lowest = or(&node, "lowest_fill", LOWEST_FILL, |n, k| n.quantity(k, Kind::Fraction, LOWEST));
    let filled = or(&node, "filled_to", FILLED_TO, |n, k| n.quantity(k, Kind::Fraction, FILLED));
    if let (Some(lowest), Some(filled)) = (lowest, filled)
        && lowest >= filled
    {
        let key = if node.has("lowest_fill") { "lowest_fill" } else { "filled_to" };
        node.fault(key, "tank-never-drawn", "tank refilled when it is full", "lowest_fill must be below filled_to");
    }
    let delivery = or(&node, "delivery", DELIVERY_TIME, |n, k| n.quantity(k, Kind::Days, DELIVERY));
    node.close();
    let (capacity, diameter, length) = (capacity?, diameter?, length?);
    let (diameter, length, shape_assumed) = match (diameter, length) {
        (Some(diameter), Some(length)) => {
            let cylinder = 0.25 * PI * diameter * diameter * length;
            if !(0.7..=1.02).contains(&(capacity / cylinder)) {
                let gallons = |volume: f64| volume / notice::quantity::GALLON_M3;
                let found = format!(
                    "tank of {:.0} gal whose outside measures hold {:.0} gal",
                    gallons(capacity),
                    gallons(cylinder)
                );
                let allowed = "a tank holds a little less water than a cylinder of its outside measures";
                node.fault("capacity", "tank-measures", found, allowed);
                return None;
            }
            (diameter, length, false)
        }
        _ => {
            let diameter = (4.0 * capacity / (ROUNDED * PI * SLENDERNESS)).cbrt();
            (diameter, SLENDERNESS * diameter, true)
        }
    };
    Some(TankFacts {
        count: count? as usize,
        capacity,
        diameter,
        length,
        shape_assumed,
        lowest_fill: lowest?,
        filled_to: filled?,
        delivery: delivery?,
    })
}

fn vaporizer(node: Node<'_, '_>) -> Option<VaporizerFacts> {
    let capacity = node.needed_quantity("capacity", "40000 Btu/h", Kind::HeatRate, VAPORIZER);
    let pressure = node.needed_quantity("pressure", "20 psi", Kind::GasPressure, PRESSURE);
    node.close();
    Some(VaporizerFacts { capacity: capacity?, pressure: pressure? })
}

fn main(node: Node<'_, '_>) -> Option<MainFacts> {
    let pressure = node.needed_quantity("pressure", "2 psi", Kind::GasPressure, PRESSURE);
    let meter = or(&node, "meter", None, |n, k| n.quantity(k, Kind::GasFlow, METER).map(Some));
    node.close();
    Some(MainFacts { pressure: pressure?, meter: meter? })
}

fn line(node: &Node<'_, '_>, feed: Option<Feed>) -> Option<Vec<LinePiece>> {
    let rows = node.tables("line");
    if rows.is_empty() {
        node.missing("line", "a table [[fuel.line]] with regulator, pipe and length for each piece of the line");
        return None;
    }
    if rows.len() > MOST_PIECES {
        let found = format!("line of {} pieces", rows.len());
        node.fault("line", "too-many-pieces", found, format!("at most {MOST_PIECES} are told apart"));
        return None;
    }
    let count = rows.len();
    let mut pieces: Vec<LinePiece> = Vec::new();
    let mut set: Option<f64> = None;
    for (k, row) in rows.into_iter().enumerate() {
        let regulator = or(&row, "regulator", None, |n, k| n.quantity(k, Kind::GasPressure, PRESSURE).map(Some));
        if k == 0 && !row.has("regulator") && matches!(feed, Some(Feed::Vapor | Feed::Liquid)) {
            row.missing("regulator", "regulator = \"10 psi\": the pressure behind the first stage at the tank");
        }
        if let (Some(before), Some(Some(here))) = (set, regulator)
            && here > before
        {
            row.add(
                Diagnostic::error(
                    "regulator-rising",
                    "regulator set above the one ahead of it",
                    row.place("regulator"),
                )
                .allowed("a regulator only lowers pressure")
                .help("put the pieces in the order from the supply to the burner"),
            );
        }
        set = regulator.flatten().or(set);
        pieces.extend(piece(&row, regulator));
        row.close();
    }
    (pieces.len() == count).then_some(pieces)
}

fn piece(row: &Node<'_, '_>, regulator: Option<Option<f64>>) -> Option<LinePiece> {
    let words = [
        ("steel", PipeMaterial::Steel),
        ("copper", PipeMaterial::Copper),
        ("polyethylene", PipeMaterial::Polyethylene),
    ];
    let material = or(row, "material", PipeMaterial::Steel, |n, k| n.choice(k, &words));
    let nominal = row.text("pipe");
    let inside = row.quantity("inside", Kind::Bore, INSIDE);
    let length = row.needed_quantity("length", "80 ft", Kind::Length, LENGTH);
    let size = match (&nominal, row.has("inside")) {
        (Some(_), true) => {
            row.fault("inside", "pipe-twice", "inside beside pipe", "one of the two says how wide it is");
            None
        }
        (Some(text), false) if material == Some(PipeMaterial::Steel) => {
            let plain = text.trim().trim_end_matches(['"', '.']).trim_end_matches("in").trim().replace(' ', "-");
            let found = SCHEDULE_40.iter().find(|(name, _)| *name == plain);
            if found.is_none() {
                row.unknown_word("pipe", text, SCHEDULE_40.iter().map(|(name, _)| *name));
            }
            found.map(|(name, inside)| (Some((*name).to_string()), *inside))
        }
        (Some(_), false) => {
            row.fault(
                "pipe",
                "pipe-not-steel",
                "nominal size of a tube",
                "tube of copper or polyethylene goes by its inside diameter: inside = \"0.8 in\"",
            );
            None
        }
        (None, true) => inside.map(|inside| (None, inside)),
        (None, false) => {
            if !row.has("pipe") {
                row.missing("pipe", "pipe = \"1-1/4\", the nominal size in inches, or inside = \"1.38 in\"");
            }
            None
        }
    };
    let (nominal, inside) = size?;
    Some(LinePiece { regulator: regulator?, nominal, material: material?, inside, length: length? })
}

/// Burners that burn another fuel than the site has.
pub(super) fn check(node: &Node<'_, '_>, fuel: &FuelFacts, bins: &[BinFacts]) {
    let burned: Vec<(&str, Fuel)> = bins
        .iter()
        .filter_map(|bin| Some((bin.name.as_str(), bin.outfit.burner.as_ref()?.fuel)))
        .filter(|(_, fuel)| fuel.combustion().is_some())
        .collect();
    if let Some((bin, _)) = burned.iter().find(|(_, other)| *other != fuel.fuel) {
        node.add(
            Diagnostic::error("other-fuel", format!("burner of bin {bin} that burns another fuel"), node.place("fuel"))
                .allowed("one supply feeds all burners of the file")
                .help("put bins with another fuel into a file of their own"),
        );
    }
}
