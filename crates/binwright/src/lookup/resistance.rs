//! `lookup resistance`: what grain sets against air.

use super::Answer;
use crate::{args::ResistanceLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::resistance::Question;
use contract::lookup::Resistance;
use notice::{Kind, Remarks};

/// Answers the question.
pub fn answer(args: &ResistanceLookup) -> Result<Answer<Resistance>, Failure> {
    let mut reader = Reader::default();
    let mut said = Remarks::default();
    let depth = reader.optional("depth", args.depth.as_ref(), Kind::Length);
    let velocity = match (&args.velocity, &args.airflow) {
        (Some(text), _) => reader.quantity("velocity", text, Kind::Velocity),
        // Each metre of depth brings its own share of air through every cross-section below it.
        (None, airflow) => {
            let text = airflow.as_deref().unwrap_or_default();
            reader.airflow(text, args.bulk_density.as_ref(), &mut said) * depth.unwrap_or(f64::NAN)
        }
    };
    let question = Question {
        crop: args.crop.clone(),
        velocity,
        depth,
        packing: args.packing,
        fines: reader.optional("fines", args.fines.as_ref(), Kind::Fraction).unwrap_or(0.0),
        direction: args.direction.into(),
        moisture_wb: reader.optional("moisture", args.moisture.as_ref(), Kind::MoistureWetBasis),
        relation: args.relation.clone(),
    };
    let mut answer: Answer<Resistance> = reader.answer(question.faults(), || question.answer())?;
    answer.remarks.extend(said);
    Ok(answer)
}

/// The answer as text.
pub fn view(answer: &Resistance, out: &Out) -> String {
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["velocity", &out.show(answer.velocity_m_s, Kind::Velocity)]);
    table.row(["pressure gradient", &out.show(answer.gradient_pa_m, Kind::PressureGradient)]);
    if let Some(pressure) = answer.static_pressure_pa {
        table.row(["static pressure", &out.show(pressure, Kind::Pressure)]);
    }
    table.row(["packing", &format!("× {:.2}", answer.packing)]);
    if answer.corrections.is_empty() {
        table.row(["corrections", "none: rising air, clean grain, as dry as the law takes it"]);
    }
    for c in &answer.corrections {
        let says = format!("× {:.2}, {}; {}", c.factor, c.source, words::status(c.source_status));
        table.row([c.what, &says]);
    }
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}
