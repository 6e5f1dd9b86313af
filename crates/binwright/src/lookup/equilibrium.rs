//! `lookup equilibrium`: moisture of grain in equilibrium with air, or the humidity over grain.

use super::Answer;
use crate::{args::EquilibriumLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::equilibrium::{Given, Question};
use contract::lookup::{Asked, Equilibrium};
use notice::Kind;

/// Answers the question.
pub fn answer(args: &EquilibriumLookup) -> Result<Answer<Equilibrium>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        crop: args.crop.clone(),
        air: reader.quantity("air", &args.air, Kind::Temperature),
        // The command line asks for exactly one of the two.
        given: match (&args.moisture, &args.relative_humidity) {
            (Some(text), _) => Given::Moisture(reader.quantity("moisture", text, Kind::MoistureWetBasis)),
            (None, text) => {
                let text = text.as_deref().unwrap_or_default();
                Given::Humidity(reader.quantity("relative-humidity", text, Kind::RelativeHumidity))
            }
        },
        relation: args.relation.clone(),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Equilibrium, out: &Out) -> String {
    let percent = |v: f64, decimals: usize| format!("{:.*}", decimals, 100.0 * v);
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["temperature", &out.show(answer.air_c, Kind::Temperature)]);
    table.row(["relative humidity", &format!("{} %", percent(answer.relative_humidity, 1))]);
    table.row(["moisture, wet basis", &format!("{} %", percent(answer.moisture_wb, 2))]);
    table.row(["moisture, dry basis", &format!("{} %", percent(answer.moisture_db, 2))]);
    let (word, decimals) = match answer.asked {
        Asked::Moisture => ("% wet basis", 2),
        Asked::Humidity => ("% relative humidity", 1),
    };
    let spread = format!(
        "{} to {} {word} in {} published sets",
        percent(answer.spread.low, decimals),
        percent(answer.spread.high, decimals),
        answer.spread_of.len()
    );
    table.row(["spread", &spread]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}
