//! `lookup resistance`: what grain sets against air.

use super::{Answer, common};
use crate::{args::ResistanceLookup, exit::Failure, output::Out, quantities::Reader, table::Table};
use contract::lookup::Resistance;
use notice::{Kind, Phrase, Range, Remark, Remarks};
use physics::resistance::{BedResistance, FINES_FRACTION, FINES_VELOCITY, Packing, fines_multiplier};

/// Fastest velocity served, m/s: well above any published row, below where another physics begins.
const FASTEST: f64 = 5.0;

/// Answers the question.
pub fn answer(args: &ResistanceLookup) -> Result<Answer<Resistance>, Failure> {
    let mut reader = Reader::default();
    let depth = reader.optional("depth", args.depth.as_ref(), Kind::Length);
    if let Some(depth) = depth {
        common::possible(&mut reader, "depth", depth, Kind::Length, Range::new(0.0, 100.0));
    }
    let velocity = match (&args.velocity, &args.airflow) {
        (Some(text), _) => reader.quantity("velocity", text, Kind::Velocity),
        // Each metre of depth brings its own share of air through every cross-section below it.
        (None, airflow) => {
            let airflow = reader.quantity("airflow", airflow.as_deref().unwrap_or_default(), Kind::SpecificAirflow);
            airflow * depth.unwrap_or(f64::NAN)
        }
    };
    common::possible(&mut reader, "velocity", velocity, Kind::Velocity, Range::new(0.0, FASTEST));
    let fines = reader.optional("fines", args.fines.as_ref(), Kind::Fraction).unwrap_or(0.0);
    common::possible(&mut reader, "fines", fines, Kind::Fraction, Range::new(0.0, 1.0));
    reader.done()?;
    let packing = Packing::Factor(args.packing).multiplier().map_err(|e| common::impossible(&e))?;

    let mut remarks = Remarks::default();
    let crop = common::crop(&args.crop, &mut remarks)?;
    let row = crop.resistance(None).map_err(|e| common::missing(&e))?;
    let source = &row.evidence.source;
    let bed = BedResistance { law: row.law, multiplier: packing, fines };
    let gradient = bed.gradient(velocity);
    let inside = common::inside(&mut remarks, "velocity", velocity, Kind::Velocity, row.velocity, &row.id, source);
    if fines > 0.0 {
        let relation = "the factor for fines";
        common::inside(&mut remarks, "fines", fines, Kind::Fraction, FINES_FRACTION, relation, source);
        common::inside(&mut remarks, "velocity", velocity, Kind::Velocity, FINES_VELOCITY, relation, source);
        if crop.id != "corn" {
            let says =
                Phrase::new("the factor for fines is that of corn; none is recorded for {crop}").text("crop", &crop.id);
            remarks.add(Remark::new("fines-of-corn", says));
        }
    }
    if let Some(from) = &row.evidence.lent_from {
        let says = Phrase::new("this row is that of {from}").text("from", from);
        remarks.add(Remark::new("crop-row-borrowed", says));
    }
    if args.packing == 1.0 {
        let says =
            Phrase::new("loose fill, as published; grain as it lies in bins sets more against air (packing above 1)");
        remarks.add(Remark::new("loose-fill", says));
    }
    let result = Resistance {
        crop: crop.id.clone(),
        gradient_pa_m: gradient,
        velocity_m_s: velocity,
        static_pressure_pa: depth.map(|depth| gradient * depth),
        packing,
        fines_factor: fines_multiplier(velocity, fines),
        relation: row.id.clone(),
        source: source.citation.clone(),
        source_status: source.status,
        in_range: Some(inside),
    };
    Ok(Answer { result, remarks })
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
    table.row(["fines", &format!("× {:.2}", answer.fines_factor)]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", common::status(answer.source_status)]);
    table.row(["range", common::range_word(answer.in_range)]);
    table.render()
}
