//! The way of the air to the grain: geometry read, compiled into the budget, and refused where it contradicts itself.

use job::facts::FloorFacts;
use job::{BinJob, BuiltIn, Job};

const SITE: &str = include_str!("../data/demo.toml");

fn open(keys: &str) -> Result<Job, notice::Diagnostics> {
    assert!(SITE.contains("floor = \"full\""), "the demo says its floor");
    let text = SITE.replace("floor = \"full\"", keys);
    job::open(&text, "way.toml", &BuiltIn::new())
}

fn bin(keys: &str) -> BinJob {
    open(keys).unwrap_or_else(|wrong| panic!("{wrong}")).bins.remove(0)
}

fn codes(keys: &str) -> Vec<String> {
    match open(keys) {
        Ok(_) => Vec::new(),
        Err(wrong) => wrong.0.iter().map(|d| d.code.clone()).collect(),
    }
}

#[test]
fn a_bin_without_geometry_is_as_before() {
    let (plain, full) = (bin("floor_opening = \"10 %\""), bin("floor = \"full\""));
    assert_eq!(plain.template.system, full.template.system);
    assert!(!plain.way.drawn() && plain.template.system.budget.spread.is_none());
    assert!(plain.template.system.budget.transition == equipment::Loss::None);
}

#[test]
fn items_follow_the_air() {
    let bin = bin("inlet = { form = \"bell\", area = \"5 ft2\", screen = \"60 %\" }\n\
         duct = { width = \"24 in\", height = \"30 in\", length = \"10 ft\", elbows = 2 }\n\
         transition = { from = \"5 ft2\", to = \"9 ft2\", angle_degrees = 20 }\n\
         gaps = \"30 in2\"\nfloor_plugged = \"50 %\"\nroof = { vents = 8, vent_area = \"2 ft2\" }");
    let names: Vec<&str> = bin.way.items.iter().map(|(item, _)| item.name()).collect();
    assert_eq!(names, ["screen", "inlet", "straight duct", "elbow", "elbow", "transition"]);
    // Two fans in parallel have two ways side by side.
    assert!((bin.way.items[1].0.area() - 10.0 * 0.3048 * 0.3048).abs() < 1e-9);
    let budget = &bin.template.system.budget;
    assert!(budget.leakage > 0.001 && budget.leakage < 0.1, "{}", budget.leakage);
    assert!((budget.floor.unwrap().open_fraction - 0.05).abs() < 1e-12);
    assert!((budget.vents.unwrap().area - 16.0 * 0.3048 * 0.3048).abs() < 1e-9);
}

#[test]
fn a_pad_and_ducts_cost_pressure() {
    let flow = |bin: &BinJob| {
        let grain = equipment::GrainTerms {
            law: bin.template.grain.resistance,
            effective_depth: bin.survey.depth(),
            velocity_range: None,
        };
        let point = bin.template.system.solve(&equipment::AirConditions::ambient(10.0, 0.005, 99e3, 2), &grain);
        assert!((point.budget.total() / point.fan_static_pressure - 1.0).abs() < 1e-6, "{:?}", point.budget);
        (point.fan_airflow, point.budget)
    };
    let full = flow(&bin("floor = \"full\""));
    let pad = bin("floor = \"pad\"\npad = { diameter = \"25 ft\" }");
    assert!(matches!(pad.way.entry, FloorFacts::Pad(r) if (r - 12.5 * 0.3048).abs() < 1e-9));
    let pad = flow(&pad);
    let ducts = flow(&bin("floor = \"ducts\"\nducts = { count = 5, diameter = \"14 in\" }"));
    let few = flow(&bin("floor = \"ducts\"\nducts = { count = 3, diameter = \"14 in\" }"));
    assert!(full.1.spread == 0.0 && pad.1.spread > 10.0 && few.1.spread > ducts.1.spread);
    assert!(full.0 > pad.0 && pad.0 > 0.7 * full.0 && ducts.0 > few.0);
}

/// The compiled map meets the solver with crowding too.
#[test]
fn the_map_knows_the_crowding() {
    let bin = bin("floor = \"ducts\"\nducts = { count = 5, diameter = \"14 in\" }");
    let case = &bin.template;
    let depth = bin.survey.depth();
    let grain = equipment::GrainTerms { law: case.grain.resistance, effective_depth: depth, velocity_range: None };
    for t in [-10.0, 10.0, 30.0] {
        let solved = case.system.solve(&equipment::AirConditions::ambient(t, 0.002, 99e3, 2), &grain);
        let found = case.air.at(&equipment::MapQuery::new(t, 0.002, 99e3, 0.0, &equipment::Heat::NONE, depth, 2));
        assert!((found.dry_air_flow / solved.dry_air_flow - 1.0).abs() < 2e-3, "{t}");
    }
}

#[test]
fn what_contradicts_itself_is_refused() {
    for (keys, code) in [
        ("transition_k = 1.0\ntransition_area = \"5 ft2\"\ninlet = { area = \"5 ft2\" }", "stated-and-drawn"),
        ("leakage = \"5 %\"\ngaps = \"30 in2\"", "stated-and-drawn"),
        ("vents = \"20 ft2\"\nroof = { vents = 8, vent_area = \"2 ft2\" }", "stated-and-drawn"),
        ("roof = { vents = 8 }", "missing-key"),
        ("floor = \"pad\"", "missing-key"),
        ("pad = { diameter = \"20 ft\" }", "other-floor"),
        ("floor = \"pad\"\npad = { diameter = \"40 ft\" }", "pad-and-bin"),
        ("floor = \"pad\"\npad = { diameter = \"20 ft\", side = \"20 ft\" }", "pad-twice"),
        ("floor = \"ducts\"\nducts = { count = 30, diameter = \"14 in\" }", "ducts-touch"),
        ("floor = \"ducts\"\nducts = { count = 4, diameter = \"-14 in\" }", "out-of-bounds"),
        ("floor = \"ducts\"\nducts = { count = 1, diameter = \"0.5 in\", length = \"30 ft\" }", "out-of-bounds"),
        ("floor = \"ducts\"\nducts = { count = 1, diameter = \"14 in\", length = \"1 in\" }", "out-of-bounds"),
        ("duct = { diameter = \"30 in\", length = \"-4 ft\" }", "out-of-bounds"),
        ("duct = { diameter = \"30 in\", width = \"20 in\", length = \"4 ft\" }", "duct-twice"),
        ("duct = { width = \"20 in\", length = \"4 ft\" }", "missing-key"),
        ("duct = { diameter = \"30 in\", length = \"4 ft\", elbow = \"mitre\" }", "missing-key"),
        ("inlet = { area = \"0 ft2\" }", "out-of-bounds"),
        ("inlet = { area = \"5 ft2\", screen_area = \"5 ft2\" }", "missing-key"),
        ("floor_plugged = \"100 %\"", "out-of-bounds"),
    ] {
        assert!(codes(keys).iter().any(|c| c == code), "{keys}: {:?}", codes(keys));
    }
}
