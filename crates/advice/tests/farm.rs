//! The whole farm: nothing is lost between field, bins and buyer, one bin is that bin alone, rules of bins and tanks are kept.

use advice::farm::{self, FarmSeason};
use ensemble::{Observer, Silent};
use job::{BuiltIn, Job};
use season::{Record, SeasonRun};
use std::sync::Arc;

const FARM: &str = include_str!("../../job/data/farm.toml");
const DEMO: &str = include_str!("../../job/data/demo.toml");
const HEATED: &str = include_str!("../../job/data/heated.toml");

/// Coarse: what is looked at here does not hang on the grid.
const LAYERS: usize = 20;

fn open(text: &str) -> Job {
    job::open(text, "farm.toml", &BuiltIn::new()).unwrap_or_else(|wrong| panic!("{wrong}"))
}

fn run(job: &Job, years: std::ops::RangeInclusive<i32>, threads: usize) -> Vec<FarmSeason> {
    let asked: Vec<_> = job.farm.years.iter().filter(|(year, _)| years.contains(year)).cloned().collect();
    let observer: Arc<dyn Observer> = Arc::new(Silent);
    let found = farm::years(job, &asked, (LAYERS, Record::Daily), threads, &observer);
    found.into_iter().map(|season| season.expect("nobody cancelled")).collect()
}

fn replaced(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from:?} is not in the file");
    text.replacen(from, to, 1)
}

/// What came is in the bins, or was sold; what the bins say they hold is what was sent; every day adds up.
#[test]
fn grain_is_kept() {
    let tight = replaced(FARM, "\"45000 bu\"", "\"52000 bu\"");
    for text in [FARM, tight.as_str()] {
        let season = &run(&open(text), 2009..=2009, 1)[0];
        let taken: f64 = season.bins.iter().map(|bin| bin.taken).sum();
        assert!((taken + season.sold.0 - season.harvest).abs() < 1e-9 * season.harvest);
        for bin in &season.bins {
            let held = bin.result.as_ref().map_or(0.0, |r| r.dry_matter);
            assert!((held - bin.taken).abs() < 1e-9 * season.harvest, "{held} {}", bin.taken);
            assert!(bin.taken <= bin.room * (1.0 + 1e-9));
        }
        let by_day: f64 = season.days.iter().map(|day| day.taken.iter().sum::<f64>() + day.sold).sum();
        assert!((by_day - season.harvest_wet).abs() < 1e-9 * season.harvest_wet);
        assert_eq!(season.days.last().unwrap().waiting, 0.0, "nothing is left in the field unsaid");
    }
    // 41,000 bushels of room: the rest is sold, after it has waited.
    let season = &run(&open(&tight), 2009..=2009, 1)[0];
    assert!(season.sold.0 > 0.15 * season.harvest && season.most_waiting > 0.0 && !season.good());
}

/// A farm of one bin whose loads all fit is the bin alone, bit for bit: with and without a burner.
#[test]
fn one_bin_is_that_bin_alone() {
    let large = replaced(HEATED, "capacity = \"1000 gal\"", "capacity = \"20000 gal\"\ndelivery = \"1 d\"");
    let large = replaced(&replaced(&large, "diameter = \"41 in\"\n", ""), "length = \"192 in\"\n", "");
    let large = replaced(&large, "delivery = \"3 d\"\n", "");
    for text in [DEMO, &large] {
        let job = open(&replaced(text, "[prices]", "[farm]\nmost_life_used = \"100 %\"\n\n[prices]"));
        for year in [1996, 2009] {
            let season = &run(&job, year..=year, 1)[0];
            let alone = advice::proof::on_rung(job.bins[0].year(year).unwrap(), LAYERS);
            let alone = SeasonRun::new(&Arc::new(alone), Record::Daily).finish();
            let together = season.bins[0].result.as_ref().unwrap();
            assert!(season.tank.as_ref().is_none_or(|tank| tank.hours_empty == 0));
            assert_eq!(format!("{together:?}"), format!("{alone:?}"), "{year}");
            assert_eq!(season.service.monthly_peak, alone.monthly_peak, "one meter, one bin");
            assert_eq!((season.most_waiting, season.sold.0), (0.0, 0.0));
        }
    }
}

#[test]
fn the_same_on_any_number_of_threads() {
    let job = open(FARM);
    let (one, three) = (run(&job, 2005..=2008, 1), run(&job, 2005..=2008, 3));
    assert_eq!(format!("{one:?}"), format!("{three:?}"));
}

/// No load into a bin whose grain is too far gone, into a full one, or onto a layer that is not dry.
#[test]
fn no_load_beyond_the_rule_of_a_bin() {
    let strict = replaced(FARM, "most_life_used = \"30 %\"", "most_life_used = \"4 %\"");
    let season = &run(&open(&strict), 2009..=2009, 1)[0];
    let mut refused = 0;
    for day in &season.days {
        for (taken, life) in day.taken.iter().zip(&day.life) {
            let gone = life.is_some_and(|life| life > 0.04);
            assert!(!gone || *taken == 0.0, "{day:?}");
            refused += usize::from(gone);
        }
    }
    assert!(refused > 0, "the rule was never asked");
    assert!(season.most_waiting > 0.0, "what no bin may take waits");
    // Layers: nothing comes onto the first before its wettest tenth is dry enough.
    let layers = "layers = { dry_enough = \"17 %\" }\n[[bins.north.lots]]\ncrop = \"corn\"\nquantity = \"7000 bu\"\nmoisture = \"20 %\"\n\
                  from = \"10-10\"\ndays = 2\n\n[[bins.north.lots]]";
    let layered = replaced(DEMO, "[[bins.north.lots]]", layers);
    let layered = replaced(
        &layered,
        "quantity = \"15000 bu\"\nmoisture = \"20 %\"\nfrom = \"10-10\"",
        "quantity = \"7000 bu\"\nmoisture = \"20 %\"\nfrom = \"10-12\"",
    );
    let layered = replaced(&layered, "[prices]", "[farm]\nwait_days = 60\n\n[prices]");
    let season = &run(&open(&layered), 2009..=2009, 1)[0];
    let days: Vec<i64> = season.days.iter().filter(|day| day.taken[0] > 0.0).map(|day| day.hour / 24).collect();
    assert!(days.windows(2).any(|pair| pair[1] - pair[0] > 3), "the second layer waits for the first: {days:?}");
}

/// A tank too small for its burner: it runs low, burners stand, and its level never passes nought.
#[test]
fn a_tank_is_never_drawn_below_nothing() {
    let small = replaced(FARM, "capacity = \"500 gal\"", "capacity = \"150 gal\"");
    let season = &run(&open(&small), 2009..=2009, 1)[0];
    let tank = season.tank.as_ref().unwrap();
    assert!(tank.lowest > 0.0 && tank.levels.iter().all(|level| level.fill > 0.0), "{}", tank.lowest);
    assert!(tank.hours_empty > 0 && tank.days_below > 0 && !tank.deliveries.is_empty());
    // What went in and out is what the level says, and what the bins say they burnt.
    let delivered: f64 = tank.deliveries.iter().map(|d| d.volume).sum();
    let end = tank.levels.last().unwrap().fill * tank.capacity;
    assert!((0.8 * tank.capacity + delivered - tank.burnt - end).abs() < 1e-9 * tank.capacity);
    let density = physics::combustion::PROPANE.liquid_density.unwrap();
    let burnt: f64 = season.bins.iter().filter_map(|bin| bin.result.as_ref()).map(|r| r.fuel).sum();
    assert!((burnt / density - tank.burnt).abs() < 1e-9 * tank.burnt.max(1.0));
    // A bin whose burner stands for want of gas burns less than with a large tank.
    let large = &run(&open(&replaced(FARM, "capacity = \"500 gal\"", "capacity = \"5000 gal\"")), 2009..=2009, 1)[0];
    assert_eq!(large.tank.as_ref().unwrap().hours_empty, 0);
    assert!(large.tank.as_ref().unwrap().burnt > tank.burnt);
}

#[test]
fn one_service_for_all() {
    let season = &run(&open(FARM), 2009..=2009, 1)[0];
    let service = &season.service;
    assert!(service.peak <= service.apart * (1.0 + 1e-12));
    let energy: f64 = service.hours.iter().map(|hour| hour.mean * 3600.0).sum();
    let of_bins: f64 = season.bins.iter().filter_map(|bin| bin.result.as_ref()).map(|r| r.electricity()).sum();
    assert!((energy / of_bins - 1.0).abs() < 1e-9, "{energy} {of_bins}");
    let most = service.monthly_peak.iter().copied().fold(0.0, f64::max);
    assert_eq!(most, service.peak);
    let cost = season.cost.as_ref().unwrap();
    assert!(cost.demand > 0.0 && cost.demand <= cost.demand_apart * (1.0 + 1e-12));
}

#[test]
fn what_cannot_be_a_farm() {
    let codes = |text: &str| match job::open(text, "farm.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(wrong) => wrong.0.into_iter().map(|d| d.code).collect::<Vec<_>>(),
    };
    assert_eq!(codes(&replaced(FARM, "crop = \"corn\"", "crop = \"wheat\"")), ["no-bin-for-harvest"]);
    assert_eq!(codes(&replaced(FARM, "order = \"most-life\"", "order = \"best\"")), ["unknown-word"]);
    assert_eq!(codes(&replaced(FARM, "quantity = \"45000 bu\"", "depth = \"18 ft\"")), ["depth-of-harvest"]);
    assert_eq!(codes(&replaced(FARM, "wait_days = 5", "wait_days = -1")), ["out-of-bounds"]);
    let late = codes(&replaced(FARM, "from = \"10-05\"", "from = \"12-10\""));
    assert!(late.contains(&"goal-before-harvest".to_string()), "{late:?}");
}
