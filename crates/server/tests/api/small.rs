//! What needs no site: program, units, schema, crops, catalogue, quick questions, checks.

use super::client::{DEMO, Server};
use serde_json::json;

#[test]
fn what_is_there_to_name() {
    let server = Server::start();
    let program = server.get("/api/v1/program").value();
    assert_eq!((&program["program"], &program["signed_in"]), (&json!("binwright"), &json!(true)));
    let units = server.get("/api/v1/units").value();
    let length = units.as_array().unwrap().iter().find(|u| u["kind"] == "length").unwrap();
    assert_eq!((&length["us"]["unit"], &length["si"]["factor"]), (&json!("ft"), &json!(1.0)));
    assert_eq!(server.get("/api/v1/schema").value()["type"], "object");
    let crops = server.get("/api/v1/crops").value();
    assert!(crops["crops"].as_array().unwrap().iter().any(|c| c["id"] == "corn"));
    let catalogue = server.get("/api/v1/catalogue").value();
    let fan = &catalogue["fans"][0];
    assert!(fan["curve"].as_array().unwrap().len() > 3 && fan["invented"] == true, "{fan}");
    let weather = server.get("/api/v1/weather").value();
    assert_eq!((&weather[0]["name"], &weather[0]["from_year"]), (&json!("champaign"), &json!(1995)));
}

#[test]
fn a_text_is_checked_as_it_is_typed() {
    let server = Server::start();
    let good = server.post("/api/v1/check", &json!({ "text": DEMO })).value();
    assert_eq!(good["diagnostics"], json!([]));
    let bin = &good["survey"]["bins"][0];
    assert_eq!((&bin["bin"], &good["survey"]["schema"]), (&json!("north"), &json!("survey/1")));
    let drawing = &bin["drawing"];
    assert!(drawing["roof_rise_m"].as_f64().unwrap() > 1.0 && drawing["fans"].as_array().unwrap().len() == 2);
    let bad = server.post("/api/v1/check", &json!({ "text": DEMO.replace("\"20 %\"", "\"120 %\"") })).value();
    assert!(bad["survey"].is_null());
    assert_eq!(bad["diagnostics"][0]["at"]["field"], "bins.north.lots[0].moisture");
    assert_eq!(server.get("/api/v1/sites").value(), json!([]), "nothing is kept");
}

#[test]
fn the_quick_question() {
    let server = Server::start();
    let mut asked = json!({"diameter": "36 ft", "depth": "18 ft", "crop": "corn", "airflow": "1 cfm/bu"});
    let answer = server.post("/api/v1/air", &asked).value();
    assert_eq!(answer["schema"], "air-sizing/1");
    assert!((answer["grain_m3"].as_f64().unwrap() - 518.8).abs() < 1.0);
    assert!(answer["fans_that_reach"].as_i64().unwrap() > 0);
    asked["diameter"] = json!("36 furlongs");
    asked["depth"] = json!("900 ft");
    asked["crop"] = json!("gravel");
    let wrong = server.post("/api/v1/air", &asked);
    wrong.problem(422);
    let fields: Vec<String> =
        wrong.value()["diagnostics"].as_array().unwrap().iter().map(|d| d["at"]["field"].to_string()).collect();
    assert!(fields.contains(&"\"diameter\"".into()) && fields.contains(&"\"depth\"".into()), "all at once: {fields:?}");
}
