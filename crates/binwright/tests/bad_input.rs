//! Unusable input through the built program: exit code 2, everything wrong said at once, nothing half written.

mod common;

use common::{binwright, lookup};

/// Questions that cannot be answered, and a word their diagnostic must hold.
const UNUSABLE: &[(&str, &str)] = &[
    ("air --dry-bulb 20 --relative-humidity '50 %'", "unit"),
    ("air --dry-bulb '20 bananas' --relative-humidity '50 %'", "bananas"),
    ("air --dry-bulb '1,5 C' --relative-humidity '50 %'", "comma"),
    ("air --dry-bulb 'NaN C' --relative-humidity '50 %'", "NaN"),
    ("air --dry-bulb 'inf C' --relative-humidity '50 %'", "inf"),
    ("air --dry-bulb '1e999 C' --relative-humidity '50 %'", "1e999"),
    ("air --dry-bulb '' --relative-humidity '50 %'", "dry-bulb"),
    ("air --dry-bulb '20 C' --relative-humidity '120 %'", "120"),
    ("air --dry-bulb '20 C' --wet-bulb '25 C'", "wet"),
    ("air --dry-bulb '20 C' --humidity-ratio 0.5", "no such air"),
    ("air --dry-bulb '20 C'", "relative-humidity"),
    ("air --dry-bulb '20 C' --relative-humidity '50 %' --elevation '30000 m'", "elevation"),
    ("equilibrium --crop corm --air '60 F' --moisture '15 %'", "corn"),
    ("equilibrium --crop corn --air '60 F' --moisture '118 %'", "118"),
    ("equilibrium --crop corn --air '60 F' --moisture '15 %' --relation nobody", "corn_mh_a"),
    ("resistance --crop corn --airflow '1 cfm/bu'", "depth"),
    ("resistance --crop corn --velocity '0.1 m/s' --packing 0", "packing"),
    ("resistance --crop corn --velocity '0.1 m/s' --packing NaN", "packing"),
    ("resistance --crop corn '--velocity=-0.1 m/s'", "velocity"),
    ("storage --crop wheat --moisture '16 %' --temperature '60 F' --loss '0.5 %'", "loss"),
    (
        "drying --crop corn --initial '25 %' --air '60 C' --relative-humidity '20 %' --time '4 h' --kinetics TL-C1",
        "velocity",
    ),
    (
        "drying --crop corn --initial '25 %' --air '60 C' --relative-humidity '20 %' --time '4 h' --kinetics nobody",
        "TL-C1",
    ),
];

#[test]
fn unusable_input_ends_with_two_and_writes_no_result() {
    for (ask, word) in UNUSABLE {
        let ran = lookup(ask);
        assert_eq!((ran.code, ran.stdout.as_str()), (2, ""), "{ask:?}: {ran:?}");
        assert!(ran.stderr.starts_with("error: ") && ran.stderr.contains(word), "{ask:?}: {}", ran.stderr);
    }
}

#[test]
fn with_json_the_same_is_data() {
    for (ask, word) in UNUSABLE {
        let ran = lookup(&format!("{ask} --json"));
        assert_eq!(ran.code, 2, "{ask:?}");
        let document = ran.document();
        let diagnostics = document["diagnostics"].as_array().expect("diagnostics");
        assert!(!diagnostics.is_empty() && document["diagnostics"].to_string().contains(word), "{ask:?}: {document}");
        assert!(
            diagnostics
                .iter()
                .all(|d| d["severity"] == "error" && d["code"].is_string() && d["at"]["file"].is_string())
        );
    }
}

#[test]
fn all_of_it_at_once() {
    let ran = lookup("air --dry-bulb 20 --relative-humidity '120 %' --pressure '1 banana'");
    assert_eq!(ran.stderr.matches("error: ").count(), 3, "{}", ran.stderr);
    assert!(ran.stderr.contains("hint: "), "{}", ran.stderr);
}

#[test]
fn usage_is_unusable_input_and_help_is_not() {
    for wrong in ["season", "nonsense", "lookup", "lookup air"] {
        assert_eq!(binwright(wrong).code, 2, "{wrong:?}");
    }
    for fine in ["--help", "--version", "lookup air --help"] {
        let ran = binwright(fine);
        assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{fine:?}");
        assert!(!ran.stdout.is_empty());
    }
    assert!(binwright("--help").stdout.contains("Exit codes: 0; 1 "));
}
