//! What several answers need: the crop, possible values, remarks on ranges.

use crate::{exit::Failure, quantities::Reader};
use crops::{Crop, Library, MissingCapability};
use notice::{Diagnostic, Kind, Phrase, Place, Quantity, Range, Remark, Remarks, Source, Status, UnitSystem};
use physics::DomainError;

/// The place of an option.
pub fn option(name: &str) -> Place {
    Place { file: "command line".into(), field: Some(format!("--{name}")), ..Place::default() }
}

/// The crop of `--crop`, with a remark when an alias led there.
pub fn crop(name: &str, remarks: &mut Remarks) -> Result<Crop, Failure> {
    let library = Library::built_in();
    let (crop, alias) = library.find(name).map_err(|mut diagnostic| {
        diagnostic.at = option("crop");
        Failure::from(*diagnostic)
    })?;
    alias.into_iter().for_each(|remark| remarks.add(remark));
    Ok(crop.clone())
}

/// A relation the crop does not have.
pub fn missing(what: &MissingCapability) -> Failure {
    what.diagnostic(option("crop")).into()
}

/// Numbers that no physics can serve.
pub fn impossible(error: &DomainError) -> Failure {
    Diagnostic::error("impossible", error.to_string(), Place::file("command line")).into()
}

/// A temperature that air and grain can have.
pub fn temperature(reader: &mut Reader, name: &str, text: &str) -> f64 {
    let value = reader.quantity(name, text, Kind::Temperature);
    possible(reader, name, value, Kind::Temperature, Range::new(-60.0, 200.0));
    value
}

/// A relative humidity as a fraction.
pub fn humidity(reader: &mut Reader, name: &str, text: &str) -> f64 {
    let value = reader.quantity(name, text, Kind::RelativeHumidity);
    possible(reader, name, value, Kind::RelativeHumidity, Range::new(0.0, 1.0));
    value
}

/// A moisture as a fraction wet basis.
pub fn moisture(reader: &mut Reader, name: &str, text: &str) -> f64 {
    let value = reader.quantity(name, text, Kind::MoistureWetBasis);
    if value <= 0.0 || value >= 1.0 {
        let mut wrong =
            Diagnostic::error("impossible", format!("moisture of {:.4} % wet basis", 100.0 * value), option(name))
                .allowed("must be above 0 % and below 100 %");
        if value >= 1.0 {
            wrong = wrong.help(format!("if the value is dry basis, write \"{} db\"", text.trim()));
        }
        reader.refuse(wrong);
    }
    value
}

/// Refuses a value outside what is possible; NaN was refused where it arose.
pub fn possible(reader: &mut Reader, name: &str, value: f64, kind: Kind, range: Range) {
    if value < range.low || value > range.high {
        // Both systems would be noise; the bounds are round in SI.
        let show = |v: f64| Quantity::new(v, kind).show(UnitSystem::Si);
        let wrong = Diagnostic::error("impossible", format!("--{name} of {}", show(value)), option(name))
            .allowed(format!("must be from {} to {}", show(range.low), show(range.high)));
        reader.refuse(wrong);
    }
}

/// Whether a value lies inside its evidence; adds a remark when not.
pub fn inside(
    remarks: &mut Remarks,
    what: &str,
    value: f64,
    kind: Kind,
    range: Range,
    relation: &str,
    source: &Source,
) -> bool {
    // A value typed in other units lands a rounding error beside the bound it names.
    let slack = 1e-9 * range.low.abs().max(range.high.abs()).max(1.0);
    let inside = value >= range.low - slack && value <= range.high + slack;
    if !inside {
        let says = Phrase::new("{what} of {value} lies outside the {low} to {high} that {relation} rests on")
            .text("what", what)
            .with("value", Quantity::new(value, kind))
            .with("low", Quantity::new(range.low, kind))
            .with("high", Quantity::new(range.high, kind))
            .text("relation", relation);
        remarks.add(Remark::new("outside-evidence", says).from_source(source.clone()));
    }
    inside
}

/// How well a figure is confirmed, in words for a reader.
pub fn status(status: Status) -> &'static str {
    match status {
        Status::Verified => "reproduces a published number",
        Status::Seen => "read in the source",
        Status::Memory => "recalled from the source, not read again",
        Status::Judgement => "our judgement",
        Status::CommonPractice => "common practice, no source",
        Status::Computed => "worked out from stated inputs",
    }
}

/// The range line of a text answer.
pub fn range_word(in_range: Option<bool>) -> &'static str {
    match in_range {
        Some(true) => "inside its evidence",
        Some(false) => "OUTSIDE its evidence",
        None => "no range stated by the source",
    }
}
