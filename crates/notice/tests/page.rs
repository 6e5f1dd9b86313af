//! The unit table and the golden cases that the page of the workbench shares with this crate: written under
//! `WRITE_GOLDEN=1`, compared otherwise. The page's own tests render the same cases.

use notice::phrase::Filling;
use notice::{Kind, Phrase, Quantity, UnitSystem};
use serde_json::{Value, json};
use std::path::PathBuf;

const SYSTEMS: [UnitSystem; 2] = [UnitSystem::Si, UnitSystem::Us];

/// Values of every size, signs and ties of rounding among them.
const VALUES: [f64; 20] = [
    0.0,
    -0.0,
    1.0,
    -1.0,
    0.5,
    2.5,
    0.125,
    -0.125,
    0.0375,
    1e-9,
    -1e-9,
    0.004_999_999,
    0.155,
    20.0,
    -40.0,
    101_325.0,
    21_336.4,
    98_765_432.1,
    6.02e23,
    -1.5e12,
];

fn check(name: &str, value: &Value) {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../web/src/generated").join(name);
    let text = format!("{value:#}\n");
    if std::env::var_os("WRITE_GOLDEN").is_some() {
        std::fs::write(&file, &text).expect("the folder of the page is there");
    }
    let committed = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(
        committed == text,
        "web/src/generated/{name} is out of date: WRITE_GOLDEN=1 cargo test -p notice writes it"
    );
}

fn key(kind: Kind) -> String {
    match serde_json::to_value(kind) {
        Ok(Value::String(key)) => key,
        other => panic!("a kind is written as its name, not {other:?}"),
    }
}

/// A kind left out of the list would shift all that follow it; plain numbers stand last.
#[test]
fn every_kind_is_listed() {
    for (place, kind) in Kind::ALL.iter().enumerate() {
        assert_eq!(*kind as usize, place, "{kind:?}");
    }
    assert_eq!(Kind::ALL.last(), Some(&Kind::Number));
}

#[test]
fn the_page_has_the_same_units() {
    let mut table = serde_json::Map::new();
    for kind in Kind::ALL {
        let [si, us] = SYSTEMS.map(|system| {
            let s = kind.shown(system);
            json!({ "unit": s.unit, "factor": s.factor, "offset": s.offset, "decimals": s.decimals })
        });
        table.insert(key(*kind), json!({ "si": si, "us": us }));
    }
    assert_eq!(table.len(), Kind::ALL.len());
    check("units.json", &Value::Object(table));
}

#[test]
fn the_page_has_the_same_cases() {
    let shown = |kind: Kind, value: f64| {
        let [si, us] = SYSTEMS.map(|system| Quantity::new(value, kind).show(system));
        json!({ "kind": key(kind), "value": value, "si": si, "us": us })
    };
    let quantities: Vec<Value> = Kind::ALL.iter().flat_map(|kind| VALUES.map(|value| shown(*kind, value))).collect();
    let depth = Quantity::new(5.486_4, Kind::Length);
    let phrases = [
        Phrase::new("nothing to fill"),
        Phrase::new("{n} layers of {depth}").count("n", 20).with("depth", depth),
        Phrase::new("{depth} and again {depth}").with("depth", depth),
        Phrase::new("{missing} stays, {depth} does not").with("depth", depth),
        Phrase::new("{crop} at {moisture}, {temperature}")
            .text("crop", "corn")
            .with("moisture", Quantity::new(0.205, Kind::MoistureWetBasis))
            .with("temperature", Quantity::new(-17.5, Kind::Temperature)),
        // What comes in is text, never a pattern; a blank that a filling brings is filled by what follows it.
        Phrase::new("by {day}: {note}").text("day", "15 December").text("note", "$& {n} $1").count("n", 3),
        Phrase::new("{a}{b}").text("a", "{b}").text("b", "{a}"),
        Phrase::new("electricity per {grain}").either("grain", "legal bushel", "tonne as filled"),
    ];
    let phrases: Vec<Value> = phrases
        .iter()
        .map(|phrase| {
            let [si, us] = SYSTEMS.map(|system| phrase.render(system));
            json!({ "phrase": phrase, "si": si, "us": us })
        })
        .collect();
    check("phrases.json", &json!({ "quantities": quantities, "phrases": phrases }));
}

/// A count and a quantity look alike in JSON only to a careless reader: the count comes back as a count.
#[test]
fn a_phrase_survives_its_way_to_the_page() {
    let phrase = Phrase::new("{n} of {depth}").count("n", 3).with("depth", Quantity::new(1.5, Kind::Length));
    let back: Phrase = serde_json::from_value(json!(phrase)).expect("a phrase is read as it was written");
    assert_eq!(back, phrase);
    assert!(matches!(back.fillings[0].1, Filling::Count(3)));
}
