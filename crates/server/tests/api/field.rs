//! Readings from a phone: kept once, replaced, withdrawn, commissioned, the bin's baseline, diagnosed; hours without air.

use super::client::{DEMO, Server};
use serde_json::{Value, json};

/// A reading of the visit in the demonstration's bin.
fn reading(id: &str, field: &str, value: &str) -> Value {
    json!({"id": id, "visit": "v1", "bin": "north", "field": field, "value": value,
        "at": "2025-10-16T14:03:00-05:00", "by": "A. Reader", "instrument": "U-tube"})
}

/// What a sound bin shows, as its own sheet foretells it.
fn sound(server: &Server, id: &str, visit: &str) -> Vec<Value> {
    let sheet = server.get(&format!("/api/v1/sites/{id}/sheet?bin=north")).value();
    let expected = |field: &str| {
        let rows = sheet["rows"].as_array().unwrap();
        rows.iter().find(|row| row["field"] == field).unwrap()["expected"].as_f64().unwrap()
    };
    let kelvin = expected("air.plenum");
    let values = [
        ("state.rotation", "with-arrow".to_string()),
        ("air.outdoor", "10 C".into()),
        ("pressure.plenum", format!("{:.0} Pa", expected("pressure.plenum"))),
        ("pressure.plenum", format!("{:.0} Pa", expected("pressure.plenum") + 3.0)),
        ("air.plenum", format!("{kelvin:.2} C")),
        ("traverse.airflow", format!("{:.3} m3/s", expected("traverse.airflow"))),
        ("motors.speed[0]", "1752 rpm".into()),
    ];
    let each = |(n, (field, value)): (usize, (&str, String))| {
        let mut one = reading(&format!("{visit}-{n}"), field, &value);
        one["visit"] = json!(visit);
        one
    };
    values.into_iter().enumerate().map(each).collect()
}

#[test]
fn a_sheet_says_what_to_read_and_what_comes() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let sheet = server.get(&format!("/api/v1/sites/{id}/sheet?bin=north")).value();
    assert_eq!(
        (&sheet["schema"], &sheet["bin"], &sheet["fans"]),
        (&json!("field-sheet/1"), &json!("north"), &json!(2))
    );
    let rows = sheet["rows"].as_array().unwrap();
    let row = |field: &str| rows.iter().find(|row| row["field"] == field).unwrap_or_else(|| panic!("{field}"));
    let plenum = row("pressure.plenum");
    assert!(plenum["expected"].as_f64().unwrap() > 300.0 && plenum["band"].as_f64().unwrap() > 10.0, "{plenum}");
    assert_eq!(
        (&plenum["units"][0], &plenum["many"], &plenum["kind"]),
        (&json!("in wc"), &json!(true), &json!("pressure"))
    );
    assert_eq!(
        (&plenum["instrument"], &row("motors.speed[1]")["form"]),
        (&json!("instruments.pressure"), &json!("quantity"))
    );
    assert_eq!(row("state.rotation")["needed"], true);
    // No burner: nothing of gas is asked.
    assert!(rows.iter().all(|row| !row["field"].as_str().unwrap().starts_with("fuel.")));
    assert!(sheet["cautions"].as_array().unwrap().len() >= 2);
    assert!(sheet["assumed"].as_array().unwrap().contains(&json!("air.outdoor")));
    // A cold day moves what is expected.
    server.post(&format!("/api/v1/sites/{id}/readings"), &json!({"readings": [reading("c", "air.outdoor", "0 F")]}));
    let cold = server.get(&format!("/api/v1/sites/{id}/sheet?bin=north&visit=v1")).value();
    let of = |sheet: &Value| {
        let rows = sheet["rows"].as_array().unwrap().clone();
        rows.iter().find(|row| row["field"] == "pressure.plenum").unwrap()["expected"].as_f64().unwrap()
    };
    assert!(of(&cold) > of(&sheet) && !cold["assumed"].as_array().unwrap().contains(&json!("air.outdoor")));
}

#[test]
fn a_reading_sent_twice_is_kept_once_and_a_bad_one_holds_back_no_other() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let path = format!("/api/v1/sites/{id}/readings");
    let sent = json!({"readings": [
        reading("a", "pressure.plenum", "2.1 in wc"),
        reading("b", "pressure.plenum", "2.1 furlongs"),
        reading("c", "air.outdoor", "50 F"),
        reading("d", "pressure.nowhere", "1 Pa"),
    ]});
    let outcomes = |reply: &Value| -> Vec<String> {
        reply["readings"].as_array().unwrap().iter().map(|r| r["outcome"].as_str().unwrap().to_string()).collect()
    };
    let first = server.post(&path, &sent).value();
    assert_eq!(outcomes(&first), ["new", "refused", "new", "refused"], "{first}");
    assert_eq!(first["readings"][1]["diagnostics"][0]["code"], "unknown-unit");
    assert_eq!(outcomes(&server.post(&path, &sent).value()), ["known", "refused", "known", "refused"]);
    // The same id for something else is refused, not overwritten.
    let other = json!({"readings": [reading("a", "pressure.plenum", "9 in wc")]});
    assert_eq!(server.post(&path, &other).value()["readings"][0]["diagnostics"][0]["code"], "differs");
    let mut future = reading("f", "air.outdoor", "50 F");
    future["at"] = json!("2199-01-01T00:00:00Z");
    assert_eq!(
        server.post(&path, &json!({"readings": [future]})).value()["readings"][0]["diagnostics"][0]["code"],
        "not-yet"
    );
    let list = server.get(&path).value();
    assert_eq!(list["readings"].as_array().unwrap().len(), 2);
    assert_eq!(
        (&list["readings"][0]["by"], &list["readings"][0]["instrument"]),
        (&json!("A. Reader"), &json!("U-tube"))
    );
    assert_eq!(server.post(&path, &json!({"readings": []})).problem(400), "too-many-readings");
    assert_eq!(server.post("/api/v1/sites/nowhere/readings", &sent).problem(404), "not-found");
}

#[test]
fn a_reading_is_replaced_and_withdrawn_and_still_kept() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let path = format!("/api/v1/sites/{id}/readings");
    let one = |reading: Value| server.post(&path, &json!({"readings": [reading]})).value()["readings"][0].clone();
    one(reading("a", "state.depth", "18 ft"));
    let mut better = reading("b", "state.depth", "18 ft 4 in");
    better["replaces"] = json!("a");
    assert_eq!(one(better.clone())["outcome"], "new");
    assert_eq!(one(better)["outcome"], "known");
    // Another phone that has not seen it.
    let mut late = reading("c", "state.depth", "18 ft 2 in");
    late["replaces"] = json!("a");
    assert_eq!(one(late)["diagnostics"][0]["code"], "superseded");
    let texts = |path: &str| -> Vec<String> {
        let list = server.get(path).value();
        list["readings"].as_array().unwrap().iter().map(|r| r["value"].as_str().unwrap().to_string()).collect()
    };
    assert_eq!(texts(&path), ["18 ft 4 in"]);
    assert_eq!(texts(&format!("{path}?all=true")), ["18 ft", "18 ft 4 in"]);
    for _ in 0..2 {
        assert_eq!(server.send("DELETE", &format!("{path}/b?by=A"), &[], b"").status, 204);
    }
    assert_eq!(texts(&path), Vec::<String>::new());
    assert_eq!(server.send("DELETE", &format!("{path}/x"), &[], b"").problem(404), "not-found");
    // Twice without saying which replaces which: asked, not averaged.
    one(reading("d", "state.depth", "18 ft"));
    one(reading("e", "state.depth", "19 ft"));
    one(reading("g", "air.outdoor", "50 F"));
    let told = server.get(&format!("/api/v1/sites/{id}/visits/v1/commission"));
    assert_eq!(told.problem(422), "read-twice");
}

#[test]
fn a_visit_is_commissioned_accepted_and_diagnosed() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let site = format!("/api/v1/sites/{id}");
    let send = |readings: Vec<Value>| {
        let kept = server.post(&format!("{site}/readings"), &json!({"readings": readings})).value();
        assert!(kept["readings"].as_array().unwrap().iter().all(|r| r["outcome"] == "new"), "{kept}");
    };
    send(sound(&server, &id, "first"));
    let found = server.get(&format!("{site}/visits/first/commission")).value();
    assert_eq!(
        (&found["schema"], &found["result"]),
        (&json!("commission/1"), &json!("agrees-as-far-as-told")),
        "{found}"
    );
    assert!(found["untold"].to_string().contains("motor load"), "nobody read volts and amps: {found}");
    assert!(found["lines"].as_array().unwrap().iter().all(|line| !line["says"].as_str().unwrap().is_empty()));
    let text = server.get(&format!("{site}/visits/first/text")).text();
    assert!(text.starts_with("binwright_readings = 1") && text.contains("A. Reader"), "{text}");
    let accepted = server.post(&format!("{site}/visits/first/accept"), &json!({"by": "A. Reader"})).value();
    assert_eq!((&accepted["visit"], &accepted["by"]), (&json!("first"), &json!("A. Reader")), "{accepted}");
    let again = server.post(&format!("{site}/visits/first/accept"), &json!({"by": "B"})).value();
    assert_eq!((&again["id"], &again["at"]), (&accepted["id"], &accepted["at"]));
    let visits = server.get(&format!("{site}/visits")).value();
    assert_eq!((&visits[0]["visit"], &visits[0]["baseline"]), (&json!("first"), &accepted["id"]));

    // A part of the air is gone on the way: less pressure, more airflow at the inlets.
    let mut leak = sound(&server, &id, "second");
    leak[2]["value"] = json!("3.0 in wc");
    leak[3]["field"] = json!("state.air_escapes");
    leak[3]["value"] = json!("true");
    leak[5]["value"] = json!("19300 cfm");
    send(leak);
    let differs = server.get(&format!("{site}/visits/second/commission")).value();
    assert_eq!(differs["result"], "differs", "{differs}");
    assert_eq!(server.post(&format!("{site}/visits/second/accept"), &json!({})).problem(422), "no-baseline");
    let diagnosis = server.get(&format!("{site}/visits/second/diagnosis")).value();
    assert_eq!((&diagnosis["schema"], &diagnosis["baseline"]), (&json!("diagnosis/1"), &json!(true)));
    let top: Vec<&str> =
        diagnosis["classes"][0]["causes"].as_array().unwrap().iter().map(|c| c["cause"].as_str().unwrap()).collect();
    assert!(top.contains(&"leak"), "{diagnosis}");

    // A baseline is withdrawn like a reading.
    let own = accepted["id"].as_str().unwrap().replace(':', "%3A");
    assert_eq!(server.send("DELETE", &format!("{site}/readings/{own}"), &[], b"").status, 204);
    assert!(server.get(&format!("{site}/visits?bin=north")).value()[1]["baseline"].is_null());
    assert_eq!(server.get(&format!("{site}/visits/third/text")).problem(404), "not-found");
}

#[test]
fn a_doubtful_reading_is_asked_about_and_its_field_named() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let site = format!("/api/v1/sites/{id}");
    let mut readings = sound(&server, &id, "v1");
    readings[2]["value"] = json!("104 in wc");
    readings.remove(3);
    server.post(&format!("{site}/readings"), &json!({"readings": readings}));
    let told = server.get(&format!("{site}/visits/v1/commission"));
    assert_eq!(told.problem(422), "pressure-in-another-unit");
    assert_eq!(told.value()["diagnostics"][0]["at"]["field"], "pressure.plenum");
}

#[test]
fn hours_without_air() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let path = format!("/api/v1/sites/{id}/outage?at=");
    let answer = server.get(&format!("{path}2011-10-20%2014:00")).value();
    assert_eq!((&answer["schema"], &answer["bins"][0]["bin"]), (&json!("outage/1"), &json!("north")));
    assert!(answer["bins"][0]["courses"].as_array().unwrap().len() >= 3);
    assert_eq!(server.get(&format!("{path}2011-07-20%2014:00")).problem(422), "no-grain-then");
    assert_eq!(server.get(&format!("{path}soon")).problem(422), "not-an-instant");
}
