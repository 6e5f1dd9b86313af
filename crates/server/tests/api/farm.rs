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
