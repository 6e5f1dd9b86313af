//! One year: maps of depth against time, strips of air, when machines ran.

use super::{
    figure::{Figures, between, thin},
    table::{Cell, Table},
};
use crate::{
    calendar,
    colour::{BLUE, INK, RUST, SOFT, Scale},
    plot::{Axis, Cells, ColourKey, Label, Mark, Plot},
    report::{DepthTimeMap, Running, SeasonReport, Strip},
    scene::{Dash, Scene, Stroke},
    shown::{Form, Reader, around, extremes, hues, sentence},
    svg::escape,
    ticks::{Division, widen},
};
use notice::Kind;

/// Days up to which a strip is drawn as given; over a longer time the swing of each day would fill it with ink.
const HOURLY_DAYS: f64 = 30.0;
/// Room at the left and right of every plot of the season, so that their dates lie under one another.
const LEFT: f64 = 48.0;

pub(super) fn html(season: &SeasonReport, reader: Reader, figures: &mut Figures) -> String {
    let mut out = String::new();
    if !season.why.is_empty() {
        out.push_str(&format!("<p><bdi>{}</bdi></p>\n", escape(&season.why)));
    }
    let span = span(season);
    for map in &season.maps {
        let name = format!("{} by depth and date", capital(&map.what));
        let draw = |form| map_scene(map, season.year, span, reader, form);
        out.push_str(&figures.figure(
            &name,
            &map_summary(map, season.year, reader),
            draw,
            &[map_table(map, season.year, reader)],
        ));
    }
    for strip in &season.strips {
        let draw = |form| strip_scene(strip, season.year, span, reader, form);
        let table = strip_table(strip, season.year, reader);
        out.push_str(&figures.figure(&capital(&strip.what), &strip_summary(strip, reader), draw, &[table]));
    }
    if !season.running.is_empty() {
        let draw = |form| running_scene(&season.running, season.year, span, form);
        out.push_str(&figures.figure(
            "When machines ran",
            &running_summary(&season.running),
            draw,
            &[running_table(&season.running)],
        ));
    }
    out
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

fn date(year: i32, day: f64) -> String {
    calendar::date(year, day).map_or_else(|| "no date".into(), calendar::Date::long)
}

/// First and last day of anything shown.
fn span(season: &SeasonReport) -> (f64, f64) {
    let maps = season.maps.iter().flat_map(|map| map.day_edges.iter().copied());
    let strips = season.strips.iter().flat_map(|s| &s.lines).flat_map(|line| line.points.iter().map(|p| p.0));
    let running = season.running.iter().flat_map(|r| r.spans.iter().flat_map(|s| [s.0, s.1]));
    extremes(maps.chain(strips).chain(running)).unwrap_or((0.0, 0.0))
}

fn right(form: Form) -> f64 {
    if form == Form::Narrow { 84.0 } else { 110.0 }
}

fn plot(title: &str, form: Form, height: f64, year: i32, span: (f64, f64), y: Axis) -> Plot {
    let mut plot = Plot::new(title, form.width(), height, Axis::dates(year, span.0, span.1), y);
    (plot.left_margin, plot.right_margin) = (LEFT, right(form));
    plot
}

// --- maps ---

fn map_scene(map: &DepthTimeMap, year: i32, span: (f64, f64), reader: Reader, form: Form) -> Scene {
    let value = |v: f64| reader.value(map.kind, v);
    let (low, high) = match map.range {
        Some((low, high)) => (value(low), value(high)),
        None => around(map.values.iter().map(|v| value(*v)), 6),
    };
    let depths: Vec<f64> = map.depth_edges_m.iter().map(|m| reader.value(Kind::Length, *m)).collect();
    let top = extremes(depths.iter().copied()).map_or(0.0, |(_, high)| high);
    let y = Axis::numbers(reader.axis("depth from where the air enters", Kind::Length), 0.0, top);
    let scale = Scale::new(hues(map.kind));
    let mut plot = plot(
        &format!("{} by depth and date", map.what),
        form,
        if form == Form::Narrow { 220.0 } else { 236.0 },
        year,
        span,
        y,
    );
    plot.describe = map_summary(map, year, reader);
    let limit = map.limit.as_ref().filter(|limit| limit.value.is_finite());
    plot.key = Some(ColourKey {
        label: reader.axis(&map.what, map.kind),
        low,
        high,
        scale: scale.clone(),
        limit: limit.map(|limit| value(limit.value)),
    });
    plot.marks.push(Mark::Cells(Cells {
        x_edges: map.day_edges.clone(),
        y_edges: depths,
        values: map.values.iter().map(|v| value(*v)).collect(),
        low,
        high,
        scale,
        contour: limit.map(|limit| (value(limit.value), limit.label.clone())),
    }));
    plot.scene()
}

/// Cells up and whether the parts of a map fit together.
fn shape(map: &DepthTimeMap) -> Option<(usize, usize)> {
    let (across, up) = (map.day_edges.len().checked_sub(1)?, map.depth_edges_m.len().checked_sub(1)?);
    (across > 0 && up > 0 && across.checked_mul(up)? == map.values.len()).then_some((across, up))
}

fn map_summary(map: &DepthTimeMap, year: i32, reader: Reader) -> String {
    let Some((across, up)) = shape(map) else { return "There is nothing to show.".into() };
    let Some((low, high)) = extremes(map.values.iter().copied()) else { return "There is no grain to show.".into() };
    let when = map.values.iter().position(|v| *v == high).map_or(f64::NAN, |k| map.day_edges[k / up]);
    let text = |v| reader.text(map.kind, v);
    let mut out = format!("From {} to {}, highest on {}", text(low), text(high), date(year, when));
    if let Some((low, high)) = extremes(map.values[(across - 1) * up..].iter().copied()) {
        out.push_str(&format!("; at the end from {} to {}", text(low), text(high)));
    }
    out = sentence(&out);
    out.push_str(" Light is low, dark is high; dotted where there is no grain.");
    if let Some(limit) = &map.limit {
        out.push_str(&format!(" The line across is {} ({}).", limit.label, text(limit.value)));
    }
    out
}

fn map_table(map: &DepthTimeMap, year: i32, reader: Reader) -> Table {
    let mut table = Table::new(reader.axis(&capital(&map.what), map.kind), "").column("Date");
    let Some((across, up)) = shape(map) else { return table };
    let rows = thin(up, 10);
    for &j in &rows {
        let middle = 0.5 * (map.depth_edges_m[j] + map.depth_edges_m[j + 1]);
        table = table.counts(reader.text(Kind::Length, middle));
    }
    for i in thin(across, 24) {
        let mut row = vec![Cell::Date(date(year, map.day_edges[i]))];
        row.extend(rows.iter().map(|j| Cell::of_or(reader, map.kind, map.values[i * up + j], "no grain")));
        table.row(row);
    }
    table
}

// --- strips ---

fn strip_scene(strip: &Strip, year: i32, span: (f64, f64), reader: Reader, form: Form) -> Scene {
    let daily = span.1 - span.0 > HOURLY_DAYS;
    let lines: Vec<Vec<(f64, f64)>> = strip
        .lines
        .iter()
        .map(|line| reader.series(strip.kind, &line.points))
        .map(|points| if daily { daily_means(&points) } else { points })
        .map(|points| thin_line(&points, if form == Form::Narrow { 400 } else { 900 }))
        .collect();
    let (low, high) = around(lines.iter().flatten().map(|p| p.1), 4);
    let name = if daily { format!("{}, daily means", strip.what) } else { strip.what.clone() };
    let mut plot = plot(&strip.what, form, 170.0, year, span, Axis::numbers(reader.axis(&name, strip.kind), low, high));
    plot.describe = strip_summary(strip, reader);
    for (i, (line, points)) in strip.lines.iter().zip(lines).enumerate() {
        let stroke = [
            Stroke::solid(SOFT, 0.9),
            Stroke::solid(INK, 1.6),
            Stroke::solid(RUST, 1.5).dashed(Dash::Long),
            Stroke::solid(BLUE, 1.5).dashed(Dash::Short),
        ][i % 4];
        plot.marks.push(Mark::Line { points, stroke, label: Some(Label::right(&line.label)) });
    }
    plot.scene()
}

/// The mean of each whole day at its noon; days without a number break the line.
fn daily_means(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    points
        .chunk_by(|a, b| a.0.floor() == b.0.floor())
        .filter_map(|day| {
            let numbers: Vec<f64> = day.iter().map(|p| p.1).filter(|v| v.is_finite()).collect();
            let mean = numbers.iter().sum::<f64>() / numbers.len() as f64;
            day.first().map(|first| (first.0.floor() + 0.5, mean))
        })
        .collect()
}

/// A line with at most about `most` points: of each run of points its lowest and highest, so that no peak is lost.
fn thin_line(points: &[(f64, f64)], most: usize) -> Vec<(f64, f64)> {
    if points.len() <= most {
        return points.to_vec();
    }
    let run = points.len().div_ceil(most / 2);
    let mut out = Vec::with_capacity(most + 2);
    for group in points.chunks(run) {
        let ends = (0..group.len()).filter(|i| group[*i].1.is_finite()).fold(None, |ends, i| {
            let (low, high) = ends.unwrap_or((i, i));
            Some((if group[i].1 < group[low].1 { i } else { low }, if group[i].1 > group[high].1 { i } else { high }))
        });
        match ends {
            Some((low, high)) if low == high => out.push(group[low]),
            Some((low, high)) => out.extend([group[low.min(high)], group[low.max(high)]]),
            None => out.extend(group.first()),
        }
    }
    out
}

fn strip_summary(strip: &Strip, reader: Reader) -> String {
    let mut parts = Vec::new();
    for line in &strip.lines {
        let finite: Vec<f64> = line.points.iter().map(|p| p.1).filter(|v| v.is_finite()).collect();
        let Some((low, high)) = extremes(finite.iter().copied()) else { continue };
        let mean = finite.iter().sum::<f64>() / finite.len() as f64;
        let text = |v| reader.text(strip.kind, v);
        parts.push(format!("{}: mean {}, from {} to {}", line.label, text(mean), text(low), text(high)));
    }
    if parts.is_empty() { "There is nothing to show.".into() } else { sentence(&parts.join("; ")) }
}

fn strip_table(strip: &Strip, year: i32, reader: Reader) -> Table {
    let mut table = Table::new(reader.axis(&capital(&strip.what), strip.kind), "").column("Date");
    for line in &strip.lines {
        table = table.counts(&line.label);
    }
    let Some((first, last)) = extremes(strip.lines.iter().flat_map(|l| l.points.iter().map(|p| p.0))) else {
        return table;
    };
    let step = ((last - first) / 24.0).ceil().max(1.0);
    for day in (0..40).map(|i| first.ceil() + step * f64::from(i)).take_while(|day| *day <= last) {
        let mut row = vec![Cell::Date(date(year, day))];
        row.extend(strip.lines.iter().map(|l| Cell::of_or(reader, strip.kind, between(&l.points, day), "none")));
        table.row(row);
    }
    table
}

// --- machines ---

fn hours(running: &Running) -> f64 {
    running
        .spans
        .iter()
        .filter(|(from, to, share)| from.is_finite() && to.is_finite() && share.is_finite())
        .map(|(from, to, share)| (to - from).max(0.0) * 86_400.0 * share.clamp(0.0, 1.0))
        .sum()
}

fn running_scene(running: &[Running], year: i32, span: (f64, f64), form: Form) -> Scene {
    let rows = running.len() as f64;
    let mut y = Axis::numbers("", 0.0, widen(0.0, rows, 1).1.max(rows));
    (y.high, y.division) = (rows, Division::Plain);
    let mut plot = plot("When machines ran", form, 28.0 * rows + 40.0, year, span, y);
    plot.describe = running_summary(running);
    for (i, machine) in running.iter().enumerate() {
        let foot = rows - 1.0 - i as f64;
        plot.marks.push(Mark::Bars { spans: machine.spans.clone(), low: foot + 0.15, high: foot + 0.85, colour: SOFT });
        // A line nobody sees carries the name beside the row.
        plot.marks.push(Mark::Line {
            points: vec![(span.0, foot + 0.5), (span.1, foot + 0.5)],
            stroke: Stroke::solid(SOFT, 0.4),
            label: Some(Label::right(&machine.label)),
        });
    }
    plot.scene()
}

fn running_summary(running: &[Running]) -> String {
    let hours = |r: &Running| Reader(notice::UnitSystem::Si).text(Kind::Hours, hours(r));
    let parts: Vec<String> = running.iter().map(|r| format!("{}: {}", r.label, hours(r))).collect();
    format!("{} A bar as high as its row means all of the time.", sentence(&parts.join("; ")))
}

fn running_table(running: &[Running]) -> Table {
    let mut table = Table::new("Hours run", "").column("Machine").counts("hours, h");
    for machine in running {
        table.row(vec![
            Cell::text(&machine.label),
            Cell::of(Reader(notice::UnitSystem::Si), Kind::Hours, hours(machine)),
        ]);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::{daily_means, thin_line};

    #[test]
    fn days_have_their_own_mean() {
        let points = [(1.0, 2.0), (1.5, 4.0), (1.9, f64::NAN), (2.0, f64::NAN), (3.25, 7.0)];
        let means = daily_means(&points);
        assert_eq!((means[0], means[2]), ((1.5, 3.0), (3.5, 7.0)));
        assert!(means[1].1.is_nan());
    }

    #[test]
    fn thinning_keeps_peaks() {
        let mut points: Vec<(f64, f64)> = (0..10_000).map(|i| (f64::from(i), f64::from(i % 7))).collect();
        points[4321].1 = 99.0;
        points[1234].1 = -99.0;
        let thin = thin_line(&points, 300);
        assert!(thin.len() <= 302);
        assert!(thin.contains(&(4321.0, 99.0)) && thin.contains(&(1234.0, -99.0)));
        assert!(thin.windows(2).all(|p| p[0].0 < p[1].0));
    }
}
