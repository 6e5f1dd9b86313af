//! The weighing and the limits as streams.

use super::client::{DEMO, Server};
use serde_json::{Value, json};

/// The demo with a few fans to choose among.
fn site() -> String {
    format!("{DEMO}\n[bins.north.choose]\nfans = [\"demo-axial-10hp\", \"demo-centrifugal-10hp\"]\nmost_fans = 2\n")
}

fn names(events: &[(String, Value)]) -> Vec<&str> {
    events.iter().map(|(name, _)| name.as_str()).filter(|name| *name != "progress").collect()
}

#[test]
fn a_race_is_told_round_by_round_and_ends_in_the_answer() {
    let server = Server::start();
    let events = server.ask("/api/v1/weigh", &json!({"base": {"text": site()}, "slot": "w"})).rest();
    let told = names(&events);
    assert_eq!((told[0], told[told.len() - 2], told[told.len() - 1]), ("sorted", "weigh", "end"), "{told:?}");
    assert!(told[1..told.len() - 2].iter().all(|name| *name == "stands"));
    let of = |name: &'static str| events.iter().filter(move |(other, _)| other == name).map(|(_, body)| body);
    let sorted = of("sorted").next().unwrap();
    let out = sorted["excluded"].as_array().unwrap().len() as u64;
    assert_eq!(sorted["left"].as_u64().unwrap() + out, sorted["candidates"].as_u64().unwrap());
    // The scatter fills: seasons only grow, and the last round shows every contender of the answer with the same name.
    let seasons: Vec<u64> = of("stands").map(|stands| stands["seasons"].as_u64().unwrap()).collect();
    assert!(seasons.len() >= 3 && seasons.windows(2).all(|pair| pair[0] <= pair[1]), "{seasons:?}");
    let answer = of("weigh").next().unwrap();
    assert_eq!(answer["schema"], "weigh/1");
    let name = |list: &Value| -> Vec<String> {
        list.as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap().to_string()).collect()
    };
    assert_eq!(name(&of("stands").next_back().unwrap()["points"]), name(&answer["outfits"]));
    for place in answer["front"].as_array().unwrap() {
        let outfit = &answer["outfits"][place.as_u64().unwrap() as usize];
        assert_eq!(outfit["years_run"].as_u64().unwrap() as usize, answer["years"].as_array().unwrap().len());
        assert!(outfit["why"]["text"].is_string());
        // Made the bin's outfit by its changes, the site is usable.
        let changes = &outfit["changes"];
        let asked = server.ask(
            "/api/v1/what-if",
            &json!({"base": {"text": site()}, "changes": changes, "view": "survey", "slot": "c"}),
        );
        assert_eq!(names(&asked.rest()), ["survey", "end"], "{changes}");
    }
}

#[test]
fn a_map_of_limits_comes_as_one_event() {
    let server = Server::start();
    let question = json!({"base": {"text": site()}, "for": "moisture", "slot": "l"});
    let events = server.ask("/api/v1/limit", &question).rest();
    assert_eq!(names(&events), ["limit", "end"]);
    let map = &events[events.len() - 2].1;
    let depths = map["depths_m"].as_array().unwrap().len();
    assert!(map["rows"].as_array().unwrap().iter().all(|row| row["cells"].as_array().unwrap().len() == depths));
}

#[test]
fn what_cannot_be_weighed_says_why() {
    let server = Server::start();
    for path in ["/api/v1/weigh", "/api/v1/limit"] {
        let events = server.ask(path, &json!({"base": {"text": site()}, "bin": "south", "for": "date", "slot": "x"}));
        // A key that only the other question knows is refused before anything is opened.
        if path.ends_with("weigh") {
            assert_eq!(events.status, 422);
            continue;
        }
        let events = events.rest();
        assert_eq!(events.last().unwrap().1["type"], "no-such-bin");
    }
}
