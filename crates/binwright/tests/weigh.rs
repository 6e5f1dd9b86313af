//! The weighing through the built program: what a grower reads, files beside the answer, a signal half way.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const DEMO: &str = include_str!("../../job/data/demo.toml");
const PRICES: &str = r#"electricity = "0.12 $/kWh"
grain = "4.10 $/bu"
ownership = { interest = "6 %", years = 20, repairs = "3 %" }
equipment = { demo-axial-10hp = "4300 $", demo-centrifugal-10hp = "5200 $" }

[goal.remedy]
kind = "custom-drying"
charge_per_point = "0.05 $/bu"
spoiled = "2.00 $/bu"

[bins.north.choose]
fans = ["demo-axial-10hp", "demo-centrifugal-10hp"]
"#;

fn folder(name: &str, more: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("weigh-{name}"));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder for the test");
    let text = DEMO.replace("electricity = \"0.12 $/kWh\"\n", &format!("{PRICES}{more}\n"));
    std::fs::write(folder.join("site.toml"), text).expect("site");
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_binwright"));
    program.current_dir(folder).args(arguments).output().expect("the built program starts")
}

#[test]
fn a_grower_reads_units_of_one_system_and_finds_the_files() {
    let folder = folder("files", "");
    for wrong in ["site.toml", "nowhere/w.xlsx"] {
        let refused = run(&folder, &["weigh", "site.toml", "--xlsx", wrong]);
        assert_eq!(refused.status.code(), Some(2), "{wrong}");
        assert!(refused.stdout.is_empty(), "{wrong} is refused before the work");
    }
    let output = run(&folder, &["weigh", "site.toml", "--units", "us", "--xlsx", "w.xlsx", "--plots", "plots"]);
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(matches!(output.status.code(), Some(0 | 1)), "{text}");
    assert!(text.contains("worth a look") && text.contains("held against"), "{text}");
    for leak in [" Pa", " kg", " t ", "a tonne"] {
        assert!(!text.contains(leak), "{leak:?} in\n{text}");
    }
    assert!(std::fs::read(folder.join("w.xlsx")).expect("workbook").starts_with(b"PK"));
    let picture = std::fs::read_to_string(folder.join("plots/front-north.svg")).expect("picture");
    assert!(picture.starts_with("<svg") && picture.contains("cost, USD/bu"));
    // Nothing of the writing is left beside them.
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("folder")
        .map(|entry| entry.expect("entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(names, ["plots", "site.toml", "w.xlsx"]);
}

#[cfg(unix)]
#[test]
fn a_signal_ends_the_race_with_what_is_known() {
    use std::process::Stdio;
    // Many settings, each a race of its own: longer than it takes to be stopped.
    let fills: Vec<String> =
        (1..=12).map(|days| format!("{{ days = {days} }}, {{ share = \"{} %\" }}", 60 + 3 * days)).collect();
    let folder = folder("signal", &format!("fillings = [{}]\nmost_fans = 4", fills.join(", ")));
    let mut program = Command::new(env!("CARGO_BIN_EXE_binwright"));
    program.current_dir(&folder).args(["weigh", "site.toml", "--exact", "--matters", "--json"]).stdout(Stdio::piped());
    let child = program.spawn().expect("the built program starts");
    std::thread::sleep(std::time::Duration::from_millis(3000));
    Command::new("kill").args(["-INT", &child.id().to_string()]).status().expect("kill");
    let output = child.wait_with_output().expect("output");
    assert_eq!(output.status.code(), Some(130));
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("one JSON document on stdout");
    assert_eq!((&document["schema"], &document["partial"]), (&"weigh/1".into(), &true.into()));
    let years = document["years"].as_array().expect("years").len() as u64;
    for place in document["front"].as_array().expect("front") {
        let outfit = &document["outfits"][place.as_u64().expect("place") as usize];
        assert_eq!(outfit["years_run"].as_u64(), Some(years), "every outfit shown on the front has run all years");
    }
}
