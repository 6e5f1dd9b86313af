//! Pictures of a weighing.

use super::measure;
use crate::colour::{BLUE, Hues, RUST, SOFT, Scale};
use crate::plot::{Axis, Cells, ColourKey, Mark, Plot, Shape};
use crate::scene::{Dash, Scene, Stroke};
use crate::shown::{Reader, around};
use crate::ticks::Division;
use advice::limit::Map;
use advice::weigh::{Answer, Standing, matters::Effect, says};
use notice::Kind;

/// Width of a picture that stands alone, scene units.
pub const WIDTH: f64 = 720.0;
/// Effects that are drawn.
const MOST_EFFECTS: usize = 16;

/// Cost against the share of failed years, one point for every outfit that ran all years; the front is joined.
pub fn front(answer: &Answer, reader: Reader, width: f64) -> Scene {
    let at = |place: usize| {
        let score = &answer.outfits[place].score;
        (100.0 * score.failures() as f64 / score.run().max(1) as f64, score.cost())
    };
    let complete: Vec<usize> = (0..answer.outfits.len()).filter(|&p| answer.outfits[p].score.complete()).collect();
    let costs = around(complete.iter().map(|&place| at(place).1), 5);
    let x = Axis::numbers("years failed, %", -3.0, 103.0);
    let mut plot = Plot::new(
        "Cost against failed years",
        width,
        420.0,
        x,
        Axis::numbers(format!("cost, {}", measure(answer)), costs.0, costs.1),
    );
    plot.describe = reader.sentence(&says::headline(answer));
    let points = |places: &[usize], shape: Shape, size: f64| Mark::Points {
        points: places.iter().map(|&place| at(place)).collect(),
        shape,
        size,
        names: places.iter().map(|&place| answer.outfits[place].name.clone()).collect(),
    };
    let beaten: Vec<usize> =
        complete.iter().copied().filter(|&p| matches!(answer.outfits[p].standing, Standing::Beaten(_))).collect();
    plot.marks.push(Mark::Upright {
        at: 100.0 * (1.0 - answer.wanted),
        label: format!("wanted: at most {:.0} %", 100.0 * (1.0 - answer.wanted)),
        dash: Dash::Long,
    });
    plot.marks.push(points(&beaten, Shape::Ring, 3.5));
    plot.marks.push(points(&answer.hopeless, Shape::Cross, 4.0));
    let mut joined: Vec<(f64, f64)> = answer.front.iter().map(|&place| at(place)).collect();
    joined.sort_by(|a, b| a.0.total_cmp(&b.0));
    plot.marks.push(Mark::Line { points: joined, stroke: Stroke::solid(BLUE, 1.5), label: None });
    plot.marks.push(points(&answer.front, Shape::Disc, 4.5));
    if let Some(chosen) = answer.chosen {
        plot.marks.push(Mark::Note { at: at(chosen), text: answer.outfits[chosen].name.clone() });
    }
    plot.scene()
}

/// What one changed assumption does to the cost, the largest change on top.
pub fn effects(answer: &Answer, list: &[Effect], reader: Reader) -> Scene {
    let list: Vec<&Effect> = list.iter().take(MOST_EFFECTS).collect();
    let moved: Vec<f64> = list.iter().map(|effect| effect.cost - effect.cost_before).collect();
    let (low, high) = around(moved.iter().copied().chain([0.0]), 5);
    let rows = list.len() as f64;
    let x = Axis::numbers(format!("change of cost, {}", measure(answer)), low, high);
    let y = Axis { label: String::new(), low: -0.5, high: rows.max(1.0) - 0.5, division: Division::Plain };
    let mut plot = Plot::new("What matters: one assumption changed", WIDTH, 70.0 + 24.0 * rows.max(1.0), x, y);
    plot.describe = match (answer.chosen, list.first()) {
        (Some(place), Some(first)) => {
            format!("For {}, most comes of {}.", answer.outfits[place].name, first.name)
        }
        _ => reader.sentence(&says::headline(answer)),
    };
    for (k, (effect, moved)) in list.iter().zip(&moved).enumerate() {
        let row = rows - 1.0 - k as f64;
        let span = (moved.min(0.0), moved.max(0.0), 1.0);
        let colour = if *moved > 0.0 { RUST } else { BLUE };
        plot.marks.push(Mark::Bars { spans: vec![span], low: row - 0.32, high: row + 0.32, colour });
        let failed = 100.0 * (effect.failures - effect.failures_before);
        let also = if failed.abs() < 0.5 { String::new() } else { format!(", failed years {failed:+.0} points") };
        plot.marks.push(Mark::Note { at: (low, row), text: format!("{}: {moved:+.3}{also}", effect.name) });
    }
    plot.marks.push(Mark::Line {
        points: vec![(0.0, -0.5), (0.0, rows - 0.5)],
        stroke: Stroke::solid(SOFT, 1.0),
        label: None,
    });
    plot.scene()
}

/// The share of good years over depth and moisture, or depth and day.
pub fn limits(map: &Map, reader: Reader) -> Scene {
    let depths: Vec<f64> = map.depths.iter().map(|&depth| reader.value(Kind::Length, depth)).collect();
    let by_day = map.asked == advice::limit::Asked::Date;
    let value = |row: usize| match by_day {
        // Rows are days in order; their names stand beside them.
        true => row as f64,
        false => reader.value(Kind::MoistureWetBasis, map.rows[row].moisture),
    };
    let mut order: Vec<usize> = (0..map.rows.len()).collect();
    order.sort_by(|&a, &b| value(a).total_cmp(&value(b)));
    order.dedup_by(|a, b| value(*a) == value(*b));
    let rows: Vec<f64> = order.iter().map(|&row| value(row)).collect();
    let (x_edges, y_edges) = (edges(&depths), edges(&rows));
    let ends = |edges: &[f64]| (edges.first().copied().unwrap_or(0.0), edges.last().copied().unwrap_or(1.0));
    let ((x0, x1), (y0, y1)) = (ends(&x_edges), ends(&y_edges));
    let y = match by_day {
        true => Axis { label: "first day of filling".into(), low: y0, high: y1, division: Division::Plain },
        false => Axis::numbers(reader.axis("moisture", Kind::MoistureWetBasis), y0, y1),
    };
    let x = Axis::numbers(reader.axis("depth", Kind::Length), x0, x1);
    let mut plot = Plot::new(format!("Share of good years, bin {}", map.bin), WIDTH, 420.0, x, y);
    plot.describe = format!(
        "Share of years met or held; the line is at the wanted {:.0} %. Between depths and rows nothing was run.",
        100.0 * map.wanted
    );
    let scale = Scale::new(Hues::StrawToWater);
    let chance = |d: usize, row: usize| map.cells[row][d].map_or(f64::NAN, |cell| 100.0 * cell.chance());
    let values = (0..depths.len()).flat_map(|d| order.iter().map(move |&row| (d, row)));
    let values: Vec<f64> = values.map(|(d, row)| chance(d, row)).collect();
    plot.marks.push(Mark::Cells(Cells {
        x_edges,
        y_edges,
        values,
        low: 0.0,
        high: 100.0,
        scale: scale.clone(),
        contour: Some((100.0 * map.wanted, format!("{:.0} %", 100.0 * map.wanted))),
    }));
    for (d, &depth) in depths.iter().enumerate() {
        for (at, &row) in rows.iter().zip(&order) {
            let share = chance(d, row);
            if share.is_finite() {
                plot.marks.push(Mark::Note { at: (depth, *at), text: format!("{share:.0}") });
            }
        }
    }
    if by_day {
        for (at, &row) in rows.iter().zip(&order) {
            let day = map.rows[row].from;
            plot.marks.push(Mark::Note { at: (x0, *at), text: format!("{:02}-{:02}", day.month, day.day) });
        }
    }
    plot.key = Some(ColourKey {
        label: "good years, %".into(),
        low: 0.0,
        high: 100.0,
        scale,
        limit: Some(100.0 * map.wanted),
    });
    plot.scene()
}

/// Edges of cells around places in order: halfway between them.
fn edges(places: &[f64]) -> Vec<f64> {
    let half = |a: f64, b: f64| 0.5 * (b - a);
    match places {
        [] => vec![0.0, 1.0],
        [only] => vec![only - 0.5, only + 0.5],
        [first, second, ..] => {
            let mut edges = vec![first - half(*first, *second)];
            edges.extend(places.windows(2).map(|pair| pair[0] + half(pair[0], pair[1])));
            let last = places.len() - 1;
            edges.push(places[last] + half(places[last - 1], places[last]));
            edges
        }
    }
}

#[cfg(test)]
mod tests {
    use super::edges;

    #[test]
    fn edges_lie_halfway() {
        assert_eq!(edges(&[1.0, 2.0, 4.0]), vec![0.5, 1.5, 3.0, 5.0]);
        assert_eq!(edges(&[3.0]), vec![2.5, 3.5]);
    }
}
