//! The published equilibrium sets of a crop: one is the default, the others show how far the evidence spreads.

use crate::evidence::Evidence;
use notice::Range;
use physics::isotherm::IsothermForm;

/// What a published set may be used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetUse {
    /// Good evidence; a candidate for the default.
    Primary,
    /// As good as known; shows the spread.
    Alternative,
    /// Doubtful: selectable by name, left out of the spread while the crop has two better sets.
    Caution,
    /// The oil-content equation: selectable for any crop of known oil, in the spread only where nothing better exists.
    Fallback,
}

/// One published set of constants.
#[derive(Debug, Clone, PartialEq)]
pub struct IsothermSet {
    /// Name of the set.
    pub id: String,
    /// The grain as its publication names it.
    pub material: String,
    /// Form and constants.
    pub form: IsothermForm,
    /// Temperatures of the data, °C.
    pub temperature: Range,
    /// Relative humidities of the data, fraction.
    pub humidity: Range,
    /// What it may be used for.
    pub use_as: SetUse,
    /// How the constants were checked, in words.
    pub verification: Option<String>,
    /// What stands behind it.
    pub evidence: Evidence,
}

impl IsothermSet {
    /// The set as a reader names it: its equation and the year it was published, "modified Oswin, 1995". The name of the set
    /// stands beside it where it has to be typed.
    pub fn words(&self) -> String {
        let equation = match self.form {
            IsothermForm::ModifiedHenderson { b: 2.0, .. } => "Henderson-Thompson",
            IsothermForm::ModifiedHenderson { .. } => "modified Henderson",
            IsothermForm::ModifiedChungPfost { .. } => "modified Chung-Pfost",
            IsothermForm::ModifiedHalsey { .. } => "modified Halsey",
            IsothermForm::ModifiedOswin { .. } => "modified Oswin",
            IsothermForm::Cromarty { .. } => "oil-content equation",
        };
        match year(&self.evidence.source.citation) {
            Some(year) => format!("{equation}, {year}"),
            None => equation.into(),
        }
    }
}

/// The first year that a citation names.
fn year(citation: &str) -> Option<&str> {
    let digits = |c: char| c.is_ascii_digit();
    citation
        .split(|c: char| !c.is_ascii_alphanumeric())
        .map(|word| word.trim_start_matches(|c| !digits(c)))
        .find(|word| word.len() == 4 && word.chars().all(digits) && matches!(&word[..2], "18" | "19" | "20"))
}

/// The lowest and highest equilibrium moisture that the published sets of a crop give at one state of the air.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Lowest, fraction dry basis.
    pub low: f64,
    /// Highest, fraction dry basis.
    pub high: f64,
    /// The sets compared; with one set there is no spread to show, and that is not the same as none existing.
    pub ids: Vec<String>,
}

#[cfg(test)]
mod tests {
    use super::year;
    use crate::Library;

    #[test]
    fn a_citation_gives_its_first_year() {
        assert_eq!(year("ASAE D245.5 OCT1995 (R2001), after 1989"), Some("1995"));
        assert_eq!(year("Pfost & Milliken 1976, Paper 76-3520"), Some("1976"));
        assert_eq!(year("as quoted, p. 272"), None);
    }

    #[test]
    fn sets_of_a_crop_are_told_apart_by_their_words() {
        for crop in Library::built_in().crops() {
            let mut words: Vec<String> = crop.spread_sets().iter().map(|set| set.words()).collect();
            let all = words.len();
            words.sort();
            words.dedup();
            assert_eq!(words.len(), all, "{}: {words:?}", crop.id);
        }
    }
}
