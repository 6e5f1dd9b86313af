//! Names beside a plot, moved apart so that none covers another.

/// Moves heights apart by at least `gap`, keeping their order and staying between `top` and `bottom` where there is
/// room; returns them in the order given. When there is too little room they are spread evenly and may touch.
pub(super) fn spread(wanted: &[f64], gap: f64, top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let gap = gap.min((bottom - top) / wanted.len().saturating_sub(1).max(1) as f64).max(0.0);
    let mut placed = vec![0.0; wanted.len()];
    let mut floor = top;
    for &i in &order {
        placed[i] = wanted[i].clamp(top, bottom).max(floor);
        floor = placed[i] + gap;
    }
    // What was pushed past the bottom goes back up, taking its neighbours along.
    let mut ceiling = bottom;
    for &i in order.iter().rev() {
        placed[i] = placed[i].min(ceiling);
        ceiling = placed[i] - gap;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn moves_apart_and_keeps_order() {
        let placed = spread(&[50.0, 49.0, 200.0, 51.0], 10.0, 0.0, 200.0);
        assert_eq!(placed, [59.0, 49.0, 200.0, 69.0]);
        assert_eq!(spread(&[100.0, 100.0], 10.0, 0.0, 100.0), [90.0, 100.0]);
        let crowded = spread(&[1.0; 50], 10.0, 0.0, 98.0);
        assert!(crowded.windows(2).all(|p| p[1] >= p[0]) && crowded[49] <= 98.0 && crowded[0] >= 0.0);
        assert!(spread(&[], 1.0, 0.0, 1.0).is_empty());
    }
}
