//! Handbook answers: one question in SI, one answer, its source, and whether it lies inside its evidence.
//!
//! A question says what is impossible about it (`faults`) and is answered by `answer`, which asks that first. Diagnostics
//! name the part of the question concerned, hyphenated as in `relative-humidity`, and no file: whoever took the question
//! from a person (command line, request) puts its own place to it.

pub mod air;
pub mod combustion;
pub mod drying;
pub mod equilibrium;
pub mod fuel;
mod gas;
pub mod grain;
pub mod motor;
pub mod orifice;
pub mod pipe;
pub mod resistance;
pub mod sound;
pub mod storage;
pub mod tank;

use ::crops::{Crop, Library, MissingCapability};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Place, Quantity, Range, Remark, Remarks, Source, UnitSystem};
use physics::DomainError;

/// An answer, and what has to be said with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer<T> {
    /// The answer.
    pub result: T,
    /// What lies outside its evidence, and what was assumed.
    pub remarks: Remarks,
}

/// The lowest and highest answer among several published relations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// The place of one part of a question.
pub(crate) fn part(name: &str) -> Place {
    Place { field: Some(name.into()), ..Place::default() }
}

/// The crop of a name, with a remark when an alias led there.
pub(crate) fn crop(name: &str, remarks: &mut Remarks) -> Result<Crop, Diagnostics> {
    let library = Library::built_in();
    let (crop, alias) = library.find(name).map_err(|mut diagnostic| {
        diagnostic.at = part("crop");
        one(*diagnostic)
    })?;
    alias.into_iter().for_each(|remark| remarks.add(remark));
    Ok(crop.clone())
}

/// A relation the crop does not have.
pub(crate) fn missing(what: &MissingCapability) -> Diagnostics {
    one(what.diagnostic(part("crop")))
}

/// Numbers that no physics can serve.
fn impossible(error: &DomainError) -> Diagnostics {
    one(Diagnostic::error("impossible", error.to_string(), Place::default()))
}

/// A list of one.
fn one(diagnostic: Diagnostic) -> Diagnostics {
    Diagnostics(vec![diagnostic])
}

/// Temperatures that air and grain can have, °C.
const TEMPERATURES: Range = Range::new(-60.0, 200.0);
/// Relative humidities, fraction.
const HUMIDITIES: Range = Range::new(0.0, 1.0);

/// What is impossible about a question. NaN stands for a value that could not be read, which was said where it was read.
#[derive(Default)]
pub(crate) struct Faults(pub(crate) Diagnostics);

impl Faults {
    /// Refuses a value outside what is possible.
    pub(crate) fn outside(&mut self, name: &str, value: f64, kind: Kind, range: Range) {
        if value < range.low || value > range.high {
            // Both systems would be noise; the bounds are round in SI.
            let show = |v: f64| Quantity::new(v, kind).show(UnitSystem::Si);
            let found = format!("{} of {}", name.replace('-', " "), show(value));
            self.0.add(Diagnostic::error("impossible", found, part(name)).allowed(format!(
                "must be from {} to {}",
                show(range.low),
                show(range.high)
            )));
        }
    }

    /// Refuses a moisture (fraction wet basis) that no grain has.
    fn moisture(&mut self, name: &str, value: f64) {
        if value <= 0.0 || value >= 1.0 {
            let percent = (1e6 * value).round() / 1e4;
            let mut wrong = Diagnostic::error("impossible", format!("moisture of {percent} % wet basis"), part(name))
                .allowed("must be above 0 % and below 100 %");
            if value >= 1.0 {
                wrong = wrong.help(format!("if the value is dry basis, write \"{percent} % db\""));
            }
            self.0.add(wrong);
        }
    }

    /// Refuses a temperature that neither air nor grain has.
    fn temperature(&mut self, name: &str, value: f64) {
        self.outside(name, value, Kind::Temperature, TEMPERATURES);
    }

    /// Refuses a relative humidity outside 0 to 1.
    fn humidity(&mut self, name: &str, value: f64) {
        self.outside(name, value, Kind::RelativeHumidity, HUMIDITIES);
    }
}

/// Stops when a question is impossible.
pub(crate) fn refuse(faults: Diagnostics) -> Result<(), Diagnostics> {
    if faults.stop() { Err(faults) } else { Ok(()) }
}

/// Evidence that a value is held against: what the relation is called, its range and source.
#[derive(Clone, Copy)]
pub(crate) struct Evidence<'a> {
    pub(crate) relation: &'a str,
    pub(crate) range: Range,
    pub(crate) source: &'a Source,
}

impl Evidence<'_> {
    /// Whether a value lies inside; adds a remark when not.
    pub(crate) fn holds(&self, remarks: &mut Remarks, what: &str, value: f64, kind: Kind) -> bool {
        let Range { low, high } = self.range;
        // A value typed in other units lands a rounding error beside the bound it names.
        let slack = 1e-9 * low.abs().max(high.abs()).max(1.0);
        let inside = value >= low - slack && value <= high + slack;
        if !inside {
            let says = Phrase::new("{what} of {value} lies outside the {low} to {high} that {relation} rests on")
                .text("what", what)
                .with("value", Quantity::new(value, kind))
                .with("low", Quantity::new(low, kind))
                .with("high", Quantity::new(high, kind))
                .text("relation", self.relation);
            remarks.add(Remark::new("outside-evidence", says).from_source(self.source.clone()));
        }
        inside
    }
}
