//! Motors, wires and sound of a site from its file: what holds whatever the numbers, and the worked rows of the reference.

use advice::heat::{self, power, sound};
use job::{BuiltIn, Job};
use notice::Remarks;
use physics::sound::LimitVerdict;

const SITE: &str = include_str!("data/yard.toml");

fn job(change: impl Fn(&str) -> String) -> Job {
    job::open(&change(SITE), "yard.toml", &BuiltIn::new()).unwrap_or_else(|wrong| panic!("{wrong}"))
}

fn faults(change: impl Fn(&str) -> String) -> Vec<String> {
    match job::open(&change(SITE), "yard.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(wrong) => wrong.0.iter().map(|d| d.code.clone()).collect(),
    }
}

fn powers(job: &Job) -> (power::BinPower, Option<power::SitePower>, Remarks) {
    let mut remarks = Remarks::default();
    let bin = power::of(job, &job.bins[0], &mut remarks).expect("hours");
    let site = power::site(job, &[&bin], &mut remarks);
    (bin, site, remarks)
}

#[test]
fn colder_air_loads_a_motor_more() {
    let job = job(str::to_string);
    let (bin, site, _) = powers(&job);
    assert!(bin.hours > 29 * 1000 && bin.by_temperature.len() > 5);
    for pair in bin.by_temperature.windows(2) {
        assert!(pair[0].load > pair[1].load && pair[0].density > pair[1].density, "{pair:?}");
        assert!(pair[0].current > pair[1].current);
    }
    let motor = &bin.motors[0];
    assert!(motor.most.shaft >= motor.usual.shaft && motor.worst_fill.shaft >= motor.most.shaft - 1e-9);
    // Shaft power goes with density at one point of the curve.
    let ratio = (motor.most.shaft / motor.usual.shaft) / (motor.most.density / motor.usual.density);
    assert!((ratio - 1.0).abs() < 0.03, "{ratio}");
    // The code's current is above what flows (derived: 8 to 27 % for three phases; one phase is rated less well).
    let site = site.expect("a supply");
    assert!(motor.code_current.unwrap() > motor.usual.load.current * 0.9);
    assert!(site.apparent > site.running && site.starting_current > site.current);
    assert!(site.generator.starting > site.running);
    let (runs, starts) = site.drop.expect("a feeder");
    assert!(starts > runs && runs > 0.0);
}

/// Without a supply loads are judged and no currents are told.
#[test]
fn no_supply_no_currents() {
    let (from, to) = (SITE.find("[power]").unwrap(), SITE.find("[yard]").unwrap());
    let job = job(|text| format!("{}{}", &text[..from], &text[to..]));
    let (bin, site, _) = powers(&job);
    assert!(site.is_none() && bin.motors[0].code_current.is_none() && bin.motors[0].locked_rotor.is_none());
    assert!(bin.by_temperature.iter().all(|a| a.current.is_none() && a.input > a.shaft));
}

/// Twice the feeder loses twice the voltage, and a thin long one is remarked on.
#[test]
fn feeders_lose_by_length() {
    let (_, short, _) = powers(&job(str::to_string));
    let (_, long, remarks) =
        powers(&job(|t| t.replace("length = \"250 ft\", conductor", "length = \"500 ft\", conductor")));
    let of = |site: Option<power::SitePower>| site.unwrap().drop.unwrap().0;
    assert!((of(long) / of(short) - 2.0).abs() < 1e-9);
    assert!(remarks.0.iter().any(|r| r.code.starts_with("feeder-drop")));
}

/// Worked row E04: 20 kW at 12.00 a kW is 240.00; here the months' peaks at 12 $/kW.
#[test]
fn demand_is_peak_by_price() {
    let job = job(str::to_string);
    let (bin, ..) = powers(&job);
    let demand = power::demand(&job, &[&bin]);
    let (mean, highest) = demand.cost.expect("a price");
    let sum: f64 = demand.months.iter().map(|m| m.1).sum();
    // Years may lack a month at the end of the window, so means of sums and sums of means may differ a little.
    assert!((mean / (sum / 1000.0 * 12.0) - 1.0).abs() < 0.05 && highest >= mean, "{mean} {sum}");
}

#[test]
fn sound_falls_with_distance_and_meets_its_limit() {
    let job = job(str::to_string);
    let mut remarks = Remarks::default();
    let found = sound::of(&job, &mut remarks).expect("a yard");
    let house = &found.dwellings[0];
    assert!((house.distance - (110f64 * 110.0 + 60.0 * 60.0 + 4.0).sqrt()).abs() < 1e-9);
    // Sound power less spreading over hard ground with a wall: −20 log r − 11 + 6.
    let source = &found.sources[0];
    let expected = source.power.a_weighted() - 20.0 * house.distance.log10() - 11.0 + 6.0;
    assert!((house.level - expected).abs() < 1e-9);
    // Verdicts by the band of uncertainty.
    for (limit, verdict) in [(60.0, house.day), (50.0, house.night)] {
        let expected = physics::sound::against_limit(house.level, house.uncertainty, limit);
        assert_eq!(verdict, Some(expected));
    }
    assert!(remarks.0.iter().any(|r| r.code == "local-noise-rules"));
    let plan = &found.plan;
    assert_eq!(plan.levels.len(), plan.north.len());
    let middle = plan.levels.iter().flatten().copied().fold(0.0, f64::max);
    assert!(middle > house.level);
}

/// A maker's sound power goes before the estimate: two equal fans are 3 dB above one.
#[test]
fn the_makers_figures_go_first() {
    let data = "blades = 10, sound_power = [\"80 dB\", \"80 dB\", \"80 dB\", \"80 dB\", \"80 dB\", \"80 dB\", \"80 dB\", \"80 dB\"]";
    let job = job(|t| t.replace("blades = 10", data));
    let found = sound::of(&job, &mut Remarks::default()).expect("a yard");
    let source = &found.sources[0];
    assert!(source.maker && source.second.is_none());
    let one = 80.0 + 10.0 * (source.fans as f64).log10();
    assert!((source.power.0[3] - one).abs() < 1e-9);
    assert!(found.dwellings[0].uncertainty < 8.0);
}

/// A limit far below any estimate is exceeded, one far above is kept.
#[test]
fn limits_far_away_are_plain() {
    let at = |limit: &str| {
        let job = job(|t| t.replace("limit_day = \"60 dB\"", &format!("limit_day = \"{limit}\"")));
        sound::of(&job, &mut Remarks::default()).expect("a yard").dwellings[0].day
    };
    assert_eq!(at("25 dB"), Some(LimitVerdict::Exceeded));
    assert_eq!(at("110 dB"), Some(LimitVerdict::Kept));
}

#[test]
fn what_cannot_be_is_refused() {
    let house = "east = \"110 m\", north = \"60 m\", height = \"2 m\"";
    for (from, to, code) in [
        (house, "distance = \"0 m\"", "out-of-bounds"),
        (house, "distance = \"-3 m\"", "out-of-bounds"),
        (house, "east = \"1 m\", north = \"1 m\"", "dwelling-in-bin"),
        (house, "distance = \"30 m\", east = \"1 m\"", "dwelling-twice"),
        (house, "height = \"3 m\"", "missing-key"),
        ("bins.south = {", "bins.sooth = {", "unknown-word"),
        ("blades = 10", "sound_power = [\"80 dB\"]", "eight-bands"),
        ("conductor = \"4/0\"", "conductor = \"5/0\"", "unknown-conductor"),
        ("length = \"250 ft\", conductor", "length = \"-250 ft\", conductor", "out-of-bounds"),
        ("volts = \"240 V\"", "volts = \"24 V\"", "out-of-bounds"),
        ("demand = \"12 $/kW\"", "demand = \"12 $/kWh\"", "unknown-unit"),
        ("generator = \"40 kW\"", "generator = \"40 kW\"\ncode_letter = \"I\"", "code-letter"),
    ] {
        assert!(SITE.contains(from), "{from}");
        let found = faults(|t| t.replacen(from, to, 1));
        assert!(found.iter().any(|c| c == code), "{to}: {found:?}");
    }
}

#[test]
fn bins_hold_what_the_site_sums() {
    let job = job(str::to_string);
    let site = heat::of_site(&job);
    let power = site.common.power.expect("a supply");
    let bin = site.bins[0].power.as_ref().expect("hours");
    assert!((power.running - bin.largest_input()).abs() < 1e-6);
    assert!(site.common.sound.is_some());
}
