//! How far the grid and the hourly step are from the limit, for corn with its kernel in constant natural air and in air
//! that swings by day, and what the share that the air of a layer sees does to it.

mod common;

use bed::{Air, Block, ColumnParams};
use common::*;
use numerics::{LANES, WIDTH};
use physics::sorption::SorptionHeat;

const HOUR: f64 = 3600.0;
const DEPTH: f64 = 4.5;
const DENSITY: f64 = 580.0;
const HOURS: usize = 600;
/// Shares tried, one a lane.
const SEES: [f64; LANES] = [1.0, 0.9, 0.8, 0.7, 0.65, 0.6, 0.55, 0.5];
const PLAIN: usize = 0;
const DEFAULT: usize = 5;

#[derive(Clone, Copy, PartialEq)]
enum Weather {
    Steady,
    Swinging,
}

/// Hourly air of V1, steady or swinging about it.
fn weather(kind: Weather, hour: usize) -> (f64, f64) {
    match kind {
        Weather::Steady => (10.56, 0.003937),
        Weather::Swinging => {
            let phase = ((hour as f64 - 9.0) / 24.0 * std::f64::consts::TAU).sin();
            let t = 10.56 + 6.0 * phase;
            (t, humidity_ratio(t, (0.62 - 0.18 * phase).clamp(0.2, 0.98)))
        }
    }
}

fn corn(equilibrium: bool) -> ColumnParams {
    ColumnParams {
        kinetics: (!equilibrium).then_some(CORN_KERNEL),
        sorption: SorptionHeat::of(&CORN, 20.0),
        humidity_cap: 0.98,
        ..bare(CORN)
    }
}

/// What one lane showed at every hour, and its moistures at every fifth day.
#[derive(Default, Clone)]
struct Trace {
    mean: Vec<f64>,
    exhaust: Vec<(f64, f64)>,
    profiles: Vec<Vec<f64>>,
}

/// Runs eight shares side by side, on `layers` and with `parts` steps an hour.
fn run(kind: Weather, equilibrium: bool, sees: [f64; LANES], layers: usize, parts: usize) -> Vec<Trace> {
    let column = corn(equilibrium);
    let mut block = Block::new(group(layers, &column), &column);
    for (lane, &air_sees) in sees.iter().enumerate() {
        block.empty(lane, &ColumnParams { air_sees, ..column });
        fill(&mut block, lane, DEPTH, DENSITY, 0.25, 15.0);
    }
    let mut traces = vec![Trace::default(); LANES];
    for hour in 0..HOURS {
        let (t, w) = weather(kind, hour);
        let air = Air {
            temperature: [t; WIDTH],
            humidity_ratio: [w; WIDTH],
            flux: [0.0725; WIDTH],
            seconds: std::array::from_fn(|lane| if lane < LANES { HOUR / parts as f64 } else { 0.0 }),
            ..Air::default()
        };
        // The exhaust of an hour is its mean, as an hour's weather is.
        let mut sums = [(0.0, 0.0); LANES];
        for _ in 0..parts {
            let exhaust = block.advance(&air);
            for (lane, sum) in sums.iter_mut().enumerate() {
                *sum = (sum.0 + exhaust.temperature[lane], sum.1 + exhaust.humidity_ratio[lane]);
            }
        }
        for (lane, trace) in traces.iter_mut().enumerate() {
            trace.mean.push(100.0 * wet_basis(block.mean_moisture(lane).0));
            trace.exhaust.push((sums[lane].0 / parts as f64, sums[lane].1 / parts as f64));
            if (hour + 1) % 120 == 0 {
                trace.profiles.push(block.layers(lane).map(|l| 100.0 * wet_basis(l.moisture)).collect());
            }
        }
    }
    traces
}

/// Errors against a fine run: mean moisture (root mean square and largest, points), exhaust temperature (rms, K) and
/// humidity ratio (rms, g/kg) from the second day on.
fn errors(trace: &Trace, fine: &Trace) -> [f64; 4] {
    let from = 24;
    let n = (HOURS - from) as f64;
    let (mut square, mut worst, mut heat, mut water) = (0.0, 0.0f64, 0.0, 0.0);
    for hour in from..HOURS {
        let off = trace.mean[hour] - fine.mean[hour];
        square += off * off;
        worst = worst.max(off.abs());
        heat += (trace.exhaust[hour].0 - fine.exhaust[hour].0).powi(2);
        water += (1000.0 * (trace.exhaust[hour].1 - fine.exhaust[hour].1)).powi(2);
    }
    [(square / n).sqrt(), worst, (heat / n).sqrt(), (water / n).sqrt()]
}

/// Largest fall of moisture from one layer to the next above, points: in a bed dried from the floor there should be none.
fn wiggle(trace: &Trace) -> f64 {
    trace.profiles.iter().flat_map(|p| p.windows(2).map(|w| w[0] - w[1])).fold(0.0, f64::max)
}

/// Errors on 20, 40, 80 and 160 layers in hourly steps, for each share of [`SEES`].
struct Table {
    /// Against a fine grid in the same hourly steps: what the grid does.
    grid: Vec<Vec<[f64; 4]>>,
    /// Against a fine grid in steps of five minutes: what grid and step do together.
    whole: Vec<Vec<[f64; 4]>>,
    /// Largest wiggle on 20 layers for each share.
    wiggles: Vec<f64>,
}

impl Table {
    fn of(name: &str, kind: Weather, equilibrium: bool) -> Self {
        // Shares do not matter in the limit; on 640 layers they are at their best.
        let hourly = run(kind, equilibrium, [0.6; LANES], 640, 1).swap_remove(0);
        let fine = run(kind, equilibrium, [0.6; LANES], 640, 12).swap_remove(0);
        let mut table = Self { grid: Vec::new(), whole: Vec::new(), wiggles: Vec::new() };
        println!(
            "{name}: mean rms, mean largest (points), exhaust rms (K), exhaust rms (g/kg); grid alone | grid and step"
        );
        for layers in [20, 40, 80, 160] {
            let traces = run(kind, equilibrium, SEES, layers, 1);
            let grid: Vec<_> = traces.iter().map(|t| errors(t, &hourly)).collect();
            let whole: Vec<_> = traces.iter().map(|t| errors(t, &fine)).collect();
            for (lane, sees) in SEES.iter().enumerate() {
                println!(
                    "  {layers:>3} layers, sees {sees:.2}: {:.4?} | {:.4?}, wiggle {:.4}",
                    grid[lane],
                    whole[lane],
                    wiggle(&traces[lane])
                );
            }
            if layers == 20 {
                table.wiggles = traces.iter().map(wiggle).collect();
            }
            table.grid.push(grid);
            table.whole.push(whole);
        }
        println!(
            "  at 20 layers, plain over {}: grid {:.2?}, whole {:.2?}",
            SEES[DEFAULT],
            table.gain(true),
            table.gain(false)
        );
        table
    }

    /// How many times larger the four errors are at 20 layers with the plain share than with the default one.
    fn gain(&self, grid_alone: bool) -> [f64; 4] {
        let of = if grid_alone { &self.grid[0] } else { &self.whole[0] };
        std::array::from_fn(|i| of[PLAIN][i] / of[DEFAULT][i])
    }

    /// The error of the mean falls at least as the first power of the spacing, for the plain and for the default share.
    fn falls_as_the_first_power(&self) {
        for lane in [PLAIN, DEFAULT] {
            for pair in self.grid.windows(2) {
                let factor = pair[0][lane][0] / pair[1][lane][0];
                assert!(factor > 1.9, "sees {}: halving the layers divides the error by {factor}", SEES[lane]);
            }
        }
    }
}

/// Steady air, kernels: the error is the grid's, 0.6 sees it halved and never rings.
#[test]
fn kernel_in_steady_air() {
    let table = Table::of("kernel, steady", Weather::Steady, false);
    table.falls_as_the_first_power();
    let [rms, largest, heat, water] = table.whole[0][DEFAULT];
    assert!(rms < 0.012 && largest < 0.05 && heat < 0.07 && water < 0.025, "20 layers, hourly");
    assert!(table.gain(true).iter().all(|g| *g > 1.5) && table.gain(false).iter().all(|g| *g > 1.5));
    assert!(table.wiggles[DEFAULT] < 0.001);
}

/// Swinging air, kernels: most of the error is the hour's; 0.6 is better all the same.
#[test]
fn kernel_in_swinging_air() {
    let table = Table::of("kernel, swinging", Weather::Swinging, false);
    table.falls_as_the_first_power();
    let [rms, largest, ..] = table.whole[0][DEFAULT];
    assert!(rms < 0.035 && largest < 0.07, "20 layers, hourly");
    assert!(table.gain(true).iter().all(|g| *g > 1.3) && table.gain(false).iter().all(|g| *g > 1.05));
}

/// Equilibrium in steady air keeps its fronts sharp. Errors of the mean are near nothing and 0.6 is not better there (it is
/// in the exhaust); the profile rings by a twentieth of a point ahead of the front.
#[test]
fn equilibrium_in_steady_air() {
    let table = Table::of("equilibrium, steady", Weather::Steady, true);
    let [rms, largest, ..] = table.whole[0][DEFAULT];
    assert!(rms < 0.006 && largest < 0.008, "20 layers, hourly");
    let gain = table.gain(false);
    assert!(gain[2] > 1.5 && gain[3] > 1.5, "{gain:?}");
    assert!(table.wiggles[DEFAULT] < 0.08 && table.wiggles[PLAIN] < 0.001, "{:?}", table.wiggles);
}

/// Equilibrium in swinging air: the hour's error alone counts.
#[test]
fn equilibrium_in_swinging_air() {
    let table = Table::of("equilibrium, swinging", Weather::Swinging, true);
    let [rms, largest, ..] = table.whole[0][DEFAULT];
    assert!(rms < 0.045 && largest < 0.08, "20 layers, hourly");
    assert!(table.gain(false).iter().all(|g| *g > 1.05));
}
