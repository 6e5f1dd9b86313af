//! The whole way from text to cases, on the demo.

use job::{BuiltIn, open};

#[test]
fn the_demo_resolves_to_a_case_for_every_complete_year() {
    let job = open(include_str!("../data/demo.toml"), "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    assert!(job.warnings.0.is_empty(), "{}", job.warnings);
    let bin = &job.bins[0];
    assert!(bin.invented);
    // The bundled record holds the winters from 1995 to 2023, the last without its spring.
    assert_eq!(bin.years.len() + bin.left_out.len(), 29);
    assert!(bin.years.len() >= 27, "{:?}", bin.left_out.len());
}

#[test]
fn a_lot_larger_than_its_bin_is_refused_on_its_line() {
    let text = include_str!("../data/demo.toml").replace("15000 bu", "40000 bu");
    let found = open(&text, "demo.toml", &BuiltIn::new()).unwrap_err();
    let line = text.lines().position(|line| line.starts_with("quantity")).unwrap() + 1;
    assert_eq!(found.0[0].code, "lot-too-large");
    assert_eq!(found.0[0].at.line, Some(line));
}
