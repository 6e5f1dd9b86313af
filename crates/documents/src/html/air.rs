//! Fans against the grain: operating points, curves, pressure budget.

use super::{
    figure::{Figures, thin},
    table::{Cell, Table},
};
use crate::{
    colour::{BLUE, INK},
    plot::{Axis, Label, Mark, Plot, Shape},
    report::{AirReport, OperatingPoint},
    scene::{Dash, Scene, Stroke},
    shown::{Form, Reader, extremes, sentence},
    ticks::widen,
};
use notice::Kind;

pub(super) fn html(air: &AirReport, reader: Reader, figures: &mut Figures) -> String {
    let mut out = points(&air.points, reader).html();
    if !(air.fans.is_empty() && air.systems.is_empty()) {
        let name = "What the fans can do and what the grain asks for";
        out.push_str(&figures.figure(
            name,
            &summary(air, reader),
            |form| scene(air, reader, form),
            &curves(air, reader),
        ));
    }
    out.push_str(&budget(air, reader).html());
    out
}

fn points(points: &[OperatingPoint], reader: Reader) -> Table {
    let mut table = Table::new("Where the fans settle, by fill", "No operating point was worked out.")
        .column("Fill")
        .numbers(reader, "grain depth", Kind::Length)
        .numbers(reader, "airflow", Kind::Airflow)
        .numbers(reader, "static pressure", Kind::Pressure)
        .numbers(reader, "per volume of grain", Kind::SpecificAirflow)
        .numbers(reader, "power", Kind::ElectricPower)
        .column("Note");
    for point in points {
        table.row(vec![
            Cell::text(&point.fill),
            Cell::of(reader, Kind::Length, point.grain_depth_m),
            Cell::of(reader, Kind::Airflow, point.airflow_m3_s),
            Cell::of(reader, Kind::Pressure, point.static_pressure_pa),
            Cell::of(reader, Kind::SpecificAirflow, point.specific_airflow_per_s),
            Cell::of_or(reader, Kind::ElectricPower, point.power_w, "not stated"),
            Cell::text(&point.note),
        ]);
    }
    table
}

fn budget(air: &AirReport, reader: Reader) -> Table {
    let at = if air.budget_at.is_empty() { String::new() } else { format!(", {}", air.budget_at) };
    let mut table = Table::new(format!("Where the pressure goes{at}"), "No pressure budget was worked out.")
        .column("Where")
        .numbers(reader, "pressure", Kind::Pressure)
        .counts("share, %")
        .column("How it was found");
    let total: f64 = air.budget.iter().map(|item| item.pressure_pa).filter(|p| p.is_finite()).sum();
    for item in &air.budget {
        let share = 100.0 * item.pressure_pa / total;
        table.row(vec![
            Cell::text(&item.what),
            Cell::of(reader, Kind::Pressure, item.pressure_pa),
            Cell::of(reader, Kind::Fraction, share / 100.0),
            Cell::text(&item.note),
        ]);
    }
    if !air.budget.is_empty() {
        table.row(vec![
            Cell::text("together"),
            Cell::of(reader, Kind::Pressure, total),
            Cell::of(reader, Kind::Fraction, if total > 0.0 { 1.0 } else { f64::NAN }),
            Cell::text(""),
        ]);
    }
    table
}

pub(crate) fn summary(air: &AirReport, reader: Reader) -> String {
    let mut parts = Vec::new();
    for point in &air.points {
        parts.push(if point.airflow_m3_s.is_finite() {
            format!(
                "{}: {} at {}",
                point.fill,
                reader.text(Kind::Airflow, point.airflow_m3_s),
                reader.text(Kind::Pressure, point.static_pressure_pa)
            )
        } else {
            format!("{}: the fans find no stable point", point.fill)
        });
    }
    let mut text = sentence(&parts.join("; "));
    if air.fans.iter().any(|fan| !fan.unstable.is_empty()) {
        text.push_str(" Hatched: the part of the fan curve that cannot be run on.");
    }
    if air.air_density_kg_m3.is_finite() {
        text.push_str(&format!(" Curves for air of {}.", reader.text(Kind::Density, air.air_density_kg_m3)));
    }
    text.trim().to_string()
}

fn shown(points: &[(f64, f64)], reader: Reader) -> Vec<(f64, f64)> {
    points.iter().map(|(q, p)| (reader.value(Kind::Airflow, *q), reader.value(Kind::Pressure, *p))).collect()
}

pub(crate) fn scene(air: &AirReport, reader: Reader, form: Form) -> Scene {
    let narrow = form == Form::Narrow;
    let fans = || air.fans.iter().flat_map(|f| f.stable.iter().chain(&f.unstable));
    let all = || air.systems.iter().flat_map(|s| &s.points);
    // The fans set the window; a system curve alone sets it where there are no fans.
    let values = if fans().next().is_some() {
        shown(&fans().copied().collect::<Vec<_>>(), reader)
    } else {
        shown(&all().copied().collect::<Vec<_>>(), reader)
    };
    let end = |values: Vec<f64>| extremes(values).map_or(1.0, |(_, high)| widen(0.0, 1.06 * high.max(1e-9), 6).1);
    let (right, top) = (end(values.iter().map(|v| v.0).collect()), end(values.iter().map(|v| v.1).collect()));
    let x = Axis::numbers(reader.axis("airflow at the fan inlet", Kind::Airflow), 0.0, right);
    let y = Axis::numbers(reader.axis("static pressure", Kind::Pressure), 0.0, top);
    let mut plot = Plot::new("Fan and system curves", form.width(), if narrow { 300.0 } else { 400.0 }, x, y);
    plot.describe = summary(air, reader);
    for fan in &air.fans {
        plot.marks.push(Mark::Hatched { points: shown(&fan.unstable, reader), label: None });
        plot.marks.push(Mark::Line {
            points: shown(&fan.unstable, reader),
            stroke: Stroke::solid(INK, 1.6).dashed(Dash::Dot),
            label: None,
        });
    }
    for (i, system) in air.systems.iter().enumerate() {
        plot.marks.push(Mark::Line {
            points: shown(&system.points, reader),
            stroke: Stroke::solid(BLUE, 1.6).dashed(Dash::ALL[i % Dash::ALL.len()]),
            label: Some(Label::end(&system.label)),
        });
    }
    for fan in &air.fans {
        plot.marks.push(Mark::Line {
            points: shown(&fan.stable, reader),
            stroke: Stroke::solid(INK, 2.4),
            label: Some(Label::start(&fan.label)),
        });
    }
    plot.marks.push(Mark::Points {
        points: air
            .points
            .iter()
            .map(|p| (p.airflow_m3_s, p.static_pressure_pa))
            .map(|p| shown(&[p], reader)[0])
            .collect(),
        shape: Shape::Ring,
        size: 9.0,
        names: air.points.iter().map(|p| p.fill.clone()).collect(),
    });
    plot.scene()
}

/// The points behind the curves, at most forty of each.
fn curves(air: &AirReport, reader: Reader) -> Vec<Table> {
    let mut table = Table::new("Points of the curves", "")
        .column("Curve")
        .numbers(reader, "airflow", Kind::Airflow)
        .numbers(reader, "static pressure", Kind::Pressure);
    let fans = air
        .fans
        .iter()
        .flat_map(|f| [(f.label.clone(), &f.stable), (format!("{}, unstable part", f.label), &f.unstable)]);
    for (label, points) in fans.chain(air.systems.iter().map(|s| (s.label.clone(), &s.points))) {
        for i in thin(points.len(), 40) {
            let (airflow, pressure) = points[i];
            table.row(vec![
                Cell::text(&label),
                Cell::of(reader, Kind::Airflow, airflow),
                Cell::of(reader, Kind::Pressure, pressure),
            ]);
        }
    }
    vec![table]
}
