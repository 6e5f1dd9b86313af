//! Files that are cut, garbled, in the wrong time or the wrong unit: each gives a diagnostic, none a wrong number.

use std::io::{Read, Write};
use weather::{Hints, Kind, MEASURED, MISSING, Series, Stamps, read};

fn file(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/tests/data/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn unpacked(name: &str) -> String {
    let mut text = String::new();
    flate2::read::GzDecoder::new(file(name).as_slice()).read_to_string(&mut text).unwrap();
    text
}

fn packed(text: &str) -> Vec<u8> {
    let mut out = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    out.write_all(text.as_bytes()).unwrap();
    out.finish().unwrap()
}

const PLACE: Hints = Hints { latitude: None, longitude: None, elevation_m: Some(300.0), utc_offset_s: Some(-21_600) };

fn read_text(text: &str) -> Result<Series, notice::Diagnostics> {
    read("test", text.as_bytes(), &PLACE)
}

/// The code of the first error.
fn code(result: Result<Series, notice::Diagnostics>) -> String {
    match result {
        Ok(series) => format!("read {} hours", series.len()),
        Err(all) => all.0[0].code.clone(),
    }
}

/// A plain table with `hours` rows from 2023-06-01T00:00 on, made by a function of the hour.
fn table(head: &str, hours: usize, row: impl Fn(usize) -> String) -> String {
    let stamp = |k: usize| format!("2023-06-{:02}T{:02}:00", 1 + k / 24, k % 24);
    let rows: String = (0..hours).map(|k| format!("{},{}\n", stamp(k), row(k))).collect();
    format!("{head}\n{rows}")
}

#[test]
fn cut_in_the_middle_of_a_line() {
    for name in [
        "epw_chicago_ohare_tmy3.epw.gz",
        "tmy3_723170_greensboro_nc.csv.gz",
        "725957-2015.gz",
        "lcd_v1_imperial_atlanta_ga_2020.csv.gz",
        "lcd_v2_metric_lincoln_ne.csv.gz",
    ] {
        let text = unpacked(name);
        let half = &text[..text.len() / 2];
        // Not just behind a line end, and inside the fields that matter.
        let at = half.rfind('\n').unwrap() + 20;
        let error = read(name, &text.as_bytes()[..at], &PLACE).unwrap_err();
        assert_eq!(error.0[0].code, "weather-file-cut", "{name}: {error}");
        let line = text[..at].matches('\n').count() + 1;
        assert_eq!(error.0[0].at.line, Some(line), "{name}");
    }
}

#[test]
fn a_year_cut_between_two_lines() {
    for name in ["epw_chicago_ohare_tmy3.epw.gz", "tmy3_723170_greensboro_nc.csv.gz"] {
        let text = unpacked(name);
        let at = text[..text.len() / 2].rfind('\n').unwrap() + 1;
        assert_eq!(code(read(name, &text.as_bytes()[..at], &PLACE)), "weather-file-cut", "{name}");
    }
}

#[test]
fn a_cut_packed_file() {
    let bytes = file("725957-2015.gz");
    assert_eq!(code(read("a.gz", &bytes[..bytes.len() / 2], &PLACE)), "weather-file-cut");
    // Damage in the middle is noticed by the check sum at the latest.
    let mut bytes = file("725957-2015.gz");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x55;
    assert_eq!(code(read("a.gz", &bytes, &PLACE)), "weather-file-cut");
}

#[test]
fn no_weather_at_all() {
    assert_eq!(code(read_text("")), "weather-file-empty");
    assert_eq!(code(read_text("\n\n  \n# note: nothing\n")), "weather-file-empty");
    assert_eq!(code(read_text("Dear sir,\nthe weather was fine.\n")), "weather-form-unknown");
    assert_eq!(code(read("a", b"PK\x03\x04\0\0\0\0", &PLACE)), "weather-file-not-text");
    assert_eq!(code(read_text("utc,temp_c,rh_pct\n")), "weather-file-empty");
    assert_eq!(
        code(read_text("LOCATION,a,b,c,ISD,1,41,-88,-6,200\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n")),
        "weather-file-empty"
    );
}

#[test]
fn bad_lines_are_told_with_number_and_reason() {
    let text = table("utc,temp_c,rh_pct", 100, |k| if k == 40 { "warm,50".into() } else { format!("{}.5,50", k / 10) });
    let series = read_text(&text.replace("2023-06-03T02:00", "2023-06-31T02:00")).unwrap();
    let warnings = &series.report.warnings.0;
    assert_eq!(series.report.bad_rows, 2);
    assert_eq!((warnings[0].at.line, warnings[0].found.as_str()), (Some(42), "\"warm\" is not a number"));
    assert_eq!(warnings[1].at.line, Some(52));
    assert!(warnings[1].found.contains("2023-06-31T02:00"));
    // Row 40 is gone, so the hours that begin and end at it are missing.
    assert_eq!(&series.filled[38..42], [MEASURED, MISSING, MISSING, MEASURED]);
}

#[test]
fn more_than_a_tenth_of_bad_lines_is_refused() {
    let text = table("utc,temp_c,rh_pct", 100, |k| if k % 8 == 0 { "?,?".into() } else { "5,50".into() });
    let error = read_text(&text).unwrap_err();
    assert_eq!(error.0[0].code, "weather-file-unreadable");
    assert!(error.stop() && error.0.len() > 5, "the first bad lines are told too");
}

#[test]
fn words_for_missing_and_numbers_that_are_none() {
    let text = table("utc,temp_c,rh_pct", 60, |k| match k {
        10 => "NaN,50".into(),
        20 => "5,".into(),
        30 => "-9999,50".into(),
        40 => "999.9,50".into(),
        50 => "5,NA".into(),
        55 => "inf,50".into(),
        _ => "5,50".into(),
    });
    let series = read_text(&text).unwrap();
    assert_eq!((series.report.missing_temperature, series.report.missing_humidity), (4, 3));
    assert_eq!((series.report.implausible, series.report.bad_rows), (1, 1));
    assert_eq!((series.report.humidity.relative, series.report.humidity.disagree), (57, 0));
    assert!(series.filled.iter().zip(&series.temperature_c).all(|(f, t)| (*f == MISSING) == t.is_nan()));
}

#[test]
fn line_ends_marks_and_packing_do_not_matter() {
    let plain = table("utc,temp_c,rh_pct", 60, |k| format!("{}.5,{}", k % 9, 40 + k % 50));
    let expected = read_text(&plain).unwrap();
    let windows = format!("\u{feff}{}", plain.replace('\n', "\r\n"));
    assert_eq!(read_text(&windows).unwrap(), expected);
    assert_eq!(read("test", &packed(&windows), &PLACE).unwrap(), expected);
    assert_eq!(read_text(plain.trim_end()).unwrap(), expected);
    let semicolons = plain.replace(',', ";").replace('.', ",");
    assert_eq!(read_text(&semicolons).unwrap(), expected);
}

#[test]
fn units_and_kinds_of_humidity_and_pressure() {
    let si = read_text(&table("utc,temp_c,rh_pct,stn_hpa", 30, |_| "20,60.02,980".into())).unwrap();
    let same = |text: String| {
        let other = read_text(&text).unwrap();
        assert!((other.temperature_c[3] - si.temperature_c[3]).abs() < 1e-9, "{text}");
        // The published value for 20 °C and a dew point of 12 °C is 60.02 % with another formula for saturation; two formulas
        // differ by less than 0.1 points.
        assert!((other.relative_humidity[3] - si.relative_humidity[3]).abs() < 1e-3, "{text}");
        assert!((other.pressure_pa[3] - si.pressure_pa[3]).abs() < 3.0, "{text}");
    };
    same(table("utc,temp_f,rh,stn_kpa", 30, |_| "68,0.6002,98".into()));
    same(table("utc,temp_k,dew_f,stn_inhg", 30, |_| "293.15,53.6,28.9394".into()));
    same(table("utc,note,temp_c,dew_c,stn_pa", 30, |_| "x,20,12,98000".into()));
    // With 300 m the standard atmosphere is 977.7 hPa; a pressure of unstated kind is not used.
    let unstated = read_text(&table("utc,temp_c,rh_pct,pres_hpa", 30, |_| "20,60,1013".into())).unwrap();
    assert_eq!(unstated.report.pressure.standard, 30);
    assert_eq!(unstated.report.warnings.0[0].code, "weather-pressure-kind");
}

#[test]
fn units_that_cannot_be_meant() {
    assert_eq!(code(read_text(&table("utc,temp_c,rh_pct", 30, |_| "68,50".into()))), "weather-unit");
    assert_eq!(code(read_text(&table("utc,temp_c,rh_pct", 30, |_| "20,0.5".into()))), "weather-unit");
    assert_eq!(code(read_text(&table("utc,temp_c,rh", 30, |_| "20,50".into()))), "weather-unit");
    assert_eq!(code(read_text(&table("utc,temp_c,rh_pct,stn_hpa", 30, |_| "20,50,98.0".into()))), "weather-unit");
    let all = read_text(&table("utc,temp_c,rh_pct,stn_hpa", 30, |_| "68,0.5,98.0".into())).unwrap_err();
    assert_eq!(all.0.len(), 3, "all of a file at once");
}

#[test]
fn what_a_file_must_say_or_be_told() {
    let local = table("local,temp_c,rh_pct", 30, |_| "20,50".into());
    let nothing = Hints { elevation_m: Some(300.0), ..Hints::default() };
    assert_eq!(code(read("a", local.as_bytes(), &nothing)), "weather-offset-unknown");
    let said = format!("# utc_offset: +05:30\n{local}");
    let series = read("a", said.as_bytes(), &nothing).unwrap();
    // 00:00 local is 18:30 UTC of the day before; the first whole UTC hour with stamps on both sides begins at 19:00.
    assert_eq!(series.start_hour, weather::calendar::hour(2023, 5, 31, 19).unwrap());
    assert_eq!(
        code(read("a", local.as_bytes(), &Hints { utc_offset_s: Some(0), ..Hints::default() })),
        "weather-elevation-unknown"
    );
    assert_eq!(code(read_text(&table("utc,temp_c,wind_ms", 30, |_| "20,5".into()))), "weather-no-humidity");
    assert_eq!(code(read_text(&table("utc,temp_c,rh_pct", 30, |_| ",50".into()))), "weather-no-temperature");
    assert_eq!(code(read_text(&format!("# stamps: sometimes\n{local}"))), "weather-header-line");
}

#[test]
fn stamps_of_each_meaning() {
    let body = table("utc,temp_c,rh_pct", 30, |k| format!("{k},50"));
    let start = |stamps: &str| {
        let series = read_text(&format!("# stamps: {stamps}\n{body}")).unwrap();
        (
            series.report.stamps,
            series.start_hour - weather::calendar::hour(2023, 6, 1, 0).unwrap(),
            series.temperature_c[0],
        )
    };
    assert_eq!(start("instant"), (Stamps::Instant, 0, 0.5));
    assert_eq!(start("centred"), (Stamps::MeanCentred, 0, 0.5));
    assert_eq!(start("ending"), (Stamps::MeanEnding, -1, 0.0));
    assert_eq!(start("beginning"), (Stamps::MeanBeginning, 0, 0.0));
}

/// Hourly rows of 2023 on a wall clock of the central United States, with a header that claims standard time.
fn wall_clock() -> String {
    let mut text = String::from("local,temp_c,rh_pct\n");
    let spring = weather::calendar::hour(2023, 3, 12, 2).unwrap();
    let autumn = weather::calendar::hour(2023, 11, 5, 1).unwrap();
    let start = weather::calendar::hour(2023, 1, 1, 0).unwrap();
    for k in 0..8760 {
        let standard = start + k;
        let shown = if standard >= spring && standard < autumn { standard + 1 } else { standard };
        let clock = weather::calendar::show(shown).replace('Z', "");
        text.push_str(&format!("{clock},{:.2},50\n", 10.0 + (k as f64 / 7.0).sin()));
    }
    text
}

#[test]
fn daylight_saving_time_is_refused() {
    assert_eq!(code(read_text(&wall_clock())), "weather-daylight-saving");
    // The same clock with its offset written at every row is no riddle.
    let mut with_offsets = String::new();
    let mut summer = false;
    let mut previous = String::new();
    for line in wall_clock().lines() {
        let (clock, rest) = line.split_once(',').unwrap();
        summer = match clock {
            "2023-03-12T03:00" => true,
            "2023-11-05T01:00" if previous == clock => false,
            _ => summer,
        };
        previous = clock.into();
        let offset = if clock == "local" {
            ""
        } else if summer {
            "-05:00"
        } else {
            "-06:00"
        };
        with_offsets.push_str(&format!("{clock}{offset},{rest}\n"));
    }
    let series = read_text(&with_offsets).unwrap();
    assert_eq!((series.len(), series.report.duplicates, series.report.missing_temperature), (8759, 0, 0));
}

#[test]
fn the_nearest_report_of_an_hour_is_kept() {
    let rows = "2023-06-01T00:00Z,10,50\n2023-06-01T00:20Z,30,50\n2023-06-01T00:40Z,30,50\n2023-06-01T01:05Z,12,50\n2023-06-01T01:10Z,30,50\n2023-06-01T01:59Z,14,50\n";
    let series = read_text(&format!("utc,temp_c,rh_pct\n{rows}")).unwrap();
    assert_eq!(series.temperature_c, [11.0, 13.0]);
    assert_eq!(series.report.duplicates, 3);
}

#[test]
fn stray_years_are_refused_not_allocated() {
    let text = "utc,temp_c,rh_pct\n1750-01-01T00:00Z,10,50\n2023-01-01T00:00Z,10,50\n";
    assert_eq!(code(read_text(text)), "weather-years-far-apart");
}

#[test]
fn a_file_without_end_is_refused_before_its_rows_are_kept() {
    // Every line is short: what costs memory is the row and the hour that each becomes.
    let mut text = String::from("utc,temp_c,rh_pct\n");
    text.extend(std::iter::repeat_n("1\n", weather::MOST_LINES));
    let found = weather::read("endless.csv", text.as_bytes(), &Hints::default()).unwrap_err();
    assert_eq!(found.0.len(), 1);
    assert_eq!(found.0[0].code, "weather-file-too-long");
    assert!(found.0[0].help.as_deref().unwrap().contains("hourly"), "{found}");
}

#[test]
fn an_epw_of_one_real_year_is_measured() {
    let text = unpacked("epw_chicago_ohare_tmy3.epw.gz");
    let real = |year: &str, header: bool| {
        let mut out = String::new();
        for line in text.lines() {
            if line.starts_with(|c: char| c.is_ascii_digit()) {
                let (_, rest) = line.split_once(',').unwrap();
                out.push_str(&format!("{year},{rest}\n"));
            } else {
                let line = if header { line.to_string() } else { line.replace("TMY3", "ISD").replace("TMY", "hourly") };
                out.push_str(&format!("{line}\n"));
            }
        }
        read_text(&out).unwrap()
    };
    let measured = real("2019", false);
    assert_eq!((measured.kind, measured.len(), measured.years()), (Kind::Measured, 8759, vec![2019]));
    assert_eq!(real("2019", true).kind, Kind::Typical, "the header says so");
    assert_eq!(real("2020", false).kind, Kind::Typical, "2020 had a 29 February");
}

#[test]
fn the_example_of_the_documentation_reads() {
    let page = include_str!("../../../docs/weather-files.md");
    let example = page.split("```csv\n").nth(1).and_then(|rest| rest.split("```").next()).unwrap();
    let series = read("example", example.as_bytes(), &Hints::default()).unwrap();
    assert_eq!((series.name.as_str(), series.place.elevation_m), ("Riverbend (invented)", Some(213.0)));
    assert_eq!((series.len(), series.kind), (3, Kind::Measured));
    assert_eq!(series.start_hour, weather::calendar::hour(2023, 10, 1, 6).unwrap());
    assert!((series.temperature_c[0] - 12.15).abs() < 1e-12);
    assert_eq!(series.mended().filled, [MEASURED, weather::FILLED_SHORT, weather::FILLED_SHORT]);
    assert!(example.lines().filter(|l| l.starts_with('#')).count() == 7);
}
