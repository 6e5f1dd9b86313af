//! Site files as people write them: what is read, what is refused, on which line, with which remedy.

use job::facts::{Amount, Filling, MonthDay};
use job::{BuiltIn, read_site};
use notice::{Diagnostic, Diagnostics};

const PLAIN: &str = include_str!("data/plain.toml");
const GOLDEN: &str = include_str!("golden/site-v1.toml");

fn wrong(text: &str) -> Vec<Diagnostic> {
    match read_site(text, "farm.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(Diagnostics(found)) => found,
    }
}

/// The plain file with a line changed.
fn changed(from: &str, to: &str) -> String {
    assert!(PLAIN.contains(from), "{from:?} is not in the plain file");
    PLAIN.replacen(from, to, 1)
}

#[test]
fn the_plain_file_is_read_without_a_word() {
    let site = read_site(PLAIN, "plain.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    assert!(site.warnings.0.is_empty(), "{}", site.warnings);
    let bin = &site.facts.bins[0];
    assert_eq!(bin.name, "north");
    assert!((bin.diameter - 36.0 * 0.3048).abs() < 1e-12);
    assert_eq!(bin.filling, Filling::Spout);
    assert_eq!(bin.outfit.fans.len(), 2);
    assert_eq!(bin.outfit.control.fans, 2);
    assert_eq!(bin.lots[0].moisture, 0.2);
    assert_eq!(bin.lots[0].from, MonthDay { month: 10, day: 10 });
    assert_eq!(site.facts.place.utc_offset, -6 * 3600);
    assert!((site.facts.prices.as_ref().unwrap().electricity * 3.6e6 - 0.12).abs() < 1e-15);
    let line = PLAIN.lines().position(|l| l.starts_with("moisture = ")).unwrap() + 1;
    assert_eq!(site.places["bins.north.lots[0].moisture"].line, Some(line));
}

#[test]
fn every_key_is_read() {
    let site = read_site(GOLDEN, "site-v1.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    assert!(site.warnings.0.is_empty(), "{}", site.warnings);
    let facts = &site.facts;
    let names: Vec<&str> = facts.bins.iter().map(|bin| bin.name.as_str()).collect();
    assert_eq!(names, ["west", "east", "south", "store", "batch", "dryeration", "beans"], "in the order of the file");
    let west = &facts.bins[0];
    assert_eq!(west.filling, Filling::LevelledAndCored);
    assert_eq!(west.lots.len(), 2);
    assert_eq!(west.lots[0].amount, Amount::Bushels(9000.0));
    assert_eq!(west.lots[1].amount, Amount::Depth(1.5));
    assert!((west.lots[1].moisture - 0.2).abs() < 1e-15, "25 % db is 20 % wb");
    assert_eq!(facts.bins[2].filling, Filling::Uniform);
    assert!(facts.bins[2].outfit.suction);
    // Fans by name only: their curves are the catalogue's business.
    let mut shown = facts.clone();
    let mut fans = String::new();
    for bin in &mut shown.bins {
        let ids: Vec<String> = bin.outfit.fans.drain(..).map(|fan| fan.id).collect();
        fans += &format!("fans of {}: {}\n", bin.name, ids.join(", "));
        if let Some(choose) = &mut bin.choose {
            let ids: Vec<String> = choose.fans.drain(..).map(|fan| fan.id).collect();
            fans += &format!("fans to choose from for {}: {}\n", bin.name, ids.join(", "));
        }
    }
    same_as_committed(&format!("{fans}{shown:#?}"));
}

/// Compares with the committed reading, so that a change of what the format means is seen.
fn same_as_committed(got: &str) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/site-v1.facts.txt");
    if std::env::var_os("WRITE_GOLDEN").is_some() {
        std::fs::write(path, got).unwrap();
    }
    let want = std::fs::read_to_string(path).unwrap();
    assert_eq!(got.trim(), want.trim(), "the reading of format 1 has changed");
}

#[test]
fn all_faults_are_told_at_once_and_by_line() {
    let text = PLAIN
        .replace("diameter = \"36 ft\"", "diameter = \"36 fet\"")
        .replace("moisture = \"20 %\"", "moistrue = \"20 %\"")
        .replace("by = \"12-15\"", "by = \"2009-12-15\"");
    let found = wrong(&text);
    let codes: Vec<&str> = found.iter().map(|d| d.code.as_str()).collect();
    // The key that is misspelt is not missing as well.
    assert_eq!(codes, ["not-a-day", "unknown-unit", "unknown-key"], "{found:#?}");
    let line = |needle: &str| text.lines().position(|l| l.contains(needle)).unwrap() + 1;
    assert_eq!(found[0].at.line, Some(line("2009-12-15")));
    assert_eq!(found[1].at.line, Some(line("36 fet")));
    assert_eq!(found[1].at.field.as_deref(), Some("bins.north.diameter"));
    assert_eq!(found[2].at.line, Some(line("moistrue")));
    assert_eq!(found[2].at.field.as_deref(), Some("bins.north.lots[0].moistrue"));
    assert_eq!(found[2].help.as_deref(), Some("did you mean \"moisture\"?"));
    // What stands there in another form is not missing as well; an empty list is.
    let codes = |text: &str| wrong(text).into_iter().map(|d| d.code).collect::<Vec<_>>();
    assert_eq!(codes(&changed("[[bins.north.lots]]", "[bins.north.lots]")), ["wrong-kind"]);
    let (before, after) = PLAIN.split_once("[[bins.north.lots]]").unwrap();
    let (_, outfit) = after.split_once("[bins.north.outfit]").unwrap();
    let empty = format!("{}\nlots = []\n[bins.north.outfit]{outfit}", before.trim_end());
    assert_eq!(codes(&empty), ["missing-key"]);
}

/// A line of the plain file after which keys of the outfit may stand.
const OUTFIT_END: &str = "arrangement = \"parallel\"";

#[test]
fn refusals_name_what_is_wrong() {
    // (line of the plain file, changed line, code, part of help or allowance)
    let table: &[(&str, &str, &str, &str)] = &[
        ("binwright = 1", "binwright = 2", "format-newer", "newer program"),
        ("binwright = 1", "", "missing-key", "first line"),
        ("binwright = 1", "binwright = 0", "out-of-bounds", "from 1"),
        ("elevation = \"213 m\"", "elevation = 213", "missing-unit", "213 ft"),
        ("elevation = \"213 m\"", "elevation = \"NaN m\"", "not-a-number", ""),
        ("elevation = \"213 m\"", "elevation = [1]", "wrong-kind", "text in quotes"),
        ("elevation = \"213 m\"", "elevation = \"9000 m\"", "out-of-bounds", "5000"),
        ("utc_offset = \"-06:00\"", "utc_offset = \"06:00\"", "not-an-offset", "-06:00"),
        ("time_zone = \"America/Chicago\"", "time_zone = \"America/Chicage\"", "unknown-word", "America/Chicago"),
        ("weather = \"champaign\"", "weather = \"champain\"", "unknown-word", "champaign"),
        ("weather = \"champaign\"", "weather = \"../secret\"", "not-a-name", ""),
        ("mean_moisture = \"15.5 %\"", "mean_moisture = \"118 %\"", "moisture-impossible", "100 %"),
        ("wettest_excess = \"1.5 %\"", "wettest_excess = \"-1 %\"", "out-of-bounds", "from 0"),
        ("chance = \"90 %\"", "chance = \"100 %\"", "out-of-bounds", "99.9 %"),
        ("by = \"12-15\"", "by = \"10-12\"", "goal-before-harvest", ""),
        ("hold_until = \"06-01\"", "hold_until = \"12-15\"", "hold-before-goal", ""),
        ("hold_until = \"06-01\"", "hold_until = \"11-01\"", "hold-before-goal", ""),
        ("carry_over = \"cool-and-hold-then-spring\"", "carry_over = \"spring\"", "unknown-word", "never"),
        ("electricity = \"0.12 $/kWh\"", "electricity = \"0.12 €/kWh\"", "unknown-currency", "USD"),
        ("currency = \"USD\"", "currency = \"dollar\"", "not-a-currency", "USD"),
        ("diameter = \"36 ft\"", "diameter = \"0 ft\"", "out-of-bounds", "1 m"),
        ("diameter = \"36 ft\"", "diameter = \"-36 ft\"", "out-of-bounds", "1 m"),
        ("diameter = \"36 ft\"", "diameter = \"3,6 ft\"", "number-with-comma", "3.6 ft"),
        ("floor = \"full\"", "floor = \"ful\"", "unknown-word", "full"),
        ("quantity = \"15000 bu\"", "quantity = \"0 bu\"", "not-positive", "above zero"),
        ("quantity = \"15000 bu\"", "quantity = \"15000 bu\"\ndepth = \"3 m\"", "quantity-twice", ""),
        ("quantity = \"15000 bu\"", "", "missing-key", "15000"),
        ("crop = \"corn\"", "crop = \"cron\"", "unknown-crop", "corn"),
        ("days = 4", "days = 0", "out-of-bounds", "from 1"),
        ("days = 4", "days = 4.5", "wrong-kind", "whole number"),
        ("days = 4", "days = \"4\"", "wrong-kind", "whole number"),
        ("days = 4", "relation = \"nobody\"", "unknown-word", ""),
        ("arrangement = \"parallel\"", "arrangement = \"paralell\"", "unknown-word", "parallel"),
        (
            "fans = [\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"]",
            "fans = [\"demo-centrifugal-10hq\"]",
            "unknown-word",
            "demo-centrifugal-10hp",
        ),
        ("fans = [\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"]", "fans = []", "number-of-fans", "from 1"),
        ("fans = [\"demo-centrifugal-10hp\", \"demo-centrifugal-10hp\"]", "", "missing-key", "fans"),
        ("control = { kind = \"continuous\" }", "control = { kind = \"clock\" }", "missing-key", "from"),
        ("control = { kind = \"continuous\" }", "control = { kind = \"continuos\" }", "unknown-word", "continuous"),
        (
            "control = { kind = \"continuous\" }",
            "control = { kind = \"humidity-window\", low = \"80 %\", high = \"60 %\" }",
            "empty-window",
            "below",
        ),
        ("control = { kind = \"continuous\" }", "burner = \"demo-burner-propane-250\"", "burner-without-rule", "rise"),
        (
            "control = { kind = \"continuous\" }",
            "control = { kind = \"continuous\", burner = { kind = \"rise\", rise = \"3 K\" } }",
            "rule-without-burner",
            "burner",
        ),
        (OUTFIT_END, "sensors = \"perfect\"", "unknown-word", "ideal"),
        (OUTFIT_END, "sensors = { humidity = \"30 %\" }", "out-of-bounds", "20 %"),
        (OUTFIT_END, "stop = { kind = \"probe\", every = \"10 min\" }", "out-of-bounds", "1 h"),
        (OUTFIT_END, "stop = { kind = \"probe\", depths = 0 }", "out-of-bounds", "1"),
        (OUTFIT_END, "stop = { kind = \"look\" }", "unknown-word", "probe"),
        (OUTFIT_END, "stop = { kind = \"ideal\", every = \"7 d\" }", "unknown-key", "kind"),
        (OUTFIT_END, "stirring = { every = \"24 h\" }", "missing-key", "power"),
        (OUTFIT_END, "stirring = { power = \"-1 kW\" }", "out-of-bounds", "100 kW"),
        (OUTFIT_END, "stirring = { power = \"2 hp\", every = \"6 h\", round = \"12 h\" }", "round-too-long", "before"),
        (OUTFIT_END, "stirring = { power = \"2 hp\", front = \"2 ft\" }", "front-unused", "filling-then-front"),
        (OUTFIT_END, "counterflow = { to = \"dry\" }", "one-floor-sensor", "one of"),
        (
            OUTFIT_END,
            "counterflow = { moisture = \"15 %\", temperature = \"45 °C\", to = \"dry\" }",
            "one-floor-sensor",
            "one of",
        ),
        (OUTFIT_END, "counterflow = { moisture = \"15 %\" }", "missing-key", "dry-bin"),
        (OUTFIT_END, "counterflow = { moisture = \"15 %\", to = \"dry\", layer = \"0 m\" }", "out-of-bounds", "0.02 m"),
        (
            OUTFIT_END,
            "counterflow = { moisture = \"15 %\", to = \"dry\", height = \"1 m\" }",
            "sensor-above-grain",
            "below keep",
        ),
        (OUTFIT_END, "counterflow = { moisture = \"15 %\", to = \"north\" }", "drawn-into-itself", "dry grain"),
        (OUTFIT_END, "counterflow = { moisture = \"15 %\", to = \"../x\" }", "not-a-name", "letters"),
        ("floor = \"full\"", "layers = {}", "one-layer", "lot of its own"),
        (
            "currency = \"USD\"",
            "currency = \"USD\"\nequipment = { demo-centrifugal-10h = \"5200 $\" }",
            "unknown-word",
            "demo-centrifugal-10hp",
        ),
        (
            "[bins.north]",
            "[power]\nphases = \"single\"\nvolts = \"240 V\"\n[bins.north.choose]\nsupply = { phases = \"three\", volts = 240, amps = 90 }\n[bins.north]",
            "supply-contradicts-power",
            "leave supply out",
        ),
        (
            "[bins.north]",
            "[power]\nphases = \"single\"\nvolts = \"240 V\"\nservice = \"80 A\"\n[bins.north.choose]\nsupply = { phases = \"single\", volts = 240, amps = 90 }\n[bins.north]",
            "supply-contradicts-power",
            "part of its amperes",
        ),
        (
            "[bins.north]",
            "[yard]\nlimit_night = \"45 dB\"\nbins = { north = {} }\ndwellings = [{ distance = \"60 m\" }]\n[bins.north.choose]\nquiet = { dba = 60, distance = \"60 m\" }\n[bins.north]",
            "quiet-contradicts-yard",
            "leave quiet out",
        ),
        ("[place]", "[place", "grammar", ""),
        ("[place]", "[site]", "missing-key", "[place]"),
    ];
    for (from, to, code, part) in table {
        let part = part.replace("15000", "20000 bu");
        let found = wrong(&changed(from, to));
        let fits = found.iter().any(|d| {
            d.code == *code && [&d.help, &d.allowed].iter().any(|text| text.as_deref().unwrap_or("").contains(&part))
        });
        assert!(fits, "{to}: {found:#?}");
        assert!(found.iter().all(|d| d.at.line.is_some()), "{to}: {found:#?}");
    }
}

#[test]
fn odd_but_usable_files_are_read_with_a_warning() {
    let warn = |text: &str| {
        let site = read_site(text, "farm.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
        site.warnings.0.iter().map(|d| d.code.clone()).collect::<Vec<_>>()
    };
    assert_eq!(warn(&changed("utc_offset = \"-06:00\"", "utc_offset = \"-05:00\"")), ["offset-and-zone"]);
}

#[test]
fn levelling_without_coring_and_coring_without_levelling_are_cases_of_their_own() {
    for (said, filling) in [
        ("fill = \"leveled\"", Filling::Levelled),
        ("cored = true", Filling::Cored),
        ("fill = \"spout\"", Filling::Spout),
        ("fill = \"leveled\"\ncored = true", Filling::LevelledAndCored),
    ] {
        let site = read_site(&changed("floor = \"full\"", said), "farm.toml", &BuiltIn::new()).unwrap();
        assert_eq!(site.facts.bins[0].filling, filling, "{said}");
        assert!(site.warnings.0.is_empty(), "{}", site.warnings);
    }
}

#[test]
fn a_place_says_its_pressure_or_its_elevation() {
    let at = |said: &str| read_site(&changed("elevation = \"213 m\"", said), "farm.toml", &BuiltIn::new());
    let place = at("pressure = \"29.17 inHg\"").unwrap_or_else(|e| panic!("{e}")).facts.place;
    assert!((place.pressure.unwrap() - 98_781.0).abs() < 1.0, "{place:?}");
    assert!((place.elevation - 213.0).abs() < 5.0, "of the standard atmosphere: {place:?}");
    let code = |said: &str| at(said).unwrap_err().0[0].code.clone();
    assert_eq!(code("elevation = \"213 m\"\npressure = \"98.8 kPa\""), "pressure-and-elevation");
    assert_eq!(code("pressure = \"30 kPa\""), "out-of-bounds");
    assert_eq!(code("pressure = \"98.8\""), "missing-unit");
    assert_eq!(code(""), "missing-key");
}

#[test]
fn a_site_without_a_name_takes_the_files() {
    let text = changed("name = \"demo\"", "");
    let site = read_site(&text, "farms/upper field.toml", &BuiltIn::new()).unwrap();
    assert_eq!(site.facts.name, "upper field");
}

#[test]
fn southern_seasons_cross_the_year_the_other_way() {
    let text = PLAIN
        .replace("from = \"10-10\"", "from = \"03-10\"")
        .replace("by = \"12-15\"", "by = \"06-01\"")
        .replace("hold_until = \"06-01\"", "hold_until = \"11-01\"");
    assert!(wrong(&text).is_empty(), "{:#?}", wrong(&text));
}

/// What a lot, a name and a length of faults may not be: each refused where it stands, in words that help.
#[test]
fn small_slips_are_said_where_they_stand() {
    for size in ["1e308 bu", "1e300 t", "5000 ft"] {
        let found = wrong(&changed("quantity = \"15000 bu\"", &format!("quantity = \"{size}\"")));
        assert!(found.iter().any(|d| d.code == "out-of-bounds" && d.found.contains(size)), "{size}: {found:?}");
    }
    for (line, shown) in [
        ("name = \"a\u{202e}b\"", "u{202e}"),
        ("name = \"a\\u200Bb\"", "u{200b}"),
        ("name = \"a\\u0007b\"", "u{7}"),
        ("\"a\\u2066b\" = 1", "u{2066}"),
    ] {
        let found = wrong(&changed("binwright = 1", &format!("binwright = 1\n{line}")));
        assert!(found.iter().any(|d| d.code == "unseen-characters" && d.found.contains(shown)), "{shown}: {found:?}");
    }
    let found = wrong(&changed("binwright = 1", "binwright = 1\nname = \"a\\nb\""));
    assert!(found.iter().any(|d| d.code == "not-a-line"), "{found:?}");
    let many: String = (0..500).map(|k| format!("\nkey{k} = 1")).collect();
    let found = wrong(&changed("binwright = 1", &format!("binwright = 1{many}")));
    assert_eq!(found.len(), 100, "capped");
    assert_eq!((found[99].code.as_str(), found[99].found.as_str()), ("more-faults", "401 more faults of this text"));
}

/// 29 February stands in a row of a leap year only; it was once moved without a word.
#[test]
fn a_day_that_a_year_does_not_have_is_refused() {
    let row = |year: i32, from: &str| {
        let rows = format!("days = 4\nby_year = [{{ year = {year}{from} }}]");
        wrong(&changed("days = 4", &rows))
    };
    let day = ", from = \"02-29\"";
    assert!(row(2008, day).iter().all(|d| d.code != "not-a-day"), "{:?}", row(2008, day));
    let found = row(2009, day);
    assert!(found.iter().any(|d| d.code == "not-a-day" && d.found.contains("2009")), "{found:?}");
}
