//! Corn through the autumns of Champaign on the engine.

mod common;

use common::{Wish, corn};
use ensemble::{Batch, Engine, Priority, Silent};
use season::Record;
use std::sync::Arc;
use std::time::Instant;

fn wet(m: f64) -> f64 {
    100.0 * m / (1.0 + m)
}

#[test]
fn all_autumns() {
    let layers = std::env::var("LAYERS").ok().and_then(|s| s.parse().ok()).unwrap_or(20);
    let wish = Wish { layers, ..Wish::default() };
    let cases: Vec<_> = (1995..2023).map(|y| Arc::new(corn(&wish, y))).collect();
    let engine = Engine::new(2);
    let began = Instant::now();
    let outcome =
        engine.run(Batch { cases, record: Record::Daily, priority: Priority::Ordinary, observer: Arc::new(Silent) });
    println!("{:?}", began.elapsed());
    for (i, r) in outcome.results.iter().flatten().enumerate() {
        let day = |h: Option<i64>| h.map(|h| (h - r.started_at) as f64 / 24.0);
        println!(
            "{} fin {:?} stop {:?} susp {:?} cooled {:?} | M {:.2} wet {:.2} dry {:.2} | life {:.3}/{:.3} loss {:.4} | fan h {:.0} kWh {:.0} T {:.1}..{:.1} res {:.1e} {:.1e} unstable {} held {}",
            1995 + i,
            day(r.finished_at),
            day(r.stopped_at),
            day(r.suspended_at),
            day(r.cooled_at),
            wet(r.moisture_at_stop),
            wet(r.wettest_at_stop),
            wet(r.driest_at_stop),
            r.life_published.unwrap_or(-1.0),
            r.life_strict.unwrap_or(-1.0),
            100.0 * r.dry_matter_loss.unwrap_or(0.0),
            r.air.running,
            r.fan_energy / 3.6e6,
            r.temperature_range.0,
            r.temperature_range.1,
            r.residual.0,
            r.residual.1,
            r.air.unstable,
            r.air.held
        );
    }
    assert_eq!(outcome.results.iter().flatten().count(), 28);
}
