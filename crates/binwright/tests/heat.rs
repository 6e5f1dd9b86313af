//! `heat SITE` from the outside: what is said in both units, which bins, and bad input.

mod common;

use common::{binwright, demo_site, document, heated_site};
use std::path::PathBuf;

const HEATED: &str = include_str!("../../job/data/heated.toml");

/// A site file of one's own in a folder that goes with it.
struct Own(PathBuf);

impl Own {
    fn new(name: &str, text: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("binwright-heat-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        std::fs::write(folder.join("site.toml"), text).expect("a site");
        Self(folder)
    }

    fn site(&self) -> String {
        format!("'{}'", self.0.join("site.toml").display())
    }
}

impl Drop for Own {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[test]
fn both_units_and_the_cautions() {
    let us = binwright(&format!("heat {}", heated_site()));
    let si = binwright(&format!("heat {} --units si", heated_site()));
    assert_eq!((us.code, si.code), (0, 0), "{} {}", us.stderr, si.stderr);
    for text in [&us.stdout, &si.stdout] {
        for part in [
            "DEMO: invented equipment",
            "Design hour: 99.0 % of the",
            "Through the seasons",
            "Where the burner stands",
            "Ways of firing",
            "Fuel train sheet: propane",
            "a licensed gas fitter and the local code decide",
            "lock out power",
            "never warm a tank with a flame",
        ] {
            assert!(text.contains(part), "{part:?} is not in\n{text}");
        }
    }
    assert!(us.stdout.contains("Btu/h") && us.stdout.contains("psi") && !us.stdout.contains("kPa"));
    assert!(si.stdout.contains("kW") && si.stdout.contains("kPa") && !si.stdout.contains("Btu/h"));
}

#[test]
fn a_bin_without_a_burner_and_a_bin_that_is_not_there() {
    let none = binwright(&format!("heat {} --bin north", demo_site()));
    assert_eq!(none.code, 0);
    assert!(none.stdout.contains("the outfit has no burner"), "{}", none.stdout);
    let wrong = binwright(&format!("heat {} --bin nowhere", demo_site()));
    assert_eq!(wrong.code, 2);
    assert!(wrong.stderr.contains("bins of this site: north"), "{}", wrong.stderr);
}

#[test]
fn what_cannot_be_is_refused_by_line() {
    let own = Own::new("bad", &HEATED.replace("turndown = 4", "turndown = 0.5").replace("\"1000 gal\"", "\"-5 gal\""));
    let ran = binwright(&format!("heat {}", own.site()));
    assert_eq!((ran.code, ran.stdout.as_str()), (2, ""));
    let line = |needle: &str| HEATED.lines().position(|l| l.contains(needle)).expect("a line") + 1;
    for (part, at) in [("turndown of 0.5", line("turndown = 4")), ("above 0", line("\"1000 gal\""))] {
        assert!(ran.stderr.contains(part) && ran.stderr.contains(&format!("line {at},")), "{part}\n{}", ran.stderr);
    }
}

/// A burner larger than its line can feed is no fault of the file: the sheet says what happens in the field.
#[test]
fn a_burner_larger_than_the_line_can_feed() {
    let own = Own::new("large", &HEATED.replace("\"400000 Btu/h\"", "\"2 MMBtu/h\""));
    let ran = binwright(&format!("heat {}", own.site()));
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(ran.stdout.contains("SHORT") && ran.stdout.contains("pressure falls until the flame is that small"));
    let answer = document(&format!("heat {}", own.site()), &[0]);
    let train = &answer["train"];
    assert!(train["sustained_w"].as_f64() < train["full_w"].as_f64());
    let unmet = train["elements"].as_array().expect("elements").iter().filter(|e| e["met"] == false).count();
    assert!(unmet >= 2, "{train}");
}
