//! The line along which a grid of values passes a limit.

/// Returns line pieces, each two points, where values given at the centres `x` × `y` pass `limit`; values are all of
/// the first x, then of the next. Squares with a corner that is no number are left out.
pub(super) fn contour(x: &[f64], y: &[f64], values: &[f64], limit: f64) -> Vec<[(f64, f64); 2]> {
    let mut pieces = Vec::new();
    if y.is_empty() || values.len() != x.len() * y.len() {
        return pieces;
    }
    let at = |i: usize, j: usize| values[i * y.len() + j];
    for i in 0..x.len().saturating_sub(1) {
        for j in 0..y.len() - 1 {
            // Corners round the square, so that neighbours in the list are neighbours on its rim.
            let corners = [
                (x[i], y[j], at(i, j)),
                (x[i + 1], y[j], at(i + 1, j)),
                (x[i + 1], y[j + 1], at(i + 1, j + 1)),
                (x[i], y[j + 1], at(i, j + 1)),
            ];
            if corners.iter().any(|c| !c.2.is_finite()) {
                continue;
            }
            let mut crossings = [(0.0, 0.0); 4];
            let mut found = 0;
            for k in 0..4 {
                let (a, b) = (corners[k], corners[(k + 1) % 4]);
                if (a.2 > limit) != (b.2 > limit) {
                    let share = (limit - a.2) / (b.2 - a.2);
                    crossings[found] = (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
                    found += 1;
                }
            }
            // Two crossings make one piece; four (a saddle) make two, joined as they come.
            for pair in crossings[..found].chunks_exact(2) {
                pieces.push([pair[0], pair[1]]);
            }
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::contour;

    #[test]
    fn a_slope_is_cut_where_it_passes_the_limit() {
        // Value = y, so the limit 0.25 is the level line y = 0.25.
        let pieces = contour(&[0.0, 1.0, 2.0], &[0.0, 1.0], &[0.0, 1.0, 0.0, 1.0, 0.0, 1.0], 0.25);
        assert_eq!(pieces.len(), 2);
        assert!(pieces.iter().flatten().all(|p| (p.1 - 0.25).abs() < 1e-12));
    }

    #[test]
    fn nothing_where_there_is_no_number_or_no_grid() {
        assert!(contour(&[0.0, 1.0], &[0.0, 1.0], &[0.0, 1.0, f64::NAN, 1.0], 0.5).is_empty());
        assert!(contour(&[], &[], &[], 0.5).is_empty());
        assert!(contour(&[0.0], &[0.0, 1.0], &[0.0], 0.5).is_empty());
    }
}
