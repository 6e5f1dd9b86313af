//! Readers take any bytes: a series or diagnostics, never a panic, and no series with holes that are not flagged.

use proptest::prelude::*;
use std::io::Read;
use std::sync::LazyLock;
use weather::{Hints, MISSING, read};

/// The beginnings of one real file of each form.
static SEEDS: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| {
    let folder = format!("{}/tests/data", env!("CARGO_MANIFEST_DIR"));
    [
        "epw_chicago_ohare_tmy3.epw.gz",
        "tmy3_723170_greensboro_nc.csv.gz",
        "725957-2015.gz",
        "lcd_v1_imperial_atlanta_ga_2020.csv.gz",
        "lcd_v2_metric_lincoln_ne.csv.gz",
        "kansas_city_2017.csv",
    ]
    .iter()
    .map(|name| {
        let bytes = std::fs::read(format!("{folder}/{name}")).unwrap();
        let mut text = Vec::new();
        match name.ends_with("gz") {
            true => flate2::read::GzDecoder::new(bytes.as_slice()).read_to_end(&mut text).map(|_| ()).unwrap(),
            false => text = bytes,
        }
        text.truncate(12_000);
        let end = text.iter().rposition(|b| *b == b'\n').unwrap();
        text.truncate(end + 1);
        text
    })
    .collect()
});

fn check(bytes: &[u8]) {
    for hints in [Hints::default(), Hints { elevation_m: Some(200.0), utc_offset_s: Some(19_800), ..Hints::default() }]
    {
        match read("any", bytes, &hints) {
            Ok(series) => {
                let series = series.mended();
                for i in 0..series.len() {
                    let missing = series.filled[i] == MISSING;
                    assert_eq!(missing, series.temperature_c[i].is_nan());
                    assert_eq!(missing, series.relative_humidity[i].is_nan());
                    assert!(missing || (0.0..=1.0).contains(&series.relative_humidity[i]));
                    assert!((10_000.0..200_000.0).contains(&series.pressure_pa[i]), "{}", series.pressure_pa[i]);
                }
                let _ = (series.gaps(), series.coverage());
            }
            Err(all) => assert!(all.stop() && !all.to_string().is_empty()),
        }
    }
}

proptest! {
    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..2000)) {
        check(&bytes);
    }

    #[test]
    fn any_text_behind_a_known_head(which in 0_usize..6, lines in 1_usize..12, rest in "[0-9,;. :TZ\\-\"\n\u{e9}NaM#]{0,400}") {
        let seed = &SEEDS[which];
        let head: Vec<u8> = seed.split_inclusive(|b| *b == b'\n').take(lines).flatten().copied().collect();
        check(&[head, rest.into_bytes()].concat());
    }

    #[test]
    fn real_files_with_bytes_changed(
        which in 0_usize..6,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..30),
        cut in any::<prop::sample::Index>(),
        whole in any::<bool>(),
    ) {
        let mut bytes = SEEDS[which].clone();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if !whole {
            bytes.truncate(cut.index(bytes.len()));
        }
        check(&bytes);
    }

    #[test]
    fn real_files_with_digits_changed(
        which in 0_usize..6,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), 0_u8..10), 1..60),
    ) {
        let mut bytes = SEEDS[which].clone();
        let digits: Vec<usize> = (0..bytes.len()).filter(|&i| bytes[i].is_ascii_digit()).collect();
        for (at, digit) in changes {
            bytes[digits[at.index(digits.len())]] = b'0' + digit;
        }
        check(&bytes);
    }
}
