//! The live answer.

use super::client::{DEMO, Server};
use serde_json::{Value, json};
use std::time::{Duration, Instant};

fn ask(view: &str, slot: &str) -> Value {
    json!({"base": {"text": DEMO}, "view": view, "slot": slot})
}

fn names(events: &[(String, Value)]) -> Vec<&str> {
    events.iter().map(|(name, _)| name.as_str()).collect()
}

#[test]
fn survey_then_air_then_years_then_risk() {
    let server = Server::start();
    assert_eq!(names(&server.what_if(&ask("survey", "a")).rest()), ["survey", "end"]);
    let air = server.what_if(&ask("air", "a")).rest();
    assert_eq!(names(&air), ["survey", "air", "end"]);
    let curves = &air[1].1["curves"];
    assert!(curves["fan"]["stable"].as_array().unwrap().len() > 10 && curves["systems"].as_array().unwrap().len() == 4);
    let parts: f64 = air[1].1["budget"].as_array().unwrap().iter().map(|b| b["pressure_pa"].as_f64().unwrap()).sum();
    let full = air[1].1["fills"][3]["static_pressure_pa"].as_f64().unwrap();
    assert!((parts / full - 1.0).abs() < 1e-3, "the budget is the fan's pressure: {parts} {full}");

    let risk = server.what_if(&ask("risk", "a")).rest();
    let told = names(&risk);
    assert_eq!((told[0], told[1], told[told.len() - 2], told[told.len() - 1]), ("survey", "air", "risk", "end"));
    assert!(told[2..told.len() - 2].iter().all(|name| *name == "year"));
    let last = &risk[risk.len() - 2].1;
    assert_eq!(last["accuracy"], "preview");
    assert_eq!(last["of"].as_u64().unwrap() as usize, told.len() - 4, "each year came once before");
    let mut years: Vec<i64> =
        risk.iter().filter(|(n, _)| n == "year").map(|(_, y)| y["year"].as_i64().unwrap()).collect();
    years.sort_unstable();
    years.dedup();
    assert_eq!(years.len(), told.len() - 4);
    let year = &risk[2].1;
    assert!(year["line"].as_array().unwrap().len() > 50 && year["outcome"].is_string(), "{year}");
    let bands = last["bands"].as_array().unwrap();
    assert!(bands.len() > 50);
    for band in bands {
        let of = |key: &str| band[key].as_f64().unwrap();
        let rising = ["least_wb", "tenth_wb", "median_wb", "ninetieth_wb", "largest_wb"].map(of);
        assert!(rising.windows(2).all(|w| w[0] <= w[1]), "{band}");
    }
}

#[test]
fn a_season_with_the_addresses_of_its_maps() {
    let server = Server::start();
    let mut question = ask("season", "a");
    question["year"] = json!(2009);
    let events = server.what_if(&question).rest();
    let told = names(&events);
    assert_eq!((told[0], told[1], told[told.len() - 2]), ("survey", "air", "season"));
    let season = &events[events.len() - 2].1;
    assert_eq!(
        (&season["year"], &season["accuracy"], &season["layers"]),
        (&json!(2009), &json!("preview"), &json!(20))
    );
    for quantity in ["moisture", "temperature", "life"] {
        let map = server.get(season["maps"][quantity].as_str().unwrap());
        assert_eq!(map.status, 200);
    }
}

#[test]
fn what_cannot_be_answered_says_why() {
    let server = Server::start();
    let problem = |question: Value| {
        let events = server.what_if(&question).rest();
        assert_eq!(names(&events).last(), Some(&"problem"), "{events:?}");
        events.last().unwrap().1["type"].as_str().unwrap().to_string()
    };
    let mut question = ask("risk", "a");
    question["bin"] = json!("south");
    assert_eq!(problem(question), "no-such-bin");
    let mut question = ask("season", "a");
    question["year"] = json!(1066);
    assert_eq!(problem(question), "no-such-year");
    let mut question = ask("air", "a");
    question["changes"] = json!([{"path": "bins.north.diameter", "value_text": "36 furlongs"}]);
    let events = server.what_if(&question).rest();
    assert_eq!(names(&events), ["problem"]);
    assert_eq!(events[0].1["diagnostics"][0]["at"]["field"], "bins.north.diameter");
    question["changes"] = json!([{"path": "[[", "value_text": "1"}]);
    assert_eq!(problem(question.clone()), "change-path");
    question["base"] = json!({});
    assert_eq!(problem(question.clone()), "base");
    question["base"] = json!({"site": "none"});
    assert_eq!(problem(question.clone()), "not-found");
    question["slot"] = json!("");
    assert_eq!(server.post("/api/v1/what-if", &question).problem(400), "slot");
}

/// A version of a site, changed: nothing is saved by asking.
#[test]
fn asking_makes_no_version() {
    let server = Server::start();
    let (id, tag) = server.site(DEMO);
    let change = json!([{"path": "bins.north.lots[0].quantity", "value_text": "12000 bu"}]);
    let question = json!({"base": {"site": id, "seq": 1}, "changes": change, "view": "air", "slot": "a"});
    let depth = |events: &[(String, Value)]| events[0].1["bins"][0]["depth_m"].as_f64().unwrap();
    let changed = server.what_if(&question).rest();
    let plain = server.what_if(&ask("air", "a")).rest();
    assert!((depth(&changed) / depth(&plain) - 0.8).abs() < 1e-6);
    assert_eq!(server.get(&format!("/api/v1/sites/{id}")).tag(), tag);
}

/// The newer question of a tab ends the older within a few slices; another tab goes on.
#[test]
fn a_newer_question_ends_the_older() {
    let server = Server::start();
    let mut long = ask("risk", "tab");
    long["refine"] = json!(true);
    let mut older = server.what_if(&long);
    while older.next().is_some_and(|(name, _)| name != "progress") {}
    let began = Instant::now();
    let newer = server.what_if(&ask("survey", "tab"));
    let left = older.rest();
    let took = began.elapsed();
    assert_eq!(names(&left).last(), Some(&"cancelled"), "{:?}", names(&left));
    // On a quiet machine some ten milliseconds; the limit leaves room for a crowded one.
    assert!(took < Duration::from_secs(2), "{took:?}");
    assert_eq!(names(&newer.rest()), ["survey", "end"]);
}

/// Whoever closes the page gives the engine back.
#[test]
fn a_closed_connection_ends_the_work() {
    let server = Server::start();
    let mut long = ask("risk", "tab");
    long["refine"] = json!(true);
    let mut left = server.what_if(&long);
    while left.next().is_some_and(|(name, _)| name != "progress") {}
    drop(left);
    // The verdict with its range takes many seconds; a preview right behind it must not wait for that.
    let began = Instant::now();
    let preview = server.what_if(&ask("risk", "other")).rest();
    assert_eq!(names(&preview).last(), Some(&"end"));
    assert!(began.elapsed() < Duration::from_secs(20), "{:?}", began.elapsed());
}

/// Two tabs drag at once: both are answered.
#[test]
fn two_tabs_share() {
    let server = Server::start();
    let (one, two) = (server.what_if(&ask("risk", "one")), server.what_if(&ask("risk", "two")));
    for events in [one.rest(), two.rest()] {
        assert_eq!(names(&events).last(), Some(&"end"));
        assert!(names(&events).contains(&"risk"));
    }
}

/// After letting go: progress, then the verdict with its lines, then what the model leaves open. The same as the command
/// line's proof, for both come from the same call.
#[test]
fn refined_to_a_verdict() {
    let server = Server::start();
    let mut question = ask("risk", "a");
    question["refine"] = json!(true);
    let events = server.what_if(&question).rest();
    let told = names(&events);
    let at = |name: &str| told.iter().position(|n| *n == name).unwrap_or_else(|| panic!("no {name}: {told:?}"));
    assert!(
        at("air") < at("progress")
            && at("progress") < at("risk")
            && at("risk") < at("range")
            && !told.contains(&"year")
    );
    let risk = &events[at("risk")].1;
    assert_eq!(risk["accuracy"], "verdict");
    assert_eq!(risk["lines"].as_array().unwrap().len(), risk["of"].as_u64().unwrap() as usize);
    let range = &events[at("range")].1;
    assert!(range["low"].as_f64() <= range["high"].as_f64() && range["entries"].as_array().unwrap().len() > 3);
}
