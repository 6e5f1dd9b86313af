//! The identity of a run: alike for the same run, other as soon as anything that can move a result is other.

use job::change::{Change, apply};
use job::{BuiltIn, open};

const DEMO: &str = include_str!("../data/demo.toml");

fn identity(text: &str, accuracy: &str) -> String {
    let job = open(text, "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    job.bins[0].identity(accuracy)
}

#[test]
fn what_moves_a_result_moves_the_identity() {
    let demo = identity(DEMO, "verdict");
    assert_eq!(demo.len(), 64);
    assert_eq!(demo, identity(DEMO, "verdict"));
    assert_ne!(demo, identity(DEMO, "preview"));
    let fans = "[\"demo-centrifugal-10hp\"]";
    for (path, value_text) in [
        ("place.elevation", "400 m"),
        ("place.humidity_offset", "2 %"),
        ("place.time_zone", "America/New_York"),
        ("goal.mean_moisture", "15 %"),
        ("goal.by", "12-01"),
        ("bins.north.diameter", "37 ft"),
        ("bins.north.packing", "1.4"),
        ("bins.north.lots[0].moisture", "20.1 %"),
        ("bins.north.lots[0].from", "10-11"),
        ("bins.north.lots[0].damage", "25 %"),
        ("bins.north.lots[0].relation", "corn_cp_a"),
        ("bins.north.outfit.fans", fans),
        ("bins.north.outfit.control.kind", "off"),
    ] {
        let text = apply(DEMO, &[Change { path: path.into(), value_text: value_text.into() }]).unwrap();
        assert_ne!(demo, identity(&text, "verdict"), "{path}");
    }
}

#[test]
fn what_moves_no_result_leaves_it() {
    let demo = identity(DEMO, "verdict");
    let same = DEMO.replace("diameter = \"36 ft\"", "diameter = \"36'\" # the same bin");
    for text in [same, format!("# a word\n{DEMO}"), DEMO.replace("0.12 $/kWh", "0.15 $/kWh")] {
        assert_eq!(demo, identity(&text, "verdict"));
    }
}
