//! What must not turn round: more air, wetter starts, warmer grain; and air never passes saturation.

mod common;

use bed::{Air, Block, ColumnParams, Respiration};
use common::*;
use numerics::WIDTH;
use proptest::prelude::*;

const HOUR: f64 = 3600.0;

fn column(equilibrium: bool) -> ColumnParams {
    ColumnParams {
        kinetics: (!equilibrium).then_some(CORN_KERNEL),
        adsorption_gap: 0.0,
        rewetting: 1.0,
        wall_conductance: 0.0,
        ..full_corn()
    }
}

fn few(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

/// The same air in all lanes, each with its own flux.
fn same_air(t: f64, humidity: f64, flux: [f64; WIDTH]) -> Air {
    Air {
        temperature: [t; WIDTH],
        humidity_ratio: [humidity_ratio(t, humidity); WIDTH],
        flux,
        seconds: [HOUR; WIDTH],
        ..Air::default()
    }
}

proptest! {
    #![proptest_config(few(40))]

    /// Hours until the mean stands half-way to equilibrium, the airflows side by side, steady drying air.
    #[test]
    fn more_air_never_dries_later(
        t in 2.0..40.0f64, humidity in 0.15..0.6f64, grain in 0.22..0.33f64, warmer in 0.0..15.0f64,
        equilibrium in any::<bool>(),
    ) {
        let mut group = full_group(20);
        group.respiration = Respiration::None;
        let mut block = Block::new(group, &column(equilibrium));
        for lane in 0..WIDTH {
            fill(&mut block, lane, 4.0, 580.0, grain, t + warmer);
        }
        let flux = std::array::from_fn(|lane| 0.02 * 1.15f64.powi(lane as i32));
        let air = same_air(t, humidity, flux);
        let target = 0.5 * (grain + CORN.equilibrium(humidity, t).moisture);
        let mut dried = [usize::MAX; WIDTH];
        for hour in 0..6000 {
            block.advance(&air);
            for (lane, dried) in dried.iter_mut().enumerate() {
                if block.mean_moisture(lane).0 <= target {
                    *dried = (*dried).min(hour);
                }
            }
            if dried.iter().all(|h| *h < usize::MAX) {
                break;
            }
        }
        prop_assert!(dried[WIDTH - 1] < 6000, "the strongest air dries");
        prop_assert!(dried.windows(2).all(|w| w[1] <= w[0]), "{:?}", dried);
    }

    /// Swinging weather over columns that differ only in the moisture they start from.
    #[test]
    fn a_wetter_start_never_finishes_drier(
        t in 0.0..25.0f64, swing in 0.0..8.0f64, humidity in 0.4..0.8f64, grain in 0.17..0.28f64, equilibrium in any::<bool>(),
    ) {
        let mut group = full_group(20);
        group.respiration = Respiration::None;
        let mut block = Block::new(group, &column(equilibrium));
        for lane in 0..WIDTH {
            fill(&mut block, lane, 4.0, 580.0, grain + 0.004 * lane as f64, 15.0);
        }
        for hour in 0..900 {
            let phase = (f64::from(hour) / 24.0 * std::f64::consts::TAU).sin();
            block.advance(&same_air(t + swing * phase, humidity - 0.15 * phase, [0.05; WIDTH]));
            let means: Vec<f64> = (0..WIDTH).map(|lane| block.mean_moisture(lane).0).collect();
            prop_assert!(means.windows(2).all(|w| w[0] <= w[1] + 1e-9), "hour {}: {:?}", hour, means);
        }
    }

    /// Grain at rest that differs only in temperature, with its own heat of respiration.
    #[test]
    fn warmer_grain_never_keeps_longer(t in -10.0..25.0f64, grain in 0.15..0.40f64, hours in 24..400usize) {
        let mut block = Block::new(full_group(6), &column(false));
        for lane in 0..WIDTH {
            fill(&mut block, lane, 2.0, 580.0, grain, t + lane as f64);
        }
        let mut air = same_air(t, 0.6, [0.0; WIDTH]);
        air.outside = std::array::from_fn(|lane| t + lane as f64);
        for _ in 0..hours {
            block.advance(&air);
        }
        for lane in 1..WIDTH {
            let (cool, warm) = (block.layer(lane - 1, 3), block.layer(lane, 3));
            prop_assert!(warm.life_published >= cool.life_published && warm.life_strict >= cool.life_strict);
            prop_assert!(warm.equivalent_time >= cool.equivalent_time);
            prop_assert!(warm.life_strict > 0.0);
        }
    }

    /// Any air through any grain, frost and fog included, at any step: humidity stays at or below saturation, numbers
    /// stay numbers, balances close.
    #[test]
    fn saturation_is_never_passed(
        weather in prop::collection::vec((-25.0..45.0f64, 0.05..1.0f64, 0.002..0.4f64, 10.0..20_000.0f64), 10..60),
        grain in 0.10..0.45f64, warmth in -15.0..45.0f64, equilibrium in any::<bool>(), sees in 0.55..1.0f64,
    ) {
        let column = ColumnParams { air_sees: sees, ..column(equilibrium) };
        let mut block = Block::new(full_group(12), &column);
        fill(&mut block, 0, 2.5, 580.0, grain, warmth);
        for (t, humidity, flux, seconds) in weather {
            let exhaust = block.advance(&air(0, t, humidity_ratio(t, humidity), flux, seconds));
            prop_assert!(exhaust.temperature[0].is_finite() && exhaust.humidity_ratio[0] >= 0.0);
        }
        let extremes = block.extremes(0);
        prop_assert!(extremes.humidity.1 <= 1.0 + 1e-9, "{:?}", extremes);
        prop_assert!(extremes.moisture.0 > 0.0 && extremes.moisture.1 < 1.0, "{:?}", extremes);
        let residual = block.residual(0);
        prop_assert!(residual.water < 1e-9 && residual.energy < 1e-9, "{:?}", residual);
    }
}
