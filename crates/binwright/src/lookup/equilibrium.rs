//! `lookup equilibrium`: moisture of grain in equilibrium with air, or the humidity over grain.

use super::{Answer, common};
use crate::{args::EquilibriumLookup, exit::Failure, output::Out, quantities::Reader, table::Table};
use contract::lookup::{Asked, Equilibrium, Spread};
use notice::{Kind, Phrase, Quantity, Remark, Remarks};
use physics::grain::{dry_basis, wet_basis};
use physics::isotherm::{HUMIDITY_CAP, HUMIDITY_FLOOR};

/// Answers the question.
pub fn answer(args: &EquilibriumLookup) -> Result<Answer<Equilibrium>, Failure> {
    let mut reader = Reader::default();
    let air_c = common::temperature(&mut reader, "air", &args.air);
    let humidity = args.relative_humidity.as_ref().map(|t| common::humidity(&mut reader, "relative-humidity", t));
    let moisture = args.moisture.as_ref().map(|t| common::moisture(&mut reader, "moisture", t));
    reader.done()?;

    let mut remarks = Remarks::default();
    let crop = common::crop(&args.crop, &mut remarks)?;
    let set = crop.isotherm(args.relation.as_deref()).map_err(|e| common::missing(&e))?;
    let source = &set.evidence.source;
    let sets = crop.spread_sets();
    let band = |values: Vec<f64>| Spread {
        low: values.iter().copied().fold(f64::INFINITY, f64::min),
        high: values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    };

    let (asked, moisture_db, relative_humidity, spread) = match (humidity, moisture) {
        (_, Some(moisture_wb)) => {
            let m = dry_basis(moisture_wb);
            let spread = band(sets.iter().map(|s| s.form.humidity(m, air_c)).collect());
            (Asked::Humidity, m, set.form.humidity(m, air_c), spread)
        }
        (humidity, None) => {
            // The command line asks for one of the two; the floor stands in for none.
            let humidity = humidity.unwrap_or(HUMIDITY_FLOOR);
            let held = humidity.clamp(HUMIDITY_FLOOR, HUMIDITY_CAP);
            if held != humidity {
                let says = Phrase::new("equilibrium is worked out at {held}, not at {asked}: published sets end there")
                    .with("held", Quantity::new(held, Kind::RelativeHumidity))
                    .with("asked", Quantity::new(humidity, Kind::RelativeHumidity));
                remarks.add(Remark::new("humidity-held", says));
            }
            let at = |form: &physics::isotherm::IsothermForm| form.equilibrium(held, air_c).moisture;
            let spread = band(sets.iter().map(|s| wet_basis(at(&s.form))).collect());
            (Asked::Moisture, at(&set.form), humidity, spread)
        }
    };
    let warm = common::inside(&mut remarks, "temperature", air_c, Kind::Temperature, set.temperature, &set.id, source);
    let humid = common::inside(
        &mut remarks,
        "relative humidity",
        relative_humidity,
        Kind::RelativeHumidity,
        set.humidity,
        &set.id,
        source,
    );
    if sets.len() < 2 {
        remarks.add(Remark::new(
            "one-set",
            Phrase::new("only one set is recorded for {crop}: the spread is not known").text("crop", &crop.id),
        ));
    }
    if let Some(from) = &set.evidence.lent_from {
        let says = Phrase::new("this set is that of {from}").text("from", from);
        remarks.add(Remark::new("crop-row-borrowed", says));
    }
    let result = Equilibrium {
        crop: crop.id.clone(),
        air_c,
        asked,
        moisture_wb: wet_basis(moisture_db),
        moisture_db,
        relative_humidity,
        relation: set.id.clone(),
        source: source.citation.clone(),
        source_status: source.status,
        in_range: Some(warm && humid),
        spread,
        spread_of: sets.iter().map(|s| s.id.clone()).collect(),
    };
    Ok(Answer { result, remarks })
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
    table.row(["confirmed", common::status(answer.source_status)]);
    table.row(["range", common::range_word(answer.in_range)]);
    table.render()
}
