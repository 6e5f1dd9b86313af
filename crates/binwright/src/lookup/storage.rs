//! `lookup storage`: how long grain keeps.

use super::{Answer, common};
use crate::{args::StorageLookup, exit::Failure, output::Out, quantities::Reader, table::Table};
use contract::lookup::Storage;
use crops::{MissingCapability, Need, StorageRow};
use notice::{Diagnostic, Kind, Phrase, Range, Remark, Remarks};
use physics::grain::dry_basis;
use physics::storability::{StorageLaw, allowable_days};

/// Answers the question.
pub fn answer(args: &StorageLookup) -> Result<Answer<Storage>, Failure> {
    let mut reader = Reader::default();
    let moisture_wb = common::moisture(&mut reader, "moisture", &args.moisture);
    let temperature_c = common::temperature(&mut reader, "temperature", &args.temperature);
    let loss = reader.optional("loss", args.loss.as_ref(), Kind::Fraction);
    if let Some(loss) = loss {
        common::possible(&mut reader, "loss", loss, Kind::Fraction, Range::new(1e-4, 0.2));
    }
    reader.done()?;

    let mut remarks = Remarks::default();
    let crop = common::crop(&args.crop, &mut remarks)?;
    if loss.is_some() && !crop.storage.published.iter().any(|row| loss_of(&row.law).is_some()) {
        let wrong = Diagnostic::error(
            "no-loss-limit",
            format!("the storage relation of {} knows no loss of dry matter", crop.id),
            common::option("loss"),
        )
        .help("leave the option out");
        return Err(wrong.into());
    }
    let published = shortest(&crop.storage.published, loss, moisture_wb, temperature_c)?;
    let strict = shortest(&crop.storage.strict, loss.map(strict_loss), moisture_wb, temperature_c)?;
    let Some((row, law, days)) = published else {
        return Err(common::missing(&MissingCapability {
            crop: crop.id.clone(),
            need: Need::Storability,
            wanted: "storage relation".into(),
            help: "storage of this crop is not judged, which does not mean that it is safe; another crop's relation is never lent"
                .into(),
        }));
    };
    let range = law.range();
    let source = &row.evidence.source;
    let wet = common::inside(
        &mut remarks,
        "moisture",
        moisture_wb,
        Kind::MoistureWetBasis,
        range.moisture_wb,
        &row.id,
        source,
    );
    let warm = common::inside(
        &mut remarks,
        "temperature",
        temperature_c,
        Kind::Temperature,
        range.temperature,
        &row.id,
        source,
    );
    if let Some(from) = &row.evidence.lent_from {
        let says = Phrase::new("this relation is that of {from}").text("from", from);
        remarks.add(Remark::new("crop-row-borrowed", says));
    }
    let result = Storage {
        crop: crop.id.clone(),
        moisture_wb,
        temperature_c,
        days: Some(days),
        strict_days: strict.as_ref().map(|(.., days)| *days),
        relation: row.id.clone(),
        strict_relation: strict.as_ref().map(|(row, ..)| row.id.clone()),
        judges: match (loss, loss_of(&law)) {
            (Some(_), Some(loss)) => format!("dry-matter loss of {} %", (1e4 * loss).round() / 100.0),
            _ => row.judges.clone(),
        },
        loss: loss_of(&law),
        source: source.citation.clone(),
        source_status: source.status,
        in_range: Some(wet && warm),
    };
    Ok(Answer { result, remarks })
}

/// The strict reading never allows more than its own limit of 0.35 %, and less where the question does.
fn strict_loss(loss: f64) -> f64 {
    loss.min(0.0035)
}

/// The loss limit of a law that has one.
fn loss_of(law: &StorageLaw) -> Option<f64> {
    match *law {
        StorageLaw::CornDryMatterLoss { loss, .. } | StorageLaw::RiceDryMatterLoss { loss, .. } => Some(loss),
        _ => None,
    }
}

/// The row that gives the shortest time, with another loss limit where one is asked for.
fn shortest(
    rows: &[StorageRow],
    limit: Option<f64>,
    moisture_wb: f64,
    temperature: f64,
) -> Result<Option<(&StorageRow, StorageLaw, f64)>, Failure> {
    let mut best: Option<(&StorageRow, StorageLaw, f64)> = None;
    for row in rows {
        let mut law = row.law;
        if let (Some(limit), StorageLaw::CornDryMatterLoss { loss, .. } | StorageLaw::RiceDryMatterLoss { loss, .. }) =
            (limit, &mut law)
        {
            *loss = limit;
        }
        let days = allowable_days(&law, dry_basis(moisture_wb), temperature).map_err(|e| common::impossible(&e))?;
        if best.as_ref().is_none_or(|(.., shorter)| days < *shorter) {
            best = Some((row, law, days));
        }
    }
    Ok(best)
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
    table.row(["confirmed", common::status(answer.source_status)]);
    table.row(["range", common::range_word(answer.in_range)]);
    format!(
        "{}The whole time at this moisture and temperature, from harvest on: days spent warmer or wetter count, damage and hot \
         spots shorten it. Watch the grain itself.\n",
        table.render()
    )
}
