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
