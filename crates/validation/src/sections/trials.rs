//! Trials and published estimates of natural-air and low-temperature drying, run as beds under constant air.

use crate::page::{Against, Row as Line, Section, Verdict, not_run, row};
use crate::run::{self, Bed, Days, band};
use crate::table::{self, Row, celsius, wet};
use notice::quantity::POUND_KG;

/// Imperial gallon of water, kg.
const IMPERIAL_GALLON: f64 = 4.54609;

/// A rule with all its inputs, judged at ±20 %.
fn judged(what: &str, says: &str, published: f64, found: &Days, why: &str) -> Line {
    let off = found.number() / published - 1.0;
    let line = row(what, says, format!("{} d", found.said())).is(Verdict::of(off, 0.2)).because(why);
    if off.is_finite() { line.off(format!("{:+.0} %, allowed 20 %", 100.0 * off)) } else { line }
}

fn swept(what: &str, says: &str, all: &[Days], why: &str) -> Line {
    row(what, says, format!("{} d", band(all, 1.0))).is(Verdict::Band).because(why)
}

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../data/trials.csv"));
    let mut section = Section::new(
        "Trials and published estimates of drying",
        Against::Published,
        "Beds 18 ft deep unless said, under constant air at the stated mean, grain as warm as the air at the start, the crop's own kernel \
         and default equilibrium, until the mean moisture is at the target. Real autumns swing about their mean; a constant mean leaves that out. \
         Missing inputs are named and swept.",
    );
    canola(&rows, &mut section.rows);
    plateaus(&mut section.rows);
    estimates(&mut section.rows);
    swept_trials(&mut section.rows);
    for (id, why) in [
        ("IA-SOL", "the collector's rise by hour and the detail tables are not visible"),
        ("IN-04", "airflow, weather and shares of air are not in the abstract"),
        ("NEB-FAN", "stands in the section on fans"),
        ("ON-EN", "high-temperature dryers are not modelled"),
        ("WI-EN", "high-temperature dryers are not modelled"),
        ("US-LP", "high-temperature dryers are not modelled"),
    ] {
        if let Some(r) = table::find(&rows, "case", id) {
            section.rows.push(not_run(format!("{id}: {}", r.text("crop")), r.text("energy_or_other_result"), why));
        }
    }
    section.sources(table::kinds(rows.iter().filter(|r| !r.text("case").starts_with("COOL")), "source"));
    section
}

/// The farm bins of canola: water by mass, and time over the missing heat.
fn canola(rows: &[Row], lines: &mut Vec<Line>) {
    for (id, bushels, airflow, from, to, gallons, days) in [
        ("CAN-1", 7360.0, 0.62, 11.5, 9.1, 957.0, 7.7),
        ("CAN-2", 3687.0, 1.33, 11.6, 8.2, 672.7, 7.4),
        ("CAN-3", 2000.0, 2.38, 12.0, 11.2, 86.0, 1.9),
        ("CAN-4", 1400.0, 3.52, 12.4, 5.7, 498.8, 3.7),
    ] {
        if table::find(rows, "case", id).is_none() {
            continue;
        }
        let mass = bushels * 50.0 * POUND_KG;
        let water = mass * (from - to) / (100.0 - to) / IMPERIAL_GALLON;
        let line = row(
            format!("{id}: water from {from} to {to} %, measured"),
            format!("{gallons} imp gal"),
            format!("{water:.1}"),
        );
        let off = water / gallons - 1.0;
        lines.push(
            line.off(format!("{:+.1} %, allowed 20 %", 100.0 * off))
                .is(Verdict::of(off, 0.2))
                .because("balance of mass at 50 lb/bu"),
        );
        let mut all = Vec::new();
        for (fahrenheit, humidity) in [(60.0, 50.0), (75.0, 30.0), (95.0, 15.0)] {
            for depth in [3.0, 5.0] {
                let run = Bed {
                    depth,
                    every: 3.0,
                    step: 900.0,
                    ..Bed::usual("canola", airflow, from, fahrenheit, humidity, 30.0)
                };
                all.push(run.days(to));
            }
        }
        let why = "heat, air and depth are not given: 60 °F 50 % to 95 °F 15 %, 3 to 5 m; no drying law of canola is published, slower bound taken";
        lines.push(swept(&format!("{id}: time, {airflow} cfm/bu"), &format!("{days} d"), &all, why));
    }
}

/// What air picks up on the equilibrium plateau.
fn plateaus(lines: &mut Vec<Line>) {
    for (id, fahrenheit, picked, dry) in [("NDSU-C1", 47.0, 70.0, 16.0), ("NDSU-C2", 7.0, 9.0, 19.0)] {
        // Ahead of the front the air carries what the grain gives it at once.
        let mut b = Bed::usual("corn", 1.0, 21.0, fahrenheit, 70.0, 10.0);
        b.more = "kinetics = \"equilibrium\"".into();
        b.every = 120.0;
        let Ok(run) = run::case(&b.text()) else { continue };
        let Some(leaving) = run.profiles.last().and_then(|p| p.exhaust) else { continue };
        let inlet = {
            let vapour = 0.70 * physics::air::saturation_pressure(b.air);
            physics::air::humidity_ratio(physics::air::STANDARD_PRESSURE, vapour)
        };
        let water = 1e5 * (leaving.humidity_ratio - inlet) / (1.0 + inlet);
        let line = row(
            format!("{id}: water picked up by 100,000 lb of air, {fahrenheit} °F 70 %, corn 21 %"),
            format!("about {picked} lb"),
            format!("{water:.1} lb"),
        );
        let off = water / picked - 1.0;
        lines.push(line.off(format!("{:+.0} %, allowed 20 %", 100.0 * off)).is(Verdict::of(off, 0.2)).because(
            if fahrenheit > 32.0 {
                "exhaust of an equilibrium bed, default set, heat of sorption counted; see the next line"
            } else {
                "−14 °C lies far below the data of every set (5 to 50 °C): see the next line for what they give there"
            },
        ));
        lines.push(picked_by_all_sets(id, &b, inlet, picked));
        let library = crops::Library::built_in();
        let Some(set) = library.find("corn").ok().and_then(|(c, _)| c.isotherm(None).ok().cloned()) else { continue };
        let emc = wet(set.form.equilibrium(0.70, b.air).moisture);
        let line =
            row(format!("{id}: equilibrium moisture, {fahrenheit} °F 70 %"), format!("{dry} %"), format!("{emc:.1} %"));
        let off = emc - dry;
        lines.push(
            line.off(format!("{off:+.1} points, allowed 1"))
                .is(Verdict::of(off, 1.0))
                .because(format!("default set `{}`; a rounded statement", set.id)),
        );
    }
}

/// The pick-up over all published sets, with sorption heat and without it.
fn picked_by_all_sets(id: &str, bed: &Bed, inlet: f64, picked: f64) -> Line {
    let library = crops::Library::built_in();
    let mut said = Vec::new();
    for set in library.find("corn").map(|(corn, _)| corn.spread_sets()).unwrap_or_default() {
        let water = |sorption: bool| -> f64 {
            let more = format!("kinetics = \"equilibrium\"\nrelation = \"{}\"\nsorption_heat = {sorption}", set.id);
            let run = run::case(&Bed { more, ..bed.clone() }.text()).ok();
            let leaving = run.and_then(|r| r.profiles.last()?.exhaust);
            leaving.map_or(f64::NAN, |air| 1e5 * (air.humidity_ratio - inlet) / (1.0 + inlet))
        };
        said.push(format!("`{}` {:.1}, {:.1}", set.id, water(true), water(false)));
    }
    let what = format!("{id}: the same by each set, with the heat of sorption and without it");
    let why = "the source states neither; its reader's balance took a Chung-Pfost set without heat of sorption";
    row(what, format!("about {picked} lb"), said.join("; ")).is(Verdict::Band).because(why)
}

/// Estimates that state all inputs.
fn estimates(lines: &mut Vec<Line>) {
    let c3 = Bed::usual("corn", 1.0, 21.0, 47.0, 70.0, 160.0).days(16.0);
    let why = "the target is the equilibrium moisture of this very air, which a bed under constant air only nears; the estimate is a \
               balance with a stated exhaust humidity and stops short of that";
    lines.push(judged("NDSU-C3: corn 21 to 16 %, 47 °F 70 %, 1 cfm/bu", "about 50 d", 50.0, &c3, why));
    let near = Bed::usual("corn", 1.0, 21.0, 47.0, 70.0, 160.0).days(16.5);
    lines.push(
        row("NDSU-C3 to half a point above equilibrium", "–", format!("{} d", near.said()))
            .is(Verdict::Band)
            .because("shown for comparison"),
    );
    let neb = Bed::usual("corn", 1.0, 20.0, 51.0, 50.0, 90.0).days(15.0);
    let why = "the source takes exhaust of 95 % humidity; the bed's own exhaust is drier, as in NEB-C2";
    lines.push(judged(
        "NEB-C1: corn 20 to 15 %, 51 °F 50 %, 1 cfm/bu, exhaust assumed at 95 %",
        "20 d",
        20.0,
        &neb,
        why,
    ));
    let why = "the same bed; the source takes exhaust of 85 %, with which the reference's own balance comes to 22.7 d, 16 % short as well";
    lines.push(judged("NEB-C2: as NEB-C1, exhaust assumed at 85 %", "27 d", 27.0, &neb, why));
    let w1 = Bed::usual("wheat-hard", 0.75, 18.0, 62.0, 56.0, 120.0);
    let why = "the target is the source's equilibrium moisture of this air; our default set for hard wheat gives another, see below";
    lines.push(judged("NDSU-W1: wheat 18 to 13 %, 62 °F 56 %, 0.75 cfm/bu", "35 d", 35.0, &w1.days(13.0), why));
    let library = crops::Library::built_in();
    if let Ok((wheat, _)) = library.find("wheat-hard") {
        let mut all = Vec::new();
        for set in wheat.spread_sets() {
            let run = Bed { more: format!("relation = \"{}\"", set.id), ..w1.clone() };
            all.push(run.days(13.0));
        }
        lines.push(swept(
            "NDSU-W1 over all published sets of hard wheat",
            "35 d",
            &all,
            "equilibrium decides where the target lies near it",
        ));
    }
}

/// Trials with inputs left out.
fn swept_trials(lines: &mut Vec<Line>) {
    lines.push(day_only());
    let w3: Vec<Days> =
        [55.0, 60.0, 65.0].map(|h| Bed::usual("wheat-hard", 0.75, 17.0, 47.0, h, 120.0).days(13.5)).into();
    lines.push(swept(
        "NDSU-W3: wheat 17 to about 13 %, spring, 47 °F, 0.75 cfm/bu",
        "about 40 d",
        &w3,
        "humidity not given: 55 to 65 %; to 13.5 %",
    ));
    let s1: Vec<Days> = [(45.0, 55.0), (50.0, 60.0), (55.0, 60.0)]
        .map(|(t, h)| Bed::usual("soybean", 1.0, 16.0, t, h, 120.0).days(12.0))
        .into();
    let why = "spring air not given: 45 °F 55 % to 55 °F 60 %; to 12 %; no drying law of soybean is published, slower bound taken";
    lines.push(swept("NDSU-S1: soybean 16 to about 11 to 12 %, 1 cfm/bu", "about 50 d", &s1, why));
    let mut hours = Vec::new();
    for (t, airflow) in [(59.0, 0.7), (59.0, 1.6), (77.0, 0.7), (77.0, 1.6)] {
        hours.push(Bed { depth: 2.0, ..Bed::usual("barley", airflow, 27.0, t, 60.0, 90.0) }.days(18.5));
    }
    let line =
        row("AUS-B1: barley 27 to 18 or 19 %, RH 60 %, farm", "24 to 32 fan h", format!("{} h", band(&hours, 24.0)));
    lines.push(line.is(Verdict::Band).because(
        "airflow and temperature not given: 0.7 to 1.6 cfm/bu (15 to 35 L/s per t, the class named), 59 to 77 °F, 2 m, to 18.5 %. Far apart: 4.2 t \
         of water from 40 t in 28 h would be 25 to 57 g per kg of air at these airflows, which no air of 60 % can take up, so the airflow or the \
         hours must have been other than the report names",
    ));
    let sk: Vec<Days> = [(46.0, 75.0), (52.0, 65.0), (58.0, 55.0)]
        .map(|(t, h)| Bed::usual("wheat-hard", 3.0, 18.0, t, h, 90.0).days(14.5))
        .into();
    lines.push(swept(
        "SK-59: wheat 18 to 14 %, September, 3 cfm/bu unheated",
        "15 to 16 d a batch",
        &sk,
        "weather not given: 46 °F 75 % to 58 °F 55 %; to 14.5 %, for the wetter air's equilibrium lies above 14",
    ));
    let mut ar = Vec::new();
    for airflow in [0.90, 1.35] {
        for (t, h) in [(59.0, 60.0), (68.0, 55.0)] {
            ar.push(Bed::usual("corn", airflow, 22.0, t, h, 120.0).days(14.5));
        }
    }
    lines.push(swept(
        "AR-22: corn 22 to 14.5 %, 0.90 to 1.35 cfm/bu, air warmed 3 to 5 °C",
        "25 to 35 d",
        &ar,
        "weather not given: plenum air 59 °F 60 % to 68 °F 55 %",
    ));
    let water = 1000.0 * (22.0 - 14.5) / (100.0 - 14.5);
    let line = row("AR-22: water from a tonne of wet grain", "87.7 kg", format!("{water:.1} kg"))
        .off(format!("{:+.2} kg", water - 87.7));
    lines.push(line.is(Verdict::of(water - 87.7, 0.05)));
}

/// The warmest half of each day against continuous running.
fn day_only() -> Line {
    let text = |on: f64| {
        // Ambient 58 °F and 65 % on average, 4 °F of fan heat, a daily swing, the fan on for the warmest hours.
        let mut table = String::from("hour,air_c,humidity_ratio,dry_air_flux_kg_s_m2\n");
        let vapour = 0.65 * physics::air::saturation_pressure(celsius(58.0));
        let w = physics::air::humidity_ratio(physics::air::STANDARD_PRESSURE, vapour);
        let steps = [-1.0, -0.7, 0.0, 0.7, 1.0, 0.7, 0.0, -0.7];
        for i in 0..8 * 140 {
            let swing = steps[i % 8];
            let running = on >= 1.0 || swing >= 0.0 && i % 8 < 6;
            let flux = if running { 0.0603 } else { 0.0 };
            table.push_str(&format!("{},{:.4},{:.6},{flux}\n", 3 * i, celsius(62.0) + 5.0 * swing, w));
        }
        table
    };
    let hours: Vec<String> = (1..=280).map(|i| (12 * i).to_string()).collect();
    let case = format!(
        "crop = \"wheat-hard\"\ndepth = \"5.5 m\"\nmoisture = \"18 %\"\ngrain_temperature = \"16 C\"\nrespiration = false\nlayers = 48\n\
         hours = [{}]\n[inlet]\ntable = \"air.csv\"\n",
        hours.join(", ")
    );
    let days = |on: f64| -> Option<f64> {
        let run = run::with_table(&case, &text(on)).ok()?;
        run::crossing(&run.profiles, (0.0, 18.0), |p| wet(p.mean_moisture), 13.5).map(|h| h / 24.0)
    };
    let (what, says) =
        ("NDSU-W2: wheat, fan on for the warmest half of the day only", "62 d against 35 d, 1.77 times, overdried");
    match (days(1.0), days(0.5)) {
        (Some(all), Some(half)) => row(what, says, format!("{half:.0} d against {all:.0} d, {:.2} times", half / all))
            .is(Verdict::Band)
            .because("daily swing and final moisture not given: ±5 °C about 62 °F, 12 of 24 hours, to 13.5 %"),
        _ => not_run(what, says, "the bed did not come to 13.5 % within 140 d in one of the two"),
    }
}
