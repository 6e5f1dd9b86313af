//! Lots that differ from year to year: by a table, and as the field dries by the weather of the year.

use job::facts::MonthDay;
use job::{BinJob, BuiltIn, open};
use notice::{Diagnostic, UnitSystem};

const PLAIN: &str = include_str!("data/plain.toml");

/// The plain file with other lines for moisture and day of the lot.
fn with(lot: &str) -> String {
    assert!(PLAIN.contains("moisture = \"20 %\"\nfrom = \"10-10\"\ndays = 4\n"));
    PLAIN.replace("moisture = \"20 %\"\nfrom = \"10-10\"\ndays = 4\n", lot)
}

fn bin(lot: &str) -> BinJob {
    open(&with(lot), "farm.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}")).bins.remove(0)
}

fn wrong(lot: &str) -> Vec<Diagnostic> {
    match open(&with(lot), "farm.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(found) => found.0,
    }
}

fn says(bin: &BinJob, code: &str) -> Option<String> {
    bin.remarks.0.iter().find(|r| r.code == code).map(|r| r.says.render(UnitSystem::Si))
}

/// Mean moisture of the loads of a year, w.b. by wet mass, and the day of the first.
fn lot_of(bin: &BinJob, year: i32) -> (f64, String) {
    let loads = &bin.year(year).unwrap_or_else(|| panic!("no {year}")).loads;
    let dry: f64 = loads.iter().map(|l| l.dry_matter).sum();
    let wet: f64 = loads.iter().map(|l| l.dry_matter * (1.0 + l.moisture)).sum();
    (1.0 - dry / wet, job::clock::date(loads[0].hour, -6 * 3600))
}

const SAME: &str = "moisture = \"20 %\"\nfrom = \"10-10\"\ndays = 4\n";

#[test]
fn a_table_rules_its_years_and_the_lot_the_others() {
    let rows = "by_year = [{ year = 2009, from = \"10-25\", moisture = \"24 %\", temperature = \"8 °C\" }, { year = 2012, from = \"09-15\" }]\n";
    let by_year = bin(&format!("{SAME}{rows}"));
    let same = bin(SAME);
    assert_eq!(by_year.years.len(), same.years.len(), "no year is left out");
    for (year, moisture, day) in [(2009, 0.24, "2009-10-25"), (2012, 0.20, "2012-09-15"), (2010, 0.20, "2010-10-10")] {
        let (got, first) = lot_of(&by_year, year);
        assert!((got - moisture).abs() < 1e-9, "{year}: {got}");
        assert_eq!(first, day);
    }
    assert_eq!(by_year.year(2009).unwrap().loads[0].temperature, Some(8.0));
    // Wetter grain of the same bushels by weight has less dry matter, and lies by its own density.
    let (wetter, usual) = (by_year.year(2009).unwrap(), by_year.year(2010).unwrap());
    assert!(wetter.grain.density_moisture > usual.grain.density_moisture);
    assert_ne!(wetter.grain.dry_density, usual.grain.dry_density);
    // A year that the table leaves alone is the year of a lot without a table.
    let (left, alone) = (by_year.year(2010).unwrap(), same.year(2010).unwrap());
    assert_eq!(left.loads, alone.loads);
    assert_eq!(left.grain, alone.grain);
    let said = says(&by_year, "lot-as-stated").expect("the other years are told");
    assert!(said.contains("years from 1995 to 2023"), "{said}");
    assert!(says(&by_year, "same-lot").is_none() && says(&same, "same-lot").is_some());
    assert_eq!(by_year.lots_of_years.len(), 29);
    assert!(same.lots_of_years.is_empty());
    assert_ne!(by_year.identity("verdict"), same.identity("verdict"));
}

#[test]
fn without_a_lot_for_all_years_the_others_are_left_out() {
    let some = bin(
        "by_year = [{ year = 2009, from = \"10-25\", moisture = \"24 %\" }, { year = 2012, from = \"09-15\", moisture = \"20 %\" }]\n",
    );
    let years: Vec<i32> = some.years.iter().map(|(year, _)| *year).collect();
    assert_eq!(years, [2009, 2012]);
    assert_eq!(some.left_out.len(), 27);
    assert!(some.left_out.iter().all(|(year, why)| why.contains(&format!("no row for {year}"))));
    assert!((some.survey.lots[0].moisture - 0.22).abs() < 1e-12, "the survey shows the mean");
}

#[test]
fn tables_that_make_no_sense_are_refused_on_their_line() {
    for (rows, code, field) in [
        ("by_year = []", "number-of-rows", "by_year"),
        ("by_year = [{ from = \"10-25\" }]", "missing-key", "by_year[0].year"),
        ("by_year = [{ year = 2009.5 }]", "wrong-kind", "by_year[0].year"),
        ("by_year = [{ year = 20009 }]", "out-of-bounds", "by_year[0].year"),
        ("by_year = [{ year = 2009, moisture = \"90 %\" }]", "out-of-bounds", "by_year[0].moisture"),
        ("by_year = [{ year = 2009, moist = \"20 %\" }]", "unknown-key", "by_year[0].moist"),
        ("by_year = [{ year = 2009 }, { year = 2009 }]", "year-twice", "by_year[1].year"),
        ("by_year = 2009", "wrong-kind", "by_year"),
        ("by_year = [{ year = 2009 }]\nfield = { on = \"09-20\", moisture = \"30 %\" }", "harvest-twice", "field"),
    ] {
        let found = wrong(&format!("{SAME}{rows}\n"));
        let hit = found.iter().find(|d| d.code == code).unwrap_or_else(|| panic!("{rows}: {found:#?}"));
        assert_eq!(hit.at.field.as_deref(), Some(format!("bins.north.lots[0].{field}").as_str()), "{rows}");
        assert!(hit.at.line.is_some(), "{rows}");
    }
    // Only a moisture: the day is missing, and so is that of the row.
    let found = wrong("moisture = \"20 %\"\nby_year = [{ year = 2009 }]\n");
    assert_eq!(found[0].at.field.as_deref(), Some("bins.north.lots[0].by_year[0].from"), "{found:#?}");
    // A wet year that does not fit is an error of the file, told once for all such years.
    let rows = "by_year = [{ year = 2009, moisture = \"28 %\" }, { year = 2010, moisture = \"29 %\" }]\n";
    let full = |rows: &str| {
        let text = with(&format!("{SAME}{rows}"))
            .replace("15000 bu", "18200 bu")
            .replace("floor = \"full\"", "uniform = true");
        open(&text, "farm.toml", &BuiltIn::new()).map(|job| job.bins.len()).map_err(|found| found.0)
    };
    assert_eq!(full(""), Ok(1));
    let found = full(rows).unwrap_err();
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!((found[0].code.as_str(), found[0].at.line.is_some()), ("lot-too-large", true));
}

#[test]
fn rows_without_weather_are_told() {
    let text = with(&format!("{SAME}by_year = [{{ year = 1971, moisture = \"24 %\" }}]\n"));
    let job = open(&text, "farm.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    let found = &job.warnings.0[0];
    assert_eq!(found.code, "year-without-weather");
    assert_eq!(found.at.line, Some(text.lines().position(|l| l.starts_with("by_year")).unwrap() + 1));
}

#[test]
fn a_field_dries_by_the_warmth_of_its_year() {
    let dated = bin("from = \"10-20\"\ndays = 1\nfield = { on = \"09-20\", moisture = \"28 %\" }\n");
    // By hand: degree-days between 50 and 86 °F of the hourly record, 30 a point above 25 %, 45 below.
    let series = weather::bundled("champaign").unwrap().mended();
    let by_hand = |year: i32| {
        let start = job::clock::utc_hour(year, MonthDay { month: 9, day: 20 }, 0, -6 * 3600);
        let mut points = 28.0f64;
        for day in 0..30 {
            let hours = series.window(start + 24 * day, 24).unwrap();
            let fahrenheit = hours.temperature_c.iter().map(|t| 1.8 * t + 32.0);
            let (low, high) = fahrenheit.fold((f64::MAX, f64::MIN), |(l, h), t| (l.min(t), h.max(t)));
            let mut left = (low.clamp(50.0, 86.0) + high.clamp(50.0, 86.0)) / 2.0 - 50.0;
            if points > 25.0 {
                let used = left.min((points - 25.0) * 30.0);
                points -= used / 30.0;
                left -= used;
            }
            points = (points - left / 45.0).max(20.0);
        }
        points / 100.0
    };
    let mut seen = Vec::new();
    for year in [1997, 2004, 2009, 2012, 2016] {
        let (moisture, first) = lot_of(&dated, year);
        assert!((moisture - by_hand(year)).abs() < 1e-9, "{year}: {moisture} {}", by_hand(year));
        assert_eq!(first, format!("{year}-10-20"));
        seen.push(moisture);
    }
    assert!(seen.iter().any(|m| (m - seen[0]).abs() > 0.005), "years differ: {seen:?}");
    let said = says(&dated, "field-dry-down").expect("it is told");
    assert!(said.contains("29 years"), "{said}");
    assert!(dated.remarks.0.iter().any(|r| r.code == "field-dry-down" && r.source.is_some()));
}

#[test]
fn a_field_is_harvested_when_it_is_dry_enough_or_at_the_latest_day() {
    let waiting =
        bin("moisture = \"23 %\"\ndays = 2\nfield = { on = \"09-15\", moisture = \"26 %\", latest = \"10-25\" }\n");
    let mut days = Vec::new();
    for (year, lots) in &waiting.lots_of_years {
        let lot = lots[0];
        let late = lot.from == MonthDay { month: 10, day: 25 };
        assert!(lot.moisture == 0.23 || (late && lot.moisture > 0.23), "{year}: {lot:?}");
        days.push(lot.from);
    }
    let (first, last) = (days.iter().min().unwrap(), days.iter().max().unwrap());
    assert!(first < last, "years differ");
    let impatient = bin("moisture = \"21 %\"\nfield = { on = \"10-01\", moisture = \"28 %\", latest = \"10-15\" }\n");
    let said = says(&impatient, "field-too-late").expect("it is told");
    assert!(said.contains("latest day"), "{said}");
    assert!(impatient.lots_of_years.iter().all(|(_, lots)| lots[0].moisture > 0.21));
    // A long wait ends where the rule ends, and that is told.
    let dry = bin("from = \"11-01\"\nfield = { on = \"08-20\", moisture = \"25 %\" }\n");
    assert!(dry.lots_of_years.iter().all(|(_, lots)| lots[0].moisture >= 0.20 - 1e-12));
    assert!(says(&dry, "field-dry-down-end").expect("it is told").contains("20"), "{:?}", dry.remarks);
}

#[test]
fn fields_that_make_no_sense_are_refused() {
    for (lot, code, part) in [
        ("field = { on = \"09-20\", moisture = \"30 %\" }", "harvest-never", "beside one"),
        (
            "moisture = \"22 %\"\nfrom = \"10-10\"\nfield = { on = \"09-20\", moisture = \"30 %\" }",
            "harvest-twice",
            "beside one",
        ),
        ("moisture = \"22 %\"\nfield = { on = \"09-20\", moisture = \"30 %\" }", "missing-key", "latest"),
        (
            "moisture = \"18 %\"\nfield = { on = \"09-20\", moisture = \"30 %\", latest = \"11-10\" }",
            "out-of-bounds",
            "from 20 % to 30 %",
        ),
        ("from = \"10-10\"\nfield = { on = \"09-20\", moisture = \"35 %\" }", "out-of-bounds", "from 20 % to 30 %"),
        (
            "moisture = \"28 %\"\nfield = { on = \"09-20\", moisture = \"25 %\", latest = \"11-10\" }",
            "harvest-never",
            "only dries",
        ),
        ("from = \"09-10\"\nfield = { on = \"09-20\", moisture = \"25 %\" }", "harvest-before-field", "150 days"),
        (
            "from = \"10-10\"\nfield = { on = \"09-20\", moisture = \"25 %\", latest = \"11-10\" }",
            "harvest-twice",
            "latest goes",
        ),
        ("from = \"10-10\"\nfield = \"30 %\"", "wrong-kind", "a table"),
    ] {
        let found = wrong(&format!("{lot}\n"));
        let fits = found.iter().any(|d| {
            d.code == code && [&d.help, &d.allowed].iter().any(|text| text.as_deref().unwrap_or("").contains(part))
        });
        assert!(fits, "{lot}: {found:#?}");
        assert!(found.iter().all(|d| d.at.line.is_some()), "{lot}");
    }
    let beans =
        with("from = \"10-10\"\nfield = { on = \"09-20\", moisture = \"25 %\" }\n").replace("\"corn\"", "\"soybean\"");
    let found = open(&beans, "farm.toml", &BuiltIn::new()).unwrap_err();
    assert_eq!(found.0[0].code, "no-field-dry-down", "{found}");
    assert!(found.0[0].help.as_deref().unwrap().contains("by_year"), "{found}");
}
