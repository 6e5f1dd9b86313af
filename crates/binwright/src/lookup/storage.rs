//! `lookup storage`: how long grain keeps.

use super::Answer;
use crate::{args::StorageLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::storage::Question;
use contract::lookup::Storage;
use notice::Kind;

/// Answers the question.
pub fn answer(args: &StorageLookup) -> Result<Answer<Storage>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        crop: args.crop.clone(),
        moisture_wb: reader.quantity("moisture", &args.moisture, Kind::MoistureWetBasis),
        temperature: reader.quantity("temperature", &args.temperature, Kind::Temperature),
        loss: reader.optional("loss", args.loss.as_ref(), Kind::Fraction),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Storage, out: &Out) -> String {
    // Below ten days a tenth matters, above it is false precision.
    let days = |d: Option<f64>| match d {
        Some(d) if d < 10.0 => format!("{d:.1} days"),
        // Nobody has kept grain that long to see; a number would be believed.
        Some(d) if d > 1000.0 => "more than 1000 days".into(),
        Some(d) => format!("{d:.0} days"),
        None => "not judged".into(),
    };
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["moisture", &out.show(answer.moisture_wb, Kind::MoistureWetBasis)]);
    table.row(["temperature", &out.show(answer.temperature_c, Kind::Temperature)]);
    // The short time first: the one to plan with.
    table.row(["keeps, strict reading", &format!("{} (the shortest published)", days(answer.strict_days))]);
    table.row(["keeps, as published", &days(answer.days)]);
    table.row(["until", &answer.judges]);
    table.row(["relation", &answer.relation]);
    if let Some(strict) = &answer.strict_relation {
        table.row(["strict relation", strict]);
    }
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    format!(
        "{}The whole time at this moisture and temperature, from harvest on: days spent warmer or wetter count, damage and hot \
         spots shorten it. Watch the grain itself.\n",
        table.render()
    )
}
