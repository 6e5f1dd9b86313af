//! Case files of a column, read and run: against columns solved in time by another method, with the fan off, and refused.

use job::column::{self, ColumnJob};
use notice::{Diagnostics, UnitSystem};
use season::column::{ColumnRun, run};
use std::{fs, io, path::PathBuf};

fn repository() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn nothing_beside(_: &str) -> io::Result<String> {
    Err(io::ErrorKind::NotFound.into())
}

fn read(text: &str) -> Result<ColumnJob, Diagnostics> {
    column::read("case.toml", text, &nothing_beside)
}

fn refused(text: &str) -> String {
    read(text).map(|_| ()).expect_err("a refusal").to_string()
}

fn wet(m: f64) -> f64 {
    100.0 * m / (1.0 + m)
}

/// Rows of a table below its comments and head.
fn table(path: &str) -> Vec<Vec<f64>> {
    let text = fs::read_to_string(repository().join(path)).expect("a committed table");
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|row| row.split(',').map(|cell| cell.parse().expect("a number")).collect()).collect()
}

/// Runs a case of `validation/stiff` with a share that the air sees.
fn stiff(name: &str, sees: &str) -> ColumnRun {
    let folder = repository().join("validation/stiff/cases");
    let text = fs::read_to_string(folder.join(format!("{name}.toml"))).expect("a committed case");
    let text = format!("air_sees = {sees}\n{text}");
    let beside = |table: &str| fs::read_to_string(folder.join(table));
    run(&column::read(name, &text, &beside).expect("a sound case").case)
}

/// The same layers solved in time by SciPy's BDF (`validation/stiff/reference.py`, versions in the heads of the tables):
/// within 0.05 points and 0.1 K in every layer, in the mean and in the leaving air.
fn agrees(name: &str, sees: &str) {
    let run = stiff(name, sees);
    let expected = |what: &str| table(&format!("validation/stiff/expected/{name}.sees-{sees}.{what}.csv"));
    let profile = |hour: f64| run.profiles.iter().find(|p| p.hour == hour).expect("an hour of the case");
    let (mut points, mut kelvins, mut compared) = (0.0f64, 0.0f64, 0);
    for row in expected("profile") {
        let at = &profile(row[0]).at[row[1] as usize];
        assert!((at.depth - row[2]).abs() < 1e-9, "{name}: the depths of the case are the layers");
        points = points.max((wet(at.moisture) - row[6]).abs());
        kelvins = kelvins.max((at.temperature - row[7]).abs());
        compared += 1;
    }
    for row in expected("exhaust") {
        let shown = profile(row[0]);
        let exhaust = shown.exhaust.expect("air moved");
        points = points.max((wet(shown.mean_moisture) - row[1]).abs());
        kelvins = kelvins.max((exhaust.temperature - row[2]).abs());
        compared += 1;
    }
    assert!(compared > 100, "{name}: only {compared} values");
    assert!(points <= 0.05 && kelvins <= 0.1, "{name}, air sees {sees}: {points:.4} points, {kelvins:.4} K");
    assert!(run.water_residual < 1e-9 && run.energy_residual < 1e-9, "{run:?}");
    println!("{name}, air sees {sees}: {points:.4} points, {kelvins:.4} K over {compared} values");
}

#[test]
fn corn_in_natural_air_agrees_with_a_stiff_solver() {
    agrees("corn-natural-air", "1");
    agrees("corn-natural-air", "0.6");
}

#[test]
fn wheat_under_a_daily_swing_agrees_with_a_stiff_solver() {
    agrees("wheat-swinging-inlet", "1");
    agrees("wheat-swinging-inlet", "0.6");
}

#[test]
fn warm_shallow_corn_agrees_with_a_stiff_solver() {
    agrees("corn-warm-bed", "1");
}

#[test]
fn cold_corn_wetted_by_warm_air_agrees_with_a_stiff_solver() {
    agrees("corn-cold-bed", "1");
}

/// A bed of corn under a table: cold air for a day, the fan off for a day, dry air after that.
const PAUSE: &str = r#"crop = "corn"
kinetics = "equilibrium"
depth = "2 m"
dry_matter_density = "600 kg/m3"
dry_air_flux = "9 kg/s/m2"
moisture = "15 %"
grain_temperature = "25 C"
layers = 40
hours = [0, 24, 36, 48, 96]
depths = ["0.025 m", "1 m", "1.975 m"]
[inlet]
table = "air.csv"
"#;

#[test]
fn with_the_fan_off_heat_spreads_and_water_stays() {
    let air = "hour,air_c,humidity_ratio,dry_air_flux_kg_s_m2\n-5,5,0.0045,0.05\n24,30,0.0045,0\n48,15,0.004,0.05\n";
    let job = column::read("case.toml", PAUSE, &|name| {
        assert_eq!(name, "air.csv");
        Ok(air.to_string())
    })
    .expect("a sound case");
    let found = run(&job.case);
    let at = |hour: f64| found.profiles.iter().find(|p| p.hour == hour).expect("an hour of the case");
    assert!(at(0.0).exhaust.is_none() && at(24.0).exhaust.is_some());
    assert_eq!(at(0.0).at[1].temperature, 25.0);
    assert!(at(24.0).at[0].temperature < 10.0, "the inlet side is cool after a day: {:?}", at(24.0));
    // Nothing enters or leaves: water stays but for what respiration makes, and differences of temperature shrink.
    let apart = |hour: f64| at(hour).at[2].temperature - at(hour).at[0].temperature;
    assert!(apart(48.0) < apart(36.0) && apart(36.0) < apart(24.0), "{:?}", found.profiles);
    assert!((at(48.0).mean_moisture - at(24.0).mean_moisture).abs() < 1e-4);
    assert!(at(96.0).mean_moisture < at(48.0).mean_moisture, "air moves again and dries");
    assert!(at(96.0).at[0].life_strict > at(48.0).at[0].life_strict, "life is used");
    assert!(found.water_residual < 1e-9 && found.energy_residual < 1e-9, "{found:?}");
    let said: Vec<String> = job.remarks_on(&found).0.iter().map(|r| r.says.render(UnitSystem::Si)).collect();
    for words in ["dry_air_flux of the case is not used", "with the fan off"] {
        assert!(said.iter().any(|s| s.contains(words)), "{words}: {said:?}");
    }
}

/// A case with the keys that must be there, and room for one line more.
fn least(line: &str) -> String {
    format!(
        "crop = \"soybean\"\ndepth = \"4 m\"\nvelocity = \"0.1 m/s\"\nmoisture = \"17 %\"\ngrain_temperature = \"18 C\"\n\
         hours = [1]\n{line}\n[inlet]\nair = \"15 C\"\nrelative_humidity = \"50 %\"\n"
    )
}

#[test]
fn what_is_left_out_comes_from_the_crop_and_is_said() {
    let job = read(&least("")).expect("a sound case");
    let crop = crops::Library::built_in();
    let (soybean, _) = crop.find("soybean").expect("a built-in crop");
    assert_eq!(job.case.layers, 400);
    assert_eq!(job.relation.id, soybean.isotherm(None).expect("recorded").id);
    assert_eq!(job.case.dry_density, soybean.dry_matter_density(0.17).expect("recorded"));
    assert!(job.case.shrink > 0.0 && job.case.adsorption_gap > 0.0 && job.case.respiration.is_none());
    // One point of wet basis at 17 %: 0.01 / 0.83².
    assert!((job.case.adsorption_gap - 0.01 / 0.83f64.powi(2)).abs() < 1e-12);
    // 0.1 m/s of air of 0.823 m³ per kg of dry air: 287.042 × 288.15 × (1 + 1.6078 × 0.0053) / 101 325.
    assert!((job.case.inlet[0].flux - 0.1 / 0.8230).abs() < 2e-4, "{}", job.case.inlet[0].flux);
    let codes: Vec<&str> = job.remarks.0.iter().map(|r| r.code.as_str()).collect();
    assert!(["crop-kinetics-bounded", "adsorption-gap", "bed-shrinks"].iter().all(|c| codes.contains(c)), "{codes:?}");
    assert!(read(&least("kinetics = \"equilibrium\"")).expect("sound").case.adsorption_gap == 0.0);
    assert!(read(&least("dry_matter_density = \"610 kg/m3\"")).expect("sound").case.shrink == 0.0);
    assert!(
        read(&least("sorption_heat = false")).expect("sound").case.sorption == physics::sorption::SorptionHeat::NONE
    );
}

/// A law with a velocity takes that of the inlet air where none is stated, and rests below equilibrium unless told else.
#[test]
fn a_literal_law_takes_the_velocity_of_the_air_and_only_dries() {
    let text = least("kinetics = \"TL-C1\"").replace("soybean", "corn").replace("4 m", "0.2 m").replace("17 %", "9 %");
    let text = text.replace("\"50 %\"", "\"85 %\"").replace("hours = [1]", "hours = [12]\nlayers = 10");
    let rests = read(&text).expect("a sound case");
    let season::column::Exchange::Literal { velocity, .. } = rests.case.exchange else { panic!("a literal law") };
    assert!((velocity - 0.1).abs() < 1e-12);
    let before = rests.case.moisture;
    let after = |job: &ColumnJob| run(&job.case).profiles[0].mean_moisture;
    assert!((after(&rests) - before).abs() < 1e-9, "dry grain in humid air rests");
    let wets = after(&read(&text.replace("layers", "rewetting = \"same\"\nlayers")).expect("a sound case"));
    assert!(wets > before + 0.01, "{wets}");
}

#[test]
fn every_fault_of_a_case_is_said_at_once() {
    let text = "crop = \"soybeen\"\ndepht = \"4 m\"\ndepth = \"0 m\"\nvelocity = \"0.1 m/s\"\nairflow = \"1 cfm/bu\"\n\
                moisture = \"118 %\"\ngrain_temperature = \"18\"\nlayers = 1000000\nhours = [2, nan, 1]\ndepths = [1.5]\n\
                humidity_cap = inf\nrewetting = \"often\"\nkinetics = \"TL-X9\"\nstep = 60\n[inlet]\nair = \"15 C\"\n\
                relative_humidity = \"150 %\"\ntabel = \"x\"\n";
    let found = refused(text);
    // The first line lists all crops; their tests hold it.
    let (first, rest) = found.split_once('\n').expect("several lines");
    assert!(first.starts_with("error: unknown crop \"soybeen\", must be one of "), "{first}");
    assert_eq!(rest.trim_end(), include_str!("snapshots/column-faults.txt").trim_end());
}

#[test]
fn faults_of_a_table_name_its_lines() {
    let air = "hour,air_c,humidity\n0,5,0.0045\n";
    let table = |air: &'static str| {
        let found = column::read("case.toml", PAUSE, &|_| Ok(air.to_string()));
        found.map(|_| ()).expect_err("a refusal").to_string()
    };
    assert!(table(air).contains("no column humidity_ratio\n  at air.csv, line 1"), "{}", table(air));
    let found = table("hour,air_c,humidity_ratio\n1,5,0.004\n\n# pause\n0,nan,0.004\n2,5\n3,5,0.02\n3,6,0.004\n");
    for words in [
        "first hour 1, must be 0 or earlier",
        "air_c of \"nan\", must be a number from -50 to 150\n  at air.csv, line 5",
        "humidity_ratio of nothing, must be a number from 0 to 1\n  at air.csv, line 6",
        "humidity_ratio of 0.02 at 5 °C, must not be above saturation\n  at air.csv, line 7",
        "hour 3, must be later than in the row before\n  at air.csv, line 8",
    ] {
        assert!(found.contains(words), "{words}:\n{found}");
    }
    assert!(table("").contains("no column hour"), "{}", table(""));
    assert!(table("hour,air_c,humidity_ratio\n").contains("holds no usable row"));
}

#[test]
fn a_table_lies_beside_the_case_and_nowhere_else() {
    for name in ["../air.csv", "/etc/hostname", "a/b.csv", "..", "", "C:air.csv", "a\\\\b.csv"] {
        let text = PAUSE.replace("air.csv", name);
        let found = column::read("case.toml", &text, &|name| panic!("{name} was opened"));
        let found = found.map(|_| ()).expect_err("a refusal").to_string();
        assert!(found.contains("must be the plain name of a file beside the case"), "{found}");
    }
    assert!(refused(PAUSE).contains("\"air.csv\" cannot be read"));
}

#[test]
fn runs_without_end_are_refused() {
    let found = refused(&least("step = \"0.1 s\"").replace("[1]", "[9000]"));
    assert!(found.contains("400 layers times 324000000 steps, must be 500 million layer steps at most"), "{found}");
    assert!(found.contains("line 7, field step"), "{found}");
    let found = refused(&least("layers = 5001"));
    assert!(found.contains("layers is the number 5001, must be from 1 to 5000"), "{found}");
    assert!(refused("crop = \n").contains("line 1"));
    assert!(refused("").contains("has no crop"));
}

proptest::proptest! {
    /// Whatever a file holds, it is read or refused; nothing panics.
    #[test]
    fn no_text_breaks_the_reader(
        key in proptest::sample::select(column::KEYS),
        value in "(\"?[-0-9.eE]{0,12} ?[a-zA-Z%/0-9]{0,8}\"?|\\[[-0-9., naif\"]{0,20}\\]|true|\\PC{0,20})",
    ) {
        let _ = read(&format!("{key} = {value}\n{}", least("")));
        let rest: String = least("").lines().filter(|l| !l.starts_with(key)).map(|l| format!("{l}\n")).collect();
        let _ = read(&format!("{key} = {value}\n{rest}"));
        let _ = column::read("case.toml", PAUSE, &|_| Ok(format!("hour,air_c,humidity_ratio\n{value},{value}\n0,{value},0.001\n")));
    }
}

#[test]
fn an_airflow_per_tonne_is_that_of_the_density_as_filled() {
    let case = |airflow: &str, density: &str| {
        format!(
            "crop = \"corn\"\ndepth = \"4 m\"\nairflow = \"{airflow}\"\nmoisture = \"20 %\"\ngrain_temperature = \"18 C\"\n{density}hours = [1]\ndepths = [\"1 m\"]\n[inlet]\nair = \"15 C\"\nrelative_humidity = \"50 %\"\n"
        )
    };
    let flux = |text: &str| read(text).unwrap_or_else(|e| panic!("{e}")).case.inlet[0].flux;
    // 600 kg of dry matter are 750 kg of moist grain at 20 %: a tonne fills 4/3 m³.
    let stated = "dry_matter_density = \"600 kg/m3\"\n";
    let ratio = flux(&case("0.8 m3/min/t", stated)) / flux(&case("0.6 m3/min/m3", stated));
    assert!((ratio - 1.0).abs() < 1e-12, "{ratio}");
    let own = read(&case("0.8 m3/min/t", "")).unwrap();
    assert!(own.remarks.0.iter().any(|r| r.code == "airflow-per-mass"));
    let refused = refused(&case("8000 m3/min/t", stated));
    assert!(refused.contains("airflow"), "{refused}");
}
