//! Solver against map, the solver of the same run as the yardstick.

use criterion::{Criterion, criterion_group, criterion_main};
use equipment::*;
use physics::resistance::LogLaw;
use std::hint::black_box;

const CORN: LogLaw = LogLaw { a: 2.07e4, b: 30.4 };

fn outfit(count: usize) -> AirSystem {
    let fan = demo::demo_catalogue().into_iter().find(|f| f.id == "demo-centrifugal-10hp");
    let outfit = Outfit::new(vec![fan.expect("in the demo catalogue"); count], Arrangement::Parallel);
    let area = 79.5;
    let budget = PressureBudget {
        floor: Some(Floor { open_fraction: 0.12, grain_porosity: 0.4, area }),
        transition: Loss::OnVelocity { coefficient: 0.7, area: 0.6 },
        spread: None,
        vents: Some(Vents { area: 1.4, discharge_coefficient: 0.62 }),
        leakage: 0.06,
    };
    AirSystem::new(outfit.expect("few fans"), budget, area, Direction::Pressure).expect("sound figures")
}

fn air(c: &mut Criterion) {
    let system = outfit(2);
    let map = AirMap::new(&system, CORN, None);
    let grain = GrainTerms { law: CORN, effective_depth: 7.5, velocity_range: None };
    let conditions = AirConditions::ambient(8.0, 0.005, 99_000.0, 2);
    let queries: Vec<MapQuery> = (0..64)
        .map(|i| {
            let i = f64::from(i);
            MapQuery::new(-10.0 + 0.5 * i, 0.004, 99_000.0, 0.1 * i, &Heat::NONE, 3.0 + 0.1 * i, 2)
        })
        .collect();
    let mut group = c.benchmark_group("two alike fans on corn");
    group.bench_function("yardstick: solve", |b| b.iter(|| system.solve(black_box(&conditions), black_box(&grain))));
    group.bench_function("map, 64 look-ups", |b| {
        b.iter(|| queries.iter().map(|q| map.at(black_box(q)).dry_air_flow).sum::<f64>())
    });
    group.bench_function("query from outside air", |b| {
        b.iter(|| MapQuery::new(black_box(8.0), 0.005, black_box(99_000.0), 3.0, &Heat::NONE, black_box(7.5), 2))
    });
    group.sample_size(10);
    group.bench_function("compile", |b| b.iter(|| AirMap::new(black_box(&system), CORN, None)));
    group.finish();
}

criterion_group!(benches, air);
criterion_main!(benches);
