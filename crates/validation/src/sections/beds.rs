//! Deep beds: the computed reference beds, fronts by jump relations, Hukill's bed, and columns solved by another solver.

use super::Named;
use crate::page::{Against, Section, Verdict, row};
use crate::plots::{self, Line};
use crate::run;
use crate::table::{self, Row, wet};
use bed::hukill::HukillBed;
use season::column::{ColumnProfile, ColumnRun};

const BEDS: [(&str, &str, &str); 6] = [
    ("V1", "corn, natural air, equilibrium", include_str!("../../../binwright/tests/cases/V1.toml")),
    ("V2", "wheat, natural air, equilibrium", include_str!("../../../binwright/tests/cases/V2.toml")),
    ("V3", "corn, cooling, equilibrium", include_str!("../../../binwright/tests/cases/V3.toml")),
    ("V4", "barley, heated, Newton law", include_str!("../../../binwright/tests/cases/V4.toml")),
    ("V5", "wheat, warm air, Newton law", include_str!("../../../binwright/tests/cases/V5.toml")),
    ("V6", "corn, hot air, Page law by equivalent time", include_str!("../../../binwright/tests/cases/V6.toml")),
];

/// What a run has where the table has a value.
fn found(run: &ColumnRun, r: &Row) -> Option<f64> {
    let p = run.profiles.iter().find(|p| p.hour == r.value("time_h"))?;
    Some(match (r.text("depth_m"), r.text("quantity")) {
        ("mean", _) => wet(p.mean_moisture),
        ("front", _) => p.front_depth?,
        ("outlet", "exhaust temperature") => p.exhaust?.temperature,
        ("outlet", _) => p.exhaust?.humidity_ratio,
        (_, quantity) => {
            let depth = r.number("depth_m")?;
            let at = p.at.iter().find(|at| (at.depth - depth).abs() < 1e-9)?;
            if quantity == "moisture" { wet(at.moisture) } else { at.temperature }
        }
    })
}

/// A value with the digits that its tolerance deserves.
fn digits(value: f64, tolerance: f64) -> String {
    let places = (1.0 - tolerance.log10().floor()).clamp(1.0, 6.0) as usize;
    format!("{value:.places$}")
}

/// The computed reference beds.
pub fn reference(plots: &mut Vec<Named>) -> Section {
    let rows = table::read(include_str!("../../../bed/tests/tables/reference-beds.csv"));
    let mut section = Section::new(
        "Deep beds: computed reference beds",
        Against::Computed,
        "Six beds solved by the compilers of the reference on three grids by bisection; here by `column` files \
         (`crates/binwright/tests/cases`), 400 layers, no sorption heat. Tolerances are the table's. Rows it marks as lying in a \
         front are not compared point by point. Shown: mean, leaving air and front at the last hour, then all values.",
    );
    for (name, what, text) in BEDS {
        // The plot of the first bed needs more depths than the table has.
        let fine: Vec<String> = (1..90).map(|i| format!("\"{:.2} m\"", f64::from(i) * 0.05)).collect();
        let depths = format!("depths = [{}]", fine.join(", "));
        let line = |l: &str| if name == "V1" && l.starts_with("depths") { depths.clone() } else { l.into() };
        let text: String = text.lines().map(|l| line(l) + "\n").collect();
        let Ok(run) = run::case(&text) else {
            section.rows.push(row(name, "", "the case cannot be read").is(Verdict::Differs));
            continue;
        };
        let of = |r: &&Row| {
            r.text("case") == name && r.text("record") == "result" && !r.text("comment").contains("front lies here")
        };
        let (mut hits, mut misses) = (0, Vec::new());
        let last = rows.iter().filter(of).filter_map(|r| r.number("time_h")).fold(0.0, f64::max);
        for r in rows.iter().filter(of).filter(|r| r.number("tolerance").is_some()) {
            let (value, tolerance) = (r.value("value"), r.value("tolerance"));
            let ours = found(&run, r).unwrap_or(f64::NAN);
            let verdict = Verdict::of(ours - value, tolerance);
            let headline = ["mean", "outlet", "front"].contains(&r.text("depth_m")) && r.value("time_h") == last;
            let shown = row(
                format!("{name} ({what}): {} at {} h", r.text("quantity"), r.text("time_h")),
                format!("{} {}", r.text("value"), r.text("unit")),
                digits(ours, tolerance),
            )
            .off(format!("allowed {tolerance}"))
            .is(verdict);
            match (headline, verdict) {
                (true, _) => section.rows.push(shown),
                (false, Verdict::Agrees) => hits += 1,
                (false, _) => misses.push(shown.because(format!("depth {} m", r.text("depth_m")))),
            }
        }
        let line = row(
            format!("{name}: all other values"),
            format!("{} values", hits + misses.len()),
            format!("{hits} within"),
        );
        section.rows.push(line.times(hits).is(Verdict::Agrees).because(match name {
            "V3" => "shorter steps would miss one value: 2 m at 24 h reads 20.81 to 20.88 against 20.98 ± 0.15 °C on any grid",
            "V4" => "the table carries an error of time that our step shares: with ever shorter steps two values miss by 0.01 points",
            _ => "",
        }));
        section.rows.extend(misses);
        if name == "V1" {
            profile(&run, &rows, plots);
        }
    }
    section.plot("bed-v1", "Moisture over depth in bed V1 at 120, 240 and 480 h, computed and reference");
    section.sources(table::kinds(&rows, "source"));
    section
}

fn profile(run: &ColumnRun, rows: &[Row], plots: &mut Vec<Named>) {
    let mut lines = Vec::new();
    let mut points = Vec::new();
    for hour in [120.0, 240.0, 480.0] {
        let Some(p) = run.profiles.iter().find(|p| p.hour == hour) else { continue };
        lines.push(Line::new(format!("{hour:.0} h"), p.at.iter().map(|at| (at.depth, wet(at.moisture))).collect()));
        let of =
            |r: &&Row| r.text("case") == "V1" && r.text("quantity") == "moisture" && r.number("time_h") == Some(hour);
        points.push(rows.iter().filter(of).map(|r| (r.value("depth_m"), r.value("value"))).collect());
    }
    let plot = plots::chart(
        "Bed V1: moisture over depth, ours (lines) and the reference (points)",
        "Corn of 20 % under air of 10.56 °C and 50 %: a front moves up from the floor; ahead of it lies the plateau.",
        ("depth from the floor, m", 0.0, 4.5),
        ("moisture, % wb", 10.0, 22.0),
        lines,
        points,
    );
    plots.push(("bed-v1", plot));
}

/// Fronts by jump relations and Hukill's bed.
pub fn closed() -> Section {
    let mut section = Section::new(
        "Deep beds: closed forms",
        Against::Computed,
        "Fronts of an equilibrium bed move as the jumps of water and enthalpy say (`validation/closed`), with and without sorption \
         heat: speed from 120 to 480 h within 1 %, plateau within 0.02 K, 0.01 points and 1e-5 kg/kg. Hukill's bed has a solution in closed \
         form; the same simplifications are made here (no heat capacity of grain, a rate in proportion to the air's temperature, \
         a narrow range of temperature): two grids, extrapolated, within 0.0004 in moisture ratio, as near as the independent \
         integration named by the table came.",
    );
    let fronts = table::read(include_str!("../../../../validation/closed/front.csv"));
    for r in &fronts {
        let Some((_, _, text)) = BEDS.iter().find(|bed| bed.0 == r.text("case")) else { continue };
        let hours = "hours = [120, 480]\nstep = \"600 s\"\n";
        let mut text: String = text.lines().filter(|l| !l.starts_with("hours")).map(|l| format!("{l}\n")).collect();
        text = text.replace("sorption_heat = false", &format!("sorption_heat = {}", r.text("sorption_heat")));
        let Ok(run) = run::case(&format!("{hours}{text}")) else { continue };
        let name = format!("{}, sorption heat {}", r.text("case"), r.text("sorption_heat"));
        let [early, late] = run.profiles.as_slice() else { continue };
        let front = |p: &ColumnProfile| p.front_depth.unwrap_or(f64::NAN);
        let speed = (front(late) - front(early)) / 15.0;
        let mut see = |what: &str, key: &str, ours: f64, places: usize, allowed: f64| {
            let said = r.value(key);
            let line = row(format!("{name}: {what}"), r.text(key), format!("{ours:.places$}"));
            let off = format!("{:+.places$}, allowed {allowed:.places$}", ours - said);
            section.rows.push(line.off(off).is(Verdict::of(ours - said, allowed)));
        };
        let v = r.value("drying_front_m_per_day");
        see("speed of the drying front, m/d", "drying_front_m_per_day", speed, 4, 0.01 * v);
        let exhaust = late.exhaust.map_or((f64::NAN, f64::NAN), |e| (e.temperature, e.humidity_ratio));
        see("temperature of the plateau, °C", "plateau_temperature_c", exhaust.0, 3, 0.02);
        see("humidity ratio of the plateau", "plateau_humidity_ratio", exhaust.1, 6, 1e-5);
        let ahead = late.at.last().map_or(f64::NAN, |at| wet(at.moisture));
        see("moisture of the plateau, % wb", "plateau_moisture_wb_percent", ahead, 3, 0.01);
        let behind = late.at.first().map_or(f64::NAN, |at| wet(at.moisture));
        see("moisture behind the front, % wb", "dry_moisture_wb_percent", behind, 3, 0.005);
    }
    let rows = table::read(include_str!("../../../bed/tests/tables/hukill.csv"));
    let mut worst = 0.0f64;
    let mut missed = 0;
    for r in &rows {
        let at = |per_unit: usize| {
            HukillBed::dried(r.value("depth_units"), r.value("half_times"), per_unit).quantity(r.text("quantity"))
        };
        let off = (2.0 * at(40) - at(20) - r.value("value")).abs();
        worst = worst.max(off);
        missed += usize::from(Verdict::of(off, 4e-4) != Verdict::Agrees);
    }
    let found = format!("{} within 0.0004", rows.len() - missed);
    let line =
        row("Hukill's bed, moisture ratio at a depth and mean of a bed", format!("{} values", rows.len()), found);
    section.rows.push(line.times(rows.len()).off(format!("largest {worst:.4}")).is(Verdict::of(worst, 4e-4)));
    section.sources(table::kinds(&rows, "source"));
    section
}

/// The same layers solved in time by another solver.
macro_rules! stiff {
    ($name:literal, $sees:literal) => {
        (
            $name,
            $sees,
            include_str!(concat!("../../../../validation/stiff/cases/", $name, ".toml")),
            include_str!(concat!("../../../../validation/stiff/expected/", $name, ".sees-", $sees, ".profile.csv")),
            include_str!(concat!("../../../../validation/stiff/expected/", $name, ".sees-", $sees, ".exhaust.csv")),
        )
    };
}

/// Columns on one grid, solved in time by SciPy's BDF.
pub fn stiff() -> Section {
    let mut section = Section::new(
        "Deep beds: the same layers solved by SciPy's stiff solver",
        Against::Computed,
        "Full physics on the kernel's own grid, solved in time by `solve_ivp` BDF at rtol 1e-8 (`validation/stiff`, versions in its \
         files). Allowed: 0.05 points and 0.1 K in every layer, mean and leaving air.",
    );
    let swing = include_str!("../../../../validation/stiff/cases/wheat-swinging-inlet.csv");
    for (name, sees, text, profile, exhaust) in [
        stiff!("corn-natural-air", "1"),
        stiff!("corn-natural-air", "0.6"),
        stiff!("wheat-swinging-inlet", "1"),
        stiff!("wheat-swinging-inlet", "0.6"),
        stiff!("corn-warm-bed", "1"),
        stiff!("corn-cold-bed", "1"),
    ] {
        let what = format!("{name}, air sees {sees} of a layer's change");
        let Ok(run) = run::with_table(&format!("air_sees = {sees}\n{text}"), swing) else {
            section.rows.push(row(what, "", "the case cannot be read").is(Verdict::Differs));
            continue;
        };
        let (mut points, mut kelvins, mut count) = (0.0f64, 0.0f64, 0);
        let at = |hour: f64| run.profiles.iter().find(|p| p.hour == hour);
        for r in table::read(profile) {
            let Some(p) = at(r.value("hour")) else { continue };
            let Some(layer) = p.at.get(r.value("layer") as usize) else { continue };
            points = points.max((wet(layer.moisture) - r.value("moisture_wb_percent")).abs());
            kelvins = kelvins.max((layer.temperature - r.value("temperature_c")).abs());
            count += 2;
        }
        for r in table::read(exhaust) {
            let Some((p, leaving)) = at(r.value("hour")).and_then(|p| Some((p, p.exhaust?))) else { continue };
            points = points.max((wet(p.mean_moisture) - r.value("mean_moisture_wb_percent")).abs());
            kelvins = kelvins.max((leaving.temperature - r.value("exhaust_temperature_c")).abs());
            count += 2;
        }
        let line =
            row(what, format!("{count} values"), format!("largest {points:.3} points, {kelvins:.3} K")).times(count);
        let worst = (points / 0.05).max(kelvins / 0.1);
        section.rows.push(line.is(Verdict::of(worst, 1.0)));
    }
    section
}
