//! Corn through twenty-eight autumns of Champaign, Illinois: what is judged has a limit as the grid is refined, the
//! balances close, and nothing impossible happens.

mod common;

use common::{Wish, corn};
use ensemble::{Batch, Engine, Priority, Silent};
use season::{Record, SeasonResult};
use std::sync::Arc;

fn autumns(layers: usize) -> Vec<SeasonResult> {
    let cases = (1995..2023).map(|y| Arc::new(corn(&Wish { layers, ..Wish::default() }, y))).collect();
    let engine = Engine::on_all_processors();
    let batch = Batch { cases, record: Record::Summary, priority: Priority::Ordinary, observer: Arc::new(Silent) };
    engine.run(batch).results.into_iter().map(|r| r.expect("nothing was cancelled")).collect()
}

/// Halving the grid of the verdict's second rung: no year changes between dry in time and not; the finish date moves by
/// less than 1 % in the mean of the years and life used by less than 1 % in their median. Single years may sit on the edge
/// of an event (a humid spell decides whether drying stops today or in two days): those are what the ladder climbs for.
#[test]
fn halving_the_grid_moves_no_year() {
    let (coarse, fine) = (autumns(48), autumns(96));
    let mut finish = Vec::new();
    let mut life = Vec::new();
    for (a, b) in coarse.iter().zip(&fine) {
        assert_eq!(a.finished_at.is_some(), b.finished_at.is_some(), "started {}", a.started_at);
        assert_eq!(a.stopped_at.is_some(), b.stopped_at.is_some(), "started {}", a.started_at);
        if let (Some(x), Some(y)) = (a.finished_at, b.finished_at) {
            finish.push((x - y).abs() as f64 / (y - b.started_at) as f64);
        }
        let (x, y) = (a.life_strict.expect("corn is judged"), b.life_strict.expect("corn is judged"));
        life.push((x - y).abs() / y);
    }
    let mean = numerics::quantile::mean(&finish).expect("some years dry");
    let median = numerics::quantile::quantile(&life, 0.5).expect("years");
    println!("finish: mean {:.4}, largest {:.4}", mean, finish.iter().fold(0.0f64, |a, b| a.max(*b)));
    println!("life: median {:.4}, largest {:.4}", median, life.iter().fold(0.0f64, |a, b| a.max(*b)));
    assert!(mean < 0.01 && median < 0.01, "{mean} {median}");
}

#[test]
fn balances_close_and_nothing_impossible_happens() {
    for r in autumns(20) {
        assert!(r.residual.0 < 1e-9 && r.residual.1 < 1e-9, "{:?}", r.residual);
        assert!(r.moisture_range.0 > 0.05 && r.moisture_range.1 < 0.40, "{:?}", r.moisture_range);
        assert!(r.temperature_range.0 > -30.0 && r.temperature_range.1 < 45.0, "{:?}", r.temperature_range);
        assert!(r.water_removed > 0.0 && r.dry_matter_loss.is_some_and(|l| l > 0.0 && l < 0.02));
    }
}
