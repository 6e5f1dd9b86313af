//! Seasons that end otherwise than well, through the built program: drying given up, fans that stall.

mod common;

use common::{binwright, document};
use serde_json::Value;

const SITE: &str = include_str!("../../job/data/demo.toml");

/// The bundled site with changes, in a folder of its own; quoted for a line.
fn changed(name: &str, changes: &[(&str, &str)]) -> String {
    let text = changes.iter().fold(SITE.to_string(), |text, (from, to)| {
        assert!(text.contains(from), "{from:?} is in the site to be changed");
        text.replace(from, to)
    });
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("outcomes-{name}"));
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("site.toml");
    std::fs::write(&path, text).expect("the site can be written");
    format!("'{}'", path.display())
}

/// The season of a year; its goal may be missed.
fn season(site: &str, year: i32) -> Value {
    document(&format!("season {site} --year {year}"), &[0, 1])
}

fn codes(document: &Value) -> Vec<&str> {
    document["said"].as_array().expect("remarks").iter().filter_map(|r| r["code"].as_str()).collect()
}

const NEVER: (&str, &str) = ("\"cool-and-hold-then-spring\"", "\"never\"");

/// Where nothing may be carried over, drying ends at the date of the goal: the grain is cooled and held as it is.
#[test]
fn drying_is_given_up_at_the_date_of_the_goal() {
    let site = changed("never", &[NEVER]);
    let given_up = season(&site, 2018);
    let summary = &given_up["summary"];
    assert_eq!((&summary["outcome"], &summary["cause"]), (&Value::from("failed"), &Value::from("wet-part")));
    assert_eq!((&summary["stopped_at"], &summary["suspended_at"]), (&Value::Null, &Value::Null));
    let said = codes(&given_up);
    assert!(said.contains(&"given-up") && said.contains(&"still-air"), "{said:?}");
    let days = given_up["daily"].as_array().expect("days");
    let (before, after): (Vec<&Value>, Vec<&Value>) =
        days.iter().partition(|d| d["at"].as_str().is_some_and(|at| at < "2018-12-15"));
    assert!(before.iter().skip(5).all(|d| d["phase"] == "drying"), "until the date the bin dries");
    assert!(after.iter().all(|d| d["phase"] == "cooling" || d["phase"] == "holding"), "after it nothing is dried");
    assert!(after.len() > 100 && after.iter().any(|d| d["phase"] == "holding"));
    // It is cooled, and that is said: 28 °F is asked for.
    assert!(summary["cooled_at"].as_str().is_some_and(|at| at > "2018-12-15"), "{summary}");
    let coldest = after.iter().filter_map(|d| d["mean_temperature_c"].as_f64()).fold(f64::INFINITY, f64::min);
    assert!(coldest < -1.5, "{coldest}");
    // What is held stays as wet as it was: cold air moves a fraction of a point.
    let wet = |d: &Value| d["mean_moisture_wb"].as_f64().expect("a number");
    assert!((wet(after[5]) - wet(after[after.len() - 1])).abs() < 0.005);

    let text = binwright(&format!("season {site} --year 2018"));
    assert_eq!(text.code, 1);
    assert!(text.stdout.contains("given up") && !text.stdout.contains("until dry"), "{}", text.stdout);
    // The same year is held and finished in spring where that is allowed.
    let held = season(&changed("spring", &[]), 2018);
    assert_eq!(held["summary"]["outcome"], "held");
    assert!(!codes(&held).contains(&"given-up"));
}

/// A year that is dry in time has nothing to give up.
#[test]
fn good_years_do_not_depend_on_carrying_over() {
    let never = season(&changed("never-good", &[NEVER]), 2009);
    let spring = season(&changed("spring-good", &[]), 2009);
    assert_eq!(never["summary"], spring["summary"]);
    assert!(!codes(&never).contains(&"given-up"));
}

/// Two tube-axial fans side by side on a deep bin work left of their peak: the grain dries in the computation, and the year
/// fails all the same, for no airflow there can be relied on.
#[test]
fn a_stalled_fan_fails_the_year() {
    let ten = "\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"";
    let site = changed("stall", &[(ten, "\"demo-axial-15hp\", \"demo-axial-15hp\"")]);
    let full = document(&format!("air {site}"), &[0, 1]);
    let fills = full["bins"][0]["fills"].as_array().expect("fills");
    assert_eq!(fills[0]["outcome"], "works");
    assert_eq!(fills[fills.len() - 1]["outcome"], "unstable", "{full}");
    let stalled = season(&site, 2009);
    let summary = &stalled["summary"];
    assert_eq!((&summary["outcome"], &summary["cause"]), (&Value::from("failed"), &Value::from("no-airflow")));
    assert!(summary["finished_at"].is_string(), "dry in the computation: {summary}");
    assert!(codes(&stalled).contains(&"stall"));

    let proof = binwright(&format!("prove {site} --json"));
    assert_eq!(proof.code, 1);
    let proof = proof.document();
    assert_eq!((&proof["met"], &proof["held"]), (&Value::from(0), &Value::from(0)));
    assert!(proof["years"].as_array().expect("years").iter().all(|y| y["cause"] == "no-airflow"));
    assert_eq!(proof["distributions_good"]["electricity_j"], Value::Null, "no year is good");
    let text = binwright(&format!("season {site} --year 2009")).stdout;
    assert!(text.contains("fans stalled or beyond their curve") && text.contains("surges"), "{text}");
    assert!(binwright(&format!("air {site}")).stdout.contains("left of the fan's peak"));
}
