//! Quantities typed on the command line: the parser is that of site files, the place is the option.

use notice::{Diagnostic, Diagnostics, Kind, Place};

/// Reads options and collects all that is wrong with them.
#[derive(Debug, Default)]
pub struct Reader {
    wrong: Diagnostics,
}

impl Reader {
    /// A quantity in SI. What cannot be read is noted, and NaN stands in until [`Reader::done`] refuses the whole.
    pub fn quantity(&mut self, option: &str, text: &str, kind: Kind) -> f64 {
        job::parse::quantity(kind, text).unwrap_or_else(|wrong| {
            let at = Place { file: "command line".into(), field: Some(format!("--{option}")), ..Place::default() };
            self.wrong.add(wrong.at(at));
            f64::NAN
        })
    }

    /// The same for an option that may be left out.
    pub fn optional(&mut self, option: &str, text: Option<&String>, kind: Kind) -> Option<f64> {
        text.map(|text| self.quantity(option, text, kind))
    }

    /// Notes that a value is not possible.
    pub fn refuse(&mut self, diagnostic: Diagnostic) {
        self.wrong.add(diagnostic);
    }

    /// Refuses when anything was wrong.
    pub fn done(self) -> Result<(), Diagnostics> {
        if self.wrong.stop() { Err(self.wrong) } else { Ok(()) }
    }
}
