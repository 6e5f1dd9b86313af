//! Sites and their versions.

use super::client::{DEMO, Server};
use serde_json::json;

#[test]
fn made_read_changed_and_deleted() {
    let server = Server::start();
    assert_eq!(server.get("/api/v1/sites").value(), json!([]));
    let made = server.post("/api/v1/sites", &json!({"from": "demo"}));
    assert_eq!(made.status, 201);
    let site = made.value();
    let id = site["id"].as_str().unwrap();
    assert_eq!((site["name"].as_str(), site["seq"].as_i64()), (Some("demo"), Some(1)));
    assert_eq!(site["diagnostics"], json!([]), "the demonstration has no faults");
    assert_eq!(made.header("location").unwrap(), format!("/api/v1/sites/{id}"));
    assert_eq!(made.tag(), format!("\"1-{}\"", site["sha256"].as_str().unwrap()));

    let change = json!({"changes": [{"path": "bins.north.lots[0].moisture", "value_text": "18 %"}]});
    let changes = format!("/api/v1/sites/{id}/changes");
    let changed = server.json("POST", &changes, &[("If-Match", &made.tag())], &change);
    assert_eq!(changed.status, 200, "{}", changed.text());
    assert_eq!(changed.value()["text"], DEMO.replace("\"20 %\"", "\"18 %\""));
    assert_eq!(changed.value()["seq"], 2);

    let fields = server.get(&format!("/api/v1/sites/{id}/fields")).value();
    let moisture = fields.as_array().unwrap().iter().find(|f| f["path"] == "bins.north.lots[0].moisture").unwrap();
    assert_eq!(moisture["value_text"], "18 %");

    let name = format!("/api/v1/sites/{id}/name");
    let renamed = server.json("PUT", &name, &[("If-Match", &changed.tag())], &json!({"name": "North farm"}));
    assert_eq!(renamed.value()["name"], "North farm");
    assert_eq!(
        server.json("PUT", &name, &[("If-Match", &changed.tag())], &json!({"name": "a\nb"})).problem(400),
        "name"
    );

    let copied = server.post(&format!("/api/v1/sites/{id}/duplicate"), &json!({}));
    assert_eq!((copied.status, copied.value()["name"].as_str()), (201, Some("North farm (copy)")));
    assert_eq!(server.get("/api/v1/sites").value().as_array().unwrap().len(), 2);

    let gone = server.send("DELETE", &format!("/api/v1/sites/{id}"), &[("If-Match", &renamed.tag())], b"");
    assert_eq!(gone.status, 204);
    assert_eq!(server.get(&format!("/api/v1/sites/{id}")).problem(404), "not-found");
}

/// Whatever was brought in comes out byte for byte, also with faults, foreign line ends and a mark at its beginning.
#[test]
fn texts_come_back_byte_for_byte() {
    let server = Server::start();
    let odd = ["", "\u{feff}binwright = 1\r\n", "a = [[[\r\n\t \u{1f33d}", &DEMO.replace('\n', "\r\n"), "x\u{0}y"];
    for text in odd {
        let (id, tag) = server.site(text);
        assert_eq!(server.get(&format!("/api/v1/sites/{id}/text")).body, text.as_bytes());
        let longer = format!("{text}\n# more  ");
        let put = server.send("PUT", &format!("/api/v1/sites/{id}/text"), &[("If-Match", &tag)], longer.as_bytes());
        assert_eq!(put.status, 200);
        let read = server.get(&format!("/api/v1/sites/{id}/text"));
        assert_eq!(read.body, longer.as_bytes());
        assert_eq!(read.header("content-type"), Some("text/plain; charset=utf-8"));
        assert_eq!(server.get(&format!("/api/v1/sites/{id}/versions/1/text")).body, text.as_bytes());
    }
}

#[test]
fn a_text_with_faults_is_kept_as_a_draft() {
    let server = Server::start();
    let (id, tag) = server.site(&DEMO.replace("\"36 ft\"", "\"36 furlongs\""));
    let site = server.get(&format!("/api/v1/sites/{id}")).value();
    let wrong = &site["diagnostics"][0];
    assert_eq!(
        (wrong["severity"].as_str(), wrong["at"]["field"].as_str()),
        (Some("error"), Some("bins.north.diameter"))
    );
    assert!(wrong["at"]["line"].is_number() && wrong["allowed"].is_string(), "{wrong}");
    // A change that mends it is still a change to this text.
    let change = json!({"changes": [{"path": "bins.north.diameter", "value_text": "36 ft"}]});
    let mended = server.json("POST", &format!("/api/v1/sites/{id}/changes"), &[("If-Match", &tag)], &change);
    assert_eq!(mended.value()["diagnostics"], json!([]));
}

/// Two tabs: the second writer is told, keeps his text, and can go on from what stands.
#[test]
fn nobody_overwrites_what_he_has_not_read() {
    let server = Server::start();
    let (id, seen) = server.site(DEMO);
    let path = format!("/api/v1/sites/{id}/text");
    let first = server.send("PUT", &path, &[("If-Match", &seen)], DEMO.replace("36 ft", "40 ft").as_bytes());
    assert_eq!(first.status, 200);
    let second = server.send("PUT", &path, &[("If-Match", &seen)], DEMO.replace("36 ft", "30 ft").as_bytes());
    assert_eq!(second.problem(412), "moved");
    assert_eq!(second.tag(), first.tag());
    assert_eq!(second.value()["current"], first.tag());
    assert!(server.get(&path).text().contains("40 ft"));
    let again = server.send("PUT", &path, &[("If-Match", &second.tag())], DEMO.replace("36 ft", "30 ft").as_bytes());
    assert_eq!(again.status, 200);

    let change = json!({"changes": [{"path": "name", "value_text": "x"}]});
    for (method, path, body) in [
        ("PUT", path.clone(), "x".to_string()),
        ("POST", format!("/api/v1/sites/{id}/changes"), change.to_string()),
        ("POST", format!("/api/v1/sites/{id}/undo"), String::new()),
        ("POST", format!("/api/v1/sites/{id}/redo"), String::new()),
        ("POST", format!("/api/v1/sites/{id}/versions/1/restore"), String::new()),
        ("PUT", format!("/api/v1/sites/{id}/name"), json!({"name": "x"}).to_string()),
        ("DELETE", format!("/api/v1/sites/{id}"), String::new()),
    ] {
        let json = ("Content-Type", "application/json");
        assert_eq!(server.send(method, &path, &[json], body.as_bytes()).problem(428), "if-match", "{method} {path}");
        let stale = server.send(method, &path, &[json, ("If-Match", &seen)], body.as_bytes());
        assert_eq!(stale.problem(412), "moved", "{method} {path}");
        for nonsense in ["*", "W/\"1-00\"", "1", "\"1-zz\"", "\"\""] {
            let wrong = server.send(method, &path, &[json, ("If-Match", nonsense)], body.as_bytes());
            assert_eq!(wrong.problem(400), "if-match", "{nonsense}");
        }
    }
}

#[test]
fn undo_and_redo_and_bringing_back() {
    let server = Server::start();
    let (id, mut tag) = server.site("a = 1\n");
    let step =
        |what: &str, tag: &str| server.send("POST", &format!("/api/v1/sites/{id}/{what}"), &[("If-Match", tag)], b"");
    assert_eq!(step("undo", &tag).problem(409), "nothing-to-undo");
    for text in ["a = 2\n", "a = 3\n"] {
        let put = server.send("PUT", &format!("/api/v1/sites/{id}/text"), &[("If-Match", &tag)], text.as_bytes());
        tag = put.tag();
    }
    let undone = step("undo", &tag);
    assert_eq!((undone.value()["text"].as_str(), undone.value()["can_redo"].as_bool()), (Some("a = 2\n"), Some(true)));
    let redone = step("redo", &undone.tag());
    assert_eq!(redone.value()["text"], "a = 3\n");
    assert_eq!(step("redo", &redone.tag()).problem(409), "nothing-to-redo");
    let back = step("versions/1/restore", &redone.tag());
    assert_eq!((back.value()["text"].as_str(), back.value()["seq"].as_i64()), (Some("a = 1\n"), Some(4)));
    assert_eq!(step("versions/99/restore", &back.tag()).problem(404), "not-found");
    let versions = server.get(&format!("/api/v1/sites/{id}/versions")).value();
    let seqs: Vec<i64> = versions.as_array().unwrap().iter().map(|v| v["seq"].as_i64().unwrap()).collect();
    assert_eq!(seqs, [4, 3, 2, 1]);
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/versions/9/text")).problem(404), "not-found");
}

/// A weather file of our own, the site that names it, and both out of the archive byte for byte.
#[test]
fn the_archive_holds_everything_of_the_users_own() {
    let server = Server::start();
    let mut file = String::from("utc,temp_c,rh_pct\n");
    for hour in 0..31 * 24 {
        file.push_str(&format!("2001-10-{:02}T{:02}:00Z,{}.5,65\n", hour / 24 + 1, hour % 24, hour % 24 / 2));
    }
    let put = server.send("PUT", "/api/v1/weather/farm", &[], file.as_bytes());
    assert_eq!(put.status, 200, "{}", put.text());
    assert_eq!((put.value()["from_year"].as_i64(), put.value()["missing"].as_i64()), (Some(2001), Some(0)));
    let names: Vec<String> =
        server.get("/api/v1/weather").value().as_array().unwrap().iter().map(|w| w["name"].to_string()).collect();
    assert_eq!(names, ["\"champaign\"", "\"farm\""]);
    let text = DEMO.replace("\"champaign\"", "\"farm\"");
    let (id, _) = server.site(&text);
    let archive = server.get(&format!("/api/v1/sites/{id}/archive"));
    assert_eq!(archive.header("content-type"), Some("application/zip"));
    let files = unpack(&archive.body);
    assert_eq!(files[0], ("site.toml".to_string(), text.into_bytes()));
    assert_eq!(files[1], ("weather/farm.txt".to_string(), file.into_bytes()));
    assert_eq!(server.send("PUT", "/api/v1/weather/champaign", &[], b"x").problem(409), "taken");
    assert_eq!(server.send("DELETE", "/api/v1/weather/farm", &[], b"").status, 204);
    assert_eq!(server.send("DELETE", "/api/v1/weather/farm", &[], b"").problem(404), "not-found");
}

/// A fan of our own: refused with its line while it is wrong, then there for sites and in their archives.
#[test]
fn a_catalogue_of_ones_own() {
    let server = Server::start();
    let text = "[fans.barn-5hp]\nkind = \"tube-axial\"\nmotor = \"5 hp\"\nspeed = 3450\n\
                points = [[\"0 in wc\", \"15000 cfm\"], [\"2 in wc\", \"9000 cfm\"], [\"4 in wc\", \"3000 cfm\"]]\n";
    let path = "/api/v1/library/catalogue/catalogue";
    let wrong = server.send("PUT", path, &[], text.replace("5 hp", "5 horses").as_bytes());
    wrong.problem(422);
    assert_eq!(wrong.value()["diagnostics"][0]["at"]["line"], 3);
    assert_eq!(server.get("/api/v1/library").value(), json!([]), "nothing is kept");
    assert_eq!(server.send("PUT", "/api/v1/library/catalogue/mine", &[], text.as_bytes()).problem(400), "name");
    assert_eq!(server.send("PUT", "/api/v1/library/colours/x", &[], text.as_bytes()).problem(400), "path");
    let put = server.send("PUT", path, &[], text.as_bytes());
    assert_eq!(put.status, 204, "{}", put.text());
    assert_eq!(server.get(path).body, text.as_bytes());
    let fans = server.get("/api/v1/catalogue").value();
    assert!(fans["fans"].as_array().unwrap().iter().any(|f| f["id"] == "barn-5hp" && f["invented"] == false));
    let site = DEMO.replace("\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"", "\"barn-5hp\"");
    let (id, _) = server.site(&site);
    assert_eq!(server.get(&format!("/api/v1/sites/{id}")).value()["diagnostics"], json!([]));
    let files = unpack(&server.get(&format!("/api/v1/sites/{id}/archive")).body);
    assert_eq!(files[1], ("catalogue.toml".to_string(), text.as_bytes().to_vec()));
    assert_eq!(server.send("DELETE", path, &[], b"").status, 204);
    let left = server.get(&format!("/api/v1/sites/{id}")).value();
    assert_eq!(left["diagnostics"][0]["severity"], "error", "what it named is gone");
}

/// Reads a stored archive by its directory, checks the sums, and returns names and contents.
fn unpack(zip: &[u8]) -> Vec<(String, Vec<u8>)> {
    let short = |at: usize| usize::from(u16::from_le_bytes([zip[at], zip[at + 1]]));
    let long = |at: usize| u32::from_le_bytes([zip[at], zip[at + 1], zip[at + 2], zip[at + 3]]) as usize;
    let end = zip.len() - 22;
    assert_eq!(&zip[end..end + 4], b"PK\x05\x06");
    let mut at = long(end + 16);
    (0..short(end + 10))
        .map(|_| {
            assert_eq!(&zip[at..at + 4], b"PK\x01\x02");
            let (sum, size, name, local) = (long(at + 16), long(at + 24), short(at + 28), long(at + 42));
            let name = String::from_utf8(zip[at + 46..at + 46 + name].to_vec()).unwrap();
            at += 46 + name.len();
            assert_eq!(&zip[local..local + 4], b"PK\x03\x04");
            let begin = local + 30 + name.len();
            let bytes = zip[begin..begin + size].to_vec();
            let mut crc = flate2::Crc::new();
            crc.update(&bytes);
            assert_eq!(crc.sum() as usize, sum);
            (name, bytes)
        })
        .collect()
}

#[test]
fn a_deleted_site_can_be_brought_back() {
    let server = Server::start();
    let (id, tag) = server.site(DEMO);
    let text = server.get(&format!("/api/v1/sites/{id}/text")).body;
    assert_eq!(server.send("DELETE", &format!("/api/v1/sites/{id}"), &[("If-Match", &tag)], b"").status, 204);
    let deleted = server.get("/api/v1/deleted-sites").value();
    assert_eq!((deleted.as_array().map(Vec::len), deleted[0]["id"].as_str()), (Some(1), Some(id.as_str())));
    let back = server.send("POST", &format!("/api/v1/deleted-sites/{id}/restore"), &[], b"");
    assert_eq!((back.status, back.tag()), (200, tag));
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/text")).body, text);
    assert_eq!(server.get("/api/v1/deleted-sites").value(), json!([]));
    let again = server.send("POST", &format!("/api/v1/deleted-sites/{id}/restore"), &[], b"");
    assert_eq!(again.problem(404), "not-found");
}
