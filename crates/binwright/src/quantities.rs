//! Quantities typed on the command line: the parser is that of site files, the place is the option.

use crate::exit::Failure;
use advice::lookup::Answer;
use job::parse::GrainAirflow;
use notice::{Diagnostic, Diagnostics, Kind, Place, Remarks};

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

    /// `--airflow` per volume of grain, 1/s; one per mass of grain by `--bulk-density` as filled, which a remark names.
    pub fn airflow(&mut self, text: &str, bulk_density: Option<&String>, remarks: &mut Remarks) -> f64 {
        let density = self.optional("bulk-density", bulk_density, Kind::BulkDensity);
        let Ok(flow @ GrainAirflow::PerMass(_)) = job::parse::grain_airflow(text) else {
            // Both the value and the refusal are those of a quantity.
            return self.quantity("airflow", text, Kind::SpecificAirflow);
        };
        let at = |option: &str| Place { file: "command line".into(), field: Some(option.into()), ..Place::default() };
        let Some(density) = density else {
            let found = format!("--airflow of {text:?} per mass of grain without --bulk-density");
            self.wrong.add(
                Diagnostic::error("missing-option", found, at("--bulk-density"))
                    .allowed("a mass of grain takes its volume by the bulk density as filled")
                    .help("add --bulk-density \"720 kg/m3\" (`binwright lookup grain` gives that of a crop at a moisture), or write the airflow per volume, in cfm/bu or m3/h/m3"),
            );
            return f64::NAN;
        };
        if !(100.0..=1200.0).contains(&density) && !density.is_nan() {
            let found = format!("--bulk-density of {density:.0} kg/m³");
            let wrong = Diagnostic::error("impossible", found, at("--bulk-density"));
            self.wrong.add(wrong.allowed("must be from 100 kg/m³ to 1200 kg/m³"));
        }
        remarks.add(job::column::airflow_per_mass(density));
        flow.per_volume(density)
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
