//! `air` without a site file, through the built program.

mod common;

use common::{binwright, document};
use serde_json::Value;

fn json(extra: &str) -> (i32, Value) {
    let ran = binwright(&format!("air --diameter '36 ft' --depth '18 ft' --crop corn {extra} --json"));
    (ran.code, ran.document())
}

/// Source of the pressures: Dorn 2008, University of Nebraska-Lincoln CropWatch, Table 1, corn (seen; packing 1.5 inferred).
/// The table is printed to 0.1 in.; the reference finds our law within 0.07 in. of every entry, the grain alone.
#[test]
fn pressures_are_those_of_the_nebraska_table() {
    for (depth, airflow, inches) in
        [("8 ft", "0.5 cfm/bu", 0.2), ("8 ft", "0.75 cfm/bu", 0.3), ("8 ft", "1 cfm/bu", 0.5)]
    {
        let answer =
            document(&format!("air --diameter '36 ft' --depth '{depth}' --crop corn --airflow '{airflow}'"), &[0]);
        let last = answer["required"].as_array().and_then(|rows| rows.last()).expect("rows");
        let grain = last["grain_pressure_pa"].as_f64().expect("a pressure") / 249.089;
        assert!((grain - inches).abs() <= 0.07, "{depth} {airflow}: {grain} in., {inches} published");
    }
}

#[test]
fn capacity_is_geometry() {
    let (code, answer) = json("--airflow '1 cfm/bu'");
    assert_eq!(code, 0);
    // π/4 · 36² · 18 ft³ over 1.244456 ft³ a bushel.
    assert!((answer["grain_bu"].as_f64().expect("a number") - 14_723.0).abs() < 1.0, "{answer}");
    assert_eq!(answer["demo"], true);
    let fans = answer["fans"].as_array().expect("fans");
    for fan in fans.iter().filter(|f| f["reaches"] == true) {
        assert!(fan["deepest_m"].as_f64() >= answer["depth_m"].as_f64(), "{fan}");
        assert!(fan["specific_airflow_1_s"].as_f64() >= answer["specific_airflow_1_s"].as_f64(), "{fan}");
    }
}

/// A goal that no fan of the catalogue meets is a result with exit code 1, not an error.
#[test]
fn a_goal_out_of_reach_is_said_with_one() {
    let (code, answer) = json("--airflow '40 cfm/bu'");
    assert_eq!((code, &answer["fans_that_reach"]), (1, &Value::from(0)));
}

#[test]
fn altitude_takes_pressure_but_no_volume() {
    let (_, low) = json("--airflow '1 cfm/bu'");
    let (_, high) = json("--airflow '1 cfm/bu' --elevation '5000 ft'");
    let last = |answer: &Value, key: &str| answer["required"][7][key].as_f64().expect("a number");
    assert!(last(&high, "grain_pressure_pa") < last(&low, "grain_pressure_pa"));
    assert_eq!(last(&high, "airflow_m3_s"), last(&low, "airflow_m3_s"));
}

#[test]
fn everything_missing_is_said_at_once() {
    let ran = binwright("air --depth '0 ft'");
    assert_eq!((ran.code, ran.stdout.as_str()), (2, ""));
    for word in ["--diameter", "--depth", "--airflow", "--crop"] {
        assert!(ran.stderr.contains(word), "{word}: {}", ran.stderr);
    }
}

/// 0.8 m³/min for a tonne of 750 kg/m³ as filled is 0.6 m³/min for a cubic metre.
#[test]
fn an_airflow_per_tonne_is_that_of_the_grain_as_filled() {
    let (code, per_tonne) = json("--airflow '0.8 m3/min/t' --bulk-density '750 kg/m3'");
    assert!(code <= 1);
    let said = per_tonne["remarks"].as_array().expect("remarks");
    assert!(said.iter().any(|r| r["code"] == "airflow-per-mass"), "{said:?}");
    let flow = per_tonne["specific_airflow_1_s"].as_f64().expect("an airflow");
    assert!((flow / 0.01 - 1.0).abs() < 1e-12, "{flow}");
    for without in ["", "--bulk-density '75 kg/m3'"] {
        let ran = binwright(&format!(
            "air --diameter '36 ft' --depth '18 ft' --crop corn --airflow '0.8 m3/min/t' {without}"
        ));
        assert_eq!(ran.code, 2);
        assert!(ran.stderr.contains("--bulk-density"), "{}", ran.stderr);
    }
    let ask = "lookup resistance --crop corn --depth '18 ft' --airflow '0.8 m3/min/t' --bulk-density '750 kg/m3'";
    let velocity = document(ask, &[0])["velocity_m_s"].as_f64().expect("a velocity");
    assert!((velocity / (0.01 * 18.0 * 0.3048) - 1.0).abs() < 1e-12);
}
