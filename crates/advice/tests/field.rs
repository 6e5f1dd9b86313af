//! Readings beside a running fan: what is asked about, what becomes a baseline, what a diagnosis says of itself. How often it is
//! right in a bin that is not its model stands in docs/validation.md.

use advice::commission::{Agreement, Airflow, Check, Commissioning, Why, acceptable, commission};
use advice::diagnose::{Cause, Channel, Diagnosis, What, diagnose};
use advice::field::{Plant, Setup, Urgent, dates};
use advice::outage::{Supply, outage};
use job::readings::{ReadingsRead, read_readings};
use job::{BinJob, BuiltIn, Job};
use notice::Diagnostics;

fn demo() -> Job {
    job::open(include_str!("../../job/data/demo.toml"), "demo.toml", &BuiltIn::new()).expect("the demonstration opens")
}

fn heated() -> Job {
    job::open(include_str!("../../job/data/heated.toml"), "heated.toml", &BuiltIn::new()).expect("the example opens")
}

/// Readings of the demonstration, with lines exchanged.
fn sound(changes: &[(&str, &str)]) -> String {
    let mut text = include_str!("../../job/data/demo-readings.toml").to_string();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    text
}

fn read(text: &str) -> ReadingsRead {
    read_readings(text, "r.toml").map_err(|wrong| wrong.to_string()).expect(text)
}

fn setup<'a>(job: &Job, bin: &'a BinJob, read: &'a ReadingsRead) -> Result<Setup<'a>, Diagnostics> {
    Setup::of(bin, job.place.elevation, &read.readings, &read.places, "r.toml")
}

/// Codes of what is asked about a text, by the reader or beside the site.
fn asked(text: &str) -> Vec<String> {
    let job = demo();
    let codes = |wrong: Diagnostics| wrong.0.into_iter().map(|d| d.code).collect();
    match read_readings(text, "r.toml") {
        Err(wrong) => codes(wrong),
        Ok(read) => setup(&job, &job.bins[0], &read).err().map(codes).unwrap_or_default(),
    }
}

fn commissioned(text: &str) -> (Commissioning, Result<(), String>) {
    let job = demo();
    let read = read(text);
    let setup = setup(&job, &job.bins[0], &read).expect("readings of this bin");
    let found = commission(&job, &setup);
    let accepted = acceptable(&found, &read.readings);
    (found, accepted)
}

const TAPS: &str = "plenum = [\"4.0 in wc\", \"4.05 in wc\", \"4.0 in wc\"]";

const FIRST: &str = "[\"22.9 A\", \"23.2 A\", \"22.7 A\"]";
const SECOND: &str = "[\"23.1 A\", \"23 A\", \"22.8 A\"]";

#[test]
fn the_demonstration_is_sound_and_a_wheel_against_its_arrow_never_is() {
    let (found, accepted) = commissioned(&sound(&[]));
    assert!(!found.differs() && found.agrees_somewhere());
    assert_eq!(accepted, Ok(()));
    // Nobody looked: the pressures agree, but they may do so with a wheel that turns backwards in loose grain.
    let (found, accepted) = commissioned(&sound(&[("rotation = \"with-arrow\"\n", "")]));
    assert!(!found.differs());
    assert!(accepted.expect_err("not without rotation").contains("state.rotation"));
    // A backward wheel that gives what the plan wants, as in loose grain: it differs all the same.
    let backwards = [
        ("with-arrow", "against-arrow"),
        (TAPS, "plenum = \"2.4 in wc\""),
        ("\"1180 ft/min\", \"1250 ft/min\", \"1290 ft/min\", \"1170 ft/min\"", "\"700 ft/min\""),
    ];
    let (found, accepted) = commissioned(&sound(&backwards));
    assert!(found.differs() && accepted.is_err());
    let line = found.lines.iter().find(|line| line.check == Check::Rotation).expect("the line of rotation");
    assert_eq!(line.agreement, Agreement::Differs);
}

#[test]
fn what_was_seen_counts_and_a_questioned_line_is_no_baseline() {
    let seen = [("rotation = \"with-arrow\"\n", "rotation = \"with-arrow\"\nair_escapes = true\n")];
    let (found, accepted) = commissioned(&sound(&seen));
    assert!(found.differs() && accepted.is_err());
    // Without a pressure nothing is shown of the plan.
    let (_, accepted) = commissioned(&sound(&[(TAPS, "")]));
    assert!(accepted.is_err());
}

#[test]
fn bad_readings_are_asked_about_never_averaged_in() {
    assert_eq!(asked(&sound(&[])), Vec::<String>::new());
    let cases: [(&[(&str, &str)], &str); 18] = [
        (&[(TAPS, "plenum = [\"4.0 in wc\", \"102 in wc\"]")], "taps-of-two-scales"),
        (&[(TAPS, "plenum = \"102 in wc\"")], "pressure-in-another-unit"),
        (&[(TAPS, "plenum = \"0.16 in wc\"")], "pressure-in-another-unit"),
        (&[(TAPS, "plenum = \"4 Pa\"")], "pressure-in-another-unit"),
        (&[(TAPS, "plenum = \"12 in wc\"")], "pressure-beyond-the-fans"),
        (&[(TAPS, "plenum = \"-4.0 in wc\"")], "pressure-of-the-wrong-sign"),
        (&[("headspace = \"0.00 in wc\"", "headspace = \"-0.4 in wc\"")], "pressure-of-the-wrong-sign"),
        (
            &[("headspace = \"0.00 in wc\"", "in_grain = \"4.8 in wc\"\nin_grain_height = \"1 ft\"")],
            "grain-above-plenum",
        ),
        (&[("volts = [\"231 V\", \"230 V\", \"229.5 V\"]\n", "")], "amps-without-volts"),
        (&[("\"229.5 V\"]", "\"229.5 V\", \"230 V\", \"230 V\"]")], "wrong-legs"),
        (&[("\"52.5 F\", \"53 F\", \"52.8 F\"", "\"44 F\"")], "plenum-colder-than-outdoors"),
        (&[("depth = \"18 ft 4 in\"", "depth = \"0 ft\"")], "depth-of-another-bin"),
        (&[("depth = \"18 ft 4 in\"", "depth = \"99 ft\"")], "depth-of-another-bin"),
        (&[("\"1748 rpm\", \"1751 rpm\"", "\"1200 rpm\", \"1200 rpm\"")], "speed-against-pressure"),
        (&[("\"1748 rpm\", \"1751 rpm\"", "\"3500 rpm\", \"3502 rpm\"")], "speed-of-another-wheel"),
        (&[("with-arrow", "against-arrow"), (TAPS, "plenum = \"5.2 in wc\"")], "rotation-against-pressure"),
        (&[(SECOND, "[\"38 A\", \"38 A\", \"1 A\"]")], "dead-leg"),
        (&[("bin = \"north\"\n", "bin = \"north\"\nconfirmed = [\"pressure\"]\n")], "unknown-field"),
    ];
    for (changes, code) in cases {
        assert_eq!(asked(&sound(changes)), [code], "{changes:?}");
    }
    let lit = "binwright_readings = 1\n[state]\nburner = \"lit\"\n[air]\noutdoor = \"50 F\"\nplenum = \"40 F\"\n";
    assert!(asked(lit).contains(&"plenum-colder-than-outdoors".to_string()));
    // Looked at twice, it is taken as it stands.
    let confirmed = [
        ("bin = \"north\"\n", "bin = \"north\"\nconfirmed = [\"pressure.plenum\"]\n"),
        (TAPS, "plenum = \"12 in wc\""),
    ];
    assert_eq!(asked(&sound(&confirmed)), Vec::<String>::new());
    // What no confirmation can make right.
    let confirmed = [
        ("bin = \"north\"\n", "bin = \"north\"\nconfirmed = [\"motors.amps\", \"state.depth\"]\n"),
        ("volts = [\"231 V\", \"230 V\", \"229.5 V\"]\n", ""),
        ("depth = \"18 ft 4 in\"", "depth = \"99 ft\""),
    ];
    assert_eq!(asked(&sound(&confirmed)), ["amps-without-volts"]);
}

#[test]
fn days_are_held_against_the_season_and_the_baseline() {
    let job = demo();
    let bin = &job.bins[0];
    let [october, july, later] = ["2026-10-16 14:00", "2026-07-16 14:00", "2026-10-20 09:30"]
        .map(|at| read(&sound(&[("2026-10-16 14:00", at)])));
    assert!(read_readings(&sound(&[("2026-10-16 14:00", "16 October")]), "r").is_err());
    let codes = |read: &ReadingsRead| -> Vec<String> {
        let remarks = dates::remarks(&setup(&job, bin, read).expect("sound"), job.place.utc_offset);
        remarks.0.iter().map(|r| r.code.clone()).collect()
    };
    assert_eq!(codes(&october), Vec::<String>::new());
    assert_eq!(codes(&july), ["readings-out-of-season"]);
    let [october, later] = [&october, &later].map(|read| setup(&job, bin, read).expect("sound"));
    let place = || notice::Place::file("b.toml");
    assert!(dates::baseline(&later, &october, place()).expect("in order").0.is_empty());
    assert_eq!(dates::baseline(&october, &later, place()).expect_err("later").code, "baseline-is-later");
    let next_year = read(&sound(&[("2026-10-16 14:00", "2027-10-20 09:30")]));
    let next_year = setup(&job, bin, &next_year).expect("sound");
    let old = dates::baseline(&next_year, &october, place()).expect("in order");
    assert_eq!(old.0[0].code, "baseline-of-another-filling");
}

fn diagnosed(text: &str) -> Diagnosis {
    let job = demo();
    let (now, base) = (read(text), read(&sound(&[])));
    let bin = &job.bins[0];
    let (now, base) = (setup(&job, bin, &now).expect("sound"), setup(&job, bin, &base).expect("sound"));
    diagnose(&now, Some(&base)).expect("a diagnosis")
}

/// Readings that no single cause gives: more pressure and far more air at once.
#[test]
fn a_diagnosis_says_when_none_of_its_causes_fits() {
    let found = diagnosed(&sound(&[]));
    assert!(found.goodness.fits() && found.goodness.without.is_none(), "{:?}", found.goodness);
    assert_eq!(found.classes[0].causes[0].cause, Cause::Sound);
    let many = [
        (TAPS, "plenum = [\"4.8 in wc\", \"4.8 in wc\"]"),
        ("\"1180 ft/min\", \"1250 ft/min\", \"1290 ft/min\", \"1170 ft/min\"", "\"2400 ft/min\""),
    ];
    let found = diagnosed(&sound(&many));
    assert!(!found.goodness.fits(), "{:?}", found.goodness);
    // Without one of the two there is a cause for the other.
    let (channel, _) = found.goodness.without.expect("one stands in the way");
    assert_eq!(channel, Channel::Traverse, "{:?}", found.goodness);
}

/// No cause is so small that nothing shows it, and none lies between its ranges, where it would be no fault.
#[test]
fn sizes_are_those_of_faults() {
    let found = diagnosed(&sound(&[]));
    for fit in found.classes.iter().flat_map(|class| &class.causes) {
        let info = advice::diagnose::CAUSES.iter().find(|info| info.cause == fit.cause).expect("listed");
        if let (Some(size), false) = (fit.size, info.ranges.is_empty()) {
            let inside = info.ranges.iter().any(|(low, high)| (low - 1e-9..=high + 1e-9).contains(&size));
            assert!(inside, "{:?} of {size}", fit.cause);
        }
    }
    // A floor of which half the holes are shut loses little here: it is listed only where a manometer of 0.02 in. of water
    // would show it in the plenum, the first of the readings.
    let all = || found.classes.iter().flat_map(|class| &class.causes);
    let sound = all().find(|fit| fit.cause == Cause::Sound).expect("listed").predicted[0];
    for floor in all().filter(|fit| fit.cause == Cause::PluggedFloor) {
        assert!(floor.predicted[0] - sound > 5.0, "{floor:?}");
    }
}

#[test]
fn the_next_reading_is_named_with_what_each_cause_foretells() {
    let short = "binwright_readings = 1\nbin = \"north\"\n[state]\nrotation = \"with-arrow\"\n[air]\noutdoor = \"50 F\"\n[pressure]\n\
                 plenum = [\"3.0 in wc\"]\n";
    let found = diagnosed(short);
    let next = found.next.expect("there is much left to read");
    assert!(next.foretold.len() >= 3 && next.bits > 0.2, "{next:?}");
    if let What::Read(_) = next.what {
        let values: Vec<f64> = next.foretold.iter().map(|f| f.value).collect();
        let wide = values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            - values.iter().copied().fold(f64::INFINITY, f64::min);
        let own = next.foretold.iter().map(|f| f.standard).fold(f64::INFINITY, f64::min);
        assert!(wide > own, "{next:?}");
    }
}

/// Airflow three ways in cold air, each by hand: the curve read at SP · 1.2/ρ (worked form of the reference: at 20 °F and 3 in. the
/// correction is 0.30 in.), m = heat/(cp ΔT), the traverse; their standard uncertainties by the rule of squares.
#[test]
fn airflow_three_ways_as_by_hand() {
    let job = heated();
    let bin = &job.bins[0];
    let text = "binwright_readings = 1\nbin = \"south\"\n[state]\nburner = \"lit\"\nrotation = \"with-arrow\"\n[air]\n\
                outdoor = \"20 F\"\nhumidity = \"70 %\"\nbarometer = \"29.92 inHg\"\nplenum = \"40 F\"\n[pressure]\nplenum = \"4.0 in wc\"\n\
                [traverse]\nairflow = \"17000 cfm\"\n[fuel]\nflow = \"4.4 gal/h\"\n";
    let read = read(text);
    let setup = setup(&job, bin, &read).expect("readings of this bin");
    let found = commission(&job, &setup);
    let by = |way: Airflow| found.airflows.iter().find(|(own, _)| *own == way).map(|(_, f)| f.clone()).expect("read");
    // Pressure.
    let density = found.density;
    assert!((density / 1.2 - 0.0826 / 0.075).abs() < 0.01, "{density}");
    let fan = &bin.template.system.outfit.fans()[0];
    let standard = 4.0 * 249.089 * 1.2 / density;
    assert!((4.0 * 249.089 - standard) / 249.089 > 0.3);
    let hand = 2.0 * fan.curve.airflow(standard).expect("on the curve");
    let pressure = by(Airflow::Pressure);
    assert!((pressure.value / hand - 1.0).abs() < 0.01, "{} {hand}", pressure.value);
    // Rise: fuel and fan heat over cp ΔT, at the inlet's specific volume.
    let lower = 4.4 * 3.785_411_784e-3 / 3600.0;
    let fuel = physics::combustion::PROPANE;
    let heat = lower * fuel.liquid_density.expect("a liquid") * fuel.higher_heating_value * fuel.lower_share();
    let state = Plant::planned(setup.plant.depth, 2)
        .solve(&bin.template.system, &bin.template.grain.resistance, &setup.air, heat)
        .expect("a working point");
    let w = setup.air.humidity_ratio;
    let cp = physics::air::SPECIFIC_HEAT_DRY_AIR + physics::air::SPECIFIC_HEAT_VAPOUR * w;
    let fans = state.point.fan_heat * state.point.fan_dry_air_flow * cp;
    let dry = (heat + fans) / (cp * 20.0 / 1.8);
    let hand = dry * physics::air::specific_volume(setup.air.temperature, w, setup.air.pressure);
    let rise = by(Airflow::Rise);
    assert!((rise.value / hand - 1.0).abs() < 0.01, "{} {hand}", rise.value);
    // ± 1 °F at each end of 20 °F, fuel ± 3 % and heating value ± 2 % on the share that fuel gives: limits, so over √3.
    let ends = 2f64.sqrt() * 1.0 / 20.0;
    let fire = heat / (heat + fans);
    let relative = (ends.powi(2) + (0.03 * fire).powi(2) + (0.02 * fire).powi(2)).sqrt() / 3f64.sqrt();
    assert!((rise.standard / rise.value / relative - 1.0).abs() < 0.12, "{} {relative}", rise.standard / rise.value);
    // Traverse ± 7.5 %.
    let traverse = by(Airflow::Traverse);
    assert!((traverse.standard / traverse.value - 0.075 / 3f64.sqrt()).abs() < 1e-6);
}

fn ended(found: &Commissioning, check: Check, fan: Option<usize>) -> Agreement {
    found.lines.iter().find(|line| line.check == check && line.fan == fan).map(|l| l.agreement).expect("a line")
}

fn likeliest(found: &Diagnosis) -> Cause {
    found.classes[0].causes[0].cause
}

fn alone(job: &Job, text: &str) -> Diagnosis {
    let now = read(text);
    diagnose(&setup(job, &job.bins[0], &now).expect(text), None).expect("a diagnosis")
}

/// A dead leg is not averaged away, nor an overloaded motor beside one that idles.
#[test]
fn each_motor_and_each_leg_is_judged_for_itself() {
    // The mean of 38, 38 and 1 A is that of a motor with a little more load.
    let dead = [
        ("bin = \"north\"\n", "bin = \"north\"\nconfirmed = [\"motors.amps\"]\n"),
        (SECOND, "[\"38 A\", \"38 A\", \"1 A\"]"),
    ];
    let (found, accepted) = commissioned(&sound(&dead));
    assert_eq!(ended(&found, Check::CurrentsUnbalance, Some(2)), Agreement::Differs);
    assert_eq!(ended(&found, Check::CurrentsUnbalance, Some(1)), Agreement::Agrees);
    assert!(found.urgent.contains(&Urgent::DeadLeg(2)) && found.differs() && accepted.is_err());
    assert_eq!(likeliest(&diagnosed(&sound(&dead))), Cause::SinglePhasing);
    // 29 and 17 A add up to what two sound motors draw.
    let uneven = [(FIRST, "[\"29 A\", \"29.2 A\", \"28.8 A\"]"), (SECOND, "[\"17 A\", \"17.1 A\", \"16.9 A\"]")];
    let (found, accepted) = commissioned(&sound(&uneven));
    assert_ne!(ended(&found, Check::MotorLoad, Some(1)), Agreement::Agrees);
    assert_eq!(ended(&found, Check::MotorLoad, Some(2)), Agreement::Agrees);
    assert_eq!(ended(&found, Check::MotorInput, None), Agreement::Agrees, "the sum hides it");
    assert_eq!(ended(&found, Check::MotorsApart, None), Agreement::Differs);
    assert!(matches!(found.urgent[..], [Urgent::Overloaded(1, share)] if share > 1.0), "{:?}", found.urgent);
    assert!(accepted.is_err());
    let found = alone(&demo(), &sound(&uneven));
    assert_eq!((likeliest(&found), found.goodness.fits()), (Cause::FansUnequal, true));
}

/// Doubt never helps a limit: what lies near it is neither kept nor broken.
#[test]
fn limits_are_guarded_by_their_doubt() {
    let load = |amps: &str| {
        let legs = format!("[\"{amps}\", \"{amps}\", \"{amps}\"]");
        let (found, accepted) = commissioned(&sound(&[(FIRST, &legs), (SECOND, &legs)]));
        (ended(&found, Check::MotorLoad, Some(1)), accepted.is_ok())
    };
    let near = Agreement::CannotTell(Why::NearTheLimit);
    assert_eq!(load("23 A"), (Agreement::Agrees, true));
    assert_eq!(load("26.5 A").0, near);
    // 24.31 hp of two motors that bear 23.00.
    assert_eq!(load("28 A"), (near, false));
    assert_eq!(load("36 A"), (Agreement::Differs, false));
    let volts = |volts: &str| {
        let now = sound(&[("[\"231 V\", \"230 V\", \"229.5 V\"]", volts)]);
        let (found, _) = commissioned(&now);
        (ended(&found, Check::Volts, None), ended(&found, Check::VoltsUnbalance, None))
    };
    assert_eq!(volts("[\"231 V\", \"230 V\", \"229.5 V\"]"), (Agreement::Agrees, Agreement::Agrees));
    assert_eq!(volts("[\"209 V\", \"209 V\", \"209 V\"]").0, near);
    assert_eq!(volts("[\"198 V\", \"198 V\", \"198 V\"]").0, Agreement::Differs);
    assert_eq!(volts("[\"232 V\", \"230 V\", \"228 V\"]").1, near);
    assert_eq!(volts("[\"238 V\", \"230 V\", \"222 V\"]").1, Agreement::Differs);
}

/// A site that says nothing of its roof still has one that can be lifted off.
#[test]
fn blocked_vents_are_found_without_a_roof_in_the_site() {
    assert!(demo().bins[0].template.system.budget.vents.is_none());
    let high = [
        (TAPS, "plenum = [\"4.7 in wc\", \"4.75 in wc\", \"4.7 in wc\"]"),
        ("headspace = \"0.00 in wc\"", "headspace = \"1.2 in wc\""),
    ];
    let (found, accepted) = commissioned(&sound(&high));
    assert_eq!(ended(&found, Check::HeadspaceLimit, None), Agreement::Differs);
    assert!(matches!(found.urgent[..], [Urgent::Headspace(_)]) && accepted.is_err());
    let by_pressure = alone(&demo(), &sound(&high));
    assert_eq!((likeliest(&by_pressure), by_pressure.goodness.fits()), (Cause::BlockedVents, true));
    let mut seen = high.to_vec();
    seen.push(("[state]\n", "[state]\nvents_blocked = true\n"));
    let (found, _) = commissioned(&sound(&seen));
    assert_eq!((ended(&found, Check::VentsOpen, None), found.urgent[0]), (Agreement::Differs, Urgent::VentsBlocked));
    assert_eq!(likeliest(&alone(&demo(), &sound(&seen))), Cause::BlockedVents);
    // Nearly a tenth of an inch is what open vents lose.
    let (found, _) = commissioned(&sound(&[("headspace = \"0.00 in wc\"", "headspace = \"0.09 in wc\"")]));
    assert_eq!(ended(&found, Check::HeadspaceLimit, None), Agreement::CannotTell(Why::NearTheLimit));
    assert!(found.urgent.is_empty());
}

const FIRE: &str = "binwright_readings = 1\n[state]\nburner = \"lit\"\ndepth = \"19.3 ft\"\nrotation = \"with-arrow\"\n[air]\n\
                    outdoor = \"30 F\"\nhumidity = \"80 %\"\nplenum = [\"56 F\", \"56.5 F\", \"56 F\"]\n[pressure]\n\
                    plenum = [\"4.4 in wc\", \"4.4 in wc\"]\n[fuel]\nflow = \"5.5 gal/h\"\ngas_pressure = \"5.5 psi\"\n\
                    gas_pressure_set = \"4 psi\"\n";

#[test]
fn a_burner_fired_too_high_is_a_cause_and_no_agreement() {
    let job = heated();
    let found = alone(&job, FIRE);
    assert_eq!((likeliest(&found), found.goodness.fits()), (Cause::GasPressureHigh, true));
    assert!(matches!(found.urgent[..], [Urgent::GasPressureHigh(ratio)] if (ratio - 1.375).abs() < 1e-6));
    // 14 % more heat lies within its doubt, but not at a gas pressure that is not the one set.
    let fire = |text: &str| {
        let read = read(text);
        ended(&commission(&job, &setup(&job, &job.bins[0], &read).expect(text)), Check::FullFire, None)
    };
    let less = FIRE.replace("5.5 gal/h", "5.3 gal/h");
    assert_eq!(fire(&less), Agreement::CannotTell(Why::GasNotAsSet));
    assert_eq!(fire(&less.replace("5.5 psi", "4.1 psi")), Agreement::Agrees);
    assert_eq!(fire(&FIRE.replace("5.5 gal/h", "5.9 gal/h")), Agreement::Differs);
    let orifice = FIRE.replace("5.5 psi", "4 psi").replace("5.5 gal/h", "6 gal/h").replace("56", "57");
    assert_eq!(likeliest(&alone(&job, &orifice)), Cause::OverFired);
}

#[test]
fn an_agreement_says_how_far_it_goes() {
    let (found, _) = commissioned(&sound(&[]));
    assert!(found.untold().is_empty(), "{:?}", found.untold());
    let seen = found.would_have_seen();
    let (check, share) = seen[0];
    assert!(check == Check::AirflowByTraverse && (0.10..0.25).contains(&share), "{seen:?}");
    // Without a traverse only the rise is a second way, and too uncertain for one.
    let traverse = "[traverse]\nvelocities = [\"1180 ft/min\", \"1250 ft/min\", \"1290 ft/min\", \"1170 ft/min\"]\narea = \"14.2 ft2\"\n";
    let (found, _) = commissioned(&sound(&[(traverse, "")]));
    let untold: Vec<Check> = found.untold().iter().map(|line| line.check).collect();
    assert_eq!((found.differs(), untold), (false, vec![Check::AirflowByTraverse]));
}

/// In these days of 2009 the air was warmer than the grain: the stop was no loss, and is never called a negative cost.
#[test]
fn a_stop_that_costs_nothing_is_called_luck() {
    let job = demo();
    let at = |text: &str| job::clock::standard_hour(text, job.place.utc_offset).expect("an hour");
    let lucky = outage(&job.bins[0], at("2009-10-20 14:00"), None).expect("grain then");
    assert_eq!(lucky.cost(), Some(0.0));
    assert!(lucky.spared().is_some_and(|spared| spared > 0.01), "{:?}", lucky.spared());
    let (without, with) = (lucky.course(Supply::None), lucky.course(Supply::All));
    assert!(
        without.zip(with).is_some_and(|(a, b)| a.deciding > 0.0 && b.deciding > 0.0 && a.life_after < b.life_after)
    );
    let plain = outage(&job.bins[0], at("2009-10-12 14:00"), None).expect("grain then");
    assert!(plain.cost().is_some_and(|cost| cost > 0.01) && plain.spared().is_none());
}
