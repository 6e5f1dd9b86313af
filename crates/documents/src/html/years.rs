//! All years: the table, years as lines, percentiles, finish dates.

use super::{
    figure::{Figures, between, thin},
    table::{Cell, Table, outcome_html},
};
use crate::{
    calendar,
    colour::{BLUE, INK, RUST, Rgb, SOFT},
    plot::{Axis, Label, Mark, Plot, Shape},
    report::{Bands, Outcome, Tally, YearLine, YearRow, YearsReport},
    scene::{Dash, Scene, Stroke},
    shown::{Form, NOT_REACHED, Reader, around, extremes, sentence},
    ticks::Division,
};
use notice::Kind;

/// A year without 29 February to count days by where many years lie over one another.
const COMMON_YEAR: i32 = 2001;
const M: Kind = Kind::MoistureWetBasis;
/// Fills of the percentile bands, widest first; paper shows through nowhere, so that they print as greys.
const BAND_FILLS: [Rgb; 3] = [Rgb(0xdc, 0xe4, 0xea), Rgb(0xb5, 0xc5, 0xd2), Rgb(0x8a, 0xa3, 0xb6)];

pub(super) fn html(years: &YearsReport, reader: Reader, figures: &mut Figures) -> String {
    let mut out = String::new();
    if years.lines.iter().any(|line| line.points.len() > 1) {
        let draw = |form| lines(years, reader, form);
        out.push_str(&figures.figure(
            "Mean moisture, one line a year",
            &line_summary(years, reader),
            draw,
            &[line_table(&years.lines, reader)],
        ));
        out.push_str(&line_key(tally(&years.rows)));
    }
    if let Some(bands) = years.bands.as_ref().filter(|b| b.days.len() > 1) {
        let draw = |form| band_plot(years, bands, reader, form);
        out.push_str(&figures.figure(
            "Mean moisture, spread over the years",
            &band_summary(years, bands, reader),
            draw,
            &[band_table(bands, reader)],
        ));
    }
    if !years.rows.is_empty() {
        let draw = |form| finishes(years, form);
        out.push_str(&figures.figure(
            "When the bin is finished, one mark a year",
            &finish_summary(&years.rows),
            draw,
            &[],
        ));
    }
    out.push_str(&table(&years.rows, reader).html());
    let mut left_out = Table::new("Years left out", "").counts("Year").column("Why");
    for year in &years.left_out {
        left_out.row(vec![Cell::Number(year.year.to_string()), Cell::text(&year.reason)]);
    }
    if !years.left_out.is_empty() {
        out.push_str(&left_out.html());
    }
    out
}

fn tally(rows: &[YearRow]) -> Tally {
    let count = |outcome| rows.iter().filter(|row| row.outcome == outcome).count() as u32;
    Tally { met: count(Outcome::Met), held: count(Outcome::Held), failed: count(Outcome::Failed) }
}

fn common_date(day: f64) -> String {
    calendar::date(COMMON_YEAR, day).map_or_else(|| NOT_REACHED.into(), calendar::Date::short)
}

fn table(rows: &[YearRow], reader: Reader) -> Table {
    let mut table = Table::new("Each year", "No year was worked out.")
        .counts("Year")
        .column("Outcome")
        .column("Finished")
        .numbers(reader, "mean moisture", M)
        .numbers(reader, "wettest tenth", M)
        .numbers(reader, "storage life used", Kind::Fraction)
        .numbers(reader, "electricity", Kind::ElectricEnergy);
    let heat = rows.iter().any(|row| row.burner_heat_j > 0.0);
    let cost = rows.iter().any(|row| !row.cost.is_empty());
    if heat {
        table = table.numbers(reader, "burner heat", Kind::Heat);
    }
    if cost {
        table = table.counts("Cost");
    }
    table = table.column("Cause");
    for row in rows {
        let finished =
            calendar::date(row.year, row.finish_day).map_or_else(|| NOT_REACHED.into(), calendar::Date::long);
        let mut cells = vec![
            Cell::Number(row.year.to_string()),
            Cell::Outcome(row.outcome),
            Cell::Date(finished),
            Cell::of(reader, M, row.mean_wb),
            Cell::of(reader, M, row.wettest_wb),
            Cell::of_or(reader, Kind::Fraction, row.life_used, "not judged"),
            Cell::of(reader, Kind::ElectricEnergy, row.electricity_j),
        ];
        if heat {
            cells.push(Cell::of(reader, Kind::Heat, row.burner_heat_j));
        }
        if cost {
            cells.push(if row.cost.is_empty() { Cell::None("none stated") } else { Cell::Number(row.cost.clone()) });
        }
        cells.push(Cell::text(&row.cause));
        table.row(cells);
    }
    table
}

// --- one line a year ---

fn stroke(outcome: Outcome) -> Stroke {
    match outcome {
        Outcome::Met => Stroke::solid(SOFT, 0.9),
        Outcome::Held => Stroke::solid(BLUE, 1.7).dashed(Dash::Long),
        Outcome::Failed => Stroke::solid(RUST, 2.2),
    }
}

fn line_key(tally: Tally) -> String {
    let entry = |outcome: Outcome, line: &str, count: u32| {
        format!("<span class=\"key\">{} ({count}): {line}</span> ", outcome_html(outcome))
    };
    format!(
        "<p class=\"keys\">{}{}{}</p>\n",
        entry(Outcome::Met, "thin line", tally.met),
        entry(Outcome::Held, "dashed line", tally.held),
        entry(Outcome::Failed, "heavy line, year at its end", tally.failed)
    )
}

fn axes(years: &YearsReport, points: impl Iterator<Item = (f64, f64)> + Clone, reader: Reader) -> Option<(Axis, Axis)> {
    let (first, last) = extremes(points.clone().map(|p| p.0))?;
    let target = reader.value(M, years.target_wb);
    let (low, high) = around(points.map(|p| reader.value(M, p.1)).chain([target]), 6);
    let x = Axis::dates(COMMON_YEAR, first, last);
    Some((x, Axis::numbers(reader.axis("mean moisture", M), low, high)))
}

fn goal_marks(years: &YearsReport, reader: Reader) -> [Mark; 2] {
    [
        Mark::Level { at: reader.value(M, years.target_wb), label: "target".into(), dash: Dash::Short },
        Mark::Upright { at: years.by_day, label: format!("by {}", common_date(years.by_day)), dash: Dash::DashDot },
    ]
}

pub(crate) fn lines(years: &YearsReport, reader: Reader, form: Form) -> Scene {
    let narrow = form == Form::Narrow;
    let points = years.lines.iter().flat_map(|line| line.points.iter().copied());
    let nothing = || (Axis::numbers("", 0.0, 0.0), Axis::numbers("", 0.0, 0.0));
    let (x, y) = axes(years, points, reader).unwrap_or_else(nothing);
    let mut plot = Plot::new("Mean moisture, one line a year", form.width(), if narrow { 300.0 } else { 380.0 }, x, y);
    plot.describe = line_summary(years, reader);
    plot.marks.extend(goal_marks(years, reader));
    // What failed is drawn last, over the rest, and named; of many only the wettest, for the names must stay legible.
    let mut order: Vec<&YearLine> = years.lines.iter().collect();
    order.sort_by_key(|line| (rank(line.outcome), line.year));
    let named = worst(&order, if narrow { 5 } else { 8 });
    for line in order {
        let points = reader.series(M, &line.points);
        let label = named.contains(&line.year).then(|| Label::right(line.year.to_string()));
        let end = points.last().copied();
        plot.marks.push(Mark::Line { points, stroke: stroke(line.outcome), label });
        if let (Some(end), Outcome::Failed) = (end, line.outcome) {
            plot.marks.push(Mark::Points {
                points: vec![end],
                shape: Shape::Cross,
                size: 7.0,
                names: vec![line.year.to_string()],
            });
        }
    }
    plot.scene()
}

fn rank(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Met => 0,
        Outcome::Held => 1,
        Outcome::Failed => 2,
    }
}

fn worst(lines: &[&YearLine], most: usize) -> Vec<i32> {
    let end = |line: &YearLine| line.points.last().map_or(f64::NEG_INFINITY, |p| p.1);
    let not_met = lines.iter().filter(|line| line.outcome != Outcome::Met);
    let few = not_met.clone().count() <= most;
    let mut not_met: Vec<&&YearLine> = not_met.filter(|line| few || line.outcome == Outcome::Failed).collect();
    not_met.sort_by(|a, b| rank(b.outcome).cmp(&rank(a.outcome)).then(end(b).total_cmp(&end(a))));
    not_met.iter().take(most).map(|line| line.year).collect()
}

pub(crate) fn line_summary(years: &YearsReport, reader: Reader) -> String {
    let ends = extremes(years.lines.iter().filter_map(|line| line.points.last()).map(|p| p.1));
    let mut text = format!("{} years", years.lines.len());
    if let Some((low, high)) = ends {
        text.push_str(&format!("; at the end between {} and {}", reader.text(M, low), reader.text(M, high)));
    }
    if years.target_wb.is_finite() {
        text.push_str(&format!("; the target is {}", reader.text(M, years.target_wb)));
    }
    sentence(&text)
}

fn line_table(lines: &[YearLine], reader: Reader) -> Table {
    let shown: Vec<&YearLine> = thin(lines.len(), 40).into_iter().map(|i| &lines[i]).collect();
    let mut table = Table::new(reader.axis("Mean moisture by date and year", M), "").column("Date");
    for line in &shown {
        table = table.counts(line.year.to_string());
    }
    for day in some_days(lines.iter().flat_map(|line| &line.points).map(|p| p.0)) {
        let mut row = vec![Cell::Date(common_date(day))];
        row.extend(shown.iter().map(|line| Cell::of_or(reader, M, between(&line.points, day), "none")));
        table.row(row);
    }
    table
}

/// About two dozen whole days over the span of others.
fn some_days(days: impl Iterator<Item = f64>) -> Vec<f64> {
    let Some((first, last)) = extremes(days) else { return Vec::new() };
    let step = ((last - first) / 24.0).ceil().max(1.0);
    (0..40).map(|i| first.ceil() + step * f64::from(i)).take_while(|day| *day <= last).collect()
}

// --- percentiles ---

pub(crate) fn band_plot(years: &YearsReport, bands: &Bands, reader: Reader, form: Form) -> Scene {
    let narrow = form == Form::Narrow;
    let edges = bands.bands.iter().flat_map(|band| band.low_wb.iter().chain(&band.high_wb)).chain(&bands.median_wb);
    let points = edges.map(|wb| (f64::NAN, *wb)).chain(bands.days.iter().map(|day| (*day, f64::NAN)));
    let nothing = || (Axis::numbers("", 0.0, 0.0), Axis::numbers("", 0.0, 0.0));
    let (x, y) = axes(years, points, reader).unwrap_or_else(nothing);
    let mut plot =
        Plot::new("Mean moisture, spread over the years", form.width(), if narrow { 260.0 } else { 300.0 }, x, y);
    plot.describe = band_summary(years, bands, reader);
    let shown = |values: &[f64]| values.iter().map(|wb| reader.value(M, *wb)).collect::<Vec<_>>();
    for (i, band) in bands.bands.iter().enumerate() {
        plot.marks.push(Mark::Band {
            x: bands.days.clone(),
            low: shown(&band.low_wb),
            high: shown(&band.high_wb),
            colour: BAND_FILLS[i.min(BAND_FILLS.len() - 1)],
            label: Some(Label::right(&band.label)),
        });
    }
    plot.marks.push(Mark::Line {
        points: bands.days.iter().copied().zip(shown(&bands.median_wb)).collect(),
        stroke: Stroke::solid(INK, 2.0),
        label: Some(Label::right("median")),
    });
    plot.marks.extend(goal_marks(years, reader));
    plot.scene()
}

pub(crate) fn band_summary(years: &YearsReport, bands: &Bands, reader: Reader) -> String {
    let reached = bands.days.iter().zip(&bands.median_wb).find(|(_, wb)| **wb <= years.target_wb);
    let mut text = match reached {
        Some((day, _)) => format!("The median year reaches the target on {}.", common_date(*day)),
        None if years.target_wb.is_finite() => "The median year does not reach the target in the time shown.".into(),
        None => String::new(),
    };
    if let (Some(band), Some(day)) = (bands.bands.first(), bands.days.last())
        && let (Some(low), Some(high)) = (band.low_wb.last(), band.high_wb.last())
    {
        let (low, high) = (reader.text(M, *low), reader.text(M, *high));
        let spread = format!("on {}, {} lie between {low} and {high}", common_date(*day), band.label);
        text.push_str(&format!(" {}", sentence(&spread)));
    }
    text.trim().to_string()
}

fn band_table(bands: &Bands, reader: Reader) -> Table {
    let mut table = Table::new(reader.axis("Mean moisture over the years", M), "").column("Date").counts("median");
    for band in &bands.bands {
        table = table.counts(format!("{}, from", band.label)).counts("to");
    }
    for i in thin(bands.days.len(), 26) {
        let at = |values: &[f64]| Cell::of_or(reader, M, values.get(i).copied().unwrap_or(f64::NAN), "none");
        let mut row = vec![Cell::Date(common_date(bands.days[i])), at(&bands.median_wb)];
        for band in &bands.bands {
            row.extend([at(&band.low_wb), at(&band.high_wb)]);
        }
        table.row(row);
    }
    table
}

// --- finish dates ---

pub(crate) fn finishes(years: &YearsReport, form: Form) -> Scene {
    let days = || years.rows.iter().map(|row| row.finish_day);
    let (first, last) = extremes(days().chain([years.by_day])).unwrap_or((280.0, 340.0));
    let missing = days().any(|day| !day.is_finite());
    let (first, span) = ((first - 3.0).floor(), (last - first).max(10.0) + 6.0);
    // What is never finished stands past a line of its own at the right.
    let room = if missing { 0.16 * span } else { 0.0 };
    let bin = (span / if form == Form::Narrow { 30.0 } else { 60.0 }).ceil().max(1.0);
    let mut stacks: Vec<(f64, usize)> = Vec::new();
    let mut marks: Vec<(f64, f64, &YearRow)> = Vec::new();
    let mut rows: Vec<&YearRow> = years.rows.iter().collect();
    rows.sort_by(|a, b| a.finish_day.total_cmp(&b.finish_day).then(a.year.cmp(&b.year)));
    for row in rows {
        let place = if row.finish_day.is_finite() {
            ((row.finish_day - first) / bin).floor() * bin + first + 0.5 * bin
        } else {
            first + span + 0.5 * room
        };
        let height = match stacks.iter_mut().find(|stack| stack.0 == place) {
            Some(stack) => {
                stack.1 += 1;
                stack.1
            }
            None => {
                stacks.push((place, 1));
                1
            }
        };
        marks.push((place, height as f64 - 0.5, row));
    }
    let tallest = stacks.iter().map(|stack| stack.1).max().unwrap_or(1) as f64;
    let height = (tallest * 13.0 + 70.0).clamp(130.0, 380.0);
    let mut y = Axis::numbers("years", 0.0, tallest.max(3.0) + 0.5);
    y.division = Division::Plain;
    let mut plot = Plot::new(
        "When the bin is finished",
        form.width(),
        height,
        Axis::dates(COMMON_YEAR, first, first + span + room),
        y,
    );
    plot.describe = finish_summary(&years.rows);
    plot.marks.push(Mark::Upright {
        at: years.by_day,
        label: format!("by {}", common_date(years.by_day)),
        dash: Dash::DashDot,
    });
    if missing {
        plot.marks.push(Mark::Upright { at: first + span, label: "never".into(), dash: Dash::None });
    }
    let size = ((height - 70.0) / tallest * 0.8).clamp(2.0, 9.0);
    for outcome in [Outcome::Met, Outcome::Held, Outcome::Failed] {
        let of = || marks.iter().filter(move |mark| mark.2.outcome == outcome);
        plot.marks.push(Mark::Points {
            points: of().map(|mark| (mark.0, mark.1)).collect(),
            shape: match outcome {
                Outcome::Met => Shape::Disc,
                Outcome::Held => Shape::HalfDiamond,
                Outcome::Failed => Shape::Cross,
            },
            size,
            names: of()
                .map(|mark| format!("{}: {} ({})", mark.2.year, common_date(mark.2.finish_day), outcome.word()))
                .collect(),
        });
    }
    plot.scene()
}

pub(crate) fn finish_summary(rows: &[YearRow]) -> String {
    let mut days: Vec<f64> = rows.iter().map(|row| row.finish_day).filter(|day| day.is_finite()).collect();
    days.sort_by(f64::total_cmp);
    let never = rows.len() - days.len();
    let mut text = match (days.first(), days.get(days.len() / 2), days.last()) {
        (Some(first), Some(middle), Some(last)) => format!(
            "Finished in {} of {} years, the earliest on {}, the middle one on {}, the latest on {}",
            days.len(),
            rows.len(),
            common_date(*first),
            common_date(*middle),
            common_date(*last)
        ),
        _ => format!("Finished in none of {} years", rows.len()),
    };
    if never > 0 && !days.is_empty() {
        text.push_str(&format!("; not reached in {never}"));
    }
    text.push_str(". Disc: met; half-filled diamond: held; cross: failed.");
    text
}
