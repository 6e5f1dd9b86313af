//! What makes an offer of a proposal, or says that it is none.

use super::{Desk, common::written, day};
use crate::paper::Block;

impl Desk<'_> {
    /// Facts of the head.
    pub fn quote_facts(&self) -> Vec<(String, String)> {
        let Some(quote) = &self.of.job.quote else {
            return vec![("Quote".into(), "none: this is no offer".into())];
        };
        let mut facts = vec![("Quote".to_string(), quote.number.clone())];
        let until = quote.valid_until.map_or("not said".into(), |until| written(day(until)));
        facts.push(("Valid until".into(), until));
        facts.extend(quote.from.iter().map(|from| ("Offered by".to_string(), from.clone())));
        facts.extend(quote.to.iter().map(|to| ("Offered to".to_string(), to.clone())));
        facts
    }

    /// The terms in words.
    pub fn quote_terms(&self) -> Vec<Block> {
        let Some(quote) = &self.of.job.quote else {
            return vec![Block::note(
                "This is no quote: the site file has no table [quote] with number, valid_until and substitution. It says what an \
                 outfit would do, and offers nothing.",
            )];
        };
        let mut says = vec![match quote.valid_until {
            Some(until) => format!("Quote {} holds until {}.", quote.number, written(day(until))),
            None => format!("Quote {}.", quote.number),
        }];
        says.extend(quote.substitution.iter().map(|note| format!("Substitution: {}", crate::shown::sentence(note))));
        says.push(
            "What is said below holds for the equipment named here. Other equipment is another outfit: its curve has to be put in \
             and the years run again."
                .into(),
        );
        let missing = quote.missing();
        if !missing.is_empty() {
            says.push(format!("Not said in [quote] of the site file: {}.", missing.join(", ")));
        }
        vec![Block::text(says.join(" "))]
    }
}
