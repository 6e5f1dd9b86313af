//! Each process from its site file to its verdict: aeration, batches, dryeration and its relatives, conditioning.

use advice::{Cause, Reading, Verdict, judge};
use job::{BuiltIn, Job, open};
use season::operations::COOLED_WITHIN;
use season::{Process, Record, SeasonResult, SeasonRun, Step, StepKind};
use std::sync::Arc;

const AERATION: &str = include_str!("../../job/data/aeration.toml");
const BATCHES: &str = include_str!("../../job/data/batches.toml");
const DRYERATION: &str = include_str!("../../job/data/dryeration.toml");
const CONDITIONING: &str = include_str!("../../job/data/conditioning.toml");
const YEAR: i32 = 2011;

fn site(text: &str) -> Job {
    open(text, "site.toml", &BuiltIn::new())
        .unwrap_or_else(|wrong| panic!("{}", wrong.0.iter().map(|d| d.render()).collect::<Vec<_>>().join("\n")))
}

/// Codes of what is wrong with a file.
fn codes(text: &str) -> Vec<String> {
    match open(text, "site.toml", &BuiltIn::new()) {
        Ok(_) => Vec::new(),
        Err(found) => found.0.iter().map(|d| d.code.clone()).collect(),
    }
}

fn changed(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from:?} is in the file");
    text.replace(from, to)
}

/// A bin's season of a year, with balances that close.
fn season(text: &str, bin: &str, year: i32) -> (SeasonResult, Verdict) {
    let job = site(text);
    let bin = job.bin(Some(bin)).expect("the bin is there");
    let case = bin.year(year).expect("the year is there");
    let result = SeasonRun::new(&Arc::clone(case), Record::Daily).finish();
    assert!(result.residual.0 < 1e-9 && result.residual.1 < 1e-9, "{:?}", result.residual);
    let verdict = judge(&case.programme, &result, Reading::Strict);
    (result, verdict)
}

fn kinds(steps: &[Step]) -> Vec<StepKind> {
    steps.iter().map(|s| s.kind).collect()
}

fn wet(m: f64) -> f64 {
    100.0 * m / (1.0 + m)
}

fn says(r: &SeasonResult, code: &str) -> bool {
    r.remarks.0.iter().any(|remark| remark.code == code)
}

#[test]
fn aeration_goes_through_its_stages() {
    let (r, verdict) = season(AERATION, "store", YEAR);
    assert_eq!(r.process, Process::Aeration);
    assert_eq!(kinds(&r.steps), [StepKind::Cooled, StepKind::Cooled, StepKind::Cooled, StepKind::Warmed]);
    assert_eq!(verdict, Verdict::Met, "{:?}", r.cooled_at);
    assert_eq!(r.stopped_at, Some(r.filled_at + 1), "nothing has to be dried");
    for pair in r.steps.windows(2) {
        assert_eq!(pair[0].ended_at, pair[1].began_at, "a stage ends where the next begins");
    }
    for s in &r.steps {
        assert!(s.reached_at.is_some(), "{s:?}");
        assert!(s.fan_hours_to_reach <= s.fan_hours && s.fan_hours < s.hours());
    }
    assert!(says(&r, "aeration"));
    // What its fans do is what the stages ask: without stages that can be reached it is not cold in time.
    let (r, verdict) = season(
        &changed(AERATION, "to = \"3 °C\"\nlow", "to = \"-15 °C\"\nhigh = \"-14 °C\"\nlow = \"-30 °C\" #"),
        "store",
        YEAR,
    );
    assert_eq!(verdict, Verdict::Failed(Cause::NotCold), "{:?}", r.cooled_at);
}

#[test]
fn a_stage_without_air_in_its_window_never_runs_the_fan() {
    let none =
        changed(AERATION, "to = \"20 °C\"\nhumidity = \"90 %\"", "to = \"20 °C\"\nhigh = \"-59 °C\"\nlow = \"-60 °C\"");
    let (r, _) = season(&none, "store", YEAR);
    assert_eq!((r.steps[0].fan_hours, r.steps[0].reached_at), (0.0, None));
    let (usual, _) = season(AERATION, "store", YEAR);
    assert!(r.life_strict > usual.life_strict, "warmer grain keeps shorter");
}

#[test]
fn batches_come_one_after_the_other() {
    let (r, verdict) = season(BATCHES, "still", YEAR);
    assert_eq!((r.process, verdict), (Process::Batches, Verdict::Met));
    assert_eq!(kinds(&r.steps), [StepKind::Batch; 8]);
    let drawn = r.drawn.as_ref().expect("all of it has left");
    assert!((drawn.dry_matter / r.dry_matter - 1.0).abs() < 1e-9 && drawn.draws == 8 && drawn.to == "store");
    for (a, b) in r.steps.iter().zip(&r.steps[1..]) {
        assert!(b.began_at >= a.ended_at && b.began_at - a.ended_at <= 3600, "the next comes within the hour");
    }
    let target = 15.0;
    for s in &r.steps {
        assert!((wet(s.moisture.0) - 22.0).abs() < 0.05, "{s:?}");
        assert!(s.reached_at.is_some() && s.ended_at - s.reached_at.unwrap() >= 7200, "cooled and unloaded");
        assert!(wet(s.moisture.1) < target + 0.3 && s.burner_energy > 0.0);
        assert!(wet(s.extremes.0) - wet(s.extremes.1) > 5.0, "a metre that lies still dries unevenly");
    }
    assert!(says(&r, "batch-spread"));
    // Water that left is that of the grain as it came less that of the grain as it went.
    let loaded: f64 = r.steps.iter().map(|s| s.dry_matter * s.moisture.0).sum();
    let left = loaded - drawn.dry_matter * drawn.mean_moisture;
    assert!((left / r.water_removed - 1.0).abs() < 2e-3, "{left} {}", r.water_removed);
    let steps: f64 = r.steps.iter().map(|s| s.burner_energy).sum();
    assert!((steps / r.burner_energy - 1.0).abs() < 1e-9, "no heat outside batches");
}

#[test]
fn stirred_batches_are_deeper_and_more_even() {
    let (still, _) = season(BATCHES, "still", YEAR);
    let (stirred, verdict) = season(BATCHES, "stirred", YEAR);
    assert_eq!(verdict, Verdict::Met);
    let spread = |r: &SeasonResult| r.steps.iter().map(|s| wet(s.extremes.0) - wet(s.extremes.1)).fold(0.0, f64::max);
    assert!(spread(&stirred) < spread(&still), "{} {}", spread(&stirred), spread(&still));
    assert!(stirred.throughput() > still.throughput());
}

#[test]
fn batches_that_come_too_late_do_not_come() {
    let (r, verdict) = season(&changed(BATCHES, "by = \"11-30\"", "by = \"10-03\""), "still", YEAR);
    assert!(r.refused > 0.0 && r.steps.len() < 8 && says(&r, "batches-refused"));
    assert!(matches!(verdict, Verdict::Failed(_)));
    let held: f64 = r.steps.iter().map(|s| s.dry_matter).sum();
    assert!((r.dry_matter / held - 1.0).abs() < 1e-9);
}

#[test]
fn dryeration_tempers_and_takes_out_what_the_heat_pays_for() {
    let (r, verdict) = season(DRYERATION, "dryeration", YEAR);
    assert_eq!((r.process, verdict), (Process::Discharge, Verdict::Met), "{:?}", r.life_strict);
    assert_eq!(kinds(&r.steps), [StepKind::Tempered, StepKind::CooledHot]);
    let (rest, cool) = (&r.steps[0], &r.steps[1]);
    assert_eq!((rest.fan_hours, rest.hours()), (0.0, 6.0));
    assert!((wet(rest.moisture.0) - wet(rest.moisture.1)).abs() < 0.05, "nothing leaves without air");
    assert!(cool.fan_hours > 0.0 && cool.reached_at.is_some());
    // Heat balance of the reference: 0.25 to 0.33 points for each 10 °F between 70 and 140 °F.
    let points = wet(cool.moisture.0) - wet(cool.moisture.1);
    let tens = 1.8 * (cool.temperature.0 - cool.temperature.1) / 10.0;
    assert!((0.22..0.36).contains(&(points / tens)), "{points} points over {tens} times 10 °F");
    assert!(says(&r, "hot-life"));
}

#[test]
fn hot_grain_is_cooled_at_once_where_it_is_not_tempered() {
    let (r, _) = season(DRYERATION, "cooling", YEAR);
    assert_eq!(kinds(&r.steps), [StepKind::CooledHot]);
    assert!(r.steps[0].reached_at.is_some() && r.steps[0].reached_at <= r.stopped_at.map(|h| 3600 * h));
    assert!(r.steps[0].temperature.1 < r.steps[0].temperature.0 - 20.0 && COOLED_WITHIN < 5.0);
    let (combination, verdict) = season(DRYERATION, "combination", YEAR);
    assert!(verdict.good(), "{verdict:?}");
    assert!(combination.drying_fan_hours > combination.steps[0].fan_hours, "dried on after it was cool");
}

#[test]
fn beans_take_up_moisture_and_no_more_than_is_allowed() {
    let (r, verdict) = season(CONDITIONING, "beans", YEAR);
    assert_eq!((r.process, verdict), (Process::Conditioning, Verdict::Met));
    assert!((wet(r.moisture_at_stop) - 12.5).abs() < 0.5 && wet(r.wettest_at_stop) < 14.6);
    assert!(r.water_removed < 0.0 && says(&r, "swelling"));
    assert_eq!(kinds(&r.steps), [StepKind::Conditioned]);
    // The limit of the wettest tenth ends it before the mean is there.
    let (r, verdict) = season(&changed(CONDITIONING, "most = \"14.5 %\"", "most = \"12.6 %\""), "beans", YEAR);
    assert!(wet(r.moisture_at_stop) < 12.5 && says(&r, "wetted-enough"));
    assert_eq!(verdict, Verdict::Failed(Cause::NotWetted));
}

#[test]
fn seed_corn_is_not_dried_with_the_air_of_feed_corn() {
    let of = |use_: &str| {
        let text = changed(BATCHES, "batches = { count = 8,", &format!("use = \"{use_}\"\nbatches = {{ count = 8,"));
        season(&text, "still", YEAR)
    };
    // Canadian Grain Commission: 45 °C for seed, 60 °C commercial, 90 °C for feed; the air here has 50 °C.
    let (r, verdict) = of("seed");
    assert_eq!(verdict, Verdict::Failed(Cause::TooHot));
    assert!(r.too_hot_hours > 0.0 && says(&r, "too-hot"));
    for other in ["milling", "feed"] {
        assert_eq!(of(other).1, Verdict::Met, "{other}");
    }
}

#[test]
fn what_does_not_go_together_is_refused() {
    let low = changed(CONDITIONING, "most = \"14.5 %\"", "most = \"10 %\"");
    assert_eq!(codes(&low), ["most-below-goal"]);
    let with = |text: &str, at: &str, more: &str| codes(&changed(text, at, &format!("{more}\n{at}")));
    let lots = "[[bins.still.lots]]";
    assert_eq!(with(BATCHES, lots, "discharge = {}"), ["processes-together"]);
    assert_eq!(with(BATCHES, lots, "conditioning = {}"), ["processes-together", "not-over-dry"][..1]);
    let cold = "control = { kind = \"continuous\" }\nstop = { kind = \"exhaust\" }";
    let unheated = BATCHES
        .replace(
            "control = { kind = \"continuous\", burner = { kind = \"thermostat\", temperature = \"50 °C\" } }",
            cold,
        )
        .replace("burner = \"demo-burner-propane-2000\"\n", "");
    let found = codes(&unheated);
    assert!(found.contains(&"batches-without-heat".to_string()) && found.contains(&"stop-by-exhaust".to_string()));
    assert_eq!(codes(&changed(CONDITIONING, "\"9.5 %\"", "\"14 %\"")), ["not-over-dry"]);
    assert_eq!(codes(&changed(AERATION, "from = \"11-01\"", "from = \"09-01\"")), ["stages-out-of-order"]);
    assert_eq!(codes(&changed(BATCHES, "crop = \"corn\"", "crop = \"sunflower-oil\"")), ["no-heated-air-law"; 2]);
    assert_eq!(with(CONDITIONING, "[[bins.beans.lots]]", "use = \"feed\""), ["no-temperature-limit"]);
}

/// Cooling of a batch no longer waits for the hour's air, which took up to ten times the customary 15 h over cfm/bu (extension advice).
/// It still takes about twice to three times as long: in fast air kernels lag, and overdried grain that takes up moisture from cool
/// air stays warm (docs/validation.md, processes, has the parts). So this is no check against that figure, only a guard.
#[test]
fn batches_cool_in_hours_not_days() {
    let job = site(BATCHES);
    let bin = job.bin(Some("still")).expect("the bin is there");
    let terms = equipment::GrainTerms {
        law: bin.template.grain.resistance,
        effective_depth: bin.survey.depth(),
        velocity_range: None,
    };
    let fans = bin.template.system.outfit.fans().len();
    let point = bin.template.system.solve(&equipment::AirConditions::ambient(10.0, 0.005, 99e3, fans), &terms);
    let cfm = point.fan_airflow / 0.000_471_947;
    let customary = 15.0 / (cfm / (bin.survey.volume() / notice::quantity::BUSHEL_M3));
    for year in [1998, YEAR] {
        let (r, _) = season(BATCHES, "still", year);
        let cooled: Vec<f64> =
            r.steps.iter().map(|s| (s.ended_at - s.reached_at.unwrap()) as f64 / 3600.0 - 2.0).collect();
        let mean = cooled.iter().sum::<f64>() / cooled.len() as f64;
        assert!(mean > 0.4 * customary && mean < 4.0 * customary, "{cooled:?} against {customary:.2} h");
        assert!(cooled.iter().all(|hours| *hours < 8.0 * customary), "{cooled:?}");
    }
}

/// The stage wants 10 °C and ends at up to 11.6 °C, where it was 13.1 °C. In 1998 the fan last runs at a mean of 10.8 °C, for the
/// sake of layers that lag; the rest comes in a month without it, with air of 17 °C outside. A guard against running on, no check
/// that the stage is met to a degree.
#[test]
fn warming_goes_little_beyond_what_is_wanted() {
    for year in [1998, YEAR] {
        let (r, _) = season(AERATION, "store", year);
        let warmed = r.steps.iter().find(|s| s.kind == StepKind::Warmed).expect("a stage of warming");
        assert!((8.0..=12.0).contains(&warmed.temperature.1), "{year}: {}", warmed.temperature.1);
        assert_eq!(says(&r, "warmed-on"), warmed.temperature.1 > 11.0, "{year}: {}", warmed.temperature.1);
    }
}

/// What leaks before the grain is heated as well: the burner burns more by as much as leaks, for the same plenum.
#[test]
fn a_burner_heats_what_leaks() {
    let heated = include_str!("../../job/data/heated.toml");
    let leaky = changed(heated, "floor = \"full\"", "floor = \"full\"\nleakage = \"20 %\"");
    let (tight, _) = season(heated, "south", YEAR);
    let (loose, _) = season(&leaky, "south", YEAR);
    let per_hour = |r: &SeasonResult| r.burner_energy / r.air.running;
    assert!(per_hour(&loose) > 0.95 * per_hour(&tight), "{} {}", per_hour(&loose), per_hour(&tight));
}

/// Motors of one phase are the same in seasons and in `heat`.
#[test]
fn one_truth_for_motors_of_one_phase() {
    let demo = include_str!("../../job/data/demo.toml");
    let one = changed(demo, "[prices]", "[power]\nphases = \"single\"\nvolts = \"240 V\"\n\n[prices]");
    let job = site(&one);
    let heat = advice::heat::of_site(&job);
    let motor = &heat.bins[0].power.as_ref().expect("motors").motors[0];
    let fan = &job.bins[0].template.system.outfit.fans()[0];
    assert_eq!(motor.plate.efficiency, fan.motor_efficiency);
    let (three, _) = season(demo, "north", YEAR);
    let (single, _) = season(&one, "north", YEAR);
    let ratio = (single.fan_energy / single.air.running) / (three.fan_energy / three.air.running);
    assert!((ratio - 0.917 / 0.785).abs() < 0.01, "{ratio}");
}

/// Batches that do not come dry in time fail for that, not for a part too wet of grain that is dry.
#[test]
fn late_batches_are_late() {
    let many = changed(BATCHES, "count = 8", "count = 200");
    let (r, verdict) = season(&many, "still", YEAR);
    assert!(r.refused > 0.0);
    assert_eq!(verdict, Verdict::Failed(Cause::NotDry));
}
