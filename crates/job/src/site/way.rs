//! Keys of `[bins.NAME]` for the way of the air to the grain: inlet, supply duct, transition, floor, roof.

use super::goal::or;
use crate::facts::{DuctsFacts, FloorFacts, InletFacts, RoofFacts, SupplyDuctFacts, TransitionFacts, WayFacts};
use equipment::way::Wall;
use notice::Kind;
use physics::duct::{self, CONCRETE, Change, Elbow, GALVANISED, Inlet};
use sheet::{Limits, Node};
use std::f64::consts::PI;

const AREA: Limits = Limits::within(1e-3, 100.0, "from 10 cm2 (1.6 in2) to 100 m2 (1076 ft2)");
const LENGTH: Limits = Limits::above(0.0, 200.0, "above 0 and at most 200 m (656 ft)");
const DUCT_WIDE: Limits = Limits::within(0.05, 2.0, "from 0.05 m to 2 m (2 in. to 6.6 ft)");
const DUCT_LONG: Limits = Limits::within(0.5, 60.0, "from 0.5 m to 60 m (1.6 ft to 197 ft)");
const SIDE: Limits = Limits::within(0.01, 10.0, "from 1 cm (0.4 in) to 10 m (33 ft)");
const OPENING: Limits = Limits::within(0.05, 1.0, "from 5 % to 100 %");
const BEARS: Limits = Limits::above(0.0, 20e3, "above 0 and at most 20 kPa (80 in wc)");

/// Regain of a perforated duct when none is said: the middle of 0.5 to 0.9 of real holes (memory).
pub const REGAIN: f64 = 0.7;
/// Radius of a round elbow over its diameter when none is said (judgement: a common stamped elbow).
pub const ELBOW_RADIUS: f64 = 1.0;

const WALLS: [(&str, Wall); 3] =
    [("smooth", Wall::Rough(GALVANISED)), ("concrete", Wall::Rough(CONCRETE)), ("corrugated", Wall::Corrugated)];

/// Refuses geometry beside the number that stands for it.
fn never_both(node: &Node<'_, '_>, number: &'static str, drawn: &[&'static str]) {
    for key in drawn.iter().filter(|key| node.has(key) && node.has(number)) {
        node.fault(
            key,
            "stated-and-drawn",
            format!("{key} beside {number}"),
            format!("the loss is said as a number by {number} or follows from {key}, never both: leave one out"),
        );
    }
}

/// Reads inlet, duct and transition. Defaults: none of them.
pub(super) fn way(node: &Node<'_, '_>) -> Option<WayFacts> {
    never_both(node, "transition_k", &["inlet", "duct", "transition"]);
    let inlet = or(node, "inlet", None, |n, k| inlet(n.table(k)?).map(Some));
    let duct = or(node, "duct", None, |n, k| supply_duct(n.table(k)?).map(Some));
    let transition = or(node, "transition", None, |n, k| transition(n.table(k)?).map(Some));
    Some(WayFacts { inlet: inlet?, duct: duct?, transition: transition? })
}

/// Defaults: a plain pipe end; a screen as large as the inlet.
fn inlet(node: Node<'_, '_>) -> Option<InletFacts> {
    let forms = [("plain", Inlet::Plain), ("flush", Inlet::Flush), ("bell", Inlet::Bell)];
    let form = or(&node, "form", Inlet::Plain, |n, k| n.choice(k, &forms));
    let area = node.needed_quantity("area", "4 ft2", Kind::Area, AREA);
    let screen = or(&node, "screen", None, |n, k| n.quantity(k, Kind::Fraction, OPENING).map(Some));
    let wide = or(&node, "screen_area", None, |n, k| n.quantity(k, Kind::Area, AREA).map(Some));
    if node.has("screen_area") && !node.has("screen") {
        node.missing("screen", "screen = \"60 %\", its open share");
    }
    node.close();
    let (area, wide) = (area?, wide?);
    Some(InletFacts { form: form?, area, screen: screen?.map(|open| (open, wide.unwrap_or(area))) })
}

/// Defaults: smooth sheet, no elbow.
fn supply_duct(node: Node<'_, '_>) -> Option<SupplyDuctFacts> {
    let round = node.has("diameter");
    if !round && !node.has("width") && !node.has("height") {
        node.missing("diameter", "diameter = \"30 in\", or width and height");
    }
    for key in ["width", "height"].into_iter().filter(|key| round && node.has(key)) {
        node.fault(key, "duct-twice", format!("{key} beside diameter"), "a duct is round or has width and height");
    }
    if !round {
        for (has, lacks) in [("width", "height"), ("height", "width")] {
            if node.has(has) && !node.has(lacks) {
                node.missing(lacks, &format!("{lacks} = \"24 in\""));
            }
        }
    }
    let diameter = node.quantity("diameter", Kind::SmallLength, SIDE);
    let width = node.quantity("width", Kind::SmallLength, SIDE);
    let height = node.quantity("height", Kind::SmallLength, SIDE);
    let length = node.needed_quantity("length", "10 ft", Kind::Length, LENGTH);
    let wall = or(&node, "wall", WALLS[0].1, |n, k| n.choice(k, &WALLS));
    let elbows = elbows(&node);
    node.close();
    let (diameter, area) = match diameter {
        Some(d) => (d, 0.25 * PI * d * d),
        None => {
            let (a, b) = (width?, height?);
            (duct::hydraulic_diameter(a, b), a * b)
        }
    };
    Some(SupplyDuctFacts { diameter, area, length: length?, wall: wall?, elbows: elbows? })
}

/// Defaults: none; round ones of [`ELBOW_RADIUS`].
fn elbows(node: &Node<'_, '_>) -> Option<Option<(Elbow, u32)>> {
    #[derive(Clone, Copy, PartialEq)]
    enum Form {
        Round,
        Mitre,
        Vaned,
    }
    let count = or(node, "elbows", 0, |n, k| n.count(k, 0, 10));
    let words = [("round", Form::Round), ("mitre", Form::Mitre), ("vaned-mitre", Form::Vaned)];
    let form = or(node, "elbow", Form::Round, |n, k| n.choice(k, &words));
    let radius = or(node, "elbow_radius", ELBOW_RADIUS, |n, k| n.number(k, 0.5, 10.0));
    if node.has("elbow_radius") && form.is_some_and(|form| form != Form::Round) {
        node.fault("elbow_radius", "elbow-radius", "elbow_radius of a mitre", "belongs to round elbows only");
    }
    for key in ["elbow", "elbow_radius"].into_iter().filter(|key| node.has(key) && !node.has("elbows")) {
        node.missing("elbows", &format!("elbows = 1, how many there are for {key}"));
    }
    let elbow = match form? {
        Form::Round => Elbow::Round { radius: radius? },
        Form::Mitre => Elbow::Mitre,
        Form::Vaned => Elbow::VanedMitre,
    };
    count.map(|count| (count > 0).then_some((elbow, count)))
}

/// Defaults: it widens at once.
fn transition(node: Node<'_, '_>) -> Option<TransitionFacts> {
    let from = node.needed_quantity("from", "4 ft2", Kind::Area, AREA);
    let to = node.needed_quantity("to", "8 ft2", Kind::Area, AREA);
    let angle = or(&node, "angle_degrees", None, |n, k| n.number(k, 1.0, 180.0).map(Some));
    node.close();
    let change = angle?.map_or(Change::Abrupt, |angle| Change::Gradual { angle });
    Some(TransitionFacts { from: from?, to: to?, change })
}

/// Reads the floor of a bin of a diameter, m. Default: perforated all over.
pub(super) fn floor(node: &Node<'_, '_>, bin_diameter: Option<f64>) -> Option<FloorFacts> {
    #[derive(Clone, Copy, PartialEq)]
    enum Word {
        Full,
        Pad,
        Ducts,
    }
    let words = [("full", Word::Full), ("pad", Word::Pad), ("ducts", Word::Ducts)];
    let word = or(node, "floor", Word::Full, |n, k| n.choice(k, &words));
    for (key, own, example) in [
        ("pad", Word::Pad, "pad = { diameter = \"24 ft\" }"),
        ("ducts", Word::Ducts, "ducts = { count = 5, diameter = \"12 in\" }"),
    ] {
        match word {
            Some(word) if word == own && !node.has(key) => node.missing(key, example),
            Some(word) if word != own && node.has(key) => {
                node.fault(
                    key,
                    "other-floor",
                    format!("{key} beside another floor"),
                    format!("needs floor = \"{key}\""),
                );
            }
            _ => {}
        }
    }
    let pad = or(node, "pad", None, |n, k| pad(n.table(k)?, bin_diameter).map(Some));
    let ducts = or(node, "ducts", None, |n, k| ducts(n.table(k)?, bin_diameter).map(Some));
    Some(match word? {
        Word::Full => FloorFacts::Full,
        Word::Pad => FloorFacts::Pad(pad??),
        Word::Ducts => FloorFacts::Ducts(ducts??),
    })
}

fn pad(node: Node<'_, '_>, bin_diameter: Option<f64>) -> Option<f64> {
    let (round, square) = (node.has("diameter"), node.has("side"));
    let key = if square { "side" } else { "diameter" };
    match (round, square) {
        (false, false) => node.missing("diameter", "diameter = \"24 ft\", or side of a square one"),
        (true, true) => node.fault("side", "pad-twice", "side beside diameter", "a pad is round or square"),
        _ => {}
    }
    let limits = Limits::above(0.0, 60.0, "above 0 and at most 60 m (197 ft)");
    let diameter = node.quantity("diameter", Kind::Length, limits);
    let side = node.quantity("side", Kind::Length, limits);
    node.close();
    let radius = diameter.map(|d| 0.5 * d).or_else(|| side.map(|a| a / PI.sqrt()))?;
    let share = radius / (0.5 * bin_diameter?);
    if !(0.2..=1.0).contains(&share) {
        let found = format!("pad of {:.0} % of the bin's width", 100.0 * share);
        node.fault(
            key,
            "pad-and-bin",
            found,
            "must be from 20 % to 100 % of it (a square pad as a disc of equal area)",
        );
        return None;
    }
    Some(radius)
}

/// Defaults: round and smooth, as long as the bin is wide there on the mean, regain [`REGAIN`].
fn ducts(node: Node<'_, '_>, bin_diameter: Option<f64>) -> Option<DuctsFacts> {
    if !node.has("count") {
        node.missing("count", "count = 5");
    }
    let count = node.count("count", 1, 100);
    let diameter = node.needed_quantity("diameter", "12 in", Kind::SmallLength, DUCT_WIDE);
    let half_round = or(&node, "shape", false, |n, k| n.choice(k, &[("round", false), ("half-round", true)]));
    let length = or(&node, "length", None, |n, k| n.quantity(k, Kind::Length, DUCT_LONG).map(Some));
    let wall = or(&node, "wall", WALLS[0].1, |n, k| n.choice(k, &WALLS));
    let regain = or(&node, "regain", REGAIN, |n, k| n.number(k, 0.0, 1.0));
    node.close();
    let (count, diameter, bin) = (count?, diameter?, bin_diameter?);
    let length = length?.unwrap_or_else(|| mean_chord(count, bin));
    let ducts = DuctsFacts { count, diameter, half_round: half_round?, length, wall: wall?, regain: regain? };
    if length > bin {
        let allowed = format!("must be at most the bin's width, {bin:.1} m");
        node.fault("length", "duct-and-bin", format!("ducts of {length:.1} m"), allowed);
        return None;
    }
    let spacing = ducts.spacing(0.25 * PI * bin * bin);
    if diameter > 0.5 * spacing {
        let found = format!("ducts {diameter:.2} m wide, one for each {spacing:.2} m");
        node.fault(
            "diameter",
            "ducts-touch",
            found,
            "must be less than half of the floor between them: floor = \"full\"",
        );
        return None;
    }
    Some(ducts)
}

/// Mean length of evenly spaced parallel ducts across a round bin, m.
fn mean_chord(count: u32, diameter: f64) -> f64 {
    let at = |i: u32| (2.0 * f64::from(i) + 1.0) / f64::from(count) - 1.0;
    (0..count).map(|i| diameter * (1.0 - at(i) * at(i)).sqrt()).sum::<f64>() / f64::from(count)
}

/// Reads the roof. Defaults: nothing known of it.
pub(super) fn roof(node: &Node<'_, '_>) -> Option<RoofFacts> {
    let facts = or(node, "roof", RoofFacts::default(), |n, k| {
        let table = n.table(k)?;
        let facts = roof_table(&table);
        if table.has("vents") && n.has("vents") {
            let allowed =
                "their free area is said by vents of the bin or follows from the roof, never both: leave one out";
            table.fault("vents", "stated-and-drawn", "vents of the roof beside vents of the bin", allowed);
        }
        facts
    });
    never_both(node, "leakage", &["gaps"]);
    facts
}

fn roof_table(node: &Node<'_, '_>) -> Option<RoofFacts> {
    for (has, lacks, example) in
        [("vents", "vent_area", "vent_area = \"2 ft2\", the free area of one"), ("vent_area", "vents", "vents = 8")]
    {
        if node.has(has) && !node.has(lacks) {
            node.missing(lacks, example);
        }
    }
    let count = or(node, "vents", None, |n, k| n.count(k, 1, 500).map(Some));
    let each = or(node, "vent_area", None, |n, k| n.quantity(k, Kind::Area, AREA).map(Some));
    let discharge = or(node, "discharge", None, |n, k| n.number(k, 0.3, 0.95).map(Some));
    let bears = or(node, "bears", None, |n, k| n.quantity(k, Kind::Pressure, BEARS).map(Some));
    node.close();
    let vents = count?.zip(each?).map(|(count, each)| f64::from(count) * each);
    Some(RoofFacts { vents, discharge: discharge?, bears: bears? })
}
