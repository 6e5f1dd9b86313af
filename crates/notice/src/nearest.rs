//! The nearest of the allowed words to one that was not understood.

/// Returns the nearest candidate when it is near enough to be what was meant; case counts for nothing.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let limit = (word.chars().count() / 3).max(1);
    candidates
        .into_iter()
        .map(|candidate| (distance(&word.to_lowercase(), &candidate.to_lowercase()), candidate))
        .filter(|(d, _)| *d <= limit)
        .min()
        .map(|(_, candidate)| candidate)
}

/// Number of letters to insert, remove, replace or exchange with the next to turn one word into another.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut table = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            table[i][j] = if i == 0 || j == 0 {
                i + j
            } else {
                let replaced = table[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
                let best = replaced.min(table[i - 1][j] + 1).min(table[i][j - 1] + 1);
                let exchanged = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                if exchanged { best.min(table[i - 2][j - 2] + 1) } else { best }
            };
        }
    }
    table[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_slip_and_refuses_a_stranger() {
        assert_eq!(nearest("oaks", ["oats", "corn"]), Some("oats"));
        assert_eq!(nearest("shorgum", ["sorghum", "corn"]), Some("sorghum"));
        assert_eq!(nearest("nmae", ["id", "name"]), Some("name"));
        assert_eq!(nearest("kwhh", ["Wh", "kWh"]), Some("kWh"));
        assert_eq!(nearest("coffee", ["oats", "corn", "canola"]), None);
    }
}
