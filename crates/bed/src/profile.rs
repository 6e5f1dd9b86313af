//! What a profile of layers says: wettest and driest tenth, values at a depth, where the drying front stands. All have a
//! limit as the grid is refined.

use crate::block::LayerState;

/// Least depth over which the wettest or driest grain is averaged, m.
pub const LEAST_DEPTH: f64 = 0.3;
/// Share of the dry matter over which it is averaged.
pub const TENTH: f64 = 0.1;
/// Room taken at once for the layers of a column, more than a verdict uses; called every few hours of every season.
const USUAL_LAYERS: usize = 64;

/// Mean moisture (d.b.) of the wettest and of the driest tenth of the dry matter, at least 0.3 m of depth.
///
/// `layers` gives moisture and dry matter of each; `dry_density` turns the least depth into dry matter (kg/m³). Returns
/// `None` for an empty column.
pub fn extremes(layers: impl IntoIterator<Item = (f64, f64)>, dry_density: f64) -> Option<(f64, f64)> {
    let mut order = Vec::with_capacity(USUAL_LAYERS);
    order.extend(layers);
    let whole: f64 = order.iter().map(|(_, mass)| mass).sum();
    if whole <= 0.0 {
        return None;
    }
    let want = (TENTH * whole).max(LEAST_DEPTH * dry_density).min(whole);
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mean = |picked: &mut dyn Iterator<Item = &(f64, f64)>| {
        let (mut left, mut sum) = (want, 0.0);
        for (m, mass) in picked {
            let part = left.min(*mass);
            sum += part * m;
            left -= part;
            if left <= 0.0 {
                break;
            }
        }
        sum / (want - left.max(0.0))
    };
    Some((mean(&mut order.iter().rev()), mean(&mut order.iter())))
}

/// Mean storage life used (published, strict) of the worst tenth of the dry matter, at least 0.3 m of depth.
///
/// The single worst layer would have no limit as the grid is refined: a thin layer shows a wet load that a thick one
/// averages away. `None` for an empty column.
pub fn life_of_worst(layers: impl Iterator<Item = LayerState> + Clone, dry_density: f64) -> Option<(f64, f64)> {
    let of = |pick: fn(&LayerState) -> f64| {
        let lives = layers.clone().map(|l| (pick(&l), l.dry_matter));
        extremes(lives, dry_density).map(|(worst, _)| worst)
    };
    Some((of(|l| l.life_published)?, of(|l| l.life_strict)?))
}

/// A value at a depth from the inlet, linear between layer centres and held beyond the first and last.
///
/// `centres` and `values` run from the inlet; both must be of one length.
pub fn at_depth(centres: &[f64], values: &[f64], depth: f64) -> f64 {
    let n = centres.len();
    if n == 0 {
        return f64::NAN;
    }
    let i = centres.partition_point(|&c| c <= depth);
    if i == 0 {
        return values[0];
    }
    if i == n {
        return values[n - 1];
    }
    let share = (depth - centres[i - 1]) / (centres[i] - centres[i - 1]);
    values[i - 1] + share * (values[i] - values[i - 1])
}

/// Depth of the drying front: where moisture stands mid-way between that at the inlet and the plateau ahead.
///
/// The plateau is the moisture of the outlet layer. `None` when the two differ by less than half a point (no front).
pub fn front_depth(centres: &[f64], moisture: &[f64]) -> Option<f64> {
    let (first, last) = (*moisture.first()?, *moisture.last()?);
    if (last - first).abs() < 0.005 {
        return None;
    }
    let middle = 0.5 * (first + last);
    let i = moisture.windows(2).position(|w| (w[0] - middle) * (w[1] - middle) <= 0.0 && w[0] != w[1])?;
    let share = (middle - moisture[i]) / (moisture[i + 1] - moisture[i]);
    Some(centres[i] + share * (centres[i + 1] - centres[i]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wettest_tenth_does_not_depend_on_how_the_layers_are_cut() {
        let coarse: Vec<_> = (0..10).map(|i| (0.10 + 0.01 * f64::from(i), 300.0)).collect();
        let fine: Vec<_> = (0..30).map(|i| (0.10 + 0.01 * f64::from(i / 3), 100.0)).collect();
        assert_eq!(extremes(coarse.clone(), 600.0).unwrap().0, extremes(fine.clone(), 600.0).unwrap().0);
        assert!((extremes(coarse.clone(), 600.0).unwrap().0 - 0.19).abs() < 1e-12);
        assert!((extremes(coarse.clone(), 600.0).unwrap().1 - 0.10).abs() < 1e-12);
        // A shallow bed averages over 0.3 m instead: 180 kg/m² here, the two wettest layers and 80 % of the third.
        let shallow: Vec<_> = (0..10).map(|i| (0.10 + 0.01 * f64::from(i), 75.0)).collect();
        let (wet, _) = extremes(shallow.clone(), 600.0).unwrap();
        assert!((wet - (0.19 * 75.0 + 0.18 * 75.0 + 0.17 * 30.0) / 180.0).abs() < 1e-12);
        assert!(extremes([], 600.0).is_none());
    }

    #[test]
    fn front_stands_where_the_moisture_is_mid_way() {
        let centres = [0.5, 1.5, 2.5, 3.5];
        assert!((front_depth(&centres, &[0.14, 0.14, 0.24, 0.24]).unwrap() - 2.0).abs() < 1e-12);
        assert!(front_depth(&centres, &[0.14; 4]).is_none());
        assert!((at_depth(&centres, &[1.0, 2.0, 3.0, 4.0], 2.0) - 2.5).abs() < 1e-12);
        assert!((at_depth(&centres, &[1.0, 2.0, 3.0, 4.0], 0.1) - 1.0).abs() < 1e-12);
    }
}
