use super::*;
use crate::{colour::Hues, scene::Item, svg};

fn sample() -> Plot {
    let mut plot = Plot::new(
        "Fan & system",
        400.0,
        240.0,
        Axis::numbers("airflow, cfm", 0.0, 20.0),
        Axis::numbers("in. water", 0.0, 5.0),
    );
    plot.describe = "One fan, one system.".into();
    plot.marks = vec![
        Mark::Line {
            points: vec![(0.0, 4.5), (10.0, 3.5), (18.0, 0.0)],
            stroke: Stroke::solid(crate::colour::INK, 2.0),
            label: Some(Label::start("two <fans>")),
        },
        Mark::Hatched { points: vec![(0.0, 4.5), (3.0, 4.4)], label: None },
        Mark::Points { points: vec![(11.0, 3.2)], shape: Shape::Disc, size: 7.0, names: vec!["full".into()] },
        Mark::Level { at: 2.0, label: "need".into(), dash: Dash::Short },
    ];
    plot
}

#[test]
fn the_same_plot_gives_the_same_text() {
    let text = svg::write(&sample().scene(), "fan");
    assert_eq!(text, svg::write(&sample().scene(), "fan"));
    insta::assert_snapshot!(text);
}

#[test]
fn axes_that_are_none_say_so() {
    for (low, high) in [(f64::NAN, 1.0), (1.0, 1.0), (0.0, f64::INFINITY), (-f64::MAX, f64::MAX)] {
        let mut plot = sample();
        plot.x = Axis::numbers("", low, high);
        let text = svg::write(&plot.scene(), "a");
        assert!(text.contains("nothing to show"), "{text}");
    }
}

fn map(columns: usize, rows: usize) -> Cells {
    Cells {
        x_edges: (0..=columns).map(|i| i as f64).collect(),
        y_edges: (0..=rows).map(|j| j as f64).collect(),
        values: (0..columns * rows).map(|k| (k % rows) as f64).collect(),
        low: 0.0,
        high: rows as f64,
        scale: crate::colour::Scale::new(Hues::StrawToWater),
        contour: Some((0.5 * rows as f64, "half".into())),
    }
}

#[test]
fn large_maps_become_one_small_image() {
    let mut plot = Plot::new("map", 720.0, 260.0, Axis::dates(2009, 0.0, 2160.0), Axis::numbers("depth", 0.0, 20.0));
    plot.marks.push(Mark::Cells(map(2160, 20)));
    let scene = plot.scene();
    let images = scene
        .items
        .iter()
        .filter(
            |item| matches!(item, Item::Clipped { items, .. } if items.iter().any(|i| matches!(i, Item::Image { .. }))),
        )
        .count();
    assert_eq!(images, 1);
    let text = svg::write(&scene, "m");
    assert!(text.len() < 200_000, "{} bytes", text.len());
    assert!(!text.contains("NaN"));
}

#[test]
fn maps_whose_parts_do_not_fit_are_left_clear() {
    let mut cells = map(4, 3);
    cells.values.pop();
    let mut plot = Plot::new("map", 300.0, 200.0, Axis::numbers("", 0.0, 4.0), Axis::numbers("", 0.0, 3.0));
    plot.marks = vec![Mark::Cells(cells), Mark::Cells(Cells { x_edges: vec![], ..map(1, 1) })];
    assert!(!svg::write(&plot.scene(), "m").contains("<image"));
}

#[test]
fn averages_across_and_takes_the_nearest_up() {
    let mut cells = map(4, 2);
    cells.values = vec![1.0, 10.0, 3.0, f64::NAN, 5.0, 30.0, 7.0, 40.0];
    let grid = cells::even_grid(&cells, 2).expect("edges fit");
    assert_eq!((grid.columns, grid.rows), (2, 2));
    assert_eq!(grid.values, [2.0, 10.0, 6.0, 35.0]);
}
