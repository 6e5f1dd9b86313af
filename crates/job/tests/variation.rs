//! A compiled variation is the changed text: same job, same identity, same refusals; and quicker.

use job::change::{Change, apply};
use job::variation::{BinEdit, Edit, LotEdit};
use job::{Base, BuiltIn, Job, Records, open};
use proptest::prelude::*;
use proptest::sample::select;

const DEMO: &str = include_str!("../data/demo.toml");
const FILE: &str = "demo.toml";

fn base() -> Base {
    Base::open(&Records::default(), DEMO, FILE, &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"))
}

fn change(path: &str, value_text: &str) -> Change {
    Change { path: path.into(), value_text: value_text.into() }
}

/// All that two jobs can differ in.
fn said(job: &Job) -> String {
    let bins = job.bins.iter().map(|bin| {
        let beside = (&bin.survey, &bin.remarks, &bin.lots_of_years, &bin.left_out, bin.packing, bin.invented);
        format!("{} {beside:?} {:?}", bin.identity("verdict"), bin.uncertainty)
    });
    let bins: Vec<String> = bins.collect();
    format!("{:?} {:?} {} {:?} {bins:?}", job.place, job.prices, job.chance, job.warnings)
}

fn alike(base: &Base, changes: &[Change], typed: bool) {
    let library = BuiltIn::new();
    let by_text = open(&apply(DEMO, changes).unwrap(), FILE, &library).map(|job| said(&job));
    let by_values = base.compile(changes, &library).and_then(|variation| {
        assert_eq!(variation.edits().is_some(), typed, "{changes:?}");
        base.resolve(&variation, &Records::default(), &library).map(|job| said(&job))
    });
    assert_eq!(by_values, by_text, "{changes:?}");
}

/// Sound and unsound values of what sliders and candidates change.
const VALUES: &[(&str, &[&str])] = &[
    ("bins.north.lots[0].moisture", &["18 %", "22.5 %", "25 % db", "14 %", "120 %"]),
    ("bins.north.lots[0].quantity", &["12000 bu", "300 t", "14 ft", "40000 bu"]),
    ("bins.north.lots[0].from", &["09-20", "10-25", "12-20", "2009-10-10"]),
    ("bins.north.lots[0].days", &["2", "9", "0"]),
    ("bins.north.lots[0].temperature", &["15 °C", "50 °F"]),
    ("bins.north.lots[0].by_year", &["[{ year = 2009, moisture = \"23 %\" }]"]),
    ("goal.mean_moisture", &["15 %", "14 %"]),
    ("goal.by", &["12-01", "11-15", "10-01"]),
    ("goal.hold_until", &["05-15"]),
    ("goal.chance", &["80 %"]),
    (
        "bins.north.outfit.fans",
        &["[\"demo-centrifugal-15hp\"]", "[\"demo-axial-10hp\", \"demo-axial-10hp\"]", "[\"nobody\"]"],
    ),
    ("bins.north.outfit.arrangement", &["series"]),
    ("bins.north.outfit.control", &["{ kind = \"humidity-window\", high = \"70 %\" }", "{ kind = \"off\" }"]),
    ("bins.north.outfit.control.kind", &["off", "clock"]),
    ("bins.north.packing", &["1.2", "1.8"]),
    ("bins.north.cored", &["false"]),
    ("bins.north.still_air", &["rings", "one-node", "walls"]),
    ("prices.electricity", &["0.20 $/kWh", "0.20"]),
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn a_variation_is_the_changed_text(picks in prop::collection::vec((select(VALUES), 0usize..5), 1..4)) {
        thread_local! { static BASE: Base = base(); }
        let changes: Vec<Change> = picks.iter().map(|((path, values), k)| change(path, values[k % values.len()])).collect();
        BASE.with(|base| alike(base, &changes, true));
    }
}

#[test]
fn what_makes_another_site_of_it_goes_through_the_text() {
    let base = base();
    alike(&base, &[change("place.elevation", "400 m")], false);
    alike(&base, &[change("place.humidity_offset", "3 %")], false);
    alike(&base, &[change("bins.south.diameter", "30 ft")], false);
    alike(&base, &[], true);
}

#[test]
fn edits_name_what_becomes_other_and_put_together() {
    let (base, library) = (base(), BuiltIn::new());
    let wetter = base.compile(&[change("bins.north.lots[0].moisture", "22 %")], &library).unwrap();
    assert_eq!(wetter.edits(), Some(&[Edit::Bin(0, BinEdit::Lot(0, LotEdit::Moisture(0.22)))][..]));
    let later = [change("bins.north.lots[0].from", "10-20"), change("bins.north.outfit.fans", "[\"demo-axial-10hp\"]")];
    let later_alone = base.compile(&later, &library).unwrap();
    let both = base.resolve(&wetter.then(&later_alone).unwrap(), &Records::default(), &library).unwrap();
    let changes = [&[change("bins.north.lots[0].moisture", "22 %")][..], &later].concat();
    let by_text = open(&apply(DEMO, &changes).unwrap(), FILE, &library).unwrap();
    assert_eq!(said(&both), said(&by_text));
    // The base itself is left as it was.
    assert_eq!(said(base.job()), said(&open(DEMO, FILE, &library).unwrap()));
}

#[test]
fn air_that_did_not_change_is_not_compiled_again() {
    let (base, library) = (base(), BuiltIn::new());
    let air = |path: &str, value: &str| {
        let variation = base.compile(&[change(path, value)], &library).unwrap();
        let job = base.resolve(&variation, &Records::default(), &library).unwrap();
        std::sync::Arc::ptr_eq(&job.bins[0].template.air, &base.job().bins[0].template.air)
    };
    assert!(air("bins.north.lots[0].moisture", "22 %") && air("goal.by", "12-01"));
    assert!(!air("bins.north.packing", "1.3") && !air("bins.north.outfit.fans", "[\"demo-axial-10hp\"]"));
}
