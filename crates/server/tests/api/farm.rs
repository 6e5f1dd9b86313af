//! All bins of a site together.

use super::client::{FARM, Server};
use serde_json::json;

#[test]
fn a_year_of_the_farm() {
    let server = Server::start();
    let (id, _) = server.site(FARM);
    let answer = server.get(&format!("/api/v1/sites/{id}/farm?year=2009"));
    assert_eq!(answer.status, 200, "{}", answer.text());
    let answer = answer.value();
    assert_eq!((&answer["schema"], &answer["bins"]), (&json!("farm/1"), &json!(["heated", "shallow", "small"])));
    let year = &answer["years"][0];
    assert_eq!(year["year"], 2009);
    let taken: f64 = year["bins"].as_array().unwrap().iter().map(|b| b["taken_kg"].as_f64().unwrap()).sum();
    let (harvest, sold) = (year["harvest_kg"].as_f64().unwrap(), year["sold_wet_kg"].as_f64().unwrap());
    assert!((taken + sold - harvest).abs() < 1e-6 * harvest);
    assert!(year["service"]["hours"].as_array().unwrap().is_empty());
    assert!(year["tank"]["levels"].as_array().unwrap().iter().all(|l| l["fill"].as_f64().unwrap() > 0.0));
    assert_eq!(year["bins"][0]["season"]["bin"], "heated");
    assert_eq!(server.get(&format!("/api/v1/sites/{id}/farm?year=1066")).problem(422), "no-such-year");
}

#[test]
fn all_years_of_the_farm_come_as_a_stream() {
    let server = Server::start();
    let asked = json!({"base": {"text": FARM}, "slot": "f"});
    let events = server.ask("/api/v1/farm", &asked).rest();
    let told: Vec<&str> = events.iter().map(|(name, _)| name.as_str()).filter(|name| *name != "progress").collect();
    assert_eq!(told, ["farm", "end"]);
    let farm = &events.iter().find(|(name, _)| name == "farm").unwrap().1;
    let (years, known) = (farm["years"].as_array().unwrap(), farm["years_known"].as_array().unwrap());
    assert_eq!((years.len(), &farm["schema"]), (known.len(), &json!("farm/1")));
    for (year, known) in years.iter().zip(known) {
        assert_eq!(&year["year"], known);
        let taken: f64 = year["bins"].as_array().unwrap().iter().map(|b| b["taken_kg"].as_f64().unwrap()).sum();
        let (harvest, sold) = (year["harvest_kg"].as_f64().unwrap(), year["sold_wet_kg"].as_f64().unwrap());
        assert!((taken + sold - harvest).abs() < 1e-6 * harvest);
        assert!(year["bins"][0]["season"].is_null() && !year["days"].as_array().unwrap().is_empty());
    }
    // A year of it is the year asked for alone.
    let (id, _) = server.site(FARM);
    let one = server.get(&format!("/api/v1/sites/{id}/farm?year=2009")).value();
    let same = years.iter().find(|year| year["year"] == 2009).unwrap();
    for key in ["days", "sold_wet_kg", "most_waiting_kg", "tank", "cost"] {
        assert_eq!(same[key], one["years"][0][key], "{key}");
    }
    assert_eq!(same["service"]["peak_w"], one["years"][0]["service"]["peak_w"]);
}
