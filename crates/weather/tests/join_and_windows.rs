//! Joining station-years, filling gaps in real records, and cutting seasons out of series.

use weather::calendar::hour;
use weather::{Hints, Kind, MEASURED, MISSING, Mending, Series, StationPlace, bundled, join, read};

fn file(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/tests/data/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// Elevation of the town of Mount Shasta; the archive's files do not give it.
const SHASTA: Hints =
    Hints { latitude: Some(41.3), longitude: Some(-122.3), elevation_m: Some(1080.0), utc_offset_s: Some(-28_800) };

fn shasta(year: i32) -> Series {
    let name = format!("725957-{year}.gz");
    read(&name, &file(&name), &SHASTA).unwrap()
}

#[test]
fn three_station_years_become_one_series() {
    let joined = join(vec![shasta(2016), shasta(2017), shasta(2015)]).unwrap();
    assert_eq!(joined.report.files, 3);
    assert_eq!(joined.report.rows, 8752 + 8778 + 8739);
    let (from, to) = (hour(2015, 1, 1, 1).unwrap(), hour(2017, 12, 31, 23).unwrap());
    assert_eq!((joined.start_hour, joined.end_hour()), (from, to));
    // Stamps expected less rows present, and those without temperature: 8, 11 and 52 as published.
    let expected = (to - from + 1) as usize;
    assert_eq!(joined.report.expected, expected);
    assert_eq!(joined.report.missing_temperature, expected - (8752 + 8778 + 8739) + 8 + 11 + 52);
    // These files leave out the first instant of each year, so two hours at each new year are missing.
    let after = shasta(2016);
    assert_eq!(
        (shasta(2015).end_hour(), after.start_hour),
        (hour(2015, 12, 31, 23).unwrap(), hour(2016, 1, 1, 1).unwrap())
    );
    let across = (hour(2015, 12, 31, 23).unwrap() - joined.start_hour) as usize;
    assert_eq!(joined.filled[across - 1..across + 3], [MEASURED, MISSING, MISSING, MEASURED]);
    // Inside a year joining changes no bit.
    let at = (after.start_hour - joined.start_hour) as usize;
    for i in 0..after.len() {
        assert_eq!(joined.temperature_c[at + i].to_bits(), after.temperature_c[i].to_bits());
    }
    // Years in the station's standard time: 2014 has its last seven hours, the last year ends eight hours early.
    assert_eq!(joined.years(), [2014, 2015, 2016, 2017]);
    assert_eq!(joined.coverage()[2].expected, 8784);
}

#[test]
fn the_hour_between_two_files_is_made_from_both() {
    let text = String::from_utf8(file("eelde_2012.csv")).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let part = |from: usize, to: usize| {
        let rows = lines[4 + from..4 + to].join("\n");
        read("part", format!("{}\n{rows}\n", lines[..4].join("\n")).as_bytes(), &Hints::default()).unwrap()
    };
    let whole = part(0, 96);
    let joined = join(vec![part(40, 96), part(0, 40)]).unwrap();
    assert_eq!(joined.filled, whole.filled);
    assert!(joined.temperature_c.iter().zip(&whole.temperature_c).all(|(a, b)| a.to_bits() == b.to_bits()));
    assert!(joined.relative_humidity.iter().zip(&whole.relative_humidity).all(|(a, b)| a.to_bits() == b.to_bits()));
    assert_eq!(joined.gaps(), []);
}

#[test]
fn gaps_of_three_years_are_listed_and_filled() {
    let joined = join(vec![shasta(2015), shasta(2016), shasta(2017)]).unwrap();
    let before = joined.gaps();
    assert!(before.iter().all(|g| g.mending == Mending::Left));
    let missing = joined.filled.iter().filter(|&&f| f == MISSING).count();
    assert_eq!(before.iter().map(|g| g.hours).sum::<usize>(), missing);
    let longest = before.iter().map(|g| g.hours).max().unwrap();
    let mended = joined.clone().mended();
    let after = mended.gaps();
    assert!(after.iter().any(|g| g.mending == Mending::Short));
    assert_eq!(after.iter().map(|g| g.hours).sum::<usize>(), missing, "every hour stays told");
    assert!(longest <= 73 && after.iter().all(|g| g.mending != Mending::Left), "{after:?}");
    for i in 0..joined.len() {
        if joined.filled[i] == MEASURED {
            assert_eq!(mended.temperature_c[i].to_bits(), joined.temperature_c[i].to_bits());
            assert_eq!(mended.relative_humidity[i].to_bits(), joined.relative_humidity[i].to_bits());
        } else {
            assert!(mended.temperature_c[i].is_finite() && (0.0..=1.0).contains(&mended.relative_humidity[i]));
        }
    }
    assert_eq!(mended.clone().mended(), mended, "filling twice changes nothing");
}

#[test]
fn the_mean_of_the_pressure_can_be_said() {
    let series = shasta(2016).mended();
    let low = series.clone().at_mean_pressure(85_000.0);
    let mean = low.pressure_pa.iter().sum::<f64>() / low.len() as f64;
    assert!((mean - 85_000.0).abs() < 1e-6, "{mean}");
    assert_eq!(low.temperature_c, series.temperature_c);
    let ratio = low.pressure_pa[0] / series.pressure_pa[0];
    assert!(low.pressure_pa.iter().zip(&series.pressure_pa).all(|(a, b)| (a / b - ratio).abs() < 1e-12));
}

#[test]
fn what_cannot_be_joined() {
    assert_eq!(join(Vec::new()).unwrap_err().0[0].code, "weather-folder-empty");
    let far = Hints { latitude: Some(40.0), ..SHASTA };
    let other = read("other", &file("725957-2016.gz"), &far).unwrap();
    assert_eq!(join(vec![shasta(2015), other]).unwrap_err().0[0].code, "weather-two-stations");
    let typical = read("t", &file("epw_chicago_ohare_tmy3.epw.gz"), &Hints::default()).unwrap();
    let codes: Vec<String> = join(vec![shasta(2015), typical]).unwrap_err().0.into_iter().map(|d| d.code).collect();
    assert!(codes.contains(&"weather-typical-joined".into()) && codes.contains(&"weather-two-stations".into()));
}

#[test]
fn overlapping_files_agree_or_are_told() {
    let whole = shasta(2015);
    let same = join(vec![shasta(2015), shasta(2015)]).unwrap();
    assert_eq!(same.temperature_c.len(), whole.temperature_c.len());
    assert!(same.report.warnings.0.iter().all(|w| w.code != "weather-files-disagree"));
    let hours = |t: f64| {
        Series::from_hours("a", StationPlace::default(), 10, vec![t; 5], vec![0.5; 5], vec![1e5; 5], Kind::Measured)
    };
    let told = join(vec![hours(10.0), hours(12.0)]).unwrap();
    assert_eq!(told.report.warnings.0[0].code, "weather-files-disagree");
    assert_eq!(told.temperature_c, [10.0; 5]);
}

#[test]
fn a_gap_of_thirty_two_hours_in_kansas_city() {
    let series = read("kansas", &file("kansas_city_2017.csv"), &Hints::default()).unwrap();
    assert_eq!((series.place.elevation_m, series.place.utc_offset_s), (Some(226.2), Some(-21_600)));
    // Published: longest gap 32 h from 2017-04-30T01:00Z; the instants at both sides leave 33 hours.
    let longest = series.gaps().into_iter().max_by_key(|g| g.hours).unwrap();
    assert_eq!((longest.start_hour, longest.hours), (hour(2017, 4, 30, 0).unwrap(), 33));
    // Later on that 1 May the instants from 12 to 15 UTC are absent too: five more hours.
    let refused = series.window(hour(2017, 4, 29, 0).unwrap(), 72).unwrap_err();
    assert_eq!((refused.missing, refused.longest_gap, refused.first_at), (38, 33, hour(2017, 4, 30, 0).unwrap()));
    let mended = series.mended();
    let window = mended.window(hour(2017, 4, 29, 0).unwrap(), 72).unwrap();
    assert_eq!(window.filled_hours(), 38);
}

#[test]
fn sea_level_pressure_below_sea_level_and_over_a_leap_day() {
    let series = read("eelde", &file("eelde_2012.csv"), &Hints::default()).unwrap();
    assert_eq!(series.report.pressure.sea_level, series.report.expected);
    assert!(series.window(hour(2012, 2, 28, 12).unwrap(), 36).is_ok());
    // 5 m of air weigh 0.6 hPa.
    let first = series.pressure_pa[0];
    let line = String::from_utf8(file("eelde_2012.csv")).unwrap();
    let row: Vec<&str> = line.lines().nth(4).unwrap().split(',').collect();
    let sea: f64 = row[4].parse().unwrap();
    assert!((sea * 100.0 - first - 64.0).abs() < 25.0, "{sea} {first}");
}

#[test]
fn seasons_across_leap_days_and_new_years() {
    let champaign = bundled("champaign").unwrap();
    // 28 February to 2 March: 72 hours in 2007, 96 in 2008.
    let span = |year| hour(year, 3, 2, 0).unwrap() - hour(year, 2, 27, 0).unwrap();
    assert_eq!((span(2007), span(2008)), (72, 96));
    let window = champaign.window(hour(2008, 2, 27, 0).unwrap(), 96).unwrap();
    let march = (hour(2008, 3, 1, 0).unwrap() - champaign.start_hour) as usize;
    assert_eq!(window.temperature_c[72], champaign.temperature_c[march]);
    let winter = champaign.window(hour(2007, 12, 1, 0).unwrap(), 24 * 90).unwrap();
    assert_eq!((winter.len(), winter.temperature_c.iter().filter(|t| t.is_nan()).count()), (2160, 0));
    let hourly = winter.hourly();
    assert_eq!(hourly.humidity_ratio.len(), 2160);
    assert!(hourly.humidity_ratio.iter().all(|w| (1e-4..0.02).contains(w)));
    // Beyond the end of the record.
    let late = champaign.window(hour(2023, 12, 31, 0).unwrap(), 48).unwrap_err();
    assert_eq!(late.first_at, champaign.end_hour());
    assert_eq!(late.missing, 48 - (champaign.end_hour() - hour(2023, 12, 31, 0).unwrap()) as usize);
    assert!(champaign.window(i64::MAX - 5, 10).is_err() && champaign.window(i64::MIN, 10).is_err());
    assert!(champaign.window(0, 0).is_ok());
}

#[test]
fn southern_seasons_and_half_hour_zones() {
    let series = |offset: i32| {
        let place = StationPlace { utc_offset_s: Some(offset), ..StationPlace::default() };
        let start = hour(2014, 12, 31, 0).unwrap();
        let hours = 24 * 800;
        Series::from_hours("south", place, start, vec![25.0; hours], vec![0.6; hours], vec![1e5; hours], Kind::Measured)
    };
    // A harvest from November to February belongs to the year of its first load: one window, two calendar years.
    let south = series(-3 * 3600);
    assert!(south.window(hour(2015, 11, 15, 3).unwrap(), 24 * 100).is_ok());
    let complete =
        |s: &Series| s.coverage().iter().filter(|y| y.complete()).map(|y| (y.year, y.expected)).collect::<Vec<_>>();
    assert_eq!(complete(&south), [(2015, 8760), (2016, 8784)]);
    // India: the year begins at 18:30 UTC; the hour that begins at 18:00 is still the old year's.
    let india = series(19_800);
    assert_eq!(complete(&india), [(2015, 8760), (2016, 8784)]);
    assert_eq!(india.coverage()[0].present, 19);
}

#[test]
fn humidity_ratio_of_an_hour() {
    let place = StationPlace::default();
    let one = Series::from_hours("a", place, 0, vec![20.0], vec![0.5], vec![101_325.0], Kind::Measured);
    // ASHRAE psychrometrics, 20 °C saturated: W = 0.014696 without enhancement 0.01466; half the vapour: 0.00726.
    let expected = 0.621945 * 0.5 * 2338.8 / (101_325.0 - 0.5 * 2338.8);
    assert!((one.humidity_ratio(0) - expected).abs() < 2e-7);
    assert!(one.humidity_ratio(1).is_nan());
}

#[test]
fn a_site_higher_than_its_station() {
    let series = bundled("champaign").unwrap();
    let higher = series.clone().at_elevation(800.0);
    // Standard atmosphere of 230 m and 800 m.
    assert!((series.pressure_pa[0] - 98_592.0).abs() < 5.0 && (higher.pressure_pa[0] - 92_076.0).abs() < 5.0);
    assert_eq!(higher.temperature_c, series.temperature_c);
    assert_eq!(higher.clone().mended().pressure_pa, higher.pressure_pa);
}
