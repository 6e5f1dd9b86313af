//! Unusable files through the built program: what a dealer reads, word for word, for every fault a file can have.
//!
//! Everything is compared with `bad_files.txt` beside this file; `UPDATE_SNAPSHOTS=1` writes it anew. Each case must end
//! with exit code 2, say nothing on stdout, fail within seconds and leave the folder as it was.

mod common;

use assert_cmd::Command;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::Duration;

const SITE: &str = include_str!("../../job/data/demo.toml");
const CASE: &str = include_str!("cases/V1.toml");

/// A site with its folder: what is changed in the bundled site, which files lie beside it, what is asked.
struct Case {
    name: &'static str,
    command: &'static [&'static str],
    site: String,
    files: Vec<(&'static str, Vec<u8>)>,
}

fn changed(text: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text.to_string(), |text, (from, to)| {
        assert!(text.contains(from), "{from:?} is in the text to be changed");
        text.replace(from, to)
    })
}

fn site(name: &'static str, changes: &[(&str, &str)]) -> Case {
    Case { name, command: &["prove", "site.toml"], site: changed(SITE, changes), files: Vec::new() }
}

/// The site with a fan of its own, whose points are given.
fn fan(name: &'static str, points: &str) -> Case {
    let own = [("\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"", "\"own\""), ("arrangement = \"parallel\"", "")];
    let catalogue = format!("[fans.own]\nkind = \"tube-axial\"\nmotor = \"10 hp\"\nspeed = 1750\npoints = {points}\n");
    Case { files: vec![("catalogue.toml", catalogue.into_bytes())], ..site(name, &own) }
}

/// The site with weather of its own.
fn weather(name: &'static str, command: &'static [&'static str], file: &'static str, bytes: Vec<u8>) -> Case {
    let own = [("weather = \"champaign\"", "weather = \"own\"")];
    Case { command, files: vec![(file, bytes)], ..site(name, &own) }
}

fn column(name: &'static str, changes: &[(&str, &str)]) -> Case {
    Case { name, command: &["column", "site.toml"], site: changed(CASE, changes), files: Vec::new() }
}

/// Days of made-up weather from a day on, hour by hour.
fn hours(first: (i32, u32), days: usize) -> String {
    let mut text = String::from("utc,temp_c,rh_pct\n");
    let (mut year, mut month, mut day) = (first.0, first.1, 1);
    for _ in 0..days {
        (0..24).for_each(|hour| writeln!(text, "{year}-{month:02}-{day:02}T{hour:02}:00Z,10.0,60").expect("text"));
        day += 1;
        let last = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month as usize - 1];
        if day > last {
            (month, day) = (month + 1, 1);
        }
        if month > 12 {
            (year, month) = (year + 1, 1);
        }
    }
    text
}

/// A typical year in the form of an energy-plus weather file, July to December.
fn typical() -> Vec<u8> {
    let mut text = String::from(
        "LOCATION,Nowhere,-,USA,TMY3,000000,40.0,-88.0,-6.0,213.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n\
         GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,invented\nCOMMENTS 2,invented\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
    );
    for (month, days) in (1..).zip([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]) {
        let year = 1990 + month;
        for day in 1..=days {
            for hour in 1..=24 {
                writeln!(text, "{year},{month},{day},{hour},60,?,10.0,2.6,60,98800").expect("text");
            }
        }
    }
    text.into_bytes()
}

fn cases() -> Vec<Case> {
    let prove: &[&str] = &["prove", "site.toml"];
    let long = hours((2010, 1), 800);
    vec![
        site("missing units", &[("\"36 ft\"", "\"36\""), ("\"15000 bu\"", "15000"), ("\"213 m\"", "\"213\"")]),
        site("moisture of 118 %", &[("\"20 %\"", "\"118 %\"")]),
        site(
            "not a number, infinity, too large",
            &[("\"36 ft\"", "nan"), ("\"24 ft\"", "inf"), ("\"20 %\"", "\"1e400 %\"")],
        ),
        site("bin without height", &[("\"24 ft\"", "\"0 ft\"")]),
        site("negative diameter", &[("\"36 ft\"", "\"−36 ft\"")]),
        site("lot larger than the bin", &[("\"15000 bu\"", "\"150000 bu\"")]),
        site("film of grain", &[("\"15000 bu\"", "\"1e-9 bu\"")]),
        site("dry before the last load", &[("by = \"12-15\"", "by = \"10-12\"")]),
        site("held until before it is dry", &[("hold_until = \"04-15\"", "hold_until = \"12-01\"")]),
        site("four thousand million days", &[("days = 4", "days = 4000000000\nloads_per_day = 1000000")]),
        site("newer format", &[("binwright = 1", "binwright = 2")]),
        site(
            "unknown keys and wrong kinds",
            &[("eave =", "eaves ="), ("cored = true", "cored = \"yes\""), ("[prices]", "[price]")],
        ),
        site("the same key twice", &[("name = \"demo\"", "name = \"demo\"\nname = \"other\"")]),
        site("a way out of the folder", &[("\"champaign\"", "\"../../etc/passwd\"")]),
        site("names that command a terminal", &[("bins.north", "bins.\"\\u001b[31m\\u202e\"")]),
        site("a price of any size", &[("\"0.12 $/kWh\"", "\"1e300 $/kWh\"")]),
        fan("curve of one point", "[[\"0 in wc\", \"12000 cfm\"]]"),
        fan(
            "curve going backwards",
            "[[\"0 in wc\", \"12000 cfm\"], [\"2 in wc\", \"9000 cfm\"], [\"4 in wc\", \"9500 cfm\"]]",
        ),
        fan("curve of bare numbers", "[[0, 12000], [2, 9000]]"),
        fan("curve off the scale", "[[\"0 in wc\", \"1e300 cfm\"], [\"-1 in wc\", \"9000 cfm\"]]\nmotr = 3"),
        weather("weather cut in the middle", prove, "weather/own.csv", long.as_bytes()[..long.len() - 5].to_vec()),
        weather("typical year to prove", prove, "weather/own.epw", typical()),
        weather("typical year to weigh", &["weigh", "site.toml"], "weather/own.epw", typical()),
        weather(
            "typical year to draw limits from",
            &["limit", "site.toml", "--for", "depth"],
            "weather/own.epw",
            typical(),
        ),
        weather("no complete season to prove", prove, "weather/own.csv", hours((2010, 1), 300).into_bytes()),
        weather("year without data", &["season", "site.toml", "--year", "2015"], "weather/own.csv", long.into_bytes()),
        weather("no weather at all", prove, "weather/own/.hidden", Vec::new()),
        column("a million layers", &[("hours =", "layers = 1000000\nhours =")]),
        column(
            "step, depth and hours out of reason",
            &[
                ("depth = \"4.5 m\"", "depth = \"0.001 m\"\nstep = \"1e-9 s\""),
                ("[120, 240, 360, 480, 600]", "[24, nan, 1e400, -1]"),
            ],
        ),
        Case {
            files: vec![("air.csv", b"hour,air_c,humidity_ratio\n0,15,0.005\n5,nan,0.005\n3,15,0.5\n".to_vec())],
            ..column("table of air", &[("air = \"10.56 C\"\nrelative_humidity = \"50 %\"", "table = \"air.csv\"")])
        },
        Case {
            files: vec![("air.csv", b"hour;air_c;humidity_ratio\n0;15;0,005\n".to_vec())],
            ..column(
                "table with semicolons",
                &[("air = \"10.56 C\"\nrelative_humidity = \"50 %\"", "table = \"air.csv\"")],
            )
        },
    ]
}

/// An empty folder for one test case.
fn fresh(name: &str) -> PathBuf {
    let plain: String = name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bad-files").join(plain);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("folder");
    folder
}

fn run_in(folder: &Path, command: &[&str]) -> std::process::Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_binwright"));
    program
        .current_dir(folder)
        .args(command)
        .timeout(Duration::from_secs(60))
        .output()
        .expect("the built program starts")
}

fn listed(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("folder");
    let mut names: Vec<String> = entries.flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn every_fault_is_told_as_written_down() {
    let mut told = String::new();
    for case in cases() {
        let folder = fresh(case.name);
        std::fs::write(folder.join("site.toml"), &case.site).expect("site");
        for (file, bytes) in &case.files {
            let path = folder.join(file);
            std::fs::create_dir_all(path.parent().expect("folder")).expect("folder");
            std::fs::write(path, bytes).expect("file");
        }
        let before = listed(&folder);
        let output = run_in(&folder, case.command);
        let stderr = String::from_utf8(output.stderr).expect("text");
        assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0), "{}: {stderr}", case.name);
        assert!(stderr.starts_with("error: ") && stderr.contains("\n  at "), "{}: {stderr}", case.name);
        assert!(!stderr.contains("fault of the program"), "{}: {stderr}", case.name);
        assert_eq!(listed(&folder), before, "{}", case.name);
        writeln!(told, "### {}\n{stderr}", case.name).expect("text");
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_files.txt");
    if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
        std::fs::write(&path, &told).expect("snapshot");
    }
    let written = std::fs::read_to_string(&path).expect("snapshot");
    assert_eq!(told, written);
}

#[test]
fn a_file_without_end_is_refused() {
    if cfg!(not(unix)) {
        return;
    }
    let folder = fresh("without end");
    for command in [["survey", "/dev/zero"], ["column", "/dev/zero"]] {
        let output = run_in(&folder, &command);
        assert_eq!(output.status.code(), Some(2), "{command:?}");
    }
}

/// A pipe that nobody writes to once kept the program waiting for ever.
#[cfg(unix)]
#[test]
fn a_pipe_is_refused_and_not_waited_for() {
    let folder = fresh("pipe");
    let made = std::process::Command::new("mkfifo").arg(folder.join("pipe.toml")).status().expect("mkfifo runs");
    assert!(made.success());
    for command in ["survey", "column"] {
        let output = run_in(&folder, &[command, "pipe.toml"]);
        let stderr = String::from_utf8(output.stderr).expect("text");
        assert_eq!(output.status.code(), Some(2), "{command}: {stderr}");
        assert!(stderr.contains("a pipe or device in place of a file"), "{command}: {stderr}");
    }
}

#[test]
fn thousands_of_faults_are_counted_and_not_all_written() {
    let folder = fresh("thousands");
    let keys: Vec<String> = (0..50_000).map(|i| format!("key{i} = 1")).collect();
    // On one line: the place of each key must not be counted from its beginning again.
    std::fs::write(folder.join("site.toml"), format!("goal = {{{}}}", keys.join(", "))).expect("site");
    let output = run_in(&folder, &["survey", "site.toml"]);
    let stderr = String::from_utf8(output.stderr).expect("text");
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr.lines().count() < 500 && stderr.contains("more faults of this text"), "{}", stderr.lines().count());
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_with_what_is_known() {
    use std::process::{Command, Stdio};
    let folder = fresh("interrupt");
    let case = changed(CASE, &[("[120, 240, 360, 480, 600]", "[1, 50000]"), ("hours =", "layers = 200\nhours =")]);
    std::fs::write(folder.join("case.toml"), case).expect("case");
    let mut child = Command::new(env!("CARGO_BIN_EXE_binwright"));
    child.current_dir(&folder).args(["column", "case.toml", "--json"]).stdout(Stdio::piped());
    let child = child.spawn().expect("the built program starts");
    std::thread::sleep(Duration::from_millis(1500));
    Command::new("kill").args(["-INT", &child.id().to_string()]).status().expect("kill");
    let output = child.wait_with_output().expect("output");
    assert_eq!(output.status.code(), Some(130));
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("one JSON document on stdout");
    assert_eq!(document["partial"], true);
    assert_eq!(document["profiles"].as_array().map(Vec::len), Some(1), "{document}");
}
