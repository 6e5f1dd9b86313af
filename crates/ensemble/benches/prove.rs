//! All autumns of a bin on all processors, beside a yardstick measured in the same run.
//!
//! Aims, on two cores: preview (20 layers) of 28 autumns with three columns each under 0.15 s; both rungs of a verdict (32
//! and 48 layers) to the spring horizon under 1 s.

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Wish, corn};
use criterion::{Criterion, criterion_group, criterion_main};
use ensemble::{Batch, Engine, Priority, Silent};
use numerics::Real;
use season::{CaseSpec, Record, StillAir};
use std::hint::black_box;
use std::sync::Arc;

fn autumns(layers: usize, still: StillAir) -> Vec<Arc<CaseSpec>> {
    let base = Wish { still, ..Wish::default() };
    (1995..2023).map(|year| Arc::new(corn(&Wish { layers, ..base.clone() }, year))).collect()
}

fn prove(c: &mut Criterion) {
    let engine = Engine::on_all_processors();
    let mut group = c.benchmark_group("28 autumns, three columns, to 1 June");
    group.sample_size(10);
    group.bench_function("yardstick: exp of a million numbers, one thread", |b| {
        b.iter(|| (0..1_000_000).map(|i| Real::exp(black_box(f64::from(i) * 1e-6))).sum::<f64>());
    });
    let rings = StillAir::Rings { latitude: Some(40.05) };
    for (layers, still, rest) in [
        (20, StillAir::OneNode, ""),
        (32, StillAir::OneNode, ""),
        (48, StillAir::OneNode, ""),
        (20, rings, ", at rest in rings"),
        (48, rings, ", at rest in rings"),
    ] {
        let cases = autumns(layers, still);
        group.bench_function(format!("{layers} layers{rest}"), |b| {
            b.iter(|| {
                engine.run(Batch {
                    cases: cases.clone(),
                    record: Record::Summary,
                    priority: Priority::Ordinary,
                    observer: Arc::new(Silent),
                })
            });
        });
    }
    group.finish();
}

criterion_group!(benches, prove);
criterion_main!(benches);
