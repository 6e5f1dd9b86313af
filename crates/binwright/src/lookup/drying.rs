//! `lookup drying`: a thin layer in constant air.

use super::Answer;
use crate::{args::DryingLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::drying::Question;
use contract::lookup::Drying;
use notice::Kind;

/// Answers the question.
pub fn answer(args: &DryingLookup) -> Result<Answer<Drying>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        crop: args.crop.clone(),
        initial_wb: reader.quantity("initial", &args.initial, Kind::MoistureWetBasis),
        air: reader.quantity("air", &args.air, Kind::Temperature),
        humidity: reader.quantity("relative-humidity", &args.relative_humidity, Kind::RelativeHumidity),
        velocity: reader.optional("velocity", args.velocity.as_ref(), Kind::Velocity),
        seconds: reader.quantity("time", &args.time, Kind::Hours),
        kinetics: args.kinetics.clone(),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Drying, _out: &Out) -> String {
    let percent = |v: f64| format!("{:.2} % wet basis", 100.0 * v);
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["moisture at the end", &percent(answer.moisture_wb)]);
    if let Some(bounds) = &answer.moisture_wb_bounds {
        table.row(["between", &format!("{} and {}", percent(bounds.low), percent(bounds.high))]);
    }
    table.row(["moisture ratio", &format!("{:.4}", answer.moisture_ratio)]);
    table.row(["equilibrium", &format!("{} ({})", percent(answer.equilibrium_wb), answer.equilibrium_relation)]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}
