//! The nearest of the allowed words to one that was not understood.

/// Returns the nearest candidate when it is near enough to be what was meant.
pub(crate) fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let limit = (word.chars().count() / 3).max(1);
    candidates
        .into_iter()
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(d, _)| *d <= limit)
        .min()
        .map(|(_, candidate)| candidate)
}

/// Number of letters to insert, remove or replace to turn one word into another.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let next = (diagonal + usize::from(x != *y)).min(row[j] + 1).min(row[j + 1] + 1);
            diagonal = std::mem::replace(&mut row[j + 1], next);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_slip_and_refuses_a_stranger() {
        assert_eq!(nearest("oaks", ["oats", "corn"]), Some("oats"));
        assert_eq!(nearest("shorgum", ["sorghum", "corn"]), Some("sorghum"));
        assert_eq!(nearest("coffee", ["oats", "corn", "canola"]), None);
    }
}
