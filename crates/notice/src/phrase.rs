//! A sentence with quantities in it, rendered late so that the reader's units and the surface (terminal, page, paper)
//! decide how the numbers look.

use crate::quantity::{Quantity, UnitSystem};
use serde::{Deserialize, Serialize};

/// One filling of a blank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(untagged)]
pub enum Filling {
    /// A number with a kind.
    Quantity(Quantity),
    /// A text that depends on the reader's units, such as an energy per bushel or per tonne.
    Either {
        /// For readers of US units.
        us: String,
        /// For readers of SI units.
        si: String,
    },
    /// A whole number.
    Count(i64),
    /// A name or a date, shown as it is.
    Text(String),
}

/// A template with blanks like `{depth}` and what goes into them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Phrase {
    /// The sentence, lower case, no full stop.
    pub template: String,
    /// Fillings by name.
    pub fillings: Vec<(String, Filling)>,
}

impl Phrase {
    /// A phrase without fillings yet.
    pub fn new(template: impl Into<String>) -> Self {
        Self { template: template.into(), fillings: Vec::new() }
    }

    /// Fills a blank with a quantity.
    pub fn with(mut self, name: &str, quantity: Quantity) -> Self {
        self.fillings.push((name.into(), Filling::Quantity(quantity)));
        self
    }

    /// Fills a blank with a whole number.
    pub fn count(mut self, name: &str, count: usize) -> Self {
        self.fillings.push((name.into(), Filling::Count(count as i64)));
        self
    }

    /// Fills a blank with text.
    pub fn text(mut self, name: &str, text: impl Into<String>) -> Self {
        self.fillings.push((name.into(), Filling::Text(text.into())));
        self
    }

    /// Fills a blank with one text for readers of US units and another for those of SI.
    pub fn either(mut self, name: &str, us: impl Into<String>, si: impl Into<String>) -> Self {
        self.fillings.push((name.into(), Filling::Either { us: us.into(), si: si.into() }));
        self
    }

    /// The sentence in a unit system. A blank without a filling stays as it is, so that it is seen and mended.
    pub fn render(&self, system: UnitSystem) -> String {
        let mut out = self.template.clone();
        for (name, filling) in &self.fillings {
            let shown = match filling {
                Filling::Quantity(q) => q.show_in_words(system),
                Filling::Either { us, si } => if system == UnitSystem::Us { us } else { si }.clone(),
                Filling::Count(n) => n.to_string(),
                Filling::Text(t) => t.clone(),
            };
            out = out.replace(&format!("{{{name}}}"), &shown);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Kind;

    #[test]
    fn renders_with_the_readers_units() {
        let phrase =
            Phrase::new("{n} layers of {depth}").count("n", 20).with("depth", Quantity::new(3.048, Kind::Length));
        assert_eq!(phrase.render(UnitSystem::Us), "20 layers of 10.0\u{a0}ft");
        assert_eq!(phrase.render(UnitSystem::Si), "20 layers of 3.05\u{a0}m");
        let phrase = Phrase::new("electricity per {grain}").either("grain", "bushel", "tonne");
        assert_eq!(phrase.render(UnitSystem::Us), "electricity per bushel");
        assert_eq!(phrase.render(UnitSystem::Si), "electricity per tonne");
    }
}
