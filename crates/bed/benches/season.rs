//! A season of a bin, a block of them side by side, on each instruction set.
//!
//! Judged by ratio to the yardstick in the same run (the exponential of a million numbers in lanes). The season: 90 days
//! of hours, 20 layers of shelled corn at 20 % w.b., the air by formula, everything the kernel has: two compartments,
//! sorption heat, respiration, both readings of storage life.

use bed::{Air, Block, ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use criterion::{Criterion, criterion_group, criterion_main};
use numerics::{InstructionSet, Kernel, LANES, Real, WIDTH, dispatch};
use physics::air::{STANDARD_PRESSURE, humidity_ratio, saturation_pressure};
use physics::isotherm::IsothermForm;
use physics::kinetics::{Arrhenius, TwoCompartment};
use physics::sorption::SorptionHeat;
use physics::storability::StorageLaw;
use std::hint::black_box;
use std::time::{Duration, Instant};

const HOURS: usize = 90 * 24;
const LAYERS: usize = 20;
const DEPTH: f64 = 4.5;
const DENSITY: f64 = 580.0;
const FLUX: f64 = 0.0725;

/// Exponentials of a million numbers.
struct Yardstick<'a>(&'a [f64]);

impl Kernel for Yardstick<'_> {
    type Output = [f64; LANES];
    #[inline(always)]
    fn run<R: Real>(self) -> [f64; LANES] {
        let mut sum = R::splat(0.0);
        for chunk in self.0.chunks_exact(LANES) {
            sum = sum + R::load(chunk).exp();
        }
        let mut out = [0.0; LANES];
        sum.store(&mut out);
        out
    }
}

fn weather() -> Vec<Air> {
    (0..HOURS)
        .map(|hour| {
            let h = hour as f64;
            let phase = ((h - 9.0) / 24.0 * std::f64::consts::TAU).sin();
            let t = 8.0 + 6.0 * phase - 0.1 * h / 24.0;
            let relative_humidity = (0.72 - 0.18 * phase).clamp(0.2, 0.98);
            let w = humidity_ratio(STANDARD_PRESSURE, relative_humidity * saturation_pressure(t));
            Air {
                temperature: [t; WIDTH],
                humidity_ratio: [w; WIDTH],
                flux: [FLUX; WIDTH],
                pressure: [STANDARD_PRESSURE; WIDTH],
                seconds: [3600.0; WIDTH],
                outside: [t; WIDTH],
            }
        })
        .collect()
}

fn column() -> ColumnParams {
    let isotherm = IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 };
    ColumnParams {
        isotherm,
        sorption: SorptionHeat::of(&isotherm, 20.0),
        // The kernel of corn in validation/kinetics/fit.toml.
        kinetics: Some(TwoCompartment {
            shell_share: 0.5102,
            shell: Arrhenius { ln_a: 8.3654, b: 5308.2 },
            core: Arrhenius { ln_a: -7.2755, b: 1466.9 },
        }),
        adsorption_gap: 0.0,
        rewetting: 1.0,
        dry_specific_heat: 1300.0,
        water_specific_heat: 4187.0,
        humidity_cap: 0.98,
        air_sees: ColumnParams::AIR_SEES,
        conductivity: 0.158,
        wall_conductance: 0.0,
        dry_density: DENSITY,
    }
}

fn group() -> GroupParams {
    GroupParams {
        layers: LAYERS,
        family: IsothermFamily::Henderson,
        direction: Direction::Up,
        respiration: Respiration::Corn { damage: 0.3 },
        published: vec![StorageLaw::CornDryMatterLoss { loss: 0.005, damage: 0.3 }],
        strict: vec![
            StorageLaw::CornDryMatterLoss { loss: 0.0035, damage: 0.3 },
            StorageLaw::CerealTable { moisture_shift: 0.0 },
        ],
    }
}

fn filled(set: InstructionSet) -> Block {
    let mut block = Block::on(set, group(), &column());
    let full = DEPTH * DENSITY / LAYERS as f64;
    for lane in 0..WIDTH {
        for _ in 0..LAYERS {
            let parcel = block.parcel(lane, full, 0.25, 15.0);
            block.add(lane, &parcel, full).expect("the slots hold the column");
        }
    }
    block
}

fn season(start: &Block, weather: &[Air]) -> Block {
    let mut block = start.clone();
    for air in weather {
        black_box(block.advance(air));
    }
    block
}

fn seasons(c: &mut Criterion) {
    let numbers: Vec<f64> = (0..1_000_000).map(|i| (f64::from(i) / 1e6 - 0.5) * 20.0).collect();
    let weather = weather();
    for set in InstructionSet::available() {
        let mut group = c.benchmark_group(format!("{set:?}"));
        group.sample_size(20).measurement_time(Duration::from_secs(4));
        group.bench_function("yardstick: exp of a million numbers", |b| {
            b.iter(|| dispatch(set, Yardstick(black_box(&numbers))));
        });
        let start = filled(set);
        group.bench_function("sixteen bin-seasons, 20 layers, hourly, full physics", |b| {
            b.iter(|| season(&start, &weather));
        });
        group.finish();
        // The best of five, side by side, for the line that counts.
        let best = |work: &mut dyn FnMut()| {
            (0..5)
                .map(|_| {
                    let begin = Instant::now();
                    work();
                    begin.elapsed().as_secs_f64()
                })
                .fold(f64::INFINITY, f64::min)
        };
        let yardstick = best(&mut || {
            black_box(dispatch(set, Yardstick(black_box(&numbers))));
        });
        let block = best(&mut || {
            black_box(season(&start, &weather));
        });
        println!(
            "{set:?}: {:.0} bin-seasons per second per core; sixteen of them cost {:.1} yardsticks ({:.2} ms each)",
            WIDTH as f64 / block,
            block / yardstick,
            1e3 * yardstick
        );
        let end = season(&start, &weather);
        let (mean, _) = end.mean_moisture(0);
        let top = end.layer(0, LAYERS - 1);
        println!(
            "  ends at {:.4} % w.b., top layer {:.3} °C, life used {:.4} published, {:.4} strict",
            100.0 * mean / (1.0 + mean),
            top.temperature,
            top.life_published,
            top.life_strict
        );
    }
}

criterion_group!(benches, seasons);
criterion_main!(benches);
