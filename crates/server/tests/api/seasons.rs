//! Seasons and their maps.

use super::client::{DEMO, Server};
use serde_json::{Value, json};

/// Header and numbers of a map.
fn read(bytes: &[u8]) -> (Value, Vec<f32>) {
    let length = u32::from_le_bytes(bytes[..4].try_into().unwrap()) as usize;
    let header = serde_json::from_slice(&bytes[4..4 + length]).unwrap();
    let begin = (4 + length).next_multiple_of(4);
    let numbers = bytes[begin..].chunks_exact(4).map(|b| f32::from_le_bytes(b.try_into().unwrap())).collect();
    (header, numbers)
}

#[test]
fn a_season_and_its_maps() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let season = server.get(&format!("/api/v1/sites/{id}/season?bin=north&year=2009"));
    assert_eq!(season.status, 200, "{}", season.text());
    let season = season.value();
    assert_eq!((&season["schema"], &season["layers"]), (&json!("season/1"), &json!(48)));
    assert!(season["daily"].as_array().unwrap().len() > 100 && season["hourly"].is_null());
    let hourly = server.get(&format!("/api/v1/sites/{id}/season?year=2009&hourly=true")).value();
    assert!(hourly["hourly"].as_array().unwrap().len() > 3000);

    let map = server.get(&format!("/api/v1/sites/{id}/season/maps?bin=north&year=2009&quantity=moisture"));
    assert_eq!(map.header("content-type"), Some("application/octet-stream"));
    assert_eq!(map.body, server.get(season["maps"]["moisture"].as_str().unwrap()).body, "one season, one map");
    let (header, numbers) = read(&map.body);
    let columns = header["columns"].as_array().unwrap();
    assert_eq!(columns[0]["name"], "slow air");
    let size = |c: &Value| (c["rows"].as_u64().unwrap() * c["cols"].as_u64().unwrap()) as usize;
    assert_eq!(numbers.len(), columns.iter().map(size).sum::<usize>());
    let (rows, cols) = (columns[0]["rows"].as_u64().unwrap() as usize, columns[0]["cols"].as_u64().unwrap() as usize);
    assert!(rows <= 108 && cols <= 400);
    assert_eq!(header["hours"].as_array().unwrap().len(), cols);
    assert_eq!(header["depths_m"].as_array().unwrap().len(), rows + 1);
    let (low, high) = (header["low"].as_f64().unwrap() as f32, header["high"].as_f64().unwrap() as f32);
    assert!(numbers.iter().all(|v| v.is_nan() || (*v >= low - 1e-6 && *v <= high + 1e-6)));
    assert!(high > 0.15 && high < 0.3 && low > 0.05, "moisture as fractions w.b.: {low} to {high}");
    // The layer at the floor dries first: after three weeks it is the driest of its column.
    let on_day = |row: usize, day: usize| numbers[row * cols + day];
    assert!(on_day(0, 21) < on_day(rows - 1, 21) - 0.01, "{} {}", on_day(0, 21), on_day(rows - 1, 21));
}

#[test]
fn refused_in_the_words_of_the_command_line() {
    let server = Server::start();
    let (id, _) = server.site(DEMO);
    let of = |query: &str| server.get(&format!("/api/v1/sites/{id}/season?{query}"));
    assert_eq!(of("year=1066").problem(422), "no-such-year");
    assert!(of("year=1066").text().contains("complete seasons run from 1995"));
    assert_eq!(of("bin=south").problem(422), "no-such-bin");
    assert_eq!(of("year=x").problem(400), "query");
    assert_eq!(of("seq=7").problem(404), "not-found");
    assert_eq!(of("colour=red").problem(400), "query");
    let maps = server.get(&format!("/api/v1/sites/{id}/season/maps?quantity=colour"));
    assert_eq!(maps.problem(400), "query");
}
