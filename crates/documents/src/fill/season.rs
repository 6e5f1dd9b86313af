//! One year: maps of depth and time, strips of air, machines.

use super::Results;
use super::years::day;
use crate::report::{DepthTimeMap, Limit, Running, SeasonReport, Strip, StripLine};
use ::season::{Profile, SeasonResult};
use notice::Kind;
use physics::grain::wet_basis;

/// Days shown after drying stopped.
const AFTER: f64 = 30.0;

pub fn report(of: &Results, r: &SeasonResult, year: i32, why: &str) -> SeasonReport {
    let offset = of.job.place.utc_offset;
    let end = day(r.stopped_at.unwrap_or(r.ended_at), year, offset) + AFTER;
    let slow = r.columns.first();
    let profiles: Vec<&Profile> =
        slow.map(|c| c.profiles.iter().filter(|p| day(p.hour, year, offset) <= end).collect()).unwrap_or_default();
    let which = if r.columns.len() > 1 { ", slow part of the bin" } else { "" };
    let map = |what: &str, kind: Kind, pick: fn(&Profile) -> &Vec<f64>, shown: fn(f64) -> f64, limit: Option<Limit>| {
        let slots = profiles.first().map_or(0, |p| pick(p).len());
        let deepest = profiles.iter().map(|p| p.depth).fold(0.0, f64::max);
        let mut day_edges: Vec<f64> = Vec::new();
        let mut values = Vec::new();
        for p in &profiles {
            let at = day(p.hour, year, offset);
            // A profile is that of its midnight: it stands for the day around it.
            if day_edges.is_empty() {
                day_edges.push(at - 0.5);
            }
            if at + 0.5 <= *day_edges.last().unwrap_or(&f64::NEG_INFINITY) {
                continue;
            }
            day_edges.push(at + 0.5);
            values.extend(pick(p).iter().map(|v| shown(*v)));
        }
        DepthTimeMap {
            what: format!("{what}{which}"),
            kind,
            depth_edges_m: (0..=slots).map(|i| deepest * i as f64 / slots.max(1) as f64).collect(),
            day_edges,
            values,
            range: None,
            limit,
        }
    };
    let target = wet_basis(of.bin.template.programme.target);
    let maps = vec![
        map(
            "moisture",
            Kind::MoistureWetBasis,
            |p| &p.moisture,
            wet_basis,
            Some(Limit { value: target, label: "target".into() }),
        ),
        map("grain temperature", Kind::Temperature, |p| &p.temperature, |v| v, None),
        map("storage life used, strict reading", Kind::Fraction, |p| &p.life, |v| v, None),
    ];
    let shown: Vec<_> = r.daily.iter().filter(|d| day(d.hour, year, offset) <= end).collect();
    let line = |label: &str, pick: &dyn Fn(&::season::Daily) -> f64| StripLine {
        label: label.into(),
        points: shown.iter().map(|d| (day(d.hour, year, offset) - 0.5, pick(d))).collect(),
    };
    let strips = vec![
        Strip {
            what: "temperature".into(),
            kind: Kind::Temperature,
            lines: vec![
                line("outside air", &|d| d.ambient_temperature),
                line("grain, mean", &|d| d.mean_temperature),
                line("grain, warmest", &|d| d.warmest),
            ],
        },
        Strip {
            what: "moisture".into(),
            kind: Kind::MoistureWetBasis,
            lines: vec![
                line("mean", &|d| wet_basis(d.mean_moisture)),
                line("wettest tenth", &|d| wet_basis(d.wettest)),
                line("driest tenth", &|d| wet_basis(d.driest)),
            ],
        },
    ];
    let spans = |pick: &dyn Fn(&::season::Daily) -> f64| -> Vec<(f64, f64, f64)> {
        shown
            .iter()
            .map(|d| {
                let at = day(d.hour, year, offset);
                (at - 1.0, at, pick(d).clamp(0.0, 1.0))
            })
            .collect()
    };
    let mut running = vec![Running { label: "fan".into(), spans: spans(&|d| d.fan_hours / 24.0) }];
    if r.burner_energy > 0.0 {
        running.push(Running { label: "burner".into(), spans: spans(&|d| f64::from(u8::from(d.burner_energy > 0.0))) });
    }
    SeasonReport { year, why: why.into(), maps, strips, running }
}
