//! What must hold whatever the numbers: monotone in moisture and temperature, inverses, lanes as single numbers.

use notice::Range;
use numerics::{InstructionSet, Kernel, LANES, Real, dispatch};
use physics::kinetics::{Arrhenius, TwoCompartment};
use physics::storability::{
    StorageLaw, allowable_days, corn_equivalent_rate, corn_loss, corn_loss_rate, corn_loss_time,
};
use physics::thin_layer::{DryingConditions, ThinLayer};
use proptest::prelude::*;

fn laws() -> Vec<StorageLaw> {
    vec![
        StorageLaw::CornDryMatterLoss { loss: 0.005, damage: 0.30 },
        StorageLaw::CornDryMatterLoss { loss: 0.0035, damage: 0.05 },
        StorageLaw::CerealTable { moisture_shift: 0.0 },
        StorageLaw::CerealTable { moisture_shift: 0.05 },
        StorageLaw::WheatGermination { divide: 1.5 },
        StorageLaw::RICE_LONG,
        StorageLaw::RICE_MEDIUM,
        StorageLaw::Viability { k_e: 9.983, c_w: 5.896, c_h: 0.040, c_q: 0.000428, probits: 1.0 },
        StorageLaw::Viability { k_e: 10.588, c_w: 6.305, c_h: 0.0410, c_q: 0.000349, probits: 0.41 },
    ]
}

/// On a grid over every admissible state: finite, positive, never slower for wetter or warmer grain.
#[test]
fn storage_life_is_never_used_slower_by_wetter_or_warmer_grain() {
    for law in laws() {
        let law = law.ready();
        let slack = 1.0 - 1e-12;
        for i in 0..=500 {
            for j in 0..=720 {
                let (m, t) = (f64::from(i) / 500.0, -60.0 + f64::from(j) * 0.25);
                let rate = law.rate(m, t);
                assert!(rate.is_finite() && rate > 0.0, "{law:?} at {m} {t}: {rate}");
                if i < 500 {
                    let wetter = law.rate(f64::from(i + 1) / 500.0, t);
                    assert!(wetter >= rate * slack, "{law:?} at {m} {t}: {rate} then wetter {wetter}");
                }
                if j < 720 {
                    let warmer = law.rate(m, t + 0.25);
                    assert!(warmer >= rate * slack, "{law:?} at {m} {t}: {rate} then warmer {warmer}");
                }
            }
        }
    }
}

struct Rates<'a> {
    law: StorageLaw,
    m: &'a [f64; LANES],
    t: &'a [f64; LANES],
}

impl Kernel for Rates<'_> {
    type Output = [f64; LANES];
    #[inline(always)]
    fn run<R: Real>(self) -> [f64; LANES] {
        let mut out = [0.0; LANES];
        self.law.rate(R::load(self.m), R::load(self.t)).store(&mut out);
        out
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// The same bits for one number and in any lane of any instruction set.
    #[test]
    fn storage_rates_have_the_same_bits_in_lanes(m in prop::array::uniform8(0.0..1.0f64), t in prop::array::uniform8(-60.0..120.0f64)) {
        for law in laws() {
            for set in InstructionSet::available() {
                let lanes = dispatch(set, Rates { law, m: &m, t: &t });
                for lane in 0..LANES {
                    prop_assert_eq!(lanes[lane].to_bits(), law.rate(m[lane], t[lane]).to_bits(), "{:?} {:?}", law, set);
                }
            }
        }
    }

    #[test]
    fn corn_loss_and_its_time_undo_each_other(loss in 1e-6..0.1f64) {
        prop_assert!((corn_loss(corn_loss_time(loss)) / loss - 1.0).abs() < 1e-11);
    }

    #[test]
    fn corn_loss_rate_is_its_slope(hours in 0.1..900.0f64) {
        let seconds = hours * 3600.0;
        let slope = (corn_loss(seconds + 1.0) - corn_loss(seconds - 1.0)) / 2.0;
        prop_assert!((corn_loss_rate(seconds, 1.0) / slope - 1.0).abs() < 1e-4);
    }

    /// A step in two halves is the step; drying never overshoots and never adds water.
    #[test]
    fn thin_layers_advance_in_pieces(t in 5.0..70.0f64, rh in 0.05..0.8f64, m in 0.12..0.4f64, hours in 0.01..20.0f64) {
        let at = DryingConditions { temperature: t, relative_humidity: rh, initial_moisture: 0.4, velocity: 0.2 };
        let me = 0.08;
        for law in ThinLayer::ALL {
            let whole = law.advance(m, me, at, 3600.0 * hours);
            let half = law.advance(law.advance(m, me, at, 1800.0 * hours), me, at, 1800.0 * hours);
            prop_assert!((whole - half).abs() < 1e-9, "{:?}: {} {}", law, whole, half);
            prop_assert!(whole <= m && whole >= me, "{:?}: {} {}", law, m, whole);
            prop_assert_eq!(law.advance(0.05, 0.05, at, 3600.0), 0.05);
        }
    }

    /// The closed form satisfies its own equations and conserves what leaves the core.
    #[test]
    fn two_compartments_follow_their_equations(share in 0.05..0.95f64, ks in -12.0..-6.0f64, kc in -14.0..-6.0f64, hours in 0.0..40.0f64) {
        let kernel = TwoCompartment {
            shell_share: share,
            shell: Arrhenius { ln_a: ks, b: 0.0 },
            core: Arrhenius { ln_a: kc, b: 0.0 },
        };
        let (t, seconds) = (20.0, hours * 3600.0 + 60.0);
        let d = 1.0;
        let (x, y) = kernel.step_response(t, seconds);
        let (x0, y0) = kernel.step_response(t, seconds - d);
        let (x1, y1) = kernel.step_response(t, seconds + d);
        let (ks, kc) = (ks.exp(), kc.exp());
        let core = -kc * (y - x);
        let shell = -ks * x + (1.0 - share) / share * kc * (y - x);
        prop_assert!(((y1 - y0) / (2.0 * d) - core).abs() < 1e-9 + 1e-4 * core.abs());
        prop_assert!(((x1 - x0) / (2.0 * d) - shell).abs() < 1e-9 + 1e-4 * shell.abs());
        prop_assert!(kernel.moisture_ratio(t, 0.0) > 1.0 - 1e-12 && x <= y + 1e-12 && y <= 1.0);
    }
}

/// Equivalent hours, reference multipliers and the stoichiometry the text of the relation states.
#[test]
fn corn_loss_as_stated() {
    assert!((corn_loss(230.0 * 3600.0) - 0.00497f64).abs() < 5e-6);
    for (loss, hours) in
        [(0.0005, 31.0), (0.001, 60.0), (0.0025, 136.0), (0.0035, 178.0), (0.005, 231.0), (0.01, 352.0)]
    {
        assert!((corn_loss_time(loss) / 3600.0 - hours).abs() < 0.5, "{loss}: {}", corn_loss_time(loss) / 3600.0);
    }
    // 60 °F, 25 % w.b., 30 % damage is the condition of reference: M_T 0.998, M_M 0.997, M_D 1.015.
    let rate = corn_equivalent_rate(1.0 / 3.0, (60.0 - 32.0) / 1.8, 0.30);
    assert!((1.0 / rate - 0.998 * 0.997 * 1.015f64).abs() < 2e-3, "{}", 1.0 / rate);
    let damaged = corn_equivalent_rate(1.0 / 3.0, 10.0, 0.40) / corn_equivalent_rate(1.0 / 3.0, 10.0, 0.30);
    assert!((1.0 / damaged - 0.800 / 1.015f64).abs() < 1e-3);
}

/// Long-grain rice at 60 and 80 °F as worked out in the reference, to the digits printed there. One of the eight is printed
/// 106 where the equation gives 105.49 (rounded twice); the tolerance of whole days leaves room for it.
#[test]
fn rice_as_stated() {
    for (moisture, cool, warm) in [(0.15, 106.0, 49.0), (0.18, 28.0, 13.0), (0.20, 11.0, 5.3), (0.22, 4.7, 2.2f64)] {
        let m = moisture / (1.0 - moisture);
        for (f, days) in [(60.0, cool), (80.0, warm)] {
            let ours = allowable_days(&StorageLaw::RICE_LONG, m, (f - 32.0) / 1.8).unwrap();
            let half_digit = if days < 10.0 { 0.0501 } else { 0.52 };
            assert!((ours - days).abs() < half_digit, "{moisture} {f}: {ours} against {days}");
        }
    }
}

/// Seed constants and the life of one probit (days) at 12 %/20 °C, 14 %/25 °C, 17 %/25 °C and 19 %/10 °C of the reference.
/// One of the 32 (maize, 17 %) is printed 34 where the equation gives 34.54; the tolerance leaves room for it.
#[test]
fn viability_as_stated() {
    let table = [
        ([9.983, 5.896, 0.040, 0.000428], [446.0, 91.0, 29.0, 100.0]),
        ([9.043, 5.183, 0.0351, 0.000475], [361.0, 85.0, 31.0, 104.0]),
        ([10.562, 6.366, 0.0332, 0.000577], [627.0, 119.0, 34.0, 108.0]),
        ([8.242, 4.345, 0.0307, 0.000501], [548.0, 152.0, 65.0, 213.0]),
        ([9.472, 5.426, 0.0324, 0.000478], [599.0, 139.0, 49.0, 145.0]),
        ([7.525, 4.086, 0.0329, 0.000478], [185.0, 53.0, 24.0, 84.0]),
        ([7.718, 4.540, 0.0329, 0.000478], [93.0, 25.0, 10.0, 34.0]),
        ([6.740, 4.160, 0.0329, 0.000478], [25.0, 7.0, 3.0, 11.0f64]),
    ];
    for ([k_e, c_w, c_h, c_q], days) in table {
        let law = StorageLaw::Viability { k_e, c_w, c_h, c_q, probits: 1.0 };
        for ((moisture, t), days) in [(0.12, 20.0), (0.14, 25.0), (0.17, 25.0), (0.19, 10.0)].into_iter().zip(days) {
            let ours = allowable_days(&law, moisture / (1.0 - moisture), t).unwrap();
            assert!((ours - days).abs() < 0.55, "{law:?} {moisture} {t}: {ours} against {days}");
        }
    }
}

#[test]
fn impossible_states_are_refused_and_ranges_stand_as_data() {
    let law = StorageLaw::CerealTable { moisture_shift: 0.05 };
    assert!(allowable_days(&law, f64::NAN, 10.0).is_err());
    assert!(allowable_days(&law, -0.1, 10.0).is_err());
    assert!(allowable_days(&law, 0.2, f64::INFINITY).is_err());
    let range: Range = law.range().moisture_wb;
    assert!(range.contains(0.10) && !range.contains(0.08));
}
