//! Handbook answers on gas, motors and sound through the built program: published values, keys, cautions, refusals.

mod common;

use common::{json, lookup};

const ORIFICE: &str = "orifice capacity table of an open plumbing textbook (seen)";
const IFGC: &str = "IFGC 2018, code pages (seen)";
const NEC: &str = "NEC tables 430.248 and 430.250 (copies, seen)";

/// Question, key, published value, relative tolerance with its reason, source.
const PUBLISHED: &[(&str, &str, f64, f64, &str, &str)] = &[
    (
        "orifice --fuel 'natural gas' --diameter '0.0135 in' --pressure '3.5 in wc'",
        "gas_flow_m3_s",
        0.516 * 0.028316846592 / 3600.0,
        0.002,
        "three digits printed",
        ORIFICE,
    ),
    (
        "orifice --fuel propane --diameter '0.0240 in' --pressure '11 in wc'",
        "gas_flow_m3_s",
        1.829 * 0.028316846592 / 3600.0,
        0.002,
        "four digits printed",
        ORIFICE,
    ),
    (
        "pipe --fuel propane --length '50 ft' --pressure '11 in wc' --size 1 --drop '0.5 in wc'",
        "invoiced_heat_w",
        480e3 * 0.293071,
        0.015,
        "the table rounds down",
        IFGC,
    ),
    (
        "pipe --fuel 'natural gas' --length '50 ft' --pressure '3 psi' --size 1-1/4 --drop '2 psi'",
        "gas_flow_m3_s",
        7970.0 * 0.028316846592 / 3600.0,
        0.01,
        "the table rounds down",
        IFGC,
    ),
    ("motor --power '10 hp' --volts '230 V'", "code_current_a", 28.0, 1e-12, "the table's own", NEC),
    ("motor --power '10 hp' --volts '230 V' --phases 1", "code_current_a", 50.0, 1e-12, "the table's own", NEC),
    (
        "motor --power '10 hp' --volts '460 V' --efficiency '91.7 %'",
        "input_w",
        8130.0,
        0.005,
        "three digits",
        "10 CFR 431.25 efficiency, worked (computed)",
    ),
    (
        "fuel --fuel propane",
        "liquid_heating_value_j_m3",
        91_502.0 * 1055.05585262 / 3.785411784e-3,
        1e-6,
        "exact by the table",
        "NPGA/NFPA 58 property list (seen)",
    ),
    (
        "combustion --fuel propane --dry-bulb '40 F' --relative-humidity '70 %' --airflow '20000 cfm' --rise '20 F'",
        "heat_w",
        457_700.0 * 0.293071,
        0.005,
        "tolerance of the worked row",
        "worked from psychrometrics (computed)",
    ),
];

#[test]
fn published_values_come_out() {
    for (ask, key, value, tolerance, reason, source) in PUBLISHED {
        let found = json(ask)[*key].as_f64().expect("a number");
        assert!(
            (found / value - 1.0).abs() <= *tolerance,
            "{ask:?} {key}: {value} ({source}), {found} computed, {tolerance} allowed ({reason})"
        );
    }
}

/// The keys of each answer: programs rely on them.
#[test]
fn keys_stay_as_they_are() {
    let golden: &[(&str, &str)] = &[
        (
            PUBLISHED[0].0,
            "fuel diameter_m pressure_pa invoiced_heat_w heat_to_air_w gas_flow_m3_s mass_flow_kg_s relation source source_status \
             in_range",
        ),
        (
            PUBLISHED[2].0,
            "fuel length_m nominal_in inside_m needed_m gas_flow_m3_s invoiced_heat_w drop_pa pressure_pa end_pressure_pa relation \
             source source_status in_range",
        ),
        (
            TANK,
            "volume_m3 wetted_area_m2 liquid_c pressure_pa resting_pressure_pa vapour_kg_s heat_w customary_heat_w wanted source \
             source_status in_range",
        ),
        (
            PUBLISHED[7].0,
            "fuel higher_heating_value_j_kg lower_heating_value_j_kg gas_heating_value_j_m3 liquid_heating_value_j_m3 \
             liquid_density_kg_m3 water_kg_kg carbon_dioxide_kg_kg stoichiometric_air_kg_kg use_of source source_status",
        ),
        (
            PUBLISHED[8].0,
            "fuel dry_air_kg_s heat_w customary_heat_w why invoiced_heat_w fuel_kg_s liquid_flow_m3_s gas_flow_m3_s water_added \
             carbon_dioxide_added humidity_before humidity_after humidity_dry_heat excess_air products_carbon_dioxide burner source \
             source_status",
        ),
        (
            PUBLISHED[4].0,
            "rated_w volts shaft_w load judged efficiency power_factor input_w running_current_a code_current_a conductor_current_a \
             service_factor code_letter locked_rotor_low_a locked_rotor_high_a starting_va engine_low_w engine_high_w feeder source \
             source_status",
        ),
        (
            SOUND,
            "bands_hz power_db level_db power_dba level_dba uncertainty_db second_level_dba off_peak_db blade_tone_hz tone_band_hz \
             verdict distance_for_limit_m permitted_exposure_s source source_status in_range",
        ),
    ];
    for (ask, keys) in golden {
        let mut expected: Vec<&str> =
            keys.split_whitespace().chain(["schema", "program", "model", "remarks"]).collect();
        let answer = json(ask);
        let mut found: Vec<&str> = answer.as_object().expect("an object").keys().map(String::as_str).collect();
        expected.sort_unstable();
        found.sort_unstable();
        assert_eq!(found, expected, "{ask:?}");
    }
}

const TANK: &str = "tank --diameter '40 in' --length '190 in' --fill '50 %' --air '0 F'";
/// Fans without a distance.
const NEAR: &str = "sound --type tube-axial --airflow '20000 cfm' --pressure '3 in wc'";
const SOUND: &str = "sound --type tube-axial --airflow '20000 cfm' --pressure '3 in wc' --distance '100 m'";

fn codes(answer: &serde_json::Value) -> Vec<String> {
    let remarks = answer["remarks"].as_array().expect("remarks");
    remarks.iter().map(|r| r["code"].as_str().unwrap_or_default().to_string()).collect()
}

/// The trade's tank rule for 40 × 190 in., half full at 0 °F: 684,000 Btu/h; and what to do when it does not suffice.
#[test]
fn a_tank_beside_the_rule_of_the_trade() {
    let answer = json(TANK);
    let rule = answer["customary_heat_w"].as_f64().expect("a rule") / 0.293071;
    assert!((rule / 684_000.0 - 1.0).abs() < 1e-3, "{rule}");
    let ours = answer["heat_w"].as_f64().expect("a heat") / 0.293071;
    assert!((ours / 684_000.0 - 1.0).abs() < 0.03, "{ours}");
    let more = json(&format!("{TANK} --heat '2 MMBtu/h'"));
    assert_eq!(more["wanted"]["tanks"], 3);
    assert!(more["wanted"]["draw_time_s"].as_f64() > Some(3600.0));
    assert_eq!(more["wanted"]["draw_end"], "cold");
    assert!(codes(&more).contains(&"vaporiser-margin".to_string()), "{more}");
    // What one tank covers at this fill it does not cover to its end.
    let covered = json(&format!("{TANK} --heat '600000 Btu/h'"));
    assert!(covered["wanted"]["draw_time_s"].as_f64().is_some_and(f64::is_finite), "{covered}");
    let starved = json(&format!("{TANK} --pressure '30 psi' --heat '2 MMBtu/h'"));
    assert!(codes(&starved).contains(&"tank-gives-nothing".to_string()));
    assert!(starved["wanted"]["tanks"].is_null());
}

/// What someone could be hurt by is never said without its caution.
#[test]
fn cautions_stand_with_the_answers() {
    for (ask, code) in [
        (PUBLISHED[0].0, "gas-fitter-decides"),
        (PUBLISHED[2].0, "gas-fitter-decides"),
        (TANK, "gas-fitter-decides"),
        (PUBLISHED[7].0, "gas-fitter-decides"),
        (PUBLISHED[8].0, "gas-fitter-decides"),
        (PUBLISHED[4].0, "electrician-decides"),
        (SOUND, "local-noise-rules"),
    ] {
        assert!(codes(&json(ask)).contains(&code.to_string()), "{ask:?}");
        let ran = lookup(ask);
        assert!(ran.code == 0 && ran.stdout.contains("note: "), "{ran:?}");
    }
}

#[test]
fn an_overloaded_motor_and_a_burner_that_cycles_are_remarked() {
    let motor = json("motor --power '10 hp' --volts '230 V' --shaft '12 hp'");
    assert_eq!(motor["judged"], "over");
    assert!(codes(&motor).contains(&"overloaded".to_string()));
    let burner = json(&format!("{} --capacity '4 MMBtu/h' --turndown 4", PUBLISHED[8].0));
    assert!(codes(&burner).contains(&"burner-cycles".to_string()));
    assert!((burner["burner"]["pressure_share"].as_f64().expect("a share") - 1.0 / 16.0).abs() < 1e-12);
    let short = json(&format!("{} --capacity '200000 Btu/h'", PUBLISHED[8].0));
    assert!(codes(&short).contains(&"burner-short".to_string()));
}

#[test]
fn two_fans_add_three_decibels_and_double_distance_takes_six() {
    let level = |extra: &str| json(&format!("{SOUND} {extra}"))["level_dba"].as_f64().expect("a level");
    assert!((level("--count 2") - level("") - 3.01).abs() < 0.01);
    let far = json(&format!("{NEAR} --distance '200 m'"))["level_dba"].as_f64().expect("a level");
    assert!((level("") - far - 6.02).abs() < 0.01);
    let limit = json(&format!("{SOUND} --limit '20 dB'"));
    assert_eq!(limit["verdict"], "exceeded");
}

/// Numbers that no one can mean, one option at a time: nothing absurd is answered, and the fault names the option as typed.
#[test]
fn numbers_beyond_the_trade_are_refused_by_the_option_typed() {
    let rise =
        "combustion --fuel propane --dry-bulb '40 F' --relative-humidity '70 %' --airflow '20000 cfm' --rise '20 F'";
    let motor = "motor --power '10 hp' --volts '230 V'";
    let tank = "tank --air '0 F'";
    let orifice = "orifice --fuel propane";
    let pipe = "pipe --fuel propane --length '50 ft'";
    let absurd: &[(String, &str)] = &[
        (format!("{NEAR} --distance '0 m'"), "--distance"),
        (format!("{NEAR} --distance '1 mm'"), "--distance"),
        (format!("{NEAR} --distance '9 km'").replace("km", "000 m"), "--distance"),
        ("sound --type radial --airflow '0.3 cfm' --pressure '3 in wc' --distance '10 m'".into(), "--airflow"),
        ("sound --type radial --airflow '3000 cfm' --pressure '0.001 in wc' --distance '10 m'".into(), "--pressure"),
        ("sound --type radial --airflow '3000 cfm' --pressure '70 in wc' --distance '10 m'".into(), "--pressure"),
        (format!("{SOUND} --count 1.5"), "whole number"),
        (format!("{SOUND} --blades 2.5"), "whole number"),
        (format!("{SOUND} --efficiency '2 %'"), "--efficiency"),
        (format!("{SOUND} --limit '1 dB'"), "--limit"),
        (rise.replace("20000 cfm", "1 cfm"), "--airflow"),
        (rise.replace("40 F", "240 F"), "--dry-bulb"),
        (rise.replace("'20 F'", "'500 F'"), "--rise"),
        (format!("{rise} --efficiency '2 %'"), "--efficiency"),
        (format!("{rise} --capacity '1 Btu/h'"), "--capacity"),
        (format!("{rise} --capacity '1 MMBtu/h' --turndown 900"), "--turndown"),
        (format!("{rise} --turndown 4"), "--capacity"),
        ("fuel --fuel propane --heat '3 Btu/h'".into(), "--heat"),
        ("fuel --fuel propane --efficiency '80 %'".into(), "--heat"),
        (format!("{tank} --diameter '0.01 in' --length '190 in' --fill '50 %'"), "--diameter"),
        (format!("{tank} --diameter '40 in' --length '-190 in' --fill '50 %'"), "--length"),
        (format!("{tank} --diameter '100 in' --length '40 in' --fill '50 %'"), "exchanged"),
        (format!("{tank} --diameter '40 in' --length '190 in' --fill '1 %'"), "--fill"),
        (format!("{TANK} --heat '1 Btu/h'"), "--heat"),
        (format!("{TANK} --pressure '400 psi'"), "--pressure"),
        (format!("{orifice} --diameter '0.001 mm' --pressure '5 psi'"), "--diameter"),
        (format!("{orifice} --diameter '3 mm' --pressure '5 psi' --coefficient 0.01"), "--coefficient"),
        (format!("{orifice} --diameter '3 mm' --pressure '5 psi' --temperature '190 C'"), "--temperature"),
        (format!("{orifice} --diameter '3 mm' --pressure '150 psi' --temperature '-40 F'"), "liquid"),
        (format!("{pipe} --pressure '11 in wc' --size 1 --heat '0 Btu/h'"), "field --heat"),
        (format!("{pipe} --pressure '11 in wc' --size 1 --heat '1 Btu/h'"), "field --heat"),
        (format!("{pipe} --pressure '11 in wc' --size 1 --flow '0 cfh'"), "field --flow"),
        (format!("{pipe} --pressure '11 in wc' --size '1 mm' --flow '9 cfh'"), "--size"),
        (format!("{pipe} --pressure '11 in wc' --size 1 --drop '11 in wc'"), "--drop"),
        (format!("{pipe} --pressure '11 in wc' --size 1 --drop '0.0001 in wc'"), "--drop"),
        (format!("{motor} --efficiency '1 %'"), "--efficiency"),
        (format!("{motor} --power-factor '1 %'"), "--power-factor"),
        (motor.replace("10 hp", "0.001 hp"), "--power"),
        (motor.replace("230 V", "12 V"), "--volts"),
        (format!("{motor} --feeder '9000 ft' --conductor 14"), "--conductor"),
    ];
    for (ask, word) in absurd {
        let ran = lookup(ask);
        assert_eq!((ran.code, ran.stdout.as_str()), (2, ""), "{ask:?}: {ran:?}");
        assert!(ran.stderr.contains(word), "{ask:?}: {}", ran.stderr);
    }
}

/// What an answer rests on is said with it.
#[test]
fn what_was_assumed_or_borrowed_is_said() {
    let single = json("motor --power '5 hp' --volts '230 V' --phases 1");
    assert!(!single["source"].as_str().unwrap_or_default().contains("three-phase"), "{single}");
    assert!(
        codes(&single).contains(&"single-phase-assumed".into())
            && codes(&single).contains(&"code-letter-assumed".into())
    );
    let told = json("motor --power '5 hp' --volts '230 V' --code-letter J");
    assert!(!codes(&told).contains(&"code-letter-assumed".into()), "{told}");
    // 2 psi is where one formula hands over to the other: both sides say so.
    for pressure in ["1.9 psi", "2.1 psi", "20 psi"] {
        let near = json(&format!("orifice --fuel propane --diameter '1/8 in' --pressure '{pressure}'"));
        assert!(codes(&near).contains(&"formula-changes".into()), "{pressure}: {near}");
    }
    // 68 ± 8 dB(A) without the borrowed term says uncertain where 68 + 12 ± 8 says exceeded.
    let plain = json(&format!("{SOUND} --limit '60 dB'"));
    let level = plain["level_dba"].as_f64().expect("a level");
    let limit = level + 1.0;
    let borrowed = json(&format!("{SOUND} --limit '{limit} dB' --efficiency '25 %'"));
    assert_eq!(borrowed["verdict"], "exceeded", "{borrowed}");
    assert!(codes(&borrowed).contains(&"verdict-on-borrowed-term".into()), "{borrowed}");
    let text = lookup(&format!("{SOUND} --limit '20 dB'")).stdout;
    assert!(text.contains("EXCEEDED even at the lower end of "), "{text}");
}

/// One unit for the pressures of one line; in a psi line a small one also as regulators are set.
#[test]
fn pressures_of_a_pipe_are_said_in_one_unit() {
    let low =
        lookup("pipe --fuel propane --length '50 ft' --pressure '11 in wc' --size 1 --heat '200000 Btu/h'").stdout;
    assert!(low.contains("in. water") && !low.contains("psi"), "{low}");
    let high = lookup("pipe --fuel propane --length '50 ft' --pressure '5 psi' --size 1 --heat '1 MMBtu/h'").stdout;
    for line in high.lines().filter(|line| line.starts_with("pressure")) {
        assert!(line.contains("psi"), "{high}");
    }
}

/// A loss of its own is not given the name of another.
#[test]
fn a_storage_relation_is_named_by_the_loss_asked() {
    let name = |loss: &str| {
        json(&format!("storage --crop corn --moisture '20 %' --temperature '60 F' --loss '{loss}'"))["relation"].clone()
    };
    assert_eq!(name("0.35 %"), "corn-loss-035");
    assert_eq!(name("0.5 %"), "corn-loss-050");
    assert_eq!(name("0.75 %"), "corn-loss at 0.75 %");
}

/// No more digits than the relations bear.
#[test]
fn figures_are_rounded_to_what_is_known() {
    let text = lookup(&format!("{TANK} --heat '2 MMBtu/h'")).stdout;
    assert!(text.contains("680000\u{a0}Btu/h"), "{text}");
}

/// Questions that cannot be answered, and a word their diagnostic must hold.
#[test]
fn unusable_input_is_refused_with_its_reason() {
    let turned = format!("{} --capacity '1 MMBtu/h' --turndown 0.5", PUBLISHED[8].0);
    let nowhere = format!("{NEAR} --distance '0 m'");
    let none = format!("{SOUND} --count 0");
    let refused: &[(&str, &str)] = &[
        ("orifice --fuel coal --diameter '3 mm' --pressure '5 psi'", "propane or natural gas"),
        ("orifice --fuel propane --diameter '0 mm' --pressure '5 psi'", "above zero"),
        ("orifice --fuel propane --diameter '3 mm' --pressure '-5 psi'", "--pressure"),
        ("orifice --fuel propane --diameter '3 mm' --pressure '5 psi' --coefficient NaN", "NaN"),
        ("orifice --fuel propane --pressure '5 psi'", "diameter"),
        ("pipe --fuel propane --length '50 ft' --pressure '11 in wc' --size 1", "--drop"),
        ("pipe --fuel propane --length '50 ft' --pressure '11 in wc' --size 1 --drop '12 in wc'", "loss"),
        ("pipe --fuel propane --length '500 ft' --pressure '11 in wc' --size 1/2 --heat '4 MMBtu/h'", "starve"),
        ("pipe --fuel propane --length '500 ft' --pressure '11 in wc' --drop '0.1 in wc' --heat '40 MMBtu/h'", "4 in."),
        ("tank --diameter '-40 in' --length '190 in' --fill '50 %' --air '0 F'", "above zero"),
        ("tank --diameter '40 in' --length '190 in' --fill '120 %' --air '0 F'", "fill"),
        ("fuel --fuel propane --heat '1 MMBtu/h' --efficiency '120 %'", "efficiency"),
        (&turned, "1 or more"),
        ("motor --power '0 hp' --volts '230 V'", "power"),
        ("motor --power '10 hp' --volts '230 V' --code-letter Q", "A to V"),
        ("motor --power '10 hp' --volts '230 V' --feeder '200 ft' --conductor 7/0", "4/0"),
        ("motor --power '10 hp' --volts '230 V' --service-factor 0.8", "service factor"),
        (&nowhere, "above zero"),
        (&none, "count"),
    ];
    for (ask, word) in refused {
        let ran = lookup(ask);
        assert_eq!((ran.code, ran.stdout.as_str()), (2, ""), "{ask:?}: {ran:?}");
        assert!(ran.stderr.starts_with("error: ") && ran.stderr.contains(word), "{ask:?}: {}", ran.stderr);
    }
}
