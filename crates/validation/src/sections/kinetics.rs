//! Thin-layer laws against worked values, and the two-compartment kernels against the laws they stand for.

use super::Named;
use crate::page::{Against, Section, Verdict, not_run, row};
use crate::plots::{self, Line};
use crate::table::{self, Row};
use crops::{CompartmentFit, Library, Production};
use physics::air;
use physics::isotherm::IsothermForm;
use physics::thin_layer::{DryingConditions, ThinLayer};

/// The equilibrium set behind the worked values in changing air, `corn_mh_a`.
const CORN: IsothermForm = IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 };

/// Conditions of a worked value, from texts like "T=10 C; RH=60 %; V=0.5 m/s; M0=33.3 % d.b.; t=1 h".
fn conditions(r: &Row) -> (DryingConditions, f64) {
    let of = |mark: &str| r.after("expression_or_inputs", mark);
    let fahrenheit = r.text("expression_or_inputs").contains(" F;");
    let t = of("T=").unwrap_or(f64::NAN);
    let humidity = of("RH=").map_or(0.5, |h| if h > 1.0 { h / 100.0 } else { h });
    let at = DryingConditions {
        temperature: if fahrenheit { table::celsius(t) } else { t },
        relative_humidity: humidity,
        initial_moisture: of("M0=").map_or(0.3, |m| m / 100.0),
        velocity: of("V=").unwrap_or(0.1),
    };
    (at, of("t=").unwrap_or(f64::NAN))
}

/// The laws themselves.
pub fn laws(plots: &mut Vec<Named>) -> Section {
    let rows = table::read(include_str!("../../data/thin-layer.csv"));
    let mut section = Section::new(
        "Thin-layer laws",
        Against::Computed,
        "Values worked out from the laws' own equations to four digits: they check our text of the laws. The constants of \
         TL-C1, C2, C3, W1, B1 and R1 were recalled and cross-checked; no measured drying curve with all inputs is at hand.",
    );
    let mut worked: Vec<(ThinLayer, &str, Vec<f64>)> = Vec::new();
    for r in rows.iter().filter(|r| r.text("record") == "check") {
        let (Some(law), Some(value)) = (ThinLayer::from_id(r.text("form")), r.number("value")) else { continue };
        let (at, hours) = conditions(r);
        let (unit, off) = match r.text("quantity") {
            "MR" => ("moisture ratio", law.moisture_ratio(at, hours * 3600.0) - value),
            "half time h" => ("half time, h", law.equivalent_time(at, 0.5) / 3600.0 - value),
            _ => continue,
        };
        match worked.iter_mut().find(|w| w.0 == law && w.1 == unit) {
            Some(w) => w.2.push(off),
            None => worked.push((law, unit, vec![off])),
        }
    }
    for (law, unit, offs) in worked {
        let worst = offs.iter().map(|o| o.abs()).fold(0.0, f64::max);
        let hits = offs.iter().filter(|o| o.abs() <= 6e-5).count();
        let line = row(
            format!("{}, {unit}", law.id()),
            format!("{} values", offs.len()),
            format!("{hits} to the fourth digit"),
        );
        let line = line.times(offs.len()).off(format!("largest {worst:.5}"));
        section.rows.push(line.is(Verdict::of((offs.len() - hits) as f64, 0.0)));
    }
    for r in rows.iter().filter(|r| r.text("id") == "CHK-LT") {
        let (at, _) = conditions(r);
        let half = |law: ThinLayer| law.equivalent_time(at, 0.5) / 3600.0;
        let ours = (half(ThinLayer::WheatNewton), half(ThinLayer::BarleyNewton));
        let off = r.after("value", "wheat ").map_or(f64::NAN, |w| (w - ours.0).abs());
        let off = off.max(r.after("value", "barley ").map_or(f64::NAN, |b| (b - ours.1).abs()));
        let line = row(
            format!("half time at {:.0} °C, below the range of the constants", at.temperature),
            r.text("value"),
            "",
        );
        let mut line = line.times(2).off(format!("largest {off:.4} h")).is(Verdict::of(off, 6e-4));
        line.found = format!("wheat {:.3}; barley {:.3}", ours.0, ours.1);
        section.rows.push(line);
    }
    changing_air(&rows, &mut section);
    front_widths(&rows, &mut section);
    for r in rows.iter().filter(|r| r.text("record") == "equation" && ThinLayer::from_id(r.text("id")).is_none()) {
        let why = match r.text("status") {
            s if s.contains("missing") => "coefficients not visible in the source: no law of ours".to_string(),
            s => format!("not built in ({s})"),
        };
        section.rows.push(not_run(format!("{} {}", r.text("id"), r.text("crop")), r.text("form"), why));
    }
    section.sources(table::kinds(&rows, "source"));
    chart(plots);
    section.plot("corn-kinetics", "Moisture ratio of corn over time at 10, 27 and 60 °C by the kernel and by TL-C1");
    section.below.push_str(
        "\nLines: the kernel of corn, which depends on temperature alone. Points: TL-C1 at 10 °C 60 % (rings), 27 °C 40 % (crosses), \
         60 °C 10 % (discs) and 60 °C 20 % (half diamonds; more water than the air the kernel is fitted in), from 25 % wb at 0.3 m/s. The \
         kernel is slower than the law in the first hours of cold air, and after the first hours of warm air: its misfit is the \
         next section.\n",
    );
    section
}

/// Equivalent time across a change of the air.
fn changing_air(rows: &[Row], section: &mut Section) {
    let of = |id: &'static str| rows.iter().filter(move |r| r.text("id") == id);
    for (id, start, steps) in [
        ("CHK-EQT1", 0.333, vec![(2.0, 40.0, 0.30), (3.0, 60.0, 0.20)]),
        ("CHK-EQT2", 0.25, vec![(6.0, 20.0, 0.60), (2.0, 45.0, 0.25), (4.0, 30.0, 0.40)]),
    ] {
        let mut m = start;
        for (r, (hours, t, h)) in of(id).zip(steps) {
            let at = DryingConditions { temperature: t, relative_humidity: h, initial_moisture: start, velocity: 0.5 };
            m = ThinLayer::CornPage.advance(m, CORN.equilibrium(h, t).moisture, at, hours * 3600.0);
            let off = 100.0 * m - r.value("value");
            let line = row(
                format!("{id}, {}", r.text("quantity")),
                format!("{} % d.b.", r.text("value")),
                format!("{:.3}", 100.0 * m),
            );
            section.rows.push(
                line.off(format!("{off:+.4} points"))
                    .is(Verdict::of(off, 6e-4))
                    .because("equivalent time in changing air"),
            );
        }
    }
}

/// The width of a front at the state of bed V1: what a wrong rate costs.
fn front_widths(rows: &[Row], section: &mut Section) {
    for r in rows.iter().filter(|r| r.text("id") == "CHK-FRONT") {
        let k = r.after("expression_or_inputs", "k = ").unwrap_or(f64::NAN);
        let half = std::f64::consts::LN_2 / k;
        let latent = air::latent_heat(7.08) / 1000.0;
        let unit = 0.0725 * 1.0136 * 3.48 * half * 3600.0 / (latent * 0.1080 * 580.0);
        let width = 2.0 * 9f64.log2() * unit;
        let mut said = r.text("value").split(';').map(|v| v.trim().parse::<f64>().unwrap_or(f64::NAN));
        let (a, b) = (said.next().unwrap_or(f64::NAN), said.next().unwrap_or(f64::NAN));
        let off = (unit / a - 1.0).abs().max((width / b - 1.0).abs());
        let line = row(
            format!("depth unit and width of a front, Newton k {k} 1/h"),
            r.text("value"),
            format!("{unit:.4}; {width:.3}"),
        );
        section.rows.push(
            line.times(2)
                .off(format!("largest {:.1} %", 100.0 * off))
                .is(Verdict::of(off, 0.02))
                .because("2 %: rounded inputs"),
        );
    }
}

/// Fits that production uses, and the conditions each is judged over, as the fitting script takes them.
pub fn kernels() -> Section {
    let mut section = Section::new(
        "Two-compartment kernels against the laws they stand for",
        Against::Computed,
        "A season needs a rate for any history, so each law is stood for by a kernel of shell and core (`validation/kinetics`). \
         Misfit: moisture ratio of the kernel less that of the law, over times spaced as squares until the law reaches 0.1 or 72 h. \
         Recomputed here from our own text of laws and kernels; agreement means that the misfit is the one the fit reports, not \
         that it is small. It is not small for corn, whose law changes shape with humidity and initial moisture.",
    );
    let fits: toml::Table = include_str!("../../../../validation/kinetics/fit.toml").parse().unwrap_or_default();
    for (name, law) in [
        ("corn", ThinLayer::CornPage),
        ("wheat", ThinLayer::WheatNewton),
        ("barley", ThinLayer::BarleyNewton),
        ("rice", ThinLayer::RicePage),
    ] {
        let Some(fit) = fit_of(name) else { continue };
        let said =
            |key: &str| fits.get(name).and_then(|t| t.get(key)).and_then(toml::Value::as_float).unwrap_or(f64::NAN);
        let mut see = |what: String, grid: &[DryingConditions], keys: (&str, &str)| {
            let (rms, worst) = misfit(&fit, law, grid);
            let (a, b) = (said(keys.0), said(keys.1));
            let line = row(what, format!("rms {a:.3}, largest {b:.3}"), format!("rms {rms:.3}, largest {worst:.3}"));
            let off = (rms - a).abs().max((worst - b).abs());
            section.rows.push(line.times(2).off(format!("{off:.4}, allowed 0.0006")).is(Verdict::of(off, 6e-4)));
        };
        let grid = conditions_of(name);
        let usual: Vec<DryingConditions> = grid.iter().copied().filter(|c| name != "corn" || in_fit(c)).collect();
        let at = format!("{name} to {}, {} conditions of the fit", law.id(), usual.len());
        see(at, &usual, ("rms_misfit", "max_misfit"));
        if name == "corn" {
            let at = format!("{name} to {}, whole range of the law, {} conditions", law.id(), grid.len());
            see(at, &grid, ("rms_misfit_whole_range", "max_misfit_whole_range"));
        }
    }
    section
}

fn fit_of(crop: &str) -> Option<CompartmentFit> {
    let library = Library::built_in();
    let (crop, _) = library.find(crop).ok()?;
    match &crop.kinetics().ok()?.production {
        Production::Fitted(fit) => Some((**fit).clone()),
        Production::Bounds { .. } => None,
    }
}

fn conditions_of(crop: &str) -> Vec<DryingConditions> {
    let (t, h, m, v): (&[f64], &[f64], &[f64], &[f64]) = match crop {
        "corn" => (
            &[2.2, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 71.1],
            &[3.0, 5.0, 8.0, 12.0, 18.0, 25.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 83.0],
            &[18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0],
            &[0.1, 0.3, 0.5],
        ),
        "wheat" => (&[10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0], &[50.0], &[30.0], &[0.1]),
        "barley" => (&[40.0, 50.0, 60.0, 75.0], &[50.0], &[30.0], &[0.1]),
        _ => {
            (&[30.0, 35.0, 40.0, 45.0, 50.0, 55.0], &[25.0, 35.0, 45.0, 55.0, 65.0, 75.0, 85.0, 95.0], &[30.0], &[0.1])
        }
    };
    let mut all = Vec::new();
    for &temperature in t {
        for &h in h {
            for &m in m {
                for &velocity in v {
                    let (relative_humidity, initial_moisture) = (h / 100.0, m / 100.0);
                    all.push(DryingConditions { temperature, relative_humidity, initial_moisture, velocity });
                }
            }
        }
    }
    all
}

/// The band of air and moisture that the corn kernel is fitted in.
fn in_fit(c: &DryingConditions) -> bool {
    let vapour = c.relative_humidity * air::saturation_pressure(c.temperature);
    let w = air::humidity_ratio(air::STANDARD_PRESSURE, vapour);
    (0.0025..=0.020).contains(&w)
        && (5.0..=60.0).contains(&c.temperature)
        && (0.199..=0.401).contains(&c.initial_moisture)
}

/// Root mean square and largest difference of the kernel from the law.
fn misfit(fit: &CompartmentFit, law: ThinLayer, grid: &[DryingConditions]) -> (f64, f64) {
    let (mut squares, mut worst, mut count) = (0.0, 0.0f64, 0);
    for &at in grid {
        let last = law.equivalent_time(at, 0.1).min(72.0 * 3600.0);
        for i in 1..=40 {
            let seconds = last * (f64::from(i) / 40.0).powi(2);
            let d = fit.constants.moisture_ratio(at.temperature, seconds) - law.moisture_ratio(at, seconds);
            squares += d * d;
            worst = worst.max(d.abs());
            count += 1;
        }
    }
    ((squares / f64::from(count)).sqrt(), worst)
}

/// Kernel and law of corn at four states of the air, one of them outside the air that the kernel is fitted in.
fn chart(plots: &mut Vec<Named>) {
    let Some(fit) = fit_of("corn") else { return };
    let mut lines = Vec::new();
    let mut points = Vec::new();
    for (t, h) in [(10.0, 0.6), (27.0, 0.4), (60.0, 0.1), (60.0, 0.2)] {
        let at = DryingConditions { temperature: t, relative_humidity: h, initial_moisture: 0.333, velocity: 0.3 };
        let law = |i: u32| (f64::from(i) * 2.0, ThinLayer::CornPage.moisture_ratio(at, f64::from(i) * 7200.0));
        points.push((1..=11).map(law).collect());
        if lines.len() < 3 {
            let kernel = |i: u32| (f64::from(i) * 0.25, fit.constants.moisture_ratio(t, f64::from(i) * 900.0));
            lines.push(Line::new(format!("kernel, {t:.0} °C"), (0..=96).map(kernel).collect()));
        }
    }
    let plot = plots::chart(
        "Corn: the kernel (lines) and TL-C1 (points)",
        "Moisture ratio over a day in constant air; points of TL-C1 at 10 °C 60 % (rings), 27 °C 40 % (crosses), 60 °C 10 % (discs) \
         and 60 °C 20 % (half diamonds), initial moisture 25 % wb.",
        ("time, h", 0.0, 24.0),
        ("moisture ratio", 0.0, 1.0),
        lines,
        points,
    );
    plots.push(("corn-kinetics", plot));
}
