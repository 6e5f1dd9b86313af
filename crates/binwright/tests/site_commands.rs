//! The commands on a site, from the outside: exit codes, the shape of their JSON (golden lists of keys), and that a run says
//! the same twice.

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn program(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_binwright")).args(arguments).output().expect("the program starts")
}

fn demo_site() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../job/data/demo.toml")
}

fn json(arguments: &[&str], codes: &[i32]) -> Value {
    let output = program(arguments);
    let code = output.status.code().expect("the program was not killed");
    assert!(codes.contains(&code), "{arguments:?} ended with {code}: {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("stdout is one JSON document")
}

/// Every key that occurs, with lists folded into `[]`.
fn keys(value: &Value, at: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                let path = if at.is_empty() { name.clone() } else { format!("{at}.{name}") };
                into.insert(path.clone());
                // What fills the blanks of a sentence differs from sentence to sentence.
                if name != "says" && name != "source" {
                    keys(field, &path, into);
                }
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, &format!("{at}[]"), into)),
        _ => {}
    }
}

/// Compares the keys with the committed list; `WRITE_GOLDEN=1` writes it.
fn golden(name: &str, value: &Value) {
    let mut found = BTreeSet::new();
    keys(value, "", &mut found);
    let text: String = found.iter().map(|key| format!("{key}\n")).collect();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    if std::env::var_os("WRITE_GOLDEN").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder can be made");
        std::fs::write(&path, &text).expect("the list can be written");
    }
    let committed = std::fs::read_to_string(&path).expect("the golden list is committed");
    assert_eq!(committed, text, "{name}: the shape of a document is a promise; WRITE_GOLDEN=1 writes it anew");
}

#[test]
fn documents_keep_their_shape() {
    let site = demo_site();
    let site = site.to_str().expect("the path is text");
    golden("survey.keys", &json(&["survey", site, "--json"], &[0]));
    golden("air.keys", &json(&["air", site, "--json"], &[0, 1]));
    golden("season.keys", &json(&["season", site, "--year", "2009", "--hourly", "--json"], &[0, 1]));
    golden("proof.keys", &json(&["prove", site, "--json"], &[0, 1]));
}

#[test]
fn a_season_closes_its_water_and_counts_its_energy() {
    let site = demo_site();
    let site = site.to_str().expect("the path is text");
    let survey = json(&["survey", site, "--json"], &[0]);
    let season = json(&["season", site, "--year", "2011", "--hourly", "--json"], &[0, 1]);
    let number = |value: &Value| value.as_f64().expect("a number");
    let summary = &season["summary"];
    assert!(number(&summary["balance"]["water"]) < 1e-9 && number(&summary["balance"]["energy"]) < 1e-9);
    let lot = &survey["bins"][0]["lots"][0];
    let dry = number(&lot["dry_matter_kg"]);
    let before = number(&lot["wet_mass_kg"]) - dry;
    let end = number(&summary["end_moisture_wb"]);
    let after = dry * end / (1.0 - end);
    let removed = number(&summary["water_removed_kg"]);
    // Respiration makes a little water of its own: 0.6 kg for each kg of dry matter lost.
    let made = 0.6 * dry * number(&summary["dry_matter_loss"]);
    assert!((before + made - after - removed).abs() < 1e-3 * before, "{before} + {made} - {after} - {removed}");
    // Daily energies add up to that of the season.
    let daily = season["daily"].as_array().expect("days");
    let sum: f64 = daily.iter().map(|d| number(&d["fan_energy_j"])).sum();
    let whole = number(&summary["fan_energy_j"]);
    assert!((sum - whole).abs() < 1e-9 * whole, "{sum} {whole}");
    let hours: f64 = daily.iter().map(|d| number(&d["fan_hours"])).sum();
    assert!((hours - number(&summary["fan_hours"])).abs() < 1e-6);
}

#[test]
fn a_proof_counts_right_and_says_the_same_twice() {
    let site = demo_site();
    let site = site.to_str().expect("the path is text");
    let first = program(&["prove", site, "--json"]);
    let again = program(&["prove", site, "--json"]);
    assert_eq!(first.stdout, again.stdout);
    let proof: Value = serde_json::from_slice(&first.stdout).expect("a document");
    let count = |outcome: &str| {
        proof["years"].as_array().expect("years").iter().filter(|y| y["outcome"] == outcome).count() as u64
    };
    assert_eq!(proof["met"].as_u64(), Some(count("met")));
    assert_eq!(proof["held"].as_u64(), Some(count("held")));
    assert_eq!(proof["failed"].as_u64(), Some(count("failed")));
    assert_eq!(proof["of"].as_u64(), Some(28));
    assert_eq!(proof["left_out"][0]["year"].as_u64(), Some(2023), "the record ends before that season does");
    // The exit code says whether the wanted chance was reached.
    assert_eq!(first.status.code(), Some(i32::from(proof["goal_reached"] != Value::Bool(true))));
    let range = &proof["model_range"];
    assert!(range["low"].as_f64() <= proof["probability"].as_f64());
    assert!(range["entries"].as_array().is_some_and(|e| e.len() > 8));
}

#[test]
fn a_year_without_weather_is_refused() {
    let site = demo_site();
    let site = site.to_str().expect("the path is text");
    for year in ["2023", "1890"] {
        let output = program(&["season", site, "--year", year]);
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        assert!(String::from_utf8_lossy(&output.stderr).contains("complete seasons run from 1995 to 2022"));
    }
}
