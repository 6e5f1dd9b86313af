//! The heat of the bundled site with a burner: balances, and what must move which way.

use advice::heat::duty::Duty;
use advice::heat::place::Stand;
use advice::heat::{BinHeat, SiteHeat, of_site};
use equipment::BurnerSide;
use equipment::firing::Sharing;
use job::{BuiltIn, Job};
use physics::combustion::{PROPANE, heat_to_air};

const HEATED: &str = include_str!("../../job/data/heated.toml");

fn open(text: &str) -> Job {
    job::open(text, "heated.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"))
}

fn changed(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(HEATED.to_string(), |text, (from, to)| {
        assert!(text.contains(from), "{from:?} is not in the file");
        text.replacen(from, to, 1)
    })
}

fn heat(changes: &[(&str, &str)]) -> SiteHeat {
    of_site(&open(&changed(changes)))
}

fn duty(heat: &SiteHeat) -> &Duty {
    heat.bins[0].duty.as_ref().expect("a duty")
}

fn codes(bin: &BinHeat) -> Vec<&str> {
    bin.remarks.0.iter().map(|r| r.code.as_str()).collect()
}

const THERMOSTAT: &str = "{ kind = \"thermostat\", temperature = \"50 F\" }";

#[test]
fn the_design_hour_is_one_of_the_hours_and_balances() {
    let heat = heat(&[]);
    let duty = duty(&heat);
    let d = &duty.design;
    assert!(duty.hours.iter().any(|h| h.hour == d.hour.hour && h.heat == d.hour.heat));
    let more = duty.hours.iter().filter(|h| h.heat > d.hour.heat).count() as f64 / duty.hours.len() as f64;
    assert!(more <= 0.01 && more > 0.008, "{more}");
    let exact = heat_to_air(d.hour.dry_air, d.hour.humidity_ratio, d.hour.rise);
    assert!((d.hour.heat / exact - 1.0).abs() < 1e-12);
    // The four parts are the whole difference, and the plenum is where the thermostat wants it.
    assert!((d.customary * d.parts.product() / d.hour.heat - 1.0).abs() < 2e-3, "{d:?}");
    assert!((d.hour.plenum() - 10.0).abs() < 0.02, "{}", d.hour.plenum());
    // Propane: the lower heating value asks for more fuel than the higher, by their ratio.
    let (fuel, by_higher) = (d.fuel.unwrap(), d.fuel_by_higher.unwrap());
    assert!((by_higher / fuel - PROPANE.lower_share()).abs() < 1e-12);
    assert!(d.humidity_plenum > d.humidity_dry_heat && d.carbon_dioxide_added > 0.0);
    // Years add up to their hours, and no year gives more than it is asked or can.
    let hours: usize = duty.years.iter().map(|y| y.hours).sum();
    assert_eq!(hours, duty.hours.len());
    assert!(duty.years.iter().all(|y| y.mean <= duty.installed * (1.0 + 1e-9) && y.lit <= y.hours));
    let wanted: f64 = duty.hours.iter().map(|h| 3600.0 * h.heat).sum();
    let given: f64 = duty.years.iter().map(|y| y.heat).sum();
    assert!(given < wanted && given > 0.8 * wanted, "{given} of {wanted}: the burner is short in the cold");
}

#[test]
fn a_higher_share_asks_for_more_and_a_larger_burner_is_short_less_often() {
    let at = |share: &str| duty(&heat(&[("by = \"12-15\"", share)])).design.hour.heat;
    let (half, most) = (at("by = \"12-15\"\ndesign_hour = \"50 %\""), at("by = \"12-15\"\ndesign_hour = \"99.9 %\""));
    assert!(half < most);
    let short =
        |capacity: &str| -> usize { duty(&heat(&[("400000 Btu/h", capacity)])).years.iter().map(|y| y.short).sum() };
    assert!(short("300000 Btu/h") > short("600000 Btu/h") && short("3 MMBtu/h") == 0);
}

#[test]
fn indirect_and_electric_heat_put_nothing_into_the_air() {
    let direct = heat(&[]);
    let indirect = heat(&[("turndown = 4", "indirect_efficiency = \"80 %\"\nturndown = 4")]);
    let (a, b) = (&duty(&direct).design, &duty(&indirect).design);
    assert_eq!((b.water_added, b.carbon_dioxide_added), (0.0, 0.0));
    assert!((b.humidity_plenum - b.humidity_dry_heat).abs() < 1e-12);
    assert!((b.fuel.unwrap() / a.fuel.unwrap() - 1.25).abs() < 2e-3, "{:?} {:?}", a.fuel, b.fuel);
    let without =
        changed(&[("fuel = \"propane\"\nside", "fuel = \"electric\"\nside"), ("fuel = \"1.80 $/usgal\"\n", "")]);
    let (before, after) = (without.find("[fuel]").unwrap(), without.find("[bins.south]").unwrap());
    let electric = of_site(&open(&format!("{}{}", &without[..before], &without[after..])));
    let d = &duty(&electric).design;
    assert_eq!((d.fuel, d.water_added, d.invoiced), (None, 0.0, d.hour.heat));
    let year = duty(&electric).years[0];
    assert!((year.electricity - year.heat).abs() < 1e-6 * year.heat && year.fuel == 0.0 && electric.train.is_none());
}

#[test]
fn after_the_fan_dries_more_and_loads_the_motor_more() {
    let heat = heat(&[]);
    let [none, after, before] = heat.bins[0].place.unwrap();
    assert_eq!(
        (none.stand, after.stand, before.stand),
        (Stand::NoFire, Stand::Side(BurnerSide::Discharge), Stand::Side(BurnerSide::Inlet))
    );
    assert!(after.drying > before.drying && before.drying > none.drying && none.heat == 0.0);
    assert!(after.motor_load > before.motor_load);
    assert!(after.point.fan_static_pressure > none.point.fan_static_pressure);
    assert!(before.point.fan_static_pressure < none.point.fan_static_pressure);
    assert!(after.point.fan_dry_air_flow > before.point.fan_dry_air_flow);
}

#[test]
fn thermostat_and_humidistat_together_ask_the_less_of_the_two() {
    let asked = |control: &str| {
        let heat = heat(&[(THERMOSTAT, control)]);
        duty(&heat).hours.iter().map(|h| h.heat).collect::<Vec<_>>()
    };
    let thermostat = asked("{ kind = \"thermostat\", temperature = \"60 F\" }");
    let humidistat = asked("{ kind = \"humidistat\", humidity = \"55 %\" }");
    let both = asked("{ kind = \"both\", humidity = \"55 %\", temperature = \"60 F\" }");
    for ((t, h), b) in thermostat.iter().zip(&humidistat).zip(&both) {
        assert!((b - t.min(*h)).abs() <= 1e-3 * t.max(*h), "{t} {h} {b}");
    }
}

#[test]
fn controls_that_do_not_suit_are_told() {
    let said = |changes: &[(&str, &str)], code: &str| {
        let heat = heat(changes);
        assert!(codes(&heat.bins[0]).contains(&code), "{code}: {:?}", codes(&heat.bins[0]));
    };
    said(&[], "thermostat-at-low-temperature");
    said(&[], "burner-short");
    said(
        &[(THERMOSTAT, "{ kind = \"humidistat\", humidity = \"55 %\" }"), ("temperature_limit = \"90 F\"\n", "")],
        "humidistat-without-ceiling",
    );
    said(&[(THERMOSTAT, "{ kind = \"humidistat\", humidity = \"15 %\" }")], "humidistat-in-hot-air");
    said(&[(THERMOSTAT, "{ kind = \"rise\", rise = \"5 F\" }")], "rise-in-dry-air");
    said(&[(THERMOSTAT, "{ kind = \"rise\", rise = \"5 F\" }"), ("400000 Btu/h", "2 MMBtu/h")], "burner-large");
    said(
        &[
            (THERMOSTAT, "{ kind = \"thermostat\", temperature = \"110 F\" }"),
            ("400000 Btu/h", "3 MMBtu/h"),
            ("\"90 F\"", "\"160 F\""),
        ],
        "hot-plenum-in-frost",
    );
    // The upper edge of the band lies above the limit.
    said(
        &[
            (THERMOSTAT, "{ kind = \"thermostat\", temperature = \"67 F\" }"),
            ("400000 Btu/h", "3 MMBtu/h"),
            ("modulating", "on-off"),
            ("\"90 F\"", "\"68 F\""),
        ],
        "peak-above-limit",
    );
    said(&[("modulating", "on-off"), ("dead_band = \"3 F\"", "dead_band = \"3 F\"\nsteel = \"300 kg\"")], "wide-swing");
}

#[test]
fn burners_out_of_step_leave_inlets_apart() {
    let with = |sharing: &str| {
        heat(&[("dead_band = \"3 F\"", &format!("burners = 2\nsharing = \"{sharing}\"\ndead_band = \"3 F\""))])
    };
    let (step, own) = (with("in-step"), with("on-their-own"));
    assert!(!codes(&step.bins[0]).contains(&"burners-apart") && codes(&own.bins[0]).contains(&"burners-apart"));
    let rows = &own.bins[0].firing.as_ref().unwrap().shared;
    assert_eq!(rows.len(), 6);
    let of = |sharing: Sharing| rows.iter().find(|r| r.sharing == sharing).unwrap();
    assert!(of(Sharing::InStep).shared.apart == 0.0 && of(Sharing::OnTheirOwn).shared.apart > 0.0);
    assert!(heat(&[]).bins[0].firing.as_ref().unwrap().shared.is_empty());
}

#[test]
fn the_cold_and_a_larger_burner_find_the_weak_element() {
    let fine = heat(&[]).train.expect("a train");
    assert!(fine.elements.iter().all(equipment::fuel_train::Element::met), "{:?}", fine.elements);
    assert_eq!(fine.sustained, fine.full);
    let tanks = fine.tanks.as_ref().unwrap();
    assert!(tanks.rows.windows(2).all(|w| w[0].air <= w[1].air) && tanks.rows.iter().all(|r| r.filled > r.lowest));
    assert!((tanks.stock.usable / (tanks.facts.capacity * 0.55) - 1.0).abs() < 1e-9);
    let large = heat(&[("400000 Btu/h", "1.6 MMBtu/h")]);
    let train = large.train.unwrap();
    assert!(train.sustained < train.full, "one hole of 0.14 in. and one tank do not feed four times the fire");
    let said: Vec<&str> = large.remarks.0.iter().map(|r| r.code.as_str()).collect();
    for code in ["supply-short", "orifice-short", "train-under-fires"] {
        assert!(said.contains(&code), "{code}: {said:?}");
    }
    // Twice the tanks boil twice as much; a vaporizer feeds what the tanks cannot boil.
    let two = heat(&[("400000 Btu/h", "1.6 MMBtu/h"), ("count = 1", "count = 2")]).train.unwrap();
    assert!((two.elements[0].have / train.elements[0].have - 2.0).abs() < 1e-9);
    let thin = heat(&[("pipe = \"3/4\"\nlength = \"80 ft\"", "inside = \"0.2 in\"\nlength = \"80 ft\"")]);
    assert!(thin.remarks.0.iter().any(|r| r.code == "pipe-short"), "{:?}", thin.remarks);
    assert_eq!(thin.train.unwrap().smallest[0].1, Some("1/2"));
}

#[test]
fn liquid_feed_and_altitude() {
    let liquid = heat(&[
        ("feed = \"vapor\" ", "feed = \"liquid\"\nvaporizer = { capacity = \"3000 Btu/h\", pressure = \"20 psi\" } "),
        ("elevation = \"213 m\"", "elevation = \"1600 m\""),
    ]);
    let train = liquid.train.as_ref().expect("a train");
    assert!(!train.elements[0].met(), "3,000 Btu/h of coil are too little for 434,000 Btu/h");
    assert!((train.sustained / train.full - train.elements[0].have / train.elements[0].need).abs() < 1e-9);
    let said: Vec<&str> = liquid.remarks.0.iter().map(|r| r.code.as_str()).collect();
    assert!(said.contains(&"liquid-feed") && said.contains(&"altitude-rating"), "{said:?}");
    assert!((train.altitude - (1.0 - 0.04 * 1600.0 / 304.8)).abs() < 1e-9);
    // Thin air takes less heat for the same rise.
    let low = heat(&[]);
    assert!(duty(&liquid).design.hour.per_kelvin() < 0.9 * duty(&low).design.hour.per_kelvin());
}

#[test]
fn without_a_burner_it_says_so() {
    let job = job::open(include_str!("../../job/data/demo.toml"), "demo.toml", &BuiltIn::new()).unwrap();
    let heat = of_site(&job);
    assert!(heat.train.is_none() && heat.bins[0].duty.is_none());
    assert!(codes(&heat.bins[0]).contains(&"no-duty"));
}
