//! A still bin in rings: balance, convergence, limits, the Bessel solution of an annual wave, exchange with columns.

mod common;

use bed::{Block, Edge, RingExchange, RingGrid, Surroundings};
use common::*;
use std::f64::consts::PI;

const DAY: f64 = 86_400.0;
/// Heat capacity of a cubic metre of grain, J/(m³ K), for cases that need only a diffusivity.
const RHO_C: f64 = 1.5e6;
/// A film that keeps the face at the temperature beyond it.
const NO_FILM: f64 = 1e9;

fn held(temperature: f64) -> Edge {
    Edge { temperature, conductance: NO_FILM }
}

fn around(wall: Edge, top: Edge, floor: Edge) -> Surroundings {
    Surroundings { wall, top, floor }
}

/// Even grain: depth and layers, temperature by radius (of 1) and height (of 1).
fn grain(grid: &mut RingGrid, depth: f64, layers: usize, t: impl Fn(f64, f64) -> f64) {
    grid.lay((0..layers).map(|_| depth / layers as f64));
    let wall = grid.radii(grid.rings() - 1).1;
    for j in 0..layers {
        grid.put_heat(0, j, RHO_C * depth / layers as f64);
        for i in 0..grid.rings() {
            let (inner, outer) = grid.radii(i);
            grid.put(j, i, t(0.5 * (inner + outer) / wall, (j as f64 + 0.5) / layers as f64));
        }
    }
}

fn largest(grid: &RingGrid, of: impl Fn(f64, f64, f64) -> f64) -> f64 {
    let wall = grid.radii(grid.rings() - 1).1;
    let mut worst = 0.0f64;
    for j in 0..grid.layers() {
        for i in 0..grid.rings() {
            let (inner, outer) = grid.radii(i);
            let at = (0.5 * (inner + outer) / wall, (j as f64 + 0.5) / grid.layers() as f64);
            worst = worst.max(of(at.0, at.1, grid.temperature(j, i)).abs());
        }
    }
    worst
}

/// J₀ by its series, enough for arguments up to 3.
fn bessel_j0(x: f64) -> f64 {
    let (mut term, mut sum) = (1.0, 1.0);
    for k in 1..30 {
        term *= -x * x / 4.0 / f64::from(k * k);
        sum += term;
    }
    sum
}

/// First zero of J₀.
const FIRST_ZERO: f64 = 2.404825557695773;

/// Layers of uneven depth, capacities that differ by column and layer, every face open, steps from a minute to a month.
#[test]
fn heat_is_kept_to_rounding() {
    let mut s = numerics::random::Stream::new(7);
    let mut between = |low: f64, high: f64| low + (high - low) * (s.bits() >> 11) as f64 / (1u64 << 53) as f64;
    for case in 0..40 {
        let mut grid = RingGrid::new(between(2.0, 10.0), &[0.2, 0.5, 0.3], 24);
        let depths: Vec<f64> = (0..24).map(|_| between(0.05, 0.6)).collect();
        grid.lay(depths.iter().copied());
        for (j, depth) in depths.iter().enumerate() {
            for k in 0..3 {
                grid.put_heat(k, j, depth * between(1.0e6, 2.2e6));
            }
            (0..grid.rings()).for_each(|i| grid.put(j, i, between(-30.0, 40.0)));
        }
        let mut edge = || Edge { temperature: between(-30.0, 40.0), conductance: between(0.0, 20.0) };
        let around = around(edge(), edge(), edge());
        let seconds = [60.0, 3600.0, 21_600.0, DAY, 30.0 * DAY][case % 5];
        let before = grid.stored();
        let passed = grid.conduct(0.15, &around, seconds);
        let after = grid.stored();
        let moved = passed.wall.abs() + passed.top.abs() + passed.floor.abs();
        let off = (before - after - passed.sum()).abs();
        let size = before.abs() + after.abs() + moved;
        assert!(off < 1e-12 * size, "case {case}: {off:e} of {size:e}, {passed:?}");
        assert!(moved > 1e-6 * size, "heat moved at all");
    }
}

/// The slowest mode of a bin whose wall and floor are held at 0 °C and whose surface lets no heat pass decays by
/// exp(−a(λ²/R² + π²/4H²)t): its error falls as the square of the cell when the step falls with that square.
#[test]
fn converges_in_second_order_in_space_and_first_in_time() {
    let (radius, depth, k) = (3.0, 4.0, 0.15);
    let mode = |r: f64, z: f64| bessel_j0(FIRST_ZERO * r) * (PI / 2.0 * z).sin();
    let rate = k / RHO_C * ((FIRST_ZERO / radius).powi(2) + (PI / 2.0 / depth).powi(2));
    let days = 60.0;
    let error = |cells: usize, steps: usize| {
        let mut grid = RingGrid::even(radius, cells, cells);
        grain(&mut grid, depth, cells, mode);
        let around = around(held(0.0), Edge::CLOSED, held(0.0));
        for _ in 0..steps {
            grid.conduct(k, &around, days * DAY / steps as f64);
        }
        let left = (-rate * days * DAY).exp();
        largest(&grid, |r, z, t| t - left * mode(r, z))
    };
    let space: Vec<f64> = [(8, 100), (16, 400), (32, 1600)].iter().map(|&(n, steps)| error(n, steps)).collect();
    println!("space {space:?}");
    for pair in space.windows(2) {
        let ratio = pair[0] / pair[1];
        assert!((3.4..4.6).contains(&ratio), "halving cells and quartering steps: {ratio} in {space:?}");
    }
    // Coarse steps on a fine grid: the step's error stands alone.
    let time: Vec<f64> = [4, 8, 16].iter().map(|&steps| error(64, steps)).collect();
    println!("time {time:?}");
    for pair in time.windows(2) {
        let ratio = pair[0] / pair[1];
        assert!((1.7..2.4).contains(&ratio), "halving steps: {ratio} in {time:?}");
    }
}

/// Amplitude and lag of the last year of a wave, by Fourier sums.
fn wave(temperatures: &[f64]) -> (f64, f64) {
    let n = temperatures.len() as f64;
    let (mut sine, mut cosine) = (0.0, 0.0);
    for (i, t) in temperatures.iter().enumerate() {
        let angle = 2.0 * PI * (i as f64 + 1.0) / n;
        sine += t * angle.sin() * 2.0 / n;
        cosine += t * angle.cos() * 2.0 / n;
    }
    let lag = (-cosine).atan2(sine) / (2.0 * PI) * 365.25;
    ((sine * sine + cosine * cosine).sqrt(), lag.rem_euclid(365.25))
}

const STEPS: usize = 1461;

/// Amplitude and lag of the annual wave of a still endless cylinder at centre, half radius and in the mean, by our grid in
/// steps of six hours.
fn annual_wave(grid: &mut RingGrid, columns: usize, diffusivity: f64) -> [(f64, f64); 3] {
    let radius = grid.radii(grid.rings() - 1).1;
    grid.lay(std::iter::once(1.0));
    (0..columns).for_each(|k| grid.put_heat(k, 0, RHO_C));
    // Twice as long as a step of the wall takes to leave the centre of the widest bin to a fiftieth.
    let years = 24;
    let mut last = [Vec::new(), Vec::new(), Vec::new()];
    for step in 1..=years * STEPS {
        let wall = (2.0 * PI * step as f64 / STEPS as f64).sin();
        let around = around(held(wall), Edge::CLOSED, Edge::CLOSED);
        grid.conduct(diffusivity * RHO_C, &around, 365.25 * DAY / STEPS as f64);
        if step > (years - 1) * STEPS {
            last[0].push(grid.temperature(0, 0));
            last[1].push(at_radius(grid, radius / 2.0));
            last[2].push(grid.stored() / (RHO_C * PI * radius * radius));
        }
    }
    last.map(|series| wave(&series))
}

/// The Bessel solution in `tests/tables/still-wave.csv`: on 64 rings each value within its tolerance; on the rings that
/// seasons use, coarser in the middle, the wave itself (amplitude and lag together) within 0.003 of that of the wall.
#[test]
fn the_annual_wave_is_that_of_the_bessel_solution() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tables/still-wave.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 18);
    for case in rows.chunks(3) {
        let number = |i: usize| case[0][i].parse::<f64>().unwrap();
        let (radius, diffusivity) = (number(1) / 2.0, number(2));
        let fine = annual_wave(&mut RingGrid::even(radius, 64, 1), 1, diffusivity);
        let shares = [0.2, 0.4, 0.4];
        let three = annual_wave(&mut RingGrid::new(radius, &shares, 1), 3, diffusivity);
        for ((row, (amplitude, lag)), (coarse, coarse_lag)) in case.iter().zip(fine).zip(three) {
            let (says, lags) = (row[4].parse::<f64>().unwrap(), row[5].parse::<f64>().unwrap());
            let late = |lag: f64| (lag - lags + 182.6).rem_euclid(365.25) - 182.6;
            println!(
                "{} {}: {amplitude:.4} for {says}, {:+.2} d on {lags}; seasons' rings {coarse:.4}, {:+.2} d",
                &row[0],
                &row[3],
                late(lag),
                late(coarse_lag)
            );
            assert!((amplitude - says).abs() <= 0.003, "{row:?}: {amplitude}");
            assert!(late(lag).abs() <= 1.0, "{row:?}: {} d off", late(lag));
            let angle = late(coarse_lag) * 2.0 * PI / 365.25;
            let apart = (coarse * angle.cos() - says).hypot(coarse * angle.sin());
            assert!(apart <= 0.003, "{row:?}: waves {apart} apart on the rings of seasons");
        }
    }
}

/// Temperature at a radius, linear between the middles of rings.
fn at_radius(grid: &RingGrid, radius: f64) -> f64 {
    let middle = |i: usize| 0.5 * (grid.radii(i).0 + grid.radii(i).1);
    let i = (1..grid.rings()).find(|&i| middle(i) >= radius).unwrap();
    let share = (radius - middle(i - 1)) / (middle(i) - middle(i - 1));
    (1.0 - share) * grid.temperature(0, i - 1) + share * grid.temperature(0, i)
}

#[test]
fn a_closed_wall_leaves_a_slab_and_closed_ends_an_endless_cylinder() {
    // Slab: every ring is alike, and like the analytic steady line when surface and floor are held.
    let mut slab = RingGrid::even(3.0, 9, 10);
    grain(&mut slab, 5.0, 10, |_, z| 30.0 * z * z);
    let ends = around(Edge::CLOSED, held(20.0), held(-10.0));
    slab.conduct(0.15, &ends, 3.0 * DAY);
    for j in 0..10 {
        for i in 1..9 {
            let apart = slab.temperature(j, i) - slab.temperature(j, 0);
            assert!(apart.abs() < 1e-11, "layer {j} ring {i}: {apart}");
        }
    }
    for _ in 0..4000 {
        slab.conduct(0.15, &ends, 10.0 * DAY);
    }
    assert!(largest(&slab, |_, z, t| t - (-10.0 + 30.0 * z)) < 1e-9, "a straight line between the ends");
    // Cylinder: every layer is alike.
    let mut cylinder = RingGrid::even(3.0, 9, 10);
    grain(&mut cylinder, 5.0, 10, |r, _| 25.0 - 10.0 * r);
    cylinder.conduct(0.15, &around(held(-5.0), Edge::CLOSED, Edge::CLOSED), 3.0 * DAY);
    for j in 1..10 {
        for i in 0..9 {
            let apart = cylinder.temperature(j, i) - cylinder.temperature(0, i);
            assert!(apart.abs() < 1e-11, "layer {j} ring {i}: {apart}");
        }
    }
    // All closed: nothing passes, and in the end all is as warm as the mean was.
    let before = cylinder.stored();
    let closed = around(Edge::CLOSED, Edge::CLOSED, Edge::CLOSED);
    for _ in 0..2000 {
        assert_eq!(cylinder.conduct(0.15, &closed, 30.0 * DAY).sum(), 0.0);
    }
    let mean = before / (RHO_C * PI * 9.0 * 5.0);
    assert!(largest(&cylinder, |_, _, t| t - mean) < 1e-9);
}

/// What the grain comes to under steady surroundings does not depend on the step, and lets as much in as out.
#[test]
fn the_steady_state_does_not_depend_on_the_step() {
    let film = |temperature, conductance| Edge { temperature, conductance };
    let surroundings = around(film(10.0, 17.0), film(25.0, 3.0), film(0.0, 3.0));
    let settled = |days: f64| {
        let mut grid = RingGrid::even(3.0, 12, 12);
        grain(&mut grid, 4.0, 12, |_, _| 5.0);
        for _ in 0..(20_000.0 / days) as usize {
            grid.conduct(0.15, &surroundings, days * DAY);
        }
        let passed = grid.conduct(0.15, &surroundings, days * DAY);
        assert!(passed.sum().abs() < 1e-8 * (passed.top.abs() + passed.floor.abs()), "{passed:?}");
        assert!(passed.top < 0.0 && passed.floor > 0.0, "heat comes in above and leaves below: {passed:?}");
        grid
    };
    let (fine, coarse) = (settled(0.25), settled(5.0));
    for j in 0..12 {
        for i in 0..12 {
            assert!((fine.temperature(j, i) - coarse.temperature(j, i)).abs() < 1e-8);
        }
    }
}

/// Daily steps after a fall of the air by 30 K: nothing overshoots the air or the grain by more than a tenth of a kelvin.
#[test]
fn a_day_is_no_step_too_long() {
    let mut grid = RingGrid::new(5.5, &[0.2, 0.4, 0.4], 48);
    grid.lay((0..48).map(|_| 0.1));
    for j in 0..48 {
        (0..3).for_each(|k| grid.put_heat(k, j, 0.1 * RHO_C));
        (0..grid.rings()).for_each(|i| grid.put(j, i, 20.0));
    }
    let edge = |conductance| Edge { temperature: -10.0, conductance };
    for _ in 0..60 {
        grid.conduct(0.16, &around(edge(17.0), edge(3.0), edge(3.0)), DAY);
        let (low, high) = grid.extremes();
        assert!(low > -10.1 && high < 20.1, "{low} to {high}");
    }
}

/// Columns of different grain give and take through their rings: each column's balance closes with respiration in it, the
/// bin's too, and the kernel conducts nothing beside.
#[test]
fn rings_and_columns_exchange_heat_and_lose_none() {
    let shares = [0.2, 0.5, 0.3];
    let (radius, lane) = (4.0, 5);
    let mut blocks: Vec<Block> = (0..3).map(|_| Block::new(full_group(20), &full_corn())).collect();
    for (block, (moisture, t)) in blocks.iter_mut().zip([(0.28, 18.0), (0.20, 5.0), (0.17, -2.0)]) {
        fill(block, lane, 4.5, 580.0, moisture, t);
        block.conduct(lane, 0.0, 0.0);
    }
    let mut rings = RingExchange::new(radius, &shares, 20);
    let floor = PI * radius * radius;
    let total = |blocks: &[Block]| -> f64 {
        blocks.iter().zip(shares).map(|(b, share)| share * floor * b.stored(lane).1).sum()
    };
    let respired = |blocks: &[Block]| -> f64 {
        blocks.iter().zip(shares).map(|(b, share)| share * floor * b.balance(lane).energy_in).sum()
    };
    let (before, brought) = (total(&blocks), respired(&blocks));
    let mut out = 0.0;
    for day in 0..120 {
        let t = 10.0 * (f64::from(day) / 10.0).sin();
        let mut air = air(lane, t, 0.004, 0.0, DAY);
        air.outside[lane] = t;
        for block in &mut blocks {
            block.advance(&air);
        }
        let edge = |conductance| Edge { temperature: t, conductance };
        let surroundings = Surroundings { wall: edge(17.0), top: edge(3.0), floor: edge(3.0) };
        out += rings.rest((&mut blocks, lane), 0.158, |_| surroundings, DAY).sum();
        if day == 60 {
            // An hour of air at 1 cfm/bu carries a tenth to a twentieth of the grain's heat.
            (0..3).for_each(|k| rings.blown(k, 0.07));
        }
    }
    let made = respired(&blocks) - brought;
    let off = (before + made - out - total(&blocks)).abs();
    assert!(made > 0.0 && out != 0.0);
    assert!(off < 1e-11 * (before.abs() + made + out.abs()), "{off:e} of {before:e}, {out:e}");
    for block in &blocks {
        let residual = block.residual(lane);
        assert!(residual.energy < 1e-9 && residual.water < 1e-9, "{residual:?}");
        assert_eq!(block.balance(7).energy_moved, 0.0, "other lanes are untouched");
    }
    // The warm middle stays the warmest, the rings at the wall swing most.
    let (low, high) = rings.met().unwrap();
    assert!(low < -4.0 && high > 15.0, "{low} to {high}");
    assert!(blocks[0].temperatures(lane).0 > blocks[2].temperatures(lane).0);
}
