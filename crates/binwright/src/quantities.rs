//! Quantities typed on the command line: the parser is that of site files, the place is the option.

use crate::exit::Failure;
use advice::lookup::Answer;
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

    /// Answers a question made of what was read, unless something was wrong with the reading or is with the question: all
    /// of it is said at once, each at its option.
    pub fn answer<A, T: From<A>>(
        mut self,
        faults: Diagnostics,
        answer: impl FnOnce() -> Result<Answer<A>, Diagnostics>,
    ) -> Result<Answer<T>, Failure> {
        faults.0.into_iter().for_each(|fault| self.wrong.add(at_option(fault)));
        self.done()?;
        let Answer { result, remarks } =
            answer().map_err(|wrong| Diagnostics(wrong.0.into_iter().map(at_option).collect()))?;
        Ok(Answer { result: result.into(), remarks })
    }

    /// Refuses when anything was wrong.
    pub fn done(self) -> Result<(), Diagnostics> {
        if self.wrong.stop() { Err(self.wrong) } else { Ok(()) }
    }
}

/// A fault of a part of a question, at the option that the part came from.
fn at_option(mut fault: Diagnostic) -> Diagnostic {
    let field = fault.at.field.map(|part| format!("--{part}"));
    fault.at = Place { file: "command line".into(), field, ..Place::default() };
    fault
}
