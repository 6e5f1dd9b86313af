//! A picture on the page: its name, what it says in words, itself for desk and telephone, the numbers behind it.

use super::table::Table;
use crate::{
    scene::Scene,
    shown::Form,
    svg::{self, escape},
};

/// Numbers pictures so that ids never meet.
#[derive(Debug, Default)]
pub(super) struct Figures {
    count: usize,
    small: usize,
}

impl Figures {
    /// A figure whose picture is laid out by `draw` for each form.
    pub fn figure(&mut self, name: &str, says: &str, draw: impl Fn(Form) -> Scene, behind: &[Table]) -> String {
        self.count += 1;
        let id = format!("fig{}", self.count);
        let mut out = format!(
            "<figure id=\"{id}\">\n<figcaption><b>Figure {}. <bdi>{}</bdi></b> <span><bdi>{}</bdi></span></figcaption>\n",
            self.count,
            escape(name),
            escape(says)
        );
        for (form, class) in [(Form::Wide, "wide"), (Form::Narrow, "narrow")] {
            let picture = svg::write(&draw(form), &format!("{id}-{class}"));
            out.push_str(&format!("<div class=\"{class}\">{picture}</div>\n"));
        }
        let tables: String = behind.iter().map(Table::html).collect();
        if !tables.is_empty() {
            out.push_str(&format!(
                "<details><summary>Numbers behind figure {}</summary>\n{tables}</details>\n",
                self.count
            ));
        }
        out.push_str("</figure>\n");
        out
    }

    /// A small picture within text; it carries no number a reader sees.
    pub fn small(&mut self, scene: &Scene) -> String {
        self.small += 1;
        svg::write(scene, &format!("small{}", self.small))
    }
}

/// About `most` of `count` places, evenly apart, first and last among them.
pub(super) fn thin(count: usize, most: usize) -> Vec<usize> {
    if count <= most || most < 2 {
        return (0..count.min(most.max(1))).collect();
    }
    (0..most).map(|i| i * (count - 1) / (most - 1)).collect()
}

/// The value of a line at a place, straight between its points; `NaN` outside them.
pub(super) fn between(points: &[(f64, f64)], at: f64) -> f64 {
    let next = points.partition_point(|p| p.0 < at);
    match (next.checked_sub(1).and_then(|i| points.get(i)), points.get(next)) {
        (_, Some(b)) if b.0 == at => b.1,
        (Some(a), Some(b)) if b.0 > a.0 => a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0),
        _ => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thins_and_reads_between() {
        assert_eq!(thin(5, 10), [0, 1, 2, 3, 4]);
        assert_eq!(thin(101, 5), [0, 25, 50, 75, 100]);
        assert_eq!(thin(0, 5), [0usize; 0]);
        assert_eq!(between(&[(0.0, 1.0), (2.0, 3.0)], 1.0), 2.0);
        assert_eq!(between(&[(0.0, 1.0), (2.0, 3.0)], 2.0), 3.0);
        assert!(between(&[(0.0, 1.0)], 1.0).is_nan() && between(&[], 1.0).is_nan());
    }
}
