//! What makes an offer of a proposal: who offers what to whom, until when, and what may take the place of what.

use equipment::DataDate;

/// A quote, as far as it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct QuoteFacts {
    /// Its number.
    pub number: String,
    /// Its date; printed papers carry it in place of today's.
    pub date: Option<DataDate>,
    /// Last day on which it holds.
    pub valid_until: Option<DataDate>,
    /// What may take the place of what is offered, and on which terms.
    pub substitution: Option<String>,
    /// Who offers.
    pub from: Option<String>,
    /// To whom.
    pub to: Option<String>,
}

impl QuoteFacts {
    /// What an offer needs and this one does not say, by the keys of the site file.
    pub fn missing(&self) -> Vec<&'static str> {
        let says = [
            ("date", self.date.is_some()),
            ("valid_until", self.valid_until.is_some()),
            ("substitution", self.substitution.is_some()),
        ];
        says.into_iter().filter(|(_, said)| !said).map(|(key, _)| key).collect()
    }
}
