//! Inputs from people who mean harm, and from machines gone wrong.

use super::client::{DEMO, Server};
use serde_json::json;

#[test]
fn too_much_is_refused() {
    let server = Server::start();
    let (id, tag) = server.site(DEMO);
    let large = "#".repeat((1 << 20) + 1);
    let put = server.send("PUT", &format!("/api/v1/sites/{id}/text"), &[("If-Match", &tag)], large.as_bytes());
    assert_eq!(put.problem(413), "body");
    for path in ["/api/v1/check", "/api/v1/what-if", "/api/v1/sites", "/api/v1/air"] {
        assert_eq!(server.post(path, &json!({ "text": large })).status, 413, "{path}");
    }
    let many: Vec<_> = (0..1001).map(|_| json!({"path": "name", "value_text": "x"})).collect();
    let changes = format!("/api/v1/sites/{id}/changes");
    let reply = server.json("POST", &changes, &[("If-Match", &tag)], &json!({ "changes": many }));
    assert_eq!(reply.problem(400), "too-many-changes");
    // Headers without end.
    let long = "x".repeat(200_000);
    assert_eq!(server.send("GET", "/", &[("X-Long", &long)], b"").status, 431);
}

#[test]
fn bodies_of_the_wrong_kind_are_refused() {
    let server = Server::start();
    let send = |kind: &str, body: &[u8]| server.send("POST", "/api/v1/check", &[("Content-Type", kind)], body);
    assert_eq!(send("text/plain", b"{}").problem(415), "content-type");
    assert_eq!(send("application/x-www-form-urlencoded", b"text=x").problem(415), "content-type");
    assert_eq!(send("application/json", b"{").problem(400), "json");
    assert_eq!(send("application/json", b"{}").problem(422), "json-shape");
    assert_eq!(send("application/json", b"{\"text\": 1}").problem(422), "json-shape");
    assert_eq!(send("application/json", b"{\"text\": \"\", \"more\": 1}").problem(422), "json-shape");
    assert_eq!(send("application/json", b"\xff\xfe").status, 400);
    let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    assert_eq!(send("application/json", deep.as_bytes()).status / 100, 4);
    let deep = format!("{{\"text\": {deep}}}");
    assert_eq!(send("application/json", deep.as_bytes()).status / 100, 4);
    let (id, tag) = server.site(DEMO);
    let put = server.send("PUT", &format!("/api/v1/sites/{id}/text"), &[("If-Match", &tag)], b"a = \"\xff\"");
    assert_eq!(put.problem(422), "not-utf8");
}

/// Whatever the text: an answer with diagnostics, never a fault of ours, and the server goes on.
#[test]
fn texts_that_no_one_should_write() {
    let server = Server::start();
    let mut texts = vec![
        format!("a = {}1{}", "[".repeat(200_000), "]".repeat(200_000)),
        format!("{} = 1", vec!["a"; 50_000].join(".")),
        format!("a = {}", "{ a = ".repeat(10_000)),
        "[a]\n".repeat(50_000),
        "\u{0}".repeat(1000),
        "a = \"\u{0}\"".into(),
        format!("a = {}", "9".repeat(100_000)),
        "a = 1e999999".into(),
        DEMO.replace("\"36 ft\"", "\"1e308 ft\""),
        DEMO.replace("\"36 ft\"", &format!("\"{} ft\"", "9".repeat(5000))),
        DEMO.replace("\"36 ft\"", "\"NaN ft\"").replace("\"20 %\"", "\"inf %\""),
        DEMO.replace("days = 4", "days = 9223372036854775807"),
        DEMO.replace("days = 4", "days = 4\nloads_per_day = 4294967295"),
        DEMO.replace("\"36 ft\"", "\"\u{202e}tf 63\""),
    ];
    for name in ["../../etc/passwd", "/etc/passwd", "..", "champaign/../x", "C:\\x", "a\u{0}b", "http://evil.example/"]
    {
        texts.push(DEMO.replace("\"champaign\"", &serde_json::to_string(name).unwrap()));
    }
    for text in &texts {
        let reply = server.post("/api/v1/check", &json!({ "text": text }));
        let start: String = text.chars().take(60).collect();
        assert_eq!(reply.status, 200, "{start:?}: {}", reply.text());
        let wrong = reply.value();
        assert!(wrong["survey"].is_null(), "{start:?}");
        assert_eq!(wrong["diagnostics"][0]["severity"], "error", "{start:?}");
        assert!(!reply.text().contains("root:"), "nothing of this machine is read");
    }
    assert_eq!(server.get("/api/v1/program").status, 200);
}

#[test]
fn names_are_no_paths() {
    let server = Server::start();
    for name in ["..%2f..%2fetc%2fpasswd", "..", "%00", ".hidden", "a%20b", "%ff"] {
        let reply = server.send("PUT", &format!("/api/v1/weather/{name}"), &[], b"utc,temp_c,rh_pct\n");
        assert!(matches!(reply.status, 400 | 404 | 405), "{name}: {} {}", reply.status, reply.text());
    }
    for path in
        ["/../../../../etc/passwd", "/..%2f..%2fetc%2fpasswd", "/assets/..%2f..%2fCargo.toml", "/%00", "//etc/passwd"]
    {
        let reply = server.get(path);
        assert!(!reply.text().contains("root:") && !reply.text().contains("[package]"), "{path}");
    }
    for id in ["..", "%2e%2e", "x%00", "a%2fb", "' OR 1=1 --", "é"] {
        let path = format!("/api/v1/sites/{}", id.replace(' ', "%20").replace('é', "%C3%A9"));
        assert_eq!(server.get(&path).status / 100, 4, "{id}");
    }
    assert_eq!(server.get("/api/v1/runs/..").status / 100, 4);
    assert_eq!(server.get("/api/v1/seasons/nonsense/maps?quantity=moisture").problem(410), "season-gone");
}

/// What is not seen makes two names look alike, or one look like another.
#[test]
fn names_hold_only_what_is_seen() {
    let server = Server::start();
    let (id, tag) = server.site(DEMO);
    for name in ["a\u{202e}b", "a\u{200b}b", "a\u{feff}", "a\u{7}b", "a\u{ad}b"] {
        let made = server.post("/api/v1/sites", &json!({"from": "demo", "name": name}));
        // White space at the ends is trimmed; these are none.
        assert_eq!(made.problem(400), "name", "{name:?}");
        let named =
            server.json("PUT", &format!("/api/v1/sites/{id}/name"), &[("If-Match", &tag)], &json!({"name": name}));
        assert_eq!(named.problem(400), "name", "{name:?}");
    }
    let change = json!({"changes": [{"path": "goal.chance", "value_text": "80 %"}], "note": "a\u{202e}b\u{200b}"});
    let changed = server.json("POST", &format!("/api/v1/sites/{id}/changes"), &[("If-Match", &tag)], &change);
    assert_eq!(changed.status, 200, "{}", changed.text());
    let versions = server.get(&format!("/api/v1/sites/{id}/versions")).value();
    assert_eq!(versions[0]["note"], "ab", "{versions}");
    let missing = server.get("/api/v1/sites/%00").value();
    assert_eq!(missing["detail"], "site \"\\0\"", "escaped once");
}

/// A packed file of zeros grows a thousandfold: it is refused before it fills the memory.
#[test]
fn a_packed_file_is_not_unpacked_without_end() {
    use std::io::Write as _;
    let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    let line = b"2009-10-01T00:00Z,10,50\n".repeat(1 << 10);
    for _ in 0..(140 << 20) / line.len() {
        packed.write_all(&line).unwrap();
    }
    let packed = packed.finish().unwrap();
    let server = Server::start();
    let refused = server.send("PUT", "/api/v1/weather/big.csv", &[], &packed);
    assert_eq!(refused.problem(422), "weather-file-too-large");
}
