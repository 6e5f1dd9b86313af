//! The commands on a site, from the outside: exit codes, the shape of their JSON (golden lists of keys), and that a run says
//! the same twice.

mod common;

use common::{binwright, demo_site, document, heated_site};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

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
    golden("survey.keys", &document(&format!("survey {site}"), &[0]));
    golden("air.keys", &document(&format!("air {site}"), &[0, 1]));
    golden("heat.keys", &document(&format!("heat {}", heated_site()), &[0]));
    golden("season.keys", &document(&format!("season {site} --year 2009 --hourly"), &[0, 1]));
    let farm = Path::new(env!("CARGO_MANIFEST_DIR")).join("../job/data/farm.toml");
    golden("farm.keys", &document(&format!("farm '{}' --year 2009 --hourly", farm.display()), &[0, 1]));
    golden("proof.keys", &document(&format!("prove {site}"), &[0, 1]));
}

/// The bundled site with prices and a small choice, in a folder of its own; quoted for a line.
fn priced(name: &str) -> String {
    let text = include_str!("../../job/data/demo.toml").replace(
        "electricity = \"0.12 $/kWh\"\n",
        "electricity = \"0.12 $/kWh\"\ngrain = \"4.10 $/bu\"\nhandling_loss = \"0.5 %\"\n\
         ownership = { interest = \"6 %\", years = 20, repairs = \"3 %\" }\n\
         equipment = { demo-centrifugal-10hp = \"5200 $\", demo-axial-10hp = \"4300 $\" }\n\
         [goal.remedy]\nkind = \"custom-drying\"\ncharge_per_point = \"0.05 $/bu\"\nspoiled = \"2 $/bu\"\n\
         [bins.north.choose]\nfans = [\"demo-centrifugal-10hp\", \"demo-axial-10hp\", \"demo-axial-1hp\"]\n\
         supply = { phases = \"three\", volts = 230, amps = 100 }\nquiet = { dba = 70, distance = \"200 ft\" }\n",
    );
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("site.toml");
    std::fs::write(&path, text).expect("the site can be written");
    format!("'{}'", path.display())
}

#[test]
fn a_weighing_keeps_its_shape_and_its_exit_code() {
    let ran = binwright(&format!("weigh {} --json", priced("weigh")));
    let weighed = ran.document();
    golden("weigh.keys", &weighed);
    assert_eq!(ran.code, i32::from(weighed["goal_reached"] != Value::Bool(true)));
    let outfits = weighed["outfits"].as_array().expect("outfits");
    let years = weighed["years"].as_array().expect("years").len();
    for place in weighed["front"].as_array().expect("a front") {
        let outfit = &outfits[place.as_u64().expect("a place") as usize];
        assert_eq!(outfit["years_run"].as_u64(), Some(years as u64), "{}", outfit["name"]);
    }
    // Lines and remedies add up to the cost of a bushel.
    for outfit in outfits.iter().filter(|outfit| outfit["years_run"].as_u64() == Some(years as u64)) {
        let sum: f64 = outfit["lines"].as_array().expect("lines").iter().filter_map(|l| l["amount"].as_f64()).sum();
        let (cost, tonne) =
            (outfit["cost"].as_f64().expect("a cost"), outfit["cost_per_tonne"].as_f64().expect("a cost"));
        let tonnes_per_bushel = cost / tonne;
        assert!((tonnes_per_bushel - 0.056 * 0.453_592_37).abs() < 1e-9, "{tonnes_per_bushel}");
        // 15,000 bushels of 20 %: 0.8 / 0.845 of them at base moisture, less half a per cent.
        let bushels = 15_000.0 * (0.8 / 0.845 - 0.005);
        assert!((sum / bushels - cost).abs() < 1e-6 * cost, "{sum} {cost}");
    }
    let smallest = weighed["excluded"].as_array().expect("excluded");
    assert!(smallest.iter().any(|out| out["name"].as_str().is_some_and(|name| name.starts_with("demo-axial-1hp"))));
}

#[test]
fn wetter_grain_is_harvested_earlier_and_in_autumn() {
    let site = concat!(env!("CARGO_MANIFEST_DIR"), "/../job/data/heated.toml");
    let map = binwright(&format!("limit {site} --for moisture --json")).document();
    assert_eq!(map["together"], true, "corn of 22 % lies within the dry-down of the field");
    let rows = map["rows"].as_array().expect("rows");
    let days: Vec<&str> = rows.iter().filter_map(|row| row["from"].as_str()).collect();
    assert!(days.len() > 2 && days.windows(2).all(|pair| pair[0] >= pair[1]), "{days:?}");
    assert!(days.iter().all(|day| ("08-25".."11-25").contains(day)), "{days:?}");
}

#[test]
fn a_limit_keeps_its_shape() {
    let ran = binwright(&format!("limit {} --for moisture --json", demo_site()));
    let map = ran.document();
    golden("limit.keys", &map);
    assert_eq!(ran.code, i32::from(map["goal_reached"] != Value::Bool(true)));
    assert_eq!(map["together"], false, "corn of 20 % stands where the dry-down of the field ends");
    // More depth never helps.
    let rows = map["rows"].as_array().expect("rows");
    for row in rows {
        let chance: Vec<f64> =
            row["cells"].as_array().expect("cells").iter().filter_map(|cell| cell["probability"].as_f64()).collect();
        assert!(chance.windows(2).all(|pair| pair[0] >= pair[1] - 0.11), "{chance:?}");
    }
}

/// Readings of a sound bin agree and make a baseline; a reading in millimetres taken for inches is asked about, with its line.
#[test]
fn readings_agree_become_a_baseline_or_are_questioned() {
    let folder = std::env::temp_dir().join(format!("binwright-field-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let site = demo_site();
    let readings = site.replace("demo.toml", "demo-readings.toml");
    let baseline = format!("'{}'", folder.join("baseline.toml").display());
    let ran = binwright(&format!("commission {site} {readings} --baseline {baseline}"));
    assert_eq!(ran.code, 0, "{}{}", ran.stdout, ran.stderr);
    assert!(ran.stdout.contains("AGREES") && ran.stdout.contains("caution"), "{}", ran.stdout);
    let found = document(&format!("diagnose {site} {readings} --baseline {baseline}"), &[0]);
    assert_eq!(found["classes"][0]["causes"][0]["cause"], "sound", "{found}");
    let text = include_str!("../../job/data/demo-readings.toml");
    let wrong = text.replace("[\"4.0 in wc\", \"4.05 in wc\", \"4.0 in wc\"]", "\"102 in wc\"");
    assert_ne!(text, wrong);
    std::fs::write(folder.join("wrong.toml"), wrong).expect("a file");
    let ran = binwright(&format!("commission {site} '{}'", folder.join("wrong.toml").display()));
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("about 25 times") && ran.stderr.contains("line 19"), "{}", ran.stderr);
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}

#[test]
fn a_season_closes_its_water_and_counts_its_energy() {
    let site = demo_site();
    let survey = document(&format!("survey {site}"), &[0]);
    let season = document(&format!("season {site} --year 2011 --hourly"), &[0, 1]);
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
    let first = binwright(&format!("prove {site} --json"));
    let again = binwright(&format!("prove {site} --json"));
    assert_eq!(first.stdout, again.stdout);
    let proof = first.document();
    let count = |outcome: &str| {
        proof["years"].as_array().expect("years").iter().filter(|y| y["outcome"] == outcome).count() as u64
    };
    assert_eq!(proof["met"].as_u64(), Some(count("met")));
    assert_eq!(proof["held"].as_u64(), Some(count("held")));
    assert_eq!(proof["failed"].as_u64(), Some(count("failed")));
    assert_eq!(proof["of"].as_u64(), Some(28));
    assert_eq!(proof["left_out"][0]["year"].as_u64(), Some(2023), "the record ends before that season does");
    // The exit code says whether the wanted chance was reached.
    assert_eq!(first.code, i32::from(proof["goal_reached"] != Value::Bool(true)));
    // Quantiles of the good years are those of fewer years, and of money too.
    let [all, good] = ["distributions", "distributions_good"].map(|key| &proof[key]);
    assert_eq!(all["electricity_j"]["count"].as_u64(), Some(28));
    assert_eq!(good["electricity_j"]["count"], good["energy_cost"]["amount"]["count"]);
    assert_eq!(good["electricity_j"]["count"].as_u64(), Some(count("met") + count("held")));
    assert!(good["electricity_j"]["largest"].as_f64() < all["electricity_j"]["largest"].as_f64(), "1998 failed");
    assert_eq!(all["energy_cost"]["currency"], "USD");
    // Every relation is named, and winters are colder than the evidence of the equilibrium set.
    let sources = proof["sources"].as_array().expect("sources");
    assert!(sources.iter().all(|s| s["citation"].is_string() && s["status"].is_string() && s["in_range"].is_boolean()));
    let of = |word: &str| sources.iter().find(|s| s["what"].as_str().is_some_and(|w| w.starts_with(word)));
    let equilibrium = of("equilibrium").expect("the set is named");
    assert_eq!(equilibrium["in_range"], false);
    assert!(equilibrium["outside"].to_string().contains("°C"), "{equilibrium}");
    assert_eq!(of("resistance").expect("the row is named")["in_range"], true);
    let range = &proof["model_range"];
    assert!(range["low"].as_f64() <= proof["probability"].as_f64());
    assert!(range["entries"].as_array().is_some_and(|e| e.len() > 8));
}

#[test]
fn a_year_without_weather_is_refused() {
    let site = demo_site();
    for year in ["2023", "1890"] {
        let ran = binwright(&format!("season {site} --year {year}"));
        assert_eq!((ran.code, ran.stdout.as_str()), (2, ""));
        assert!(ran.stderr.contains("complete seasons run from 1995 to 2022"));
    }
}

#[test]
fn sources_are_shown_when_asked_for() {
    let site = demo_site();
    let plain = binwright(&format!("season {site} --year 2009"));
    let sourced = binwright(&format!("season {site} --year 2009 --sources"));
    assert!(!plain.stdout.contains("ASAE D272.3") && sourced.stdout.contains("ASAE D272.3"), "{}", sourced.stdout);
    assert!(sourced.stdout.contains("OUTSIDE its evidence: grain and air from"), "{}", sourced.stdout);
}

#[test]
fn the_bundled_weather_names_its_makers_and_licence() {
    let site = demo_site();
    let text = binwright(&format!("survey {site}")).stdout;
    assert!(text.contains("SURFRAD") && text.contains("Copyright (c) 2023 BioCro authors"), "{text}");
    let origin = &document(&format!("survey {site}"), &[0])["weather_origin"];
    assert!(origin["licence"].as_str().is_some_and(|s| s.contains("MIT")), "{origin}");
}

/// A fan of one's own beside the site: its source, date and conditions come back, and old data are said to be old.
#[test]
fn where_figures_of_a_fan_come_from_is_shown() {
    let folder = std::env::temp_dir().join(format!("binwright-provenance-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let fans = "[\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"]";
    let text = include_str!("../../job/data/demo.toml");
    assert!(text.contains(fans));
    std::fs::write(folder.join("site.toml"), text.replace(fans, "[\"own\", \"own\"]")).expect("a site");
    std::fs::write(
        folder.join("catalogue.toml"),
        "[fans.own]\nkind = \"centrifugal-low-speed\"\nmotor = \"10 hp\"\nspeed = 1750\n\
         source = \"invented table 12-A\"\ndate = \"1999-06\"\nrating = \"bare fan\"\n\
         points = [[\"0 in wc\", \"13000 cfm\"], [\"3 in wc\", \"10000 cfm\"], [\"6 in wc\", \"5000 cfm\"]]\n",
    )
    .expect("a catalogue");
    let site = format!("'{}'", folder.join("site.toml").display());
    for command in ["survey", "air"] {
        let answer = document(&format!("{command} {site}"), &[0, 1]);
        let fan = &answer["bins"][0]["equipment"][0];
        assert_eq!(
            (&fan["what"], &fan["id"], &fan["source"], &fan["date"], &fan["rating"]),
            (&"fan".into(), &"own".into(), &"invented table 12-A".into(), &"1999-06".into(), &"bare fan".into()),
        );
        let remarks = answer["remarks"].as_array().expect("remarks");
        assert!(remarks.iter().any(|remark| remark["code"] == "data-old"), "{command}: {remarks:?}");
        let text = binwright(&format!("{command} {site}")).stdout;
        assert!(text.contains("invented table 12-A; data of 1999-06; bare fan"), "{text}");
        assert!(text.contains("its data of 1999-06 are "), "{text}");
    }
    std::fs::remove_dir_all(&folder).expect("the folder goes");
}
