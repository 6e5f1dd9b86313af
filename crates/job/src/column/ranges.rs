//! Where a run left the evidence of its relations.

use super::ColumnJob;
use notice::{Kind, Phrase, Quantity, Range, Remark, Remarks};
use season::column::ColumnRun;

/// Remarks on everything that lay outside.
pub fn outside(job: &ColumnJob, run: &ColumnRun) -> Remarks {
    let mut remarks = Remarks::default();
    let relation = &job.relation;
    let check = |what: &str, met: (f64, f64), range: Range, kind: Kind| {
        if range.contains(met.0) && range.contains(met.1) {
            return None;
        }
        let show = |value: f64| Quantity::new(value, kind);
        let says = Phrase::new("{what} rests on {low} to {high}; the run met {lowest} to {highest}")
            .text("what", what)
            .with("low", show(range.low))
            .with("high", show(range.high))
            .with("lowest", show(met.0))
            .with("highest", show(met.1));
        Some(says)
    };
    let source = || relation.evidence.source.clone();
    if let Some(says) = check(&relation.id, run.temperatures, relation.temperature, Kind::Temperature) {
        remarks.add(Remark::new("relation-temperature", says).from_source(source()));
    }
    let humidity = run.humidities.and_then(|met| check(&relation.id, met, relation.humidity, Kind::RelativeHumidity));
    if let Some(says) = humidity {
        remarks.add(Remark::new("relation-humidity", says).from_source(source()));
    }
    let kinetics = job.kinetics_temperature;
    if let Some(says) = kinetics.and_then(|range| check(&job.kinetics, run.temperatures, range, Kind::Temperature)) {
        remarks.add(Remark::new("kinetics-temperature", says));
    }
    remarks
}
