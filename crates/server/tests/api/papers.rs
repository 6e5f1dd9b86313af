//! The papers of a site: what can be printed, and a paper in each of its formats.

use super::client::{DEMO, Reply, Server};
use serde_json::json;
use std::time::Duration;

/// Asks until a paper is worked out; on the way every answer says how far it is.
fn ready(server: &Server, path: &str) -> Reply {
    for _ in 0..2000 {
        let answer = server.get(path);
        if answer.status != 202 {
            return answer;
        }
        let work = answer.value();
        assert!(work["what"].is_string() && work["done"].as_u64() <= work["of"].as_u64(), "{work}");
        std::thread::sleep(Duration::from_millis(100));
    }
    panic!("the paper is not worked out after 200 s: {path}");
}

#[test]
fn signs_that_the_typefaces_lack_are_said_with_their_field() {
    let server = Server::start();
    let (id, _) = server.site(&DEMO.replace("name = \"demo\"", "name = \"粮仓\""));
    let listed = server.get(&format!("/api/v1/sites/{id}/papers")).value();
    let said = listed["unset"].as_array().unwrap();
    assert_eq!(said.len(), 1, "{listed}");
    assert!(said[0].as_str().unwrap().starts_with("name “粮仓”: the typefaces of the PDF lack 粮仓"), "{listed}");
}

#[test]
fn papers_are_listed_and_printed() {
    let server = Server::start();
    let (id, _) = server.site(&format!("{DEMO}\n[quote]\nnumber = \"7\"\n"));
    let listed = server.get(&format!("/api/v1/sites/{id}/papers")).value();
    assert_eq!((&listed["seq"], &listed["bin"], &listed["bins"]), (&json!(1), &json!("north"), &json!(["north"])));
    assert_eq!(listed["quote"]["missing"], json!(["date", "valid_until", "substitution"]));
    let names: Vec<&str> = listed["papers"].as_array().unwrap().iter().map(|p| p["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["proposal", "loads", "commissioning", "card", "annex"]);
    assert_eq!(listed["papers"][0]["formats"], json!(["pdf", "html", "xlsx"]));
    for (file, kind, begins) in [
        ("loads.pdf?paper=a4&units=si", "application/pdf", &b"%PDF-"[..]),
        ("loads.html", "text/html; charset=utf-8", &b"<!doctype html>"[..]),
        ("loads.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", &b"PK"[..]),
    ] {
        let paper = ready(&server, &format!("/api/v1/sites/{id}/papers/{file}"));
        assert_eq!(paper.status, 200, "{file}: {}", paper.text());
        let header =
            |name: &str| paper.headers.iter().find(|(n, _)| n.eq_ignore_ascii_case(name)).map(|(_, v)| v.clone());
        assert_eq!(header("content-type").as_deref(), Some(kind), "{file}");
        // What is saved says of which bin it is.
        let named = header("content-disposition").unwrap_or_default();
        assert!(named.contains("filename=\"loads-north."), "{file}: {named}");
        assert!(paper.body.starts_with(begins), "{file}");
        // A page brings its own style, and may do nothing else.
        let policy = header("content-security-policy").unwrap_or_default();
        assert_eq!(policy.contains("sandbox"), file.ends_with(".html"), "{file}: {policy}");
    }
    for (file, code) in [("loads.doc", "not-found"), ("poster.pdf", "not-found"), ("loads", "not-found")] {
        assert_eq!(server.get(&format!("/api/v1/sites/{id}/papers/{file}")).problem(404), code, "{file}");
    }
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/papers/loads.pdf?bin=south")).problem(422), "no-such-bin");
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/papers?seq=9")).problem(404), "not-found");
}
