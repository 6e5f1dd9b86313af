//! Where one day of the wall clock ends and the next begins.

/// Longest day of any clock, h: one hour is told twice in autumn.
const LONGEST_DAY: usize = 25;

/// True where the hour at `i` is the first of a day.
///
/// The clock then tells a smaller hour than before. Midnight itself is no mark of it: some zones leap over it in spring
/// (23 is followed by 1), and an hour told twice in autumn is followed by its equal.
pub(super) fn day_begins(wall_hour: &[u8], i: usize) -> bool {
    match (i.checked_sub(1).and_then(|before| wall_hour.get(before)), wall_hour.get(i)) {
        (Some(before), Some(now)) => now < before,
        _ => false,
    }
}

/// Hours from the beginning of hour `i` to the end of its day, or to the end of the record: 23 or 25 for a whole day on which
/// the clock is changed.
pub(super) fn hours_left_of_day(wall_hour: &[u8], i: usize) -> usize {
    (1..=LONGEST_DAY).find(|k| i + k >= wall_hour.len() || day_begins(wall_hour, i + k)).unwrap_or(LONGEST_DAY)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three days of a clock, the second with the hours given.
    fn days(second: impl IntoIterator<Item = u8>) -> Vec<u8> {
        (0..24).chain(second).chain(0..24).collect()
    }

    #[test]
    fn a_day_ends_at_midnight_whatever_the_clock_does() {
        let cases: [(&str, Vec<u8>, usize); 4] = [
            ("an ordinary day", days(0..24), 24),
            ("02:00 left out, as in spring in North America and Europe", days((0..2).chain(3..24)), 23),
            ("01:00 told twice, as in autumn in North America", days((0..2).chain(1..24)), 25),
            ("00:00 left out, as in Brazil until 2018", days(1..24), 23),
        ];
        for (what, hours, length) in cases {
            assert_eq!(hours_left_of_day(&hours, 0), 24, "{what}");
            assert_eq!(hours_left_of_day(&hours, 24), length, "{what}");
            assert_eq!(hours_left_of_day(&hours, 30), length - 6, "{what}");
            let begins: Vec<usize> = (0..hours.len()).filter(|&i| day_begins(&hours, i)).collect();
            assert_eq!(begins, [24, 24 + length], "{what}");
        }
    }

    #[test]
    fn an_hour_before_midnight_told_twice_ends_its_day_once() {
        // Brazil until 2018: back from midnight to 23:00.
        let hours = days((0..24).chain(23..24));
        assert_eq!(hours_left_of_day(&hours, 24), 25);
        assert_eq!((0..hours.len()).filter(|&i| day_begins(&hours, i)).count(), 2);
    }

    #[test]
    fn a_record_that_ends_ends_its_day() {
        assert_eq!(hours_left_of_day(&days(0..24), 70), 2);
    }
}
