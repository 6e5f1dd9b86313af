//! The invented demonstration catalogue as a file, so that users see the form: it says what the compiled-in one says.
//!
//! The committed file is written by this test under `WRITE_GOLDEN`.

use equipment::{Burner, Fan, Firing, Fuel, Origin};
use job::{catalogue::kind_word, read_catalogue};
use notice::quantity::{BTU_J, CFM_M3_S, HORSEPOWER_W, INCH_WATER_PA};
use std::fmt::Write as _;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo-catalogue.toml");

const HEAD: &str = r#"# DEMO: invented fans and burners, physically plausible, of no maker. Not for buying by.
#
# The form of a catalogue: put a file like this beside your site file as catalogue.toml. Points stand in order of falling
# airflow: static pressure, airflow, shaft power (may be left out for all points: it is then estimated and marked so),
# all at the rated density. Airflow must fall from point to point; where pressure falls again the fan stalls.
# Real ones also say source = "...", date = "2019-06" (of the data) and rating = "..." (conditions, how measured).
"#;

fn fan(fan: &Fan) -> String {
    let mut text = format!("\n[fans.{}]\nkind = \"{}\"\norigin = \"invented\"\n", fan.id, kind_word(fan.kind));
    // Motors come in halves of a horsepower.
    let motor = (2.0 * fan.motor_power / HORSEPOWER_W).round() / 2.0;
    let _ = writeln!(text, "motor = \"{motor} hp\"\nspeed = {:.0} # rpm", 60.0 * fan.speed);
    let _ = writeln!(text, "rated_density = \"{} kg/m3\"\npoints = [", fan.curve.rated_density);
    for (point, _) in fan.curve.points() {
        let _ = writeln!(
            text,
            "    [\"{:.2} in wc\", \"{:.0} cfm\", \"{:.2} hp\"],",
            point.pressure / INCH_WATER_PA,
            point.airflow / CFM_M3_S,
            point.shaft_power.unwrap() / HORSEPOWER_W
        );
    }
    text + "]\n"
}

fn burner(burner: &Burner) -> String {
    let fuel = match burner.fuel {
        Fuel::Propane => "propane",
        Fuel::NaturalGas => "natural-gas",
        Fuel::Electric => "electric",
    };
    let firing = match burner.firing {
        Firing::OnOff => "on-off",
        Firing::HighLow => "high-low",
        Firing::Modulating => "modulating",
    };
    let capacity = match burner.fuel {
        Fuel::Electric => format!("{:.0} kW", burner.capacity / 1000.0),
        _ => format!("{:.0} Btu/h", burner.capacity * 3600.0 / BTU_J),
    };
    let mut text = format!("\n[burners.{}]\ninvented = true\ncapacity = \"{capacity}\"\n", burner.id);
    let _ = writeln!(text, "fuel = \"{fuel}\"\nside = \"discharge\"\nfiring = \"{firing}\"");
    if burner.minimum_fire < 1.0 {
        let _ = writeln!(text, "minimum_fire = \"{:.0} %\"", 100.0 * burner.minimum_fire);
    }
    if let Some(efficiency) = burner.indirect_efficiency {
        let _ = writeln!(text, "indirect_efficiency = \"{:.0} %\"", 100.0 * efficiency);
    }
    if let Some(limit) = burner.temperature_limit {
        let _ = writeln!(text, "temperature_limit = \"{limit} °C\"");
    }
    text
}

#[test]
fn the_file_says_what_the_compiled_in_catalogue_says() {
    let (fans, burners) = (equipment::demo::demo_catalogue(), equipment::demo::demo_burners());
    if std::env::var_os("WRITE_GOLDEN").is_some() {
        let body: String = fans.iter().map(fan).chain(burners.iter().map(burner)).collect();
        std::fs::write(FILE, format!("{HEAD}{body}")).unwrap();
    }
    let text = std::fs::read_to_string(FILE).unwrap();
    let read = read_catalogue(&text, "demo-catalogue.toml").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(read.fans.len(), fans.len());
    for (got, want) in read.fans.iter().zip(&fans) {
        assert_eq!((&got.id, got.kind, got.origin), (&want.id, want.kind, Origin::Invented));
        assert!((got.motor_power / want.motor_power - 1.0).abs() < 1e-4, "{}", got.id);
        assert!((got.speed - want.speed).abs() < 1e-9, "{}", got.id);
        assert_eq!((got.motor_in_air, got.service_factor), (want.motor_in_air, want.service_factor), "{}", got.id);
        assert!(got.curve.power_band.is_none(), "{}", got.id);
        let pairs: Vec<_> = got.curve.points().zip(want.curve.points()).collect();
        assert_eq!(pairs.len(), want.curve.points().count(), "{}", got.id);
        for ((a, steady), (b, wanted)) in pairs {
            // Half of the last digit written: 0.005 in. of water, 0.5 cfm, 0.005 hp.
            assert!((a.pressure - b.pressure).abs() <= 0.0051 * INCH_WATER_PA, "{} {a:?} {b:?}", got.id);
            assert!((a.airflow - b.airflow).abs() <= 0.51 * CFM_M3_S, "{} {a:?} {b:?}", got.id);
            let power = a.shaft_power.unwrap() - b.shaft_power.unwrap();
            assert!(power.abs() <= 0.0051 * HORSEPOWER_W, "{} {a:?} {b:?}", got.id);
            assert_eq!(steady, wanted, "{}", got.id);
        }
    }
    assert_eq!(read.burners.len(), burners.len());
    for (got, want) in read.burners.iter().zip(&burners) {
        assert!((got.capacity / want.capacity - 1.0).abs() < 1e-5, "{}", got.id);
        let mut rest = got.clone();
        rest.capacity = want.capacity;
        assert_eq!(&rest, want);
    }
}

#[test]
fn every_table_says_that_it_is_invented() {
    let text = std::fs::read_to_string(FILE).unwrap();
    assert!(text.starts_with("# DEMO: invented"));
    let read = read_catalogue(&text, "demo-catalogue.toml").unwrap();
    assert!(read.fans.iter().all(|fan| fan.origin == Origin::Invented));
    assert!(read.burners.iter().all(|burner| burner.invented));
}
