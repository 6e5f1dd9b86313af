//! `[quote]`: what makes an offer of a proposal.

use super::goal::or;
use crate::facts::QuoteFacts;
use crate::parse::{QuantityError, shown};
use crate::provenance;
use equipment::DataDate;
use notice::Diagnostic;
use sheet::Node;

/// Longest text of a quote, characters.
const LONGEST: usize = 600;

/// Reads the table. Only the number is needed; what is left out is said to be missing on the proposal.
pub(super) fn read(node: Node<'_, '_>) -> Option<QuoteFacts> {
    let number = node.needed("number", "2026-014", line);
    let date = or(&node, "date", None, |n, k| n.parsed(k, day).map(Some));
    let valid_until = or(&node, "valid_until", None, |n, k| n.parsed(k, day).map(Some));
    let text = |key| or(&node, key, None, |n, k| n.parsed(k, line).map(Some));
    let (substitution, from, to) = (text("substitution"), text("from"), text("to"));
    if let (Some(Some(date)), Some(Some(until))) = (&date, &valid_until)
        && date.is_after(*until)
    {
        let found = format!("valid_until of {until}, before the date of {date}");
        node.add(
            Diagnostic::error("quote-over", found, node.place("valid_until"))
                .allowed("must be the date of the quote or a later day"),
        );
    }
    node.close();
    Some(QuoteFacts {
        number: number?,
        date: date?,
        valid_until: valid_until?,
        substitution: substitution?,
        from: from?,
        to: to?,
    })
}

/// A whole day.
fn day(text: &str) -> Result<DataDate, QuantityError> {
    let date = provenance::date(text)?;
    match date.day {
        Some(_) => Ok(date),
        None => Err(QuantityError::new("not-a-date", format!("date {:?}", shown(text)))
            .allowed("must be a day, as \"2026-11-26\"")),
    }
}

/// One line of text that says something.
fn line(text: &str) -> Result<String, QuantityError> {
    let trimmed = text.trim();
    let length = trimmed.chars().count();
    if length == 0 || length > LONGEST || trimmed.chars().any(notice::unseen) {
        return Err(QuantityError::new("not-a-line", format!("text {:?}", shown(text)))
            .allowed(format!("must be one line of 1 to {LONGEST} characters"))
            .help("leave the key out where nothing is to be said"));
    }
    Ok(trimmed.to_string())
}
