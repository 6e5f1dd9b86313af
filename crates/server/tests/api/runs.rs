//! Proofs that are kept.

use super::client::{DEMO, Server};
use serde_json::json;

#[test]
fn begun_watched_kept_and_found_again() {
    let server = Server::start();
    let (id, tag) = server.site(DEMO);
    let begun = server.post("/api/v1/runs", &json!({"site": id, "seq": 1, "bin": "north", "kind": "prove"}));
    assert_eq!(begun.status, 202, "{}", begun.text());
    let run = begun.value()["id"].as_str().unwrap().to_string();
    assert_eq!(run.len(), 64);
    // The same job is not run twice.
    assert_eq!(server.post("/api/v1/runs", &json!({"site": id, "kind": "prove"})).value()["id"], run);
    let events = server.follow(&format!("/api/v1/runs/{run}/events")).rest();
    assert!(events.iter().all(|(name, _)| name == "progress"));
    assert_eq!(events.last().unwrap().1["state"], "done", "{events:?}");
    let done = server.get(&format!("/api/v1/runs/{run}")).value();
    assert_eq!((&done["state"], &done["model"]), (&json!("done"), &done["current_model"]));
    let result = &done["result"];
    assert_eq!((&result["run"], &result["accuracy"]), (&json!(run), &json!("verdict")));
    assert!(result["model_range"]["entries"].as_array().unwrap().len() > 3);
    // A comment changes the text, not the job: the kept run is found at once, for the new version too.
    let text = format!("{DEMO}# seen\n");
    let put = server.send("PUT", &format!("/api/v1/sites/{id}/text"), &[("If-Match", &tag)], text.as_bytes());
    assert_eq!(put.status, 200);
    let again = server.post("/api/v1/runs", &json!({"site": id, "kind": "prove"})).value();
    assert_eq!((&again["id"], &again["state"]), (&json!(run), &json!("done")));
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/runs")).value().as_array().unwrap().len(), 2);
    let events = server.follow(&format!("/api/v1/runs/{run}/events")).rest();
    assert_eq!(events.last().unwrap().1["state"], "done");
    assert_eq!(server.send("DELETE", &format!("/api/v1/runs/{run}"), &[], b"").status, 204);
    assert_eq!(server.get(&format!("/api/v1/runs/{run}")).value()["state"], "done", "what is done stays");
}

#[test]
fn ended_by_a_reader() {
    let server = Server::start();
    let (id, _) = server.site(&DEMO.replace("\"20 %\"", "\"21 %\""));
    let run =
        server.post("/api/v1/runs", &json!({"site": id, "kind": "prove"})).value()["id"].as_str().unwrap().to_string();
    assert_eq!(server.send("DELETE", &format!("/api/v1/runs/{run}"), &[], b"").status, 204);
    let events = server.follow(&format!("/api/v1/runs/{run}/events")).rest();
    assert_eq!(events.last().unwrap().1["state"], "cancelled");
    assert_eq!(server.get(&format!("/api/v1/runs/{run}")).value()["state"], "cancelled");
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/runs")).value(), json!([]), "nothing is kept of it");
}

#[test]
fn refused_when_nothing_can_be_proven() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let begin = |body| server.post("/api/v1/runs", &body);
    assert_eq!(begin(json!({"site": "none", "kind": "prove"})).problem(404), "not-found");
    assert_eq!(begin(json!({"site": id, "seq": 9, "kind": "prove"})).problem(404), "not-found");
    assert_eq!(begin(json!({"site": id, "bin": "south", "kind": "prove"})).problem(422), "no-such-bin");
    assert_eq!(begin(json!({"site": id, "kind": "guess"})).problem(422), "json-shape");
    let (draft, _) = server.site("binwright = 1\n");
    begin(json!({"site": draft, "kind": "prove"})).problem(422);
    assert_eq!(server.get(&format!("/api/v1/runs/{}", "0".repeat(64))).problem(404), "not-found");
    assert_eq!(server.get("/api/v1/runs/zz/events").problem(404), "not-found");
}
