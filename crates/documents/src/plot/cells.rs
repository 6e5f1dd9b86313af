//! Cells resampled to what a page resolves, and drawn as one image.

use super::{Cells, contour::contour};
use crate::{colour::Rgb, raster};

/// Cells on an even grid: x from the left, y from the bottom.
pub(super) struct Grid {
    /// Ends across.
    pub x: (f64, f64),
    /// Ends up.
    pub y: (f64, f64),
    /// Columns.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Values, all of the first column from the bottom, then of the next.
    pub values: Vec<f64>,
}

/// Most columns and rows of an image: finer than a page of 180 mm prints at 200 dots an inch.
const MOST: usize = 1200;

/// Resamples cells to an even grid: across by the mean of what lies in each new cell where there are fewer than before, else and
/// up by the cell at its middle; none when
/// edges and values do not fit together.
pub(super) fn even_grid(cells: &Cells, wanted_columns: usize) -> Option<Grid> {
    let (across, up) = (cells.x_edges.len().checked_sub(1)?, cells.y_edges.len().checked_sub(1)?);
    let ascending = |edges: &[f64]| edges.iter().all(|e| e.is_finite()) && edges.windows(2).all(|p| p[0] < p[1]);
    if across == 0
        || up == 0
        || across.checked_mul(up)? != cells.values.len()
        || !ascending(&cells.x_edges)
        || !ascending(&cells.y_edges)
    {
        return None;
    }
    let x = (cells.x_edges[0], cells.x_edges[across]);
    let y = (cells.y_edges[0], cells.y_edges[up]);
    let columns = fine_enough(&cells.x_edges).min(wanted_columns.clamp(1, MOST));
    let rows = fine_enough(&cells.y_edges).min(MOST);
    let row_of: Vec<usize> = (0..rows).map(|j| cell_at(&cells.y_edges, y, (j as f64 + 0.5) / rows as f64)).collect();
    let mut values = Vec::with_capacity(columns * rows);
    for i in 0..columns {
        let at = |share: f64| cell_at(&cells.x_edges, x, share / columns as f64);
        let (first, last) = match columns < across {
            true => (at(i as f64 + 1e-6), at(i as f64 + 1.0 - 1e-6)),
            false => (at(i as f64 + 0.5), at(i as f64 + 0.5)),
        };
        let last = last.max(first);
        for &j in &row_of {
            values.push(mean((first..=last).map(|c| cells.values[c * up + j])));
        }
    }
    Some(Grid { x, y, columns, rows, values })
}

/// Even cells for the narrowest of uneven ones: edges of the image then lie within a fortieth of it from the true ones.
const FINER: f64 = 20.0;

/// As many even cells as show uneven ones where they are; even edges keep their own number.
fn fine_enough(edges: &[f64]) -> usize {
    let span = edges[edges.len() - 1] - edges[0];
    let widths = || edges.windows(2).map(|p| p[1] - p[0]);
    let (narrowest, widest) = (widths().fold(f64::INFINITY, f64::min), widths().fold(0.0, f64::max));
    if widest <= (1.0 + 1e-6) * narrowest {
        return (edges.len() - 1).min(MOST);
    }
    ((FINER * span / narrowest).round() as usize).clamp(1, MOST)
}

/// Middles of cells.
fn middles(edges: &[f64]) -> Vec<f64> {
    edges.windows(2).map(|p| 0.5 * (p[0] + p[1])).collect()
}

fn cell_at(edges: &[f64], ends: (f64, f64), share: f64) -> usize {
    let place = ends.0 + (ends.1 - ends.0) * share;
    edges.partition_point(|e| *e <= place).saturating_sub(1).min(edges.len() - 2)
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.filter(|v| v.is_finite()).fold((0.0, 0.0), |(s, n), v| (s + v, n + 1.0));
    if count > 0.0 { sum / count } else { f64::NAN }
}

impl Grid {
    /// The grid as an image.
    pub fn image(&self, cells: &Cells) -> Option<String> {
        let span = cells.high - cells.low;
        let colours: Vec<Option<Rgb>> = (0..self.rows)
            .rev()
            .flat_map(|j| (0..self.columns).map(move |i| (i, j)))
            .map(|(i, j)| {
                let value = self.values[i * self.rows + j];
                cells.scale.at(if span > 0.0 { (value - cells.low) / span } else { value * 0.0 + 0.5 })
            })
            .collect();
        raster::data_address(self.columns, self.rows, &colours)
    }

    /// Where the cells pass a limit: between their own middles, as long as the image does not show fewer of them.
    pub fn contour(&self, cells: &Cells, limit: f64) -> Vec<[(f64, f64); 2]> {
        if cells.x_edges.len() <= self.columns + 1 && cells.y_edges.len() <= self.rows + 1 {
            return contour(&middles(&cells.x_edges), &middles(&cells.y_edges), &cells.values, limit);
        }
        let centres = |(low, high): (f64, f64), n: usize| -> Vec<f64> {
            (0..n).map(|i| low + (high - low) * (i as f64 + 0.5) / n as f64).collect()
        };
        contour(&centres(self.x, self.columns), &centres(self.y, self.rows), &self.values, limit)
    }
}
