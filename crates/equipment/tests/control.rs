//! Controls: what they see, when they run, and that nothing but their arguments decides.

use equipment::control::GrainReference;
use equipment::*;
use physics::isotherm::IsothermForm;
use proptest::prelude::*;

fn seen(t: f64, rh: f64) -> Observation {
    let ambient = AirReading { temperature: t, relative_humidity: rh };
    Observation {
        hour_of_day: 12,
        tick_hours: 1.0,
        ambient,
        plenum_predicted: ambient.warmed(1.5),
        plenum: None,
        plenum_heated: None,
        exhaust: None,
        grain_mean_moisture: 0.20,
        wettest_probe_moisture: 0.24,
        grain_temperature_mean: 15.0,
        grain_temperature_min: 12.0,
        grain_temperature_max: 18.0,
        phase: Phase::Drying,
        errors: Default::default(),
    }
}

/// Corn, modified Chung–Pfost, ASAE D245 (the constants only stand for some table in the control here).
const CORN: IsothermForm = IsothermForm::ModifiedChungPfost { a: 312.40, b: 0.16958, c: 30.205 };

fn humidity_window(low: f64, high: f64, wet_override: Option<f64>) -> Rule {
    Rule::HumidityWindow { low, high, place: SensorPlace::Ambient, wet_override }
}

fn runs(control: &Control, o: &Observation) -> bool {
    control.decide(o, &mut Memory::default()).fans > 0
}

#[test]
fn continuous_and_clock() {
    let o = seen(10.0, 0.7);
    assert!(runs(&Control::new(Rule::Continuous, 2), &o));
    assert!(!runs(&Control::new(Rule::Off, 2), &o));
    let day = Control::new(Rule::Clock { hours: 0b1111_1111_1111 << 8, wet_override: None }, 2);
    let hours: Vec<u8> = (0..24).filter(|&hour_of_day| runs(&day, &Observation { hour_of_day, ..o })).collect();
    assert_eq!(hours, (8..20).collect::<Vec<u8>>());
}

#[test]
fn humidity_window_and_its_wet_override() {
    let plain = Control::new(humidity_window(0.55, 0.75, None), 1);
    assert!(runs(&plain, &seen(10.0, 0.7)) && !runs(&plain, &seen(10.0, 0.8)) && !runs(&plain, &seen(10.0, 0.5)));
    let wet = Control::new(humidity_window(0.55, 0.75, Some(0.22)), 1);
    assert!(runs(&wet, &seen(10.0, 0.95)));
    assert!(!runs(&wet, &Observation { wettest_probe_moisture: 0.21, ..seen(10.0, 0.95) }));
}

/// A humidity-window control that sees only ambient plus predicted fan heat while off must not read the heated plenum.
#[test]
fn with_the_fan_off_only_the_prediction_is_seen() {
    let place = SensorPlace::AfterBurner;
    let control = Control::new(Rule::HumidityWindow { low: 0.0, high: 0.66, place, wet_override: None }, 1);
    let off = seen(10.0, 0.72);
    assert!((off.at(place).relative_humidity - 0.72 * 0.905).abs() < 0.01, "{:?}", off.at(place));
    assert!(runs(&control, &off) && !runs(&control, &seen(10.0, 0.80)));
    let on = Observation {
        plenum_heated: Some(AirReading { temperature: 20.0, relative_humidity: 0.4 }),
        ..seen(10.0, 0.80)
    };
    assert!(runs(&control, &on));
}

#[test]
fn equilibrium_window_uses_its_own_table() {
    let rule = |low, high| Rule::EquilibriumWindow {
        low,
        high,
        place: SensorPlace::AfterFan,
        isotherm: CORN,
        wet_override: None,
    };
    let o = seen(10.0, 0.7);
    let at = CORN.equilibrium(o.plenum_predicted.relative_humidity, o.plenum_predicted.temperature).moisture;
    assert!(runs(&Control::new(rule(at - 0.01, at + 0.01), 1), &o));
    assert!(!runs(&Control::new(rule(at + 0.005, at + 0.01), 1), &o));
    assert!(!runs(&Control::new(rule(at - 0.01, at - 0.005), 1), &o));
}

#[test]
fn temperature_window_cools_only_with_colder_air() {
    let rule = |reference| Rule::TemperatureWindow {
        colder_by: 3.0,
        reference,
        low: -5.0,
        high: 25.0,
        place: SensorPlace::Ambient,
    };
    let mean = Control::new(rule(GrainReference::Mean), 1);
    assert!(runs(&mean, &seen(12.0, 0.7)) && !runs(&mean, &seen(12.1, 0.7)) && !runs(&mean, &seen(-5.1, 0.7)));
    assert!(runs(&Control::new(rule(GrainReference::Warmest), 1), &seen(15.0, 0.7)));
    assert!(!runs(&Control::new(rule(GrainReference::Coldest), 1), &seen(9.1, 0.7)));
}

#[test]
fn aeration_window_moves_the_grain_the_wanted_way_only() {
    let rule = |towards, humid| Rule::AerationWindow {
        towards,
        margin: 3.0,
        low: -5.0,
        high: 25.0,
        humid,
        place: SensorPlace::Ambient,
    };
    // The warmest probe shows 18 °C, the coldest 12 °C.
    let colder = Control::new(rule(Towards::Colder, 1.0), 1);
    assert!(runs(&colder, &seen(15.0, 1.2)) && !runs(&colder, &seen(15.1, 0.7)) && !runs(&colder, &seen(-5.1, 0.7)));
    let warmer = Control::new(rule(Towards::Warmer, 1.0), 1);
    assert!(runs(&warmer, &seen(15.0, 0.7)) && !runs(&warmer, &seen(14.9, 0.7)) && !runs(&warmer, &seen(25.1, 0.7)));
    let dry = Control::new(rule(Towards::Colder, 0.8), 1);
    assert!(runs(&dry, &seen(10.0, 0.8)) && !runs(&dry, &seen(10.0, 0.81)));
}

#[test]
fn dead_band_least_run_and_least_rest() {
    let timing = Timing { dead_band: 0.05, averaging_hours: 0.0, minimum_run_hours: 3.0, minimum_rest_hours: 2.0 };
    let control = Control { timing, ..Control::new(humidity_window(0.0, 0.75, None), 1) };
    let mut memory = Memory::default();
    let humidities = [0.74, 0.69, 0.90, 0.90, 0.90, 0.60, 0.60, 0.74, 0.76, 0.76];
    let ran: Vec<bool> = humidities.iter().map(|&h| control.decide(&seen(10.0, h), &mut memory).fans > 0).collect();
    // 0.74 is inside but not by the dead band; once started the fans stay for three hours, rest for two, then 0.74 keeps
    // them on, and 0.76 stops them only after their three hours.
    assert_eq!(ran, [false, true, true, true, false, false, true, true, true, false]);
}

#[test]
fn averaging_smooths_the_reading() {
    let timing = Timing { averaging_hours: 12.0, ..Timing::PROMPT };
    let control = Control { timing, ..Control::new(humidity_window(0.0, 0.75, None), 1) };
    let mut memory = Memory::default();
    control.decide(&seen(10.0, 0.60), &mut memory);
    assert!(control.decide(&seen(10.0, 0.95), &mut memory).fans > 0);
    let mut hours = 0;
    while control.decide(&seen(10.0, 0.95), &mut memory).fans > 0 {
        hours += 1;
        assert!(hours < 24);
    }
    assert!(hours >= 4);
}

#[test]
fn the_burner_is_off_with_the_fans_and_outside_drying() {
    let control = Control { burner: BurnerRule::Thermostat(18.0), ..Control::new(humidity_window(0.0, 0.75, None), 1) };
    let ask = |o: &Observation| control.decide(o, &mut Memory::default()).burner;
    assert_eq!(ask(&seen(10.0, 0.7)), BurnerCommand::PlenumTemperature(18.0));
    assert_eq!(ask(&seen(10.0, 0.8)), BurnerCommand::Off);
    assert_eq!(ask(&Observation { phase: Phase::Cooling, ..seen(10.0, 0.7) }), BurnerCommand::Off);
}

proptest! {
    /// A snapshot of the memory is all that is needed to go on.
    #[test]
    fn a_run_resumes_from_its_memory(humidities in proptest::collection::vec(0.3..1.0f64, 2..60), cut in 0usize..60) {
        let timing = Timing { dead_band: 0.03, averaging_hours: 4.0, minimum_run_hours: 2.0, minimum_rest_hours: 3.0 };
        let control = Control { timing, ..Control::new(humidity_window(0.4, 0.75, None), 1) };
        let run = |from: &[f64], memory: &mut Memory| -> Vec<usize> {
            from.iter().map(|&h| control.decide(&seen(10.0, h), memory).fans).collect()
        };
        let whole = run(&humidities, &mut Memory::default());
        let cut = cut.min(humidities.len());
        let mut memory = Memory::default();
        let mut parts = run(&humidities[..cut], &mut memory);
        let mut copy = memory;
        parts.extend(run(&humidities[cut..], &mut copy));
        prop_assert_eq!(whole, parts);
    }
}
