//! A weighing on paper: its pictures (the front, what matters, the map of limits) and its workbook.

mod book;
mod plots;

pub use book::workbook;
pub use plots::{WIDTH, effects, front, limits};

use advice::weigh::Answer;

/// The unit of an answer's costs.
pub fn measure(answer: &Answer) -> String {
    match (&answer.currency, answer.measure) {
        (None, _) => "kWh/t".to_string(),
        (Some(code), "bushel") => format!("{code}/bu"),
        (Some(code), _) => format!("{code}/t"),
    }
}
