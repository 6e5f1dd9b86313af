//! All years: rows, lines, bands, and what is uncertain.

use super::Results;
use crate::report::{
    Band, Bands, ChanceInterval, LeftOut, Outcome, Tally, Uncertainty, Variant, YearLine, YearRow, YearsReport,
};
use ::season::SeasonResult;
use advice::{RangeEntry, Verdict};
use notice::{Kind, Phrase, Quantity};
use numerics::quantile::quantile;
use physics::grain::wet_basis;

/// Days since 00:00 local standard time on 1 January of a year.
pub fn day(hour: i64, year: i32, offset: i32) -> f64 {
    let january = job::clock::utc_hour(year, job::facts::MonthDay { month: 1, day: 1 }, 0, offset);
    (hour - january) as f64 / 24.0
}

fn outcome(verdict: Verdict) -> Outcome {
    match verdict {
        Verdict::Met => Outcome::Met,
        Verdict::Held => Outcome::Held,
        Verdict::Failed(_) => Outcome::Failed,
    }
}

pub fn report(of: &Results) -> YearsReport {
    let offset = of.job.place.utc_offset;
    let years = &of.proof.years;
    let by = years
        .first()
        .and_then(|y| of.bin.year(y.year))
        .map_or(f64::NAN, |case| day(case.programme.by, years[0].year, offset));
    let rows = years
        .iter()
        .map(|y| {
            let r = &y.result;
            YearRow {
                year: y.year,
                outcome: outcome(y.verdict),
                cause: match y.verdict {
                    Verdict::Failed(cause) => advice::sentences::cause_says(cause).into(),
                    _ => String::new(),
                },
                finish_day: r.stopped_at.map_or(f64::NAN, |h| day(h, y.year, offset)),
                mean_wb: wet_basis(r.moisture_at_stop),
                wettest_wb: wet_basis(r.wettest_at_stop),
                life_used: r.life_strict.unwrap_or(f64::NAN),
                electricity_j: r.electricity(),
                burner_heat_j: r.burner_energy,
                cost: of
                    .tariff
                    .and_then(|t| t.cost(r).and_then(|c| c.total()).map(|c| format!("{c:.0} {}", t.currency)))
                    .unwrap_or_default(),
            }
        })
        .collect();
    let lines: Vec<YearLine> = years
        .iter()
        .map(|y| YearLine { year: y.year, outcome: outcome(y.verdict), points: line(&y.result, y.year, offset) })
        .collect();
    YearsReport {
        target_wb: wet_basis(of.bin.template.programme.target),
        by_day: by,
        rows,
        bands: bands(&lines),
        lines,
        left_out: of
            .proof
            .left_out
            .iter()
            .map(|(year, reason)| LeftOut { year: *year, reason: reason.clone() })
            .collect(),
    }
}

/// Mean moisture from filled to stopped drying (or the end).
fn line(r: &SeasonResult, year: i32, offset: i32) -> Vec<(f64, f64)> {
    let until = r.stopped_at.unwrap_or(r.ended_at);
    r.daily
        .iter()
        .filter(|d| d.hour <= until)
        .map(|d| (day(d.hour, year, offset), wet_basis(d.mean_moisture)))
        .collect()
}

/// Median and eight years of ten, while at least half of the years still dry; a year that stopped keeps its moisture.
fn bands(lines: &[YearLine]) -> Option<Bands> {
    let first = lines.iter().filter_map(|l| l.points.first()).map(|p| p.0).fold(f64::INFINITY, f64::min).ceil();
    let mut ends: Vec<f64> = lines.iter().filter_map(|l| l.points.last()).map(|p| p.0).collect();
    ends.sort_by(f64::total_cmp);
    let last = *ends.get(ends.len().saturating_sub(1 + ends.len() / 5))?;
    let count = ((last - first).floor() as i64).clamp(0, 400);
    let days: Vec<f64> = (0..=count).map(|i| first + i as f64).collect();
    let (mut low, mut median, mut high) = (Vec::new(), Vec::new(), Vec::new());
    for &at in &days {
        let sample: Vec<f64> = lines.iter().filter_map(|l| value(&l.points, at)).collect();
        low.push(quantile(&sample, 0.1)?);
        median.push(quantile(&sample, 0.5)?);
        high.push(quantile(&sample, 0.9)?);
    }
    let band = Band { label: "8 years of 10".into(), low_wb: low, high_wb: high };
    Some(Bands { days, median_wb: median, bands: vec![band] })
}

fn value(points: &[(f64, f64)], at: f64) -> Option<f64> {
    let i = points.partition_point(|p| p.0 <= at);
    match (i.checked_sub(1).and_then(|k| points.get(k)), points.get(i)) {
        (Some(a), Some(b)) => Some(a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0)),
        (Some(a), None) => Some(a.1),
        (None, Some(b)) => Some(b.1),
        (None, None) => None,
    }
}

fn tally(e: &RangeEntry) -> Tally {
    Tally { met: e.met as u32, held: e.held as u32, failed: e.failed as u32 }
}

/// What a kind of choice is about, in a reader's words.
fn choice_of(kind: &str) -> &str {
    match kind {
        "storability" => "how long grain keeps",
        "moisture set" => "moisture against air",
        "drying rate" => "how fast kernels dry",
        "packing" => "resistance to air",
        "air shares" => "evenness of the air",
        "rewetting" => "taking up moisture again",
        other => other,
    }
}

pub fn uncertainty(of: &Results) -> Uncertainty {
    let proof = of.proof;
    Uncertainty {
        tally: Tally { met: proof.met as u32, held: proof.held as u32, failed: proof.failed as u32 },
        interval: proof.interval.as_ref().map(|i| ChanceInterval {
            of_what: "a year is met or held".into(),
            low: i.low,
            high: i.high,
            level: i.level,
            method: i.method.into(),
        }),
        variants: of.range.map_or(Vec::new(), |range| {
            range
                .entries
                .iter()
                .map(|e| Variant { name: e.short_label(), tally: tally(e), note: choice_of(e.kind).into() })
                .collect()
        }),
        worst: of.range.and_then(|r| r.worst.as_ref()).map(|w| {
            Phrase::new("the worst of them together give {share} good years: {name}")
                .text("name", w.name.clone())
                .with("share", Quantity::new(w.probability(), Kind::Fraction))
        }),
    }
}
