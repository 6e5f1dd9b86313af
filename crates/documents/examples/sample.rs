//! Writes a sample report, to look at the page. Every number and name in it is invented; nothing is computed by the
//! model.
//!
//! `cargo run --release -p documents --example sample -- FOLDER [si|us]`

use documents::{
    html,
    report::{
        AirReport, Balance, Band, Bands, BudgetItem, Capacity, ChanceInterval, DepthTimeMap, FanCurve, GoalState,
        LeftOut, Limit, OperatingPoint, Outcome, PageMark, ReportData, RunIdentity, Running, SeasonReport, SourceUse,
        Strip, StripLine, SystemCurve, Tally, TitleBlock, Uncertainty, Variant, Verdict, YearLine, YearRow,
        YearsReport,
    },
    section::{BinSection, ColumnDrawing, FanPlace, GrainDrawing},
    write::write_report,
};
use notice::{Kind, Phrase, Quantity, Remark, Status, UnitSystem};
use std::{path::Path, process::ExitCode};

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let Some(folder) = arguments.next() else {
        eprintln!("usage: sample FOLDER [si|us]");
        return ExitCode::from(2);
    };
    let system = if arguments.next().as_deref() == Some("si") { UnitSystem::Si } else { UnitSystem::Us };
    match write_report(Path::new(&folder), &html::files(&sample(), system)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{}", error.diagnostic().render());
            ExitCode::from(2)
        }
    }
}

/// A wave that looks irregular enough, from −1 to 1; no random numbers, so that the sample never changes.
fn wave(t: f64, seed: f64) -> f64 {
    ((t * 0.71 + seed * 3.1).sin() + (t * 0.23 + seed * 1.7).sin() + (t * 0.057 + seed).sin()) / 3.0
}

fn sample() -> ReportData {
    let years = years();
    let count = |outcome| years.rows.iter().filter(|row| row.outcome == outcome).count() as u32;
    let tally = Tally { met: count(Outcome::Met), held: count(Outcome::Held), failed: count(Outcome::Failed) };
    ReportData {
        title: TitleBlock {
            site: "Long Slough farm (invented)".into(),
            bin: "north".into(),
            lot: "corn, 20 000 bu at 20 % from 10 October, four days".into(),
            outfit: "two demo-centrifugal-10hp in parallel, continuous, no burner".into(),
            date: "25 November 2026".into(),
            program: "binwright 0.1.0".into(),
            marks: vec![PageMark::InventedEquipment],
        },
        verdict: Verdict {
            goal: GoalState::Missed,
            headline: Some(
                Phrase::new(
                    "the corn is dry and sound by 15 December in {n} of {of} autumns, fewer than the 9 in 10 asked for",
                )
                .count("n", tally.met as usize)
                .count("of", tally.of() as usize),
            ),
            sentences: vec![
                Phrase::new("full, two fans give {a} at {p}")
                    .with("a", Quantity::new(13.9e-3, Kind::SpecificAirflow))
                    .with("p", Quantity::new(870.0, Kind::Pressure)),
                Phrase::new("the slow autumns hold the corn cold; in the worst the wettest tenth spoils first"),
            ],
        },
        section: Some(section()),
        capacities: vec![
            Capacity {
                what: "level full to the eave".into(),
                values: vec![Quantity::new(653.0, Kind::GrainVolume), Quantity::new(471_000.0, Kind::Mass)],
                note: "volume bushels; as filled at 20 %, packed 721 kg/m³".into(),
            },
            Capacity {
                what: "the lot".into(),
                values: vec![Quantity::new(508_000.0, Kind::Mass), Quantity::new(406_000.0, Kind::Mass)],
                note: "wet as filled; dry matter".into(),
            },
        ],
        air: air(),
        years,
        season: Some(season()),
        weighing: None,
        uncertainty: uncertainty(tally),
        remarks: vec![Remark::new(
            "kinetics-cold",
            Phrase::new("the drying law is used below its evidence ({t}) in {n} years, down to {low}")
                .with("t", Quantity::new(4.0, Kind::Temperature))
                .count("n", 28)
                .with("low", Quantity::new(-18.0, Kind::Temperature)),
        )],
        cautions: vec![
            Phrase::new("never enter a bin while grain is moving; lock out the unloader first"),
            Phrase::new("open and clear the roof vents before the fans are started"),
        ],
        sources: vec![SourceUse {
            what: "equilibrium moisture of corn".into(),
            citation: "an invented citation, 1999".into(),
            status: Status::Verified,
            in_range: Some(true),
            outside: Vec::new(),
        }],
        run: RunIdentity {
            entries: vec![
                ("identity".into(), "0c5f2d9a4e1b".repeat(5)),
                ("model".into(), "1".into()),
                ("accuracy".into(), "verdict, 32 layers".into()),
            ],
            balances: vec![
                Balance { what: "water".into(), residual: 3.1e-12, allowed: 1e-9 },
                Balance { what: "energy".into(), residual: 8.8e-12, allowed: 1e-9 },
            ],
        },
    }
}

fn section() -> BinSection {
    let column = |name: &str, outer, lag: f64| ColumnDrawing {
        name: name.into(),
        outer,
        layers: (0..20).map(|i| (0.3, front(60.0 - lag, (f64::from(i) + 0.5) * 0.3))).collect(),
    };
    BinSection {
        diameter_m: 10.97,
        eave_m: 7.32,
        roof_rise_m: 2.9,
        floor_m: 0.36,
        floor: "full perforated floor, 10 % open".into(),
        fans: vec![
            FanPlace { label: "demo-centrifugal-10hp".into(), burner_after_fan: None },
            FanPlace { label: "demo-centrifugal-10hp".into(), burner_after_fan: None },
        ],
        vents: "roof vents, 24 ft² free".into(),
        grain: Some(GrainDrawing {
            what: "moisture on 9 December 2009".into(),
            kind: Kind::MoistureWetBasis,
            range: Some((0.13, 0.21)),
            peak_m: 0.5,
            columns: vec![column("slow", 0.4, 22.0), column("mean", 0.8, 10.0), column("fast", 1.0, 0.0)],
        }),
    }
}

/// An invented drying front: moisture wet basis, days after the start, metres from the floor.
fn front(days: f64, depth: f64) -> f64 {
    let place = 0.075 * days;
    0.148 + 0.004 * wave(days - 6.0 * depth, 2.0) + 0.052 / (1.0 + (-(depth - place) / 0.5).exp())
}

fn air() -> AirReport {
    let fan = |q: f64| 1500.0 - 0.9 * q * q;
    let curve = |from: f64, to: f64| -> Vec<(f64, f64)> {
        (0..=30).map(|i| from + (to - from) * f64::from(i) / 30.0).map(|q| (q, fan(q).min(1250.0 + 18.0 * q))).collect()
    };
    let point = |fill: &str, depth: f64, q: f64, note: &str| OperatingPoint {
        fill: fill.into(),
        grain_depth_m: depth,
        airflow_m3_s: q,
        static_pressure_pa: fan(q),
        specific_airflow_per_s: q / (94.5 * depth),
        power_w: 14_800.0 - 130.0 * q,
        note: note.into(),
    };
    let system = |label: &str, depth: f64| {
        let at = point("", depth, [22.0, 26.5, 31.5][((6.0 - depth) / 2.0) as usize], "");
        let rises = at.static_pressure_pa / at.airflow_m3_s.powf(1.5);
        SystemCurve {
            label: label.into(),
            points: (0..=45).map(|i| (f64::from(i), rises * f64::from(i).powf(1.5))).collect(),
        }
    };
    AirReport {
        points: vec![
            point("full", 6.0, 22.0, ""),
            point("two thirds", 4.0, 26.5, ""),
            point("one third", 2.0, 31.5, ""),
            OperatingPoint {
                fill: "heaped".into(),
                grain_depth_m: 9.0,
                airflow_m3_s: f64::NAN,
                static_pressure_pa: f64::NAN,
                specific_airflow_per_s: f64::NAN,
                power_w: f64::NAN,
                note: "the fans find no stable point".into(),
            },
        ],
        budget: vec![
            BudgetItem { what: "grain".into(), pressure_pa: 912.0, note: "log law, packing 1.5".into() },
            BudgetItem { what: "perforated floor".into(), pressure_pa: 38.0, note: "10 % open".into() },
            BudgetItem { what: "transition".into(), pressure_pa: 75.0, note: "stated".into() },
            BudgetItem { what: "vents".into(), pressure_pa: 39.0, note: "stated".into() },
        ],
        budget_at: "the bin full".into(),
        fans: vec![FanCurve {
            label: "two fans in parallel".into(),
            stable: curve(14.0, 40.8),
            unstable: curve(0.0, 14.0),
        }],
        systems: vec![system("full", 6.0), system("two thirds", 4.0), system("one third", 2.0)],
        air_density_kg_m3: 1.2,
    }
}

fn years() -> YearsReport {
    let mut rows = Vec::new();
    let mut lines = Vec::new();
    for year in 1995..2023 {
        let seed = f64::from(year - 1995);
        let speed = 0.98 + 0.62 * wave(seed * 7.0, 4.0);
        let slope = |day: f64| {
            let t = (day - 286.0).max(0.0);
            0.151 + 0.049 * (-(t * speed / 26.0).powf(1.4)).exp() + 0.0015 * wave(day, seed)
        };
        let points: Vec<(f64, f64)> = (0..=120).map(|i| 282.0 + f64::from(i)).map(|d| (d, slope(d))).collect();
        let finish = points.iter().find(|p| p.1 <= 0.155).map_or(f64::NAN, |p| p.0);
        let outcome = match finish {
            day if day < 349.0 => Outcome::Met,
            day if day.is_nan() || day > 366.0 => Outcome::Failed,
            _ => Outcome::Held,
        };
        rows.push(YearRow {
            year,
            outcome,
            cause: match outcome {
                Outcome::Met => String::new(),
                Outcome::Held => "too cold and wet after the first week of November".into(),
                Outcome::Failed => "the wettest tenth used its storage life before the front came".into(),
            },
            finish_day: finish,
            mean_wb: slope(402.0),
            wettest_wb: slope(402.0) + 0.004 + 0.003 * wave(seed, 1.0).abs(),
            life_used: 0.5 + 0.4 * wave(seed * 7.0, 1.0) + if outcome == Outcome::Failed { 0.6 } else { 0.0 },
            electricity_j: 3.6e6 * (15_000.0 / speed),
            burner_heat_j: 0.0,
            cost: format!("{:.0} USD", 1800.0 / speed),
        });
        lines.push(YearLine { year, outcome, points });
    }
    let days: Vec<f64> = (0..=120).map(|i| 282.0 + f64::from(i)).collect();
    let at = |share: f64| -> Vec<f64> {
        (0..days.len())
            .map(|i| {
                let mut values: Vec<f64> = lines.iter().map(|l| l.points[i].1).collect();
                values.sort_by(f64::total_cmp);
                values[(share * (values.len() - 1) as f64).round() as usize]
            })
            .collect()
    };
    let band = |label: &str, low, high| Band { label: label.into(), low_wb: at(low), high_wb: at(high) };
    let bands = Bands {
        median_wb: at(0.5),
        bands: vec![band("all years", 0.0, 1.0), band("8 years of 10", 0.1, 0.9), band("half the years", 0.25, 0.75)],
        days,
    };
    YearsReport {
        target_wb: 0.155,
        by_day: 348.0,
        rows,
        lines,
        bands: Some(bands),
        left_out: vec![LeftOut { year: 2023, reason: "the weather ends on 31 December, before the horizon".into() }],
    }
}

fn season() -> SeasonReport {
    let hours = 2880;
    let day = |h: i32| 282.0 + f64::from(h) / 24.0;
    let edges: Vec<f64> = (0..=hours).map(day).collect();
    let depths: Vec<f64> = (0..=20).map(|j| f64::from(j) * 0.3).collect();
    let grid = |value: &dyn Fn(f64, f64) -> f64| -> Vec<f64> {
        (0..hours)
            .flat_map(|h| (0..20).map(move |j| (f64::from(h) / 24.0, (f64::from(j) + 0.5) * 0.3)))
            .map(|(t, d)| if t < 4.0 && d > 1.5 * (t.floor() + 1.0) { f64::NAN } else { value(t, d) })
            .collect()
    };
    let ambient = |t: f64| 12.0 - 0.17 * t + 7.0 * wave(t, 1.0) + 4.0 * (t * std::f64::consts::TAU).sin();
    let map = |what: &str, kind, values, range, limit| DepthTimeMap {
        what: what.into(),
        kind,
        day_edges: edges.clone(),
        depth_edges_m: depths.clone(),
        values,
        range,
        limit,
    };
    let series = |value: &dyn Fn(f64) -> f64| -> Vec<(f64, f64)> {
        (0..hours).map(|h| (day(h) + 0.5 / 24.0, value(f64::from(h) / 24.0))).collect()
    };
    let limit = |value, label: &str| Some(Limit { value, label: label.into() });
    SeasonReport {
        year: 2009,
        why: "The slowest autumn of the 28.".into(),
        maps: vec![
            map("moisture", Kind::MoistureWetBasis, grid(&front), Some((0.13, 0.21)), limit(0.155, "target")),
            map(
                "temperature",
                Kind::Temperature,
                grid(&|t, d| ambient((t - 2.0 * d).max(0.0)) - 1.5 * d / 6.0),
                None,
                None,
            ),
            map(
                "storage life used",
                Kind::Fraction,
                grid(&|t, d| (d / 6.0).powi(2) * (1.0 - (-t / 30.0).exp()) * 1.3),
                Some((0.0, 1.2)),
                limit(1.0, "spent"),
            ),
        ],
        strips: vec![
            Strip {
                what: "air temperature".into(),
                kind: Kind::Temperature,
                lines: vec![
                    StripLine { label: "ambient".into(), points: series(&ambient) },
                    StripLine { label: "plenum".into(), points: series(&|t| ambient(t) + 1.6) },
                ],
            },
            Strip {
                what: "relative humidity".into(),
                kind: Kind::RelativeHumidity,
                lines: vec![StripLine {
                    label: "ambient".into(),
                    points: series(&|t| (0.74 + 0.2 * wave(t * 2.0, 5.0)).min(1.0)),
                }],
            },
        ],
        running: vec![
            Running { label: "fans".into(), spans: vec![(282.5, 340.0, 1.0), (352.0, 360.0, 0.5)] },
            Running { label: "burner".into(), spans: vec![] },
        ],
    }
}

fn uncertainty(tally: Tally) -> Uncertainty {
    let variant = |name: &str, met, held, failed| Variant {
        name: name.into(),
        tally: Tally { met, held, failed },
        note: String::new(),
    };
    Uncertainty {
        tally,
        interval: Some(ChanceInterval {
            of_what: "the goal is met".into(),
            low: 0.590,
            high: 0.917,
            level: 0.95,
            method: "Clopper–Pearson".into(),
        }),
        variants: vec![
            variant("as stated", tally.met, tally.held, tally.failed),
            variant("published storage limits instead of the strict ones", 24, 4, 0),
            variant("packing 1.3", 25, 2, 1),
            variant("slow column with 0.7 of the mean air", 11, 9, 8),
        ],
        worst: Some(Phrase::new("with the slow column at 0.7 and strict limits the goal is missed by far")),
    }
}
