//! Bins whose heat moves in rings while the air is still: balances, same bits in company, and what changes against the one
//! node of the wall.

mod common;

use common::{Wish, corn};
use season::{Lanes, Record, SeasonResult, SeasonRun, StillAir};
use std::sync::Arc;

const RINGS: StillAir = StillAir::Rings { latitude: Some(40.05) };

fn run(still: StillAir, year: i32, record: Record) -> SeasonResult {
    SeasonRun::new(&Arc::new(corn(&Wish { still, ..Wish::default() }, year)), record).finish()
}

fn says(result: &SeasonResult, code: &str) -> bool {
    result.remarks.0.iter().any(|remark| remark.code == code)
}

#[test]
fn balances_close_and_the_remark_tells_which_way_heat_moved() {
    for year in [2006, 2009, 2012] {
        let rings = run(RINGS, year, Record::Daily);
        assert!(rings.residual.0 < 1e-9 && rings.residual.1 < 1e-9, "{year}: {:?}", rings.residual);
        assert!(says(&rings, "still-air-rings") && !says(&rings, "still-air") && !says(&rings, "balance"));
        let met = rings.rings.expect("the fan rests at some time");
        println!("{year}: {met:?}, grain {:?}", rings.temperature_range);
        assert!(met.hours > 24.0 && met.coldest < met.warmest);
        let node = run(StillAir::OneNode, year, Record::Daily);
        assert!(node.rings.is_none() && says(&node, "still-air") && !says(&node, "still-air-rings"));
    }
}

/// Sun makes the grain warmer, never colder by more than what a cold roof takes; rings at the wall run ahead of the mean.
#[test]
fn the_sun_warms_and_the_wall_leads() {
    let sunny = run(RINGS, 2010, Record::Daily);
    let dull = run(StillAir::Rings { latitude: None }, 2010, Record::Daily);
    let node = run(StillAir::OneNode, 2010, Record::Daily);
    let last = |r: &SeasonResult| r.daily.last().expect("days").mean_temperature;
    println!("1 June: {:.2} with sun, {:.2} without, {:.2} with one node", last(&sunny), last(&dull), last(&node));
    assert!(last(&sunny) > last(&dull) + 0.2);
    // One node has a wall only; in rings spring comes in through surface and floor too, but not beyond the air outside.
    let air = |r: &SeasonResult| r.daily.iter().rev().take(30).map(|d| d.ambient_temperature).sum::<f64>() / 30.0;
    assert!(last(&dull) > last(&node) && last(&dull) < air(&dull));
    let met = sunny.rings.expect("rings");
    let mean = sunny.daily.iter().map(|d| d.mean_temperature).fold(f64::NEG_INFINITY, f64::max);
    assert!(met.warmest > mean, "a ring at the wall is warmer than the mean ever was: {met:?}, {mean}");
    assert!(met.headspace_rise > 0.0 && met.headspace_rise < 10.0, "{met:?}");
}

/// A case in rings gives the same bits alone and beside fifteen others, whatever these do.
#[test]
fn company_does_not_change_a_bit() {
    let spec = Arc::new(corn(&Wish { still: RINGS, ..Wish::default() }, 2009));
    let alone = SeasonRun::new(&spec, Record::Daily).finish();
    for set in numerics::InstructionSet::available() {
        let mut lanes = Lanes::on(set, &spec, Record::Daily);
        for (lane, year) in (0..16).zip(1996..) {
            let still = if lane % 2 == 0 { StillAir::OneNode } else { RINGS };
            let other = Arc::new(corn(&Wish { still, ..Wish::default() }, year));
            lanes.start(lane, lane, if lane == 7 { Arc::clone(&spec) } else { other });
        }
        let mut found = None;
        while lanes.busy() {
            for (number, result) in lanes.tick() {
                if number == 7 {
                    found = Some(result);
                }
            }
        }
        assert_eq!(format!("{:?}", found.expect("it ends")), format!("{alone:?}"), "{set:?}");
    }
}

/// A run copied in the middle of a rest and taken up again ends as if it had not been.
#[test]
fn a_rest_can_be_interrupted() {
    let spec = Arc::new(corn(&Wish { still: RINGS, ..Wish::default() }, 2009));
    let whole = SeasonRun::new(&spec, Record::Daily).finish();
    let mut parted = SeasonRun::new(&spec, Record::Daily);
    parted.advance_to(spec.programme.hold_until - 2000);
    let copy = parted.snapshot();
    parted.advance_to(spec.programme.hold_until - 1000);
    assert_eq!(format!("{:?}", copy.finish()), format!("{whole:?}"));
    assert_eq!(format!("{:?}", parted.finish()), format!("{whole:?}"));
}
