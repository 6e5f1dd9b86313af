//! The burners of a site and the fuel train behind them.

use super::client::{DEMO, HEATED, Server};
use serde_json::{Value, json};

#[test]
fn what_the_command_says_of_a_site() {
    let server = Server::start();
    let (id, _) = server.site(HEATED);
    let answer = server.get(&format!("/api/v1/sites/{id}/heat"));
    assert_eq!(answer.status, 200, "{}", answer.text());
    let answer = answer.value();
    let bin = &answer["bins"][0];
    assert_eq!((&answer["schema"], &bin["bin"]), (&json!("heat/1"), &json!("south")));
    let duty = &bin["duty"];
    let of = |value: &Value| value.as_f64().unwrap();
    assert!(of(&duty["design"]["hour"]["heat_w"]) > of(&duty["installed_w"]), "the burner of the example is short");
    assert!(duty["weeks"].as_array().unwrap().len() > 8 && duty["years"].as_array().unwrap().len() == 28);
    assert_eq!(bin["firing"]["rows"].as_array().unwrap().len(), 6);
    let sides: Vec<&str> = bin["place"].as_array().unwrap().iter().map(|p| p["side"].as_str().unwrap()).collect();
    assert_eq!(sides, ["none", "discharge", "inlet"]);
    let elements = answer["train"]["elements"].as_array().unwrap();
    assert!(elements.iter().all(|e| e["need"]["kind"] == e["have"]["kind"] && e["met"].is_boolean()), "{elements:?}");
    assert_eq!(answer["train"]["tanks"]["rows"].as_array().unwrap().len(), 3);

    let (plain, _) = server.site(DEMO);
    let none = server.get(&format!("/api/v1/sites/{plain}/heat?bin=north")).value();
    assert!(none["train"].is_null() && none["bins"][0]["duty"].is_null());
    assert_eq!(none["remarks"].as_array().unwrap().iter().filter(|r| r["code"] == "no-duty").count(), 1);
    assert_eq!(server.get(&format!("/api/v1/sites/{plain}/heat?bin=south")).problem(422), "no-such-bin");
    assert_eq!(server.get(&format!("/api/v1/sites/{plain}/heat?seq=7")).problem(404), "not-found");
}

/// A slider on the capacity: the rest of the answer moves with it.
#[test]
fn a_slider_is_answered() {
    let server = Server::start();
    let ask = |changes: Value| {
        let question = json!({"base": {"text": HEATED}, "changes": changes, "view": "heat", "slot": "a"});
        let events = server.what_if(&question).rest();
        let names: Vec<&str> = events.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["survey", "air", "heat", "end"]);
        events[2].1.clone()
    };
    let change = |value: &str| ask(json!([{"path": "bins.south.outfit.burner.capacity", "value_text": value}]));
    let (small, large) = (change("300000 Btu/h"), change("900000 Btu/h"));
    let short = |answer: &Value| -> u64 {
        answer["bins"][0]["duty"]["years"].as_array().unwrap().iter().map(|y| y["short_hours"].as_u64().unwrap()).sum()
    };
    assert!(short(&small) > 4 * short(&large), "{} {}", short(&small), short(&large));
    let unmet = |answer: &Value| -> Vec<String> {
        let elements = answer["train"]["elements"].as_array().unwrap();
        let short = elements.iter().filter(|e| e["met"] == false);
        short.map(|e| e["element"].as_str().unwrap().to_string()).collect()
    };
    assert_eq!(unmet(&small), Vec::<String>::new());
    assert!(unmet(&large).contains(&"orifice".to_string()), "{:?}", unmet(&large));
    assert!(large["remarks"].as_array().unwrap().iter().any(|r| r["code"] == "train-under-fires"));
}
