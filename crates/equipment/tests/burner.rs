//! Firing inside a tick: energy follows the mean, limits the peak.

use equipment::*;
use proptest::prelude::*;

const PRESSURE: f64 = 101_325.0;

fn burner(firing: Firing) -> Burner {
    Burner {
        id: "test".into(),
        capacity: 100_000.0,
        minimum_fire: 0.25,
        fuel: Fuel::Propane,
        side: BurnerSide::Discharge,
        indirect_efficiency: None,
        firing,
        temperature_limit: None,
        invented: true,
        provenance: equipment::Provenance::default(),
    }
}

/// Common practice, no source: an on-off burner blows unheated air while off, so the grain meets full-fire rise and none in
/// turn; it suits low temperatures only.
#[test]
fn on_off_firing_swings_between_full_rise_and_none() {
    let fired = burner(Firing::OnOff).fire(BurnerCommand::Rise(3.0), 5.0, 0.004, PRESSURE, 5.0);
    assert!((fired.rise - 3.0).abs() < 1e-9);
    assert!(fired.duty < 0.2 && (fired.peak_rise * fired.duty - fired.rise).abs() < 1e-9);
    assert!(fired.peak_rise > 19.0);
    let steady = burner(Firing::Modulating).fire(BurnerCommand::Rise(10.0), 5.0, 0.004, PRESSURE, 5.0);
    assert!(steady.duty == 1.0 && steady.peak_rise == steady.rise);
}

#[test]
fn high_low_firing_alternates_between_its_rates() {
    let b = burner(Firing::HighLow);
    let per_kelvin = 5.0 * (1006.0 + 1860.0 * 0.004);
    let low = b.fire(BurnerCommand::Rise(10_000.0 / per_kelvin), 5.0, 0.004, PRESSURE, 5.0);
    assert!((low.peak_heat - 25_000.0).abs() < 1e-6 && (low.duty - 0.4).abs() < 1e-9);
    let high = b.fire(BurnerCommand::Rise(40_000.0 / per_kelvin), 5.0, 0.004, PRESSURE, 5.0);
    assert!((high.peak_heat - 100_000.0).abs() < 1e-6 && (high.duty - 0.2).abs() < 1e-9);
    assert!((high.heat - 40_000.0).abs() < 1e-6);
}

#[test]
fn the_limit_sees_the_peak() {
    let mut b = burner(Firing::OnOff);
    b.temperature_limit = Some(20.0);
    // Full fire would make 24 K of 5 °C air: the limit keeps it out although the mean would be harmless.
    let fired = b.fire(BurnerCommand::Rise(3.0), 5.0, 0.004, PRESSURE, 4.1);
    assert!(fired.limited && fired.heat == 0.0);
    b.firing = Firing::Modulating;
    let held = b.fire(BurnerCommand::Rise(30.0), 5.0, 0.004, PRESSURE, 3.0);
    assert!(held.limited && (held.rise - 15.0).abs() < 1e-9);
}

#[test]
fn thermostat_and_humidistat() {
    let b = burner(Firing::Modulating);
    assert!((b.fire(BurnerCommand::PlenumTemperature(18.0), 6.0, 0.004, PRESSURE, 5.0).rise - 12.0).abs() < 1e-9);
    assert_eq!(b.fire(BurnerCommand::PlenumTemperature(4.0), 6.0, 0.004, PRESSURE, 5.0), FiringResult::NONE);
    let w = AirReading { temperature: 6.0, relative_humidity: 0.85 }.humidity_ratio(PRESSURE);
    let fired = b.fire(BurnerCommand::PlenumHumidity(0.60), 6.0, w, PRESSURE, 5.0);
    let plenum = AirReading::of(6.0 + fired.rise, w + fired.water_added, PRESSURE);
    assert!((plenum.relative_humidity - 0.60).abs() < 1e-6, "{}", plenum.relative_humidity);
    assert_eq!(b.fire(BurnerCommand::PlenumHumidity(0.90), 6.0, w, PRESSURE, 5.0), FiringResult::NONE);
}

/// Heat reference 1.4: 3.58e-5 (propane) and 4.56e-5 (natural gas) kg/kg per K, three digits printed for one specific heat.
#[test]
fn water_of_combustion() {
    for (fuel, stated) in [(Fuel::Propane, 3.58e-5), (Fuel::NaturalGas, 4.56e-5)] {
        let b = Burner { fuel, ..burner(Firing::Modulating) };
        let fired = b.fire(BurnerCommand::Rise(10.0), 5.0, 0.005, PRESSURE, 5.0);
        assert!((fired.water_added / 10.0 / stated - 1.0).abs() < 1e-2);
    }
    let indirect = Burner { indirect_efficiency: Some(0.8), ..burner(Firing::Modulating) };
    let direct = burner(Firing::Modulating).fire(BurnerCommand::Rise(10.0), 5.0, 0.005, PRESSURE, 5.0);
    let fired = indirect.fire(BurnerCommand::Rise(10.0), 5.0, 0.005, PRESSURE, 5.0);
    assert!(fired.water_added == 0.0 && (fired.fuel / direct.fuel - 1.25).abs() < 1e-9);
    let electric = Burner { fuel: Fuel::Electric, ..burner(Firing::Modulating) };
    let fired = electric.fire(BurnerCommand::Rise(10.0), 5.0, 0.005, PRESSURE, 5.0);
    assert!(fired.fuel == 0.0 && fired.electric_power == fired.heat && fired.water_added == 0.0);
}

proptest! {
    /// Whatever the firing: no more than asked, no more than capacity, mean = duty between the rates, peak at least the mean.
    #[test]
    fn firing_adds_up(rise in 0.0..80.0f64, dry_air in 0.0..20.0f64, t in -30.0..30.0f64, limit in 0.0..90.0f64, kind in 0..3) {
        let firing = [Firing::OnOff, Firing::HighLow, Firing::Modulating][kind as usize];
        let b = Burner { temperature_limit: Some(limit), ..burner(firing) };
        let f = b.fire(BurnerCommand::Rise(rise), t, 0.004, PRESSURE, dry_air);
        prop_assert!(f.rise <= rise + 1e-9 && f.heat <= b.capacity + 1e-9);
        prop_assert!(f.peak_heat >= f.heat - 1e-9 && (0.0..=1.0).contains(&f.duty));
        prop_assert!(f.heat == 0.0 || t + f.peak_rise <= limit + 1e-9);
        prop_assert!((f.fuel * physics::combustion::PROPANE.lower_heating_value - f.heat).abs() < 1e-6 * f.heat.max(1.0));
        prop_assert_eq!(f.short, dry_air > 0.0 && rise * dry_air * (1006.0 + 1860.0 * 0.004) > b.capacity);
    }
}

/// Humidistat and thermostat together: the lesser of what each asks for.
#[test]
fn both_controls_ask_for_the_lesser_rise() {
    let burner = burner(Firing::Modulating);
    let both = |humidity: f64, temperature: f64| {
        burner.needed_rise(BurnerCommand::PlenumHumidityWithin { humidity, temperature }, 5.0, 0.005, PRESSURE)
    };
    let alone = burner.needed_rise(BurnerCommand::PlenumHumidity(0.5), 5.0, 0.005, PRESSURE);
    assert!(alone > 2.0);
    assert_eq!(both(0.5, 40.0), alone);
    assert_eq!(both(0.5, 6.5), 1.5);
    assert_eq!(both(0.5, 2.0), 0.0);
    assert_eq!(both(0.99, 40.0), 0.0);
}
