//! The page as a whole, with the worst a user or a result can put into it.

use documents::{html, report::*, section::*};
use notice::{Kind, Phrase, Quantity, Remark, Source, Status, UnitSystem};
use proptest::prelude::*;

const BOTH: [UnitSystem; 2] = [UnitSystem::Si, UnitSystem::Us];
const HOSTILE: &str = "</title></style><script>alert(1)</script>\"'><img src=x onerror=alert(2)>&amp;\u{202e}\u{0}";

/// Every text of the report is `text` and every number `number`.
fn filled(text: &str, number: f64, rows: usize) -> ReportData {
    let t = || text.to_string();
    let n = number;
    let phrase = || Phrase::new("{a} is {b}").text("a", text).with("b", Quantity::new(n, Kind::Temperature));
    let tally = Tally { met: u32::MAX, held: 1, failed: 0 };
    let row = |i: usize| YearRow {
        year: 1600 + i as i32,
        outcome: [Outcome::Met, Outcome::Held, Outcome::Failed][i % 3],
        cause: t(),
        finish_day: n,
        mean_wb: n,
        wettest_wb: n,
        life_used: n,
        electricity_j: n,
        burner_heat_j: n,
        cost: t(),
    };
    let map = DepthTimeMap {
        what: t(),
        kind: Kind::Temperature,
        day_edges: vec![0.0, 1.0, 2.0],
        depth_edges_m: vec![0.0, n, 2.0],
        values: vec![n; 4],
        range: Some((n, n)),
        limit: Some(Limit { value: n, label: t() }),
    };
    ReportData {
        title: TitleBlock {
            site: t(),
            bin: t(),
            lot: t(),
            outfit: t(),
            date: t(),
            program: t(),
            marks: vec![PageMark::InventedEquipment, PageMark::EstimatedEquipment],
        },
        verdict: Verdict { goal: GoalState::Missed, headline: Some(phrase()), sentences: vec![phrase(); 3] },
        section: Some(BinSection {
            diameter_m: 10.0,
            eave_m: 7.0,
            roof_rise_m: n,
            floor_m: n,
            floor: t(),
            fans: vec![FanPlace { label: t(), burner_after_fan: Some(false) }; 3],
            vents: t(),
            grain: Some(GrainDrawing {
                what: t(),
                kind: Kind::MoistureWetBasis,
                range: None,
                peak_m: n,
                columns: vec![ColumnDrawing { name: t(), outer: n, layers: vec![(n, n), (1.0, 0.2)] }; 3],
            }),
        }),
        capacities: vec![Capacity { what: t(), values: vec![Quantity::new(n, Kind::Mass)], note: t() }; 2],
        air: AirReport {
            points: vec![
                OperatingPoint {
                    fill: t(),
                    grain_depth_m: n,
                    airflow_m3_s: n,
                    static_pressure_pa: n,
                    note: t(),
                    ..OperatingPoint::default()
                };
                2
            ],
            budget: vec![BudgetItem { what: t(), pressure_pa: n, note: t() }; 2],
            budget_at: t(),
            fans: vec![FanCurve { label: t(), stable: vec![(n, 1.0), (1.0, n)], unstable: vec![(n, n)] }],
            systems: vec![SystemCurve { label: t(), points: vec![(0.0, 0.0), (n, 1.0)] }],
            air_density_kg_m3: n,
        },
        years: YearsReport {
            target_wb: n,
            by_day: n,
            rows: (0..rows).map(row).collect(),
            lines: (0..rows)
                .map(|i| YearLine {
                    year: 1600 + i as i32,
                    outcome: Outcome::Failed,
                    points: vec![(0.0, 0.2), (n, 0.1), (9.0, n)],
                })
                .collect(),
            bands: Some(Bands {
                days: vec![0.0, n],
                median_wb: vec![n],
                bands: vec![Band { label: t(), low_wb: vec![n, 0.1], high_wb: vec![0.2] }],
            }),
            left_out: vec![LeftOut { year: -5, reason: t() }],
        },
        season: Some(SeasonReport {
            year: 2000,
            why: t(),
            maps: vec![map],
            strips: vec![Strip {
                what: t(),
                kind: Kind::Temperature,
                lines: vec![StripLine { label: t(), points: vec![(0.0, n), (2.0, 1.0)] }],
            }],
            running: vec![Running { label: t(), spans: vec![(0.0, n, n), (0.0, 1.0, 0.5)] }],
        }),
        weighing: None,
        uncertainty: Uncertainty {
            tally,
            interval: Some(ChanceInterval { of_what: t(), low: n, high: n, level: n, method: t() }),
            variants: vec![Variant { name: t(), tally, note: t() }],
            worst: Some(phrase()),
        },
        remarks: vec![Remark::new("x", phrase()).from_source(Source::new(text, Status::Memory))],
        cautions: vec![phrase()],
        sources: vec![SourceUse {
            what: t(),
            citation: t(),
            status: Status::Seen,
            in_range: Some(false),
            outside: vec![Phrase::new(t())],
        }],
        run: RunIdentity { entries: vec![(t(), t())], balances: vec![Balance { what: t(), residual: n, allowed: n }] },
    }
}

/// Tags opened and closed in order; void elements and comments of ours aside. Fails on a stray bracket.
fn assert_well_nested(page: &str) {
    let body = page.split_once("</style>").map_or(page, |parts| parts.1);
    let mut open = vec!["head", "html"];
    open.reverse();
    for part in body.split('<').skip(1) {
        let (tag, rest) = part.split_once('>').unwrap_or_else(|| panic!("unclosed tag: {part:.60}"));
        assert!(!rest.contains('>'), "stray bracket after <{tag}>: {rest:.60}");
        let name = tag.split([' ', '\n', '/']).find(|s| !s.is_empty()).unwrap_or_default();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "closing tag out of order");
        } else if !tag.ends_with('/') {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

fn assert_sound(page: &str) {
    assert_well_nested(page);
    for bad in ["NaN", ">inf", "inf<", "<script", "onerror=alert(2)>", "http://", "https://"] {
        let seen = page.replace("http://www.w3.org/2000/svg", "").contains(bad);
        assert!(!seen, "{bad} in the page");
    }
    assert!(!page.contains('\u{0}'));
    let mut ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|s| s.split('"').next()).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "ids stand twice");
}

#[test]
fn an_empty_report_says_what_is_missing() {
    for system in BOTH {
        let page = html::render(&ReportData::default(), system);
        assert_sound(&page);
        for words in ["goal not judged", "No operating point was worked out", "No year was worked out"] {
            assert!(page.contains(words), "{words}");
        }
        assert!(!page.contains("<table"));
    }
}

#[test]
fn hostile_text_stays_text() {
    for system in BOTH {
        let page = html::render(&filled(HOSTILE, 0.3, 3), system);
        assert_sound(&page);
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    }
}

#[test]
fn numbers_that_are_none_are_said_in_words() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -0.0, 1e300, -1e300, f64::MIN_POSITIVE] {
        for system in BOTH {
            let page = html::render(&filled("bin", number, 3), system);
            assert_sound(&page);
            if !number.is_finite() {
                assert!(page.contains("not reached"), "{number}");
            }
        }
    }
}

#[test]
fn four_hundred_years_and_long_names_fit() {
    let page = html::render(&filled(&"שם ארוך מאוד ".repeat(200), 0.3, 400), UnitSystem::Us);
    assert_sound(&page);
    assert!(page.matches("<tr>").count() > 400);
    assert!(page.contains("<bdi>"));
}

#[test]
fn marks_stand_at_the_head_and_on_every_printed_page() {
    let page = html::render(&filled("bin", 0.3, 1), UnitSystem::Si);
    let edge = page.split("class=\"edge\"").nth(1).and_then(|s| s.split("</div>").next()).unwrap_or_default();
    for mark in [PageMark::InventedEquipment, PageMark::EstimatedEquipment] {
        assert!(edge.contains(mark.text()) && page.contains(&format!("<p class=\"mark\">{}</p>", mark.text())));
    }
}

#[test]
fn outcomes_are_words_and_shapes() {
    let page = html::render(&filled("bin", 0.3, 3), UnitSystem::Si);
    for outcome in [Outcome::Met, Outcome::Held, Outcome::Failed] {
        assert!(page.contains(&format!("</svg> {}</td>", outcome.word())));
    }
}

#[test]
fn the_same_report_gives_the_same_bytes() {
    let data = filled("bin", 0.3, 5);
    assert_eq!(html::render(&data, UnitSystem::Us), html::render(&data, UnitSystem::Us));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_text_and_any_number_give_a_sound_page(text in "\\PC{0,40}|[<>&\"'/=\\- a]{0,30}", number in any::<f64>()) {
        // Addresses in a name are text like any other; only the check for them would stumble.
        prop_assume!(!text.contains("://") && !text.contains("NaN") && !text.contains("inf"));
        assert_sound(&html::render(&filled(&text, number, 2), UnitSystem::Us));
    }
}
