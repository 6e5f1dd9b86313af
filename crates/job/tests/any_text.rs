//! Whatever text comes in, nothing panics and every refusal of a file says on which line.

use job::{BuiltIn, FolderLibrary, Library, parse, prices, read_catalogue, read_site};
use notice::Kind;
use proptest::prelude::*;
use std::sync::OnceLock;

const GOLDEN: &str = include_str!("golden/site-v1.toml");
const CATALOGUE: &str = "[fans.barn]\nkind = \"tube-axial\"\nmotor = \"10 hp\"\nspeed = 1750\n\
    points = [[\"0 in wc\", \"12000 cfm\"], [\"4 in wc\", \"9000 cfm\"]]\n";

fn library() -> &'static BuiltIn {
    static LIBRARY: OnceLock<BuiltIn> = OnceLock::new();
    LIBRARY.get_or_init(BuiltIn::new)
}

const KINDS: [Kind; 12] = [
    Kind::Length,
    Kind::Area,
    Kind::Airflow,
    Kind::SpecificAirflow,
    Kind::Pressure,
    Kind::Temperature,
    Kind::MoistureWetBasis,
    Kind::MoistureDryBasis,
    Kind::HumidityRatio,
    Kind::HeatRate,
    Kind::Hours,
    Kind::Number,
];

fn all_readers(text: &str) {
    for kind in KINDS {
        if let Ok(value) = parse::quantity(kind, text) {
            assert!(value.is_finite(), "{kind:?} {text:?}");
        }
    }
    let _ = (parse::amount(text), parse::month_day(text), parse::utc_offset(text), parse::clock_hour(text));
    let _ = (parse::points(text), parse::moisture(text));
    let _ = prices::electricity_price(text, "USD");
    let _ = prices::fuel_price(text, "USD", &physics::combustion::PROPANE);
}

fn files(text: &str) {
    for found in [read_site(text, "any.toml", library()).err(), read_catalogue(text, "any.toml").err()] {
        let Some(found) = found else { continue };
        assert!(found.stop());
        for diagnostic in found.0 {
            assert!(diagnostic.at.line.is_some_and(|line| line >= 1), "{diagnostic:?}");
            assert!(!diagnostic.found.is_empty());
        }
    }
}

/// A copy of a text with one stretch of characters replaced.
fn mutilated(text: &str, at: usize, length: usize, put: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let start = at % chars.len();
    let end = (start + length).min(chars.len());
    chars[..start].iter().collect::<String>() + put + &chars[end..].iter().collect::<String>()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_a_quantity_or_refused(text in any::<String>()) {
        all_readers(&text);
    }

    #[test]
    fn texts_that_look_like_quantities(text in "[-+−]?[0-9.,eE]{0,8}[ \u{a0}]?[A-Za-z%°/'\".²³µ$¢€()]{0,10}[0-9 ]{0,4}[a-z]{0,3}") {
        all_readers(&text);
    }

    #[test]
    fn any_text_is_a_file_or_refused_with_lines(text in any::<String>()) {
        files(&text);
    }

    #[test]
    fn mutilated_files_are_read_or_refused_with_lines(
        at in 0usize..5000, length in 0usize..40, put in "[ -~é\n]{0,12}",
    ) {
        files(&mutilated(GOLDEN, at, length, &put));
        files(&mutilated(CATALOGUE, at, length, &put));
    }

    #[test]
    fn values_of_any_kind_anywhere(line in 0usize..GOLDEN.lines().count(), value in prop::sample::select(vec![
        "\"\"", "1", "-1.5", "nan", "inf", "true", "[]", "[[]]", "{}", "[{}]", "\"é\"", "1979-05-27", "\"1e400 m\"",
    ])) {
        let lines: Vec<String> = GOLDEN.lines().enumerate().map(|(i, text)| match text.split_once(" = ") {
            Some((key, _)) if i == line => format!("{key} = {value}"),
            _ => text.to_string(),
        }).collect();
        files(&lines.join("\n"));
    }

    #[test]
    fn a_number_survives_writing_and_reading(value in -1e6..1e6f64) {
        let read = parse::quantity(Kind::TemperatureDifference, &format!("{value} K")).unwrap();
        prop_assert_eq!(read, value);
    }
}

#[test]
fn long_and_deep_texts_are_refused() {
    files(&format!("binwright = {}{}", "[".repeat(50_000), "]".repeat(50_000)));
    files(&format!("a{} = 1", ".a".repeat(50_000)));
    files(&"# long\n".repeat(1_000_000));
    all_readers(&"9".repeat(1_000_000));
    all_readers(&format!("{} ft", "é".repeat(60)));
}

#[test]
fn a_folder_lends_weather_fans_and_crops_by_name() {
    let folder = std::env::temp_dir().join(format!("binwright-library-{}", std::process::id()));
    std::fs::create_dir_all(folder.join("weather/field")).unwrap();
    let hours = |year: i32| {
        let rows: String =
            (0..48).map(|h| format!("{year}-01-{:02}T{:02}:00Z,-3.0,80\n", 1 + h / 24, h % 24)).collect();
        format!("utc,temp_c,rh_pct\n{rows}")
    };
    std::fs::write(folder.join("weather/yard.csv"), hours(2001)).unwrap();
    std::fs::write(folder.join("weather/field/2001.csv"), hours(2001)).unwrap();
    std::fs::write(folder.join("weather/field/2002.csv"), hours(2002)).unwrap();
    std::fs::write(folder.join("catalogue.toml"), CATALOGUE).unwrap();
    let library = FolderLibrary::open(&folder).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(library.weather_names(), ["champaign", "field", "yard"]);
    assert!(library.fans().iter().any(|fan| fan.id == "barn"));
    assert!(library.fans().iter().any(|fan| fan.id == "demo-axial-10hp"));
    let hints = weather::Hints { elevation_m: Some(200.0), utc_offset_s: Some(0), ..weather::Hints::default() };
    let yard = library.weather("yard", &hints).unwrap().unwrap_or_else(|e| panic!("{e}"));
    // 48 instants enclose 47 hours.
    assert_eq!((yard.name.as_str(), yard.len()), ("yard", 47));
    let field = library.weather("field", &hints).unwrap().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(field.years(), [2001, 2002]);
    assert!(library.weather("nowhere", &hints).is_none());
    assert!(library.weather("../yard", &hints).is_none());

    std::fs::write(folder.join("catalogue.toml"), "[fans.barn]\nkind = \"axial\"\nspeed = 1750\n").unwrap();
    let found = FolderLibrary::open(&folder).unwrap_err();
    let codes: Vec<&str> = found.0.iter().map(|d| d.code.as_str()).collect();
    assert!(codes.contains(&"unknown-word") && codes.contains(&"missing-key"), "{found}");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_catalogue_says_what_is_wrong_with_a_curve() {
    let backwards = CATALOGUE.replace("9000 cfm", "13000 cfm").replace("4 in wc", "-1 in wc");
    let found = read_catalogue(&backwards, "catalogue.toml").unwrap_err();
    assert_eq!(found.0[0].code, "fan-curve");
    assert_eq!(found.0[0].at.line, Some(5));
    let fan = &read_catalogue(CATALOGUE, "catalogue.toml").unwrap().fans[0];
    assert!((fan.speed - 1750.0 / 60.0).abs() < 1e-12);
    assert!((fan.curve.most() - 12000.0 * notice::quantity::CFM_M3_S).abs() < 1e-9);
    assert!(fan.curve.power_band.is_some(), "power is estimated and says so");
}
