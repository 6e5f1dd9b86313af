//! How long grain keeps.

use super::{Answer, Evidence, Faults, crop, impossible, missing, one, part, refuse};
use crops::{Crop, MissingCapability, Need, StorageRow};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Range, Remark, Remarks, Source};
use physics::grain::dry_basis;
use physics::storability::{StorageLaw, allowable_days};

/// Losses of dry matter that may be asked for, fraction.
const LOSSES: Range = Range::new(1e-4, 0.2);

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Crop or alias.
    pub crop: String,
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature of the grain, °C.
    pub temperature: f64,
    /// Loss of dry matter allowed, fraction, for relations that know it.
    pub loss: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Storage {
    /// Crop after aliases.
    pub crop: String,
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Days by the published relation.
    pub days: f64,
    /// Days by the strict reading, which verdicts use.
    pub strict_days: Option<f64>,
    /// Id of the relation used.
    pub relation: String,
    /// Id of the relation that gives the strict reading.
    pub strict_relation: Option<String>,
    /// What the relation is about.
    pub judges: String,
    /// Dry-matter loss allowed, fraction, where the relation knows it.
    pub loss: Option<f64>,
    /// Where it comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence.
    pub in_range: bool,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        faults.moisture("moisture", self.moisture_wb);
        faults.temperature("temperature", self.temperature);
        if let Some(loss) = self.loss {
            faults.outside("loss", loss, Kind::Fraction, LOSSES);
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question; a crop without a storage relation; a loss asked of one that knows none.
    pub fn answer(&self) -> Result<Answer<Storage>, Diagnostics> {
        refuse(self.faults())?;
        let mut remarks = Remarks::default();
        let crop = crop(&self.crop, &mut remarks)?;
        let (moisture_wb, temperature, loss) = (self.moisture_wb, self.temperature, self.loss);
        if loss.is_some() && !crop.storage.published.iter().any(|row| loss_of(&row.law).is_some()) {
            return Err(one(Diagnostic::error(
                "no-loss-limit",
                format!("the storage relation of {} knows no loss of dry matter", crop.id),
                part("loss"),
            )
            .help("leave the option out")));
        }
        let published = shortest(&crop.storage.published, loss, moisture_wb, temperature)?;
        let strict = shortest(&crop.storage.strict, loss.map(strict_loss), moisture_wb, temperature)?;
        let Some((row, law, days)) = published else {
            return Err(missing(&MissingCapability {
                crop: crop.id.clone(),
                need: Need::Storability,
                wanted: "storage relation".into(),
                help: "storage of this crop is not judged, which does not mean that it is safe; another crop's relation is never lent"
                    .into(),
            }));
        };
        let range = law.range();
        let source = &row.evidence.source;
        let evidence = |range| Evidence { relation: &row.id, range, source };
        let wet = evidence(range.moisture_wb).holds(&mut remarks, "moisture", moisture_wb, Kind::MoistureWetBasis);
        let warm = evidence(range.temperature).holds(&mut remarks, "temperature", temperature, Kind::Temperature);
        if let Some(from) = &row.evidence.lent_from {
            let says = Phrase::new("this relation is that of {from}").text("from", from);
            remarks.add(Remark::new("crop-row-borrowed", says));
        }
        let result = Storage {
            crop: crop.id.clone(),
            moisture_wb,
            temperature,
            days,
            strict_days: strict.as_ref().map(|(.., days)| *days),
            relation: name(&crop, row, &law),
            strict_relation: strict.as_ref().map(|(row, law, _)| name(&crop, row, law)),
            judges: match (loss, loss_of(&law)) {
                (Some(_), Some(loss)) => format!("dry-matter loss of {} %", (1e4 * loss).round() / 100.0),
                _ => row.judges.clone(),
            },
            loss: loss_of(&law),
            source: source.clone(),
            in_range: wet && warm,
        };
        Ok(Answer { result, remarks })
    }
}

/// The name of a relation as it was used: with another limit of loss than its row's, the row of the crop that has that limit,
/// else the row's name with the limit behind it.
fn name(crop: &Crop, row: &StorageRow, law: &StorageLaw) -> String {
    if *law == row.law {
        return row.id.clone();
    }
    let rows = crop.storage.published.iter().chain(&crop.storage.strict);
    match (rows.into_iter().find(|other| other.law == *law), loss_of(law)) {
        (Some(other), _) => other.id.clone(),
        (None, Some(loss)) => {
            let plain = row.id.trim_end_matches(|c: char| c.is_ascii_digit() || c == '-');
            format!("{plain} at {} %", (1e4 * loss).round() / 100.0)
        }
        (None, None) => row.id.clone(),
    }
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
) -> Result<Option<(&StorageRow, StorageLaw, f64)>, Diagnostics> {
    let mut best: Option<(&StorageRow, StorageLaw, f64)> = None;
    for row in rows {
        let mut law = row.law;
        if let (Some(limit), StorageLaw::CornDryMatterLoss { loss, .. } | StorageLaw::RiceDryMatterLoss { loss, .. }) =
            (limit, &mut law)
        {
            *loss = limit;
        }
        let days = allowable_days(&law, dry_basis(moisture_wb), temperature).map_err(|e| impossible(&e))?;
        if best.as_ref().is_none_or(|(.., shorter)| days < *shorter) {
            best = Some((row, law, days));
        }
    }
    Ok(best)
}
