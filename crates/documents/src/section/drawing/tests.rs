use super::*;
use crate::{section::FanPlace, svg};
use notice::UnitSystem;

fn bin(diameter_m: f64, eave_m: f64) -> BinSection {
    BinSection {
        diameter_m,
        eave_m,
        roof_rise_m: 0.25 * diameter_m,
        floor_m: 0.3,
        floor: "full floor".into(),
        fans: vec![FanPlace { label: "a <fan>".into(), burner_after_fan: Some(true) }],
        vents: String::new(),
        grain: Some(GrainDrawing {
            what: "moisture".into(),
            kind: Kind::MoistureWetBasis,
            range: None,
            peak_m: 0.0,
            columns: vec![ColumnDrawing { name: "all".into(), outer: 1.0, layers: vec![(1.0, 0.15), (1.0, 0.20)] }],
        }),
    }
}

/// The widths of upright lines and bars of a scene, by what they must be in proportion to.
fn bar_and_bin(scene: &Scene) -> (f64, f64) {
    let bar = scene.items.iter().find_map(|item| match item {
        Item::Rect { width, height, .. } if *height == 5.0 => Some(2.0 * width),
        _ => None,
    });
    let walls: Vec<f64> = scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Path { points, stroke: Some(s), .. }
                if *s == THICK && points.len() == 2 && points[0].0 == points[1].0 =>
            {
                Some(points[0].0)
            }
            _ => None,
        })
        .collect();
    let (left, right) = extremes(walls).unwrap_or((0.0, 0.0));
    (bar.unwrap_or(0.0), right - left)
}

#[test]
fn the_bar_agrees_with_the_bin() {
    for (diameter, system) in [(10.9728, UnitSystem::Us), (4.0, UnitSystem::Si), (32.0, UnitSystem::Us)] {
        let mut bin = bin(diameter, 6.0);
        bin.fans.clear();
        let scene = draw(&bin, &TitleBlock::default(), GoalState::Met, Reader(system), Form::Wide);
        let (bar, width) = bar_and_bin(&scene);
        let field = scale_field(diameter, Reader(system));
        assert!((bar / width - 2.0 * field.metres / diameter).abs() < 1e-9, "{bar} {width}");
        assert!((0.12..=0.31).contains(&(field.metres / diameter)));
        assert!(scene.items.iter().any(|item| {
            matches!(item, Item::Text(text) if text.text.starts_with(&ticks::number(2.0 * field.shown, 0)) && text.size == 11.0)
        }));
    }
}

#[test]
fn impossible_measures_are_said_not_drawn() {
    for (diameter, eave) in [(f64::NAN, 6.0), (0.0, 6.0), (10.0, -1.0), (f64::INFINITY, 6.0), (1e300, 1e300)] {
        let text = svg::write(
            &draw(
                &bin(diameter, eave),
                &TitleBlock::default(),
                GoalState::NotJudged,
                Reader(UnitSystem::Si),
                Form::Narrow,
            ),
            "s",
        );
        assert!(text.contains("no section") && !text.contains("NaN"), "{text}");
    }
}

#[test]
fn a_small_bin_is_drawn_the_same_every_time() {
    let scene = draw(&bin(6.0, 5.0), &TitleBlock::default(), GoalState::Met, Reader(UnitSystem::Si), Form::Narrow);
    insta::assert_snapshot!(svg::write(&scene, "s"));
}
