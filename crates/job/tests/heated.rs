//! Heated air over crops with and without a published drying law.

use job::{BuiltIn, open};

const PLAIN: &str = include_str!("data/plain.toml");

/// Codes of what is wrong with a crop dried by a thermostat's setting.
fn codes(crop: &str, thermostat: &str) -> Vec<String> {
    let burner = "burner = { fuel = \"propane\", capacity = \"2 MMBtu/h\", side = \"discharge\", firing = \"modulating\", minimum_fire = \"5 %\" }";
    let control = format!(
        "control = {{ kind = \"continuous\", burner = {{ kind = \"thermostat\", temperature = \"{thermostat}\" }} }}"
    );
    assert_eq!(PLAIN.matches("control = { kind = \"continuous\" }").count(), 1);
    let text = PLAIN
        .replace("control = { kind = \"continuous\" }", &format!("{burner}\n{control}"))
        .replace("crop = \"corn\"", &format!("crop = \"{crop}\""));
    match open(&text, "farm.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(found) => found.0.iter().map(|d| d.code.clone()).collect(),
    }
}

#[test]
fn a_crop_without_a_law_has_no_verdict_in_heated_air() {
    assert_eq!(codes("sunflower-oil", "110 F"), ["no-heated-air-law"]);
    assert!(codes("sunflower-oil", "80 F").is_empty(), "below 30 °C the other cereals bound it");
    assert!(codes("corn", "110 F").is_empty(), "corn has a law of its own");
}

/// A bin with a thermostat or a humidistat said in its control, and a limit of its burner.
fn asked(burner: &str, control: &str, more: &str) -> Vec<String> {
    let burner = format!("burner = {{ fuel = \"propane\", capacity = \"0.5 MMBtu/h\", {burner} }}");
    let control = format!("control = {{ kind = \"continuous\", burner = {{ {control} }} }}\n{more}");
    let text = PLAIN.replace("control = { kind = \"continuous\" }", &format!("{burner}\n{control}"));
    match open(&text, "farm.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(found) => found.0.iter().map(|d| d.code.clone()).collect(),
    }
}

#[test]
fn a_thermostat_above_the_limit_of_its_burner_is_a_fault() {
    let limit = "temperature_limit = \"90 F\"";
    assert_eq!(asked(limit, "kind = \"thermostat\", temperature = \"110 F\"", ""), ["set-above-limit"]);
    let both = "kind = \"both\", humidity = \"60 %\", temperature = \"95 F\"";
    assert_eq!(asked(limit, both, ""), ["set-above-limit"]);
    assert!(asked(limit, "kind = \"thermostat\", temperature = \"90 F\"", "").is_empty());
}

#[test]
fn a_humidistat_drier_than_any_grain_is_a_fault() {
    let ask = |set: &str, more: &str| {
        asked("firing = \"on-off\"", &format!("kind = \"humidistat\", humidity = \"{set}\""), more)
    };
    for set in ["0 %", "1 %", "9 %"] {
        assert_eq!(ask(set, ""), ["humidistat-too-dry"], "{set}");
    }
    assert_eq!(ask("15 %", "firing = { humidity_band = \"20 %\" }"), ["humidistat-too-dry"], "its band reaches 5 %");
    assert!(ask("55 %", "").is_empty());
}

#[test]
fn a_range_is_had_where_it_is_asked_for() {
    let burner =
        "burner = { fuel = \"propane\", capacity = \"2 MMBtu/h\", firing = \"modulating\", minimum_fire = \"5 %\" }";
    let control = "control = { kind = \"continuous\", burner = { kind = \"thermostat\", temperature = \"110 F\" } }";
    let text = PLAIN
        .replace("control = { kind = \"continuous\" }", &format!("{burner}\n{control}"))
        .replace("crop = \"corn\"", "crop = \"sunflower-oil\"")
        .replace("floor = \"full\"", "floor = \"full\"\nwithout_law = \"range\"");
    let job = open(&text, "farm.toml", &BuiltIn::new()).unwrap_or_else(|wrong| panic!("{wrong}"));
    let bin = &job.bins[0];
    assert!(bin.remarks.0.iter().any(|remark| remark.code == "range-without-law"));
    assert!(!bin.uncertainty.kinetics.is_empty(), "the fastest rate stands among the other choices");
}
