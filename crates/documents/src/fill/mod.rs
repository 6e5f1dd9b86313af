//! From results to what a report shows. The only place where the report's plain data meet the model's types.

mod air;
mod season;
mod years;

use crate::report::{Balance, Capacity, GoalState, PageMark, ReportData, RunIdentity, SourceUse, TitleBlock, Verdict};
use crate::section::{BinSection, ColumnDrawing, FanPlace, GrainDrawing};
use crate::ticks::number;
use ::season::SeasonResult;
use advice::air::BinAir;
use advice::{ModelRange, Proof, Tariff, evidence};
use equipment::BurnerSide;
use job::facts::Filling;
use job::{BinJob, Job};
use notice::quantity::BUSHEL_M3;
use notice::{Kind, Phrase, Quantity, Remarks};
use physics::grain::wet_basis;

/// Everything a report is made of.
pub struct Results<'a> {
    /// The site.
    pub job: &'a Job,
    /// The bin.
    pub bin: &'a BinJob,
    /// Working points at every fill.
    pub air: &'a BinAir,
    /// All years, recorded day by day.
    pub proof: &'a Proof,
    /// What the model leaves open.
    pub range: Option<&'a ModelRange>,
    /// One year with its layers: the season, its year, and why this one.
    pub season: Option<(&'a SeasonResult, i32, String)>,
    /// The outfits that were weighed.
    pub weighing: Option<&'a advice::weigh::Answer>,
    /// Prices.
    pub tariff: Option<&'a Tariff>,
    /// Date of the report as the caller wants it written.
    pub date: String,
    /// Program and version.
    pub program: String,
}

/// Fills a report.
pub fn report_data(of: &Results) -> ReportData {
    let offset = of.job.place.utc_offset;
    let mut remarks = Remarks::default();
    remarks.extend(of.bin.remarks.clone());
    remarks.extend(of.proof.remarks());
    ReportData {
        title: title(of),
        verdict: Verdict {
            goal: match of.proof.of() {
                0 => GoalState::NotJudged,
                _ if of.proof.goal_reached() => GoalState::Met,
                _ => GoalState::Missed,
            },
            headline: Some(advice::sentences::headline(of.bin, of.proof, offset)),
            sentences: advice::sentences::sentences(of.bin, of.proof, of.range, of.tariff),
        },
        section: Some(section(of)),
        capacities: capacities(of.bin),
        air: air::report(of.bin, of.air),
        years: years::report(of),
        season: of.season.as_ref().map(|(result, year, why)| season::report(of, result, *year, why)),
        weighing: of.weighing.map(|answer| Box::new(answer.clone())),
        uncertainty: years::uncertainty(of),
        remarks: remarks.0,
        cautions: cautions(of.bin),
        sources: evidence::of_proof(of.bin, of.proof).into_iter().map(source).collect(),
        run: run(of),
    }
}

fn source(used: evidence::SourceUse) -> SourceUse {
    SourceUse {
        what: used.what,
        citation: used.source.citation,
        status: used.source.status,
        in_range: used.in_range,
        outside: used.outside,
    }
}

fn title(of: &Results) -> TitleBlock {
    let bin = of.bin;
    let fans = bin.template.system.outfit.fans();
    let mut names: Vec<(String, usize)> = Vec::new();
    for fan in fans {
        match names.iter_mut().find(|(name, _)| *name == fan.id) {
            Some((_, count)) => *count += 1,
            None => names.push((fan.id.clone(), 1)),
        }
    }
    let outfit: Vec<String> = names.iter().map(|(name, n)| format!("{n} × {name}")).collect();
    let burner = bin
        .template
        .burner
        .as_ref()
        .map(|b| format!(", {}", crate::compose::words::burner_name(&b.id)))
        .unwrap_or_default();
    let lot = bin.survey.lots.first();
    let mut marks = Vec::new();
    if bin.invented {
        marks.push(PageMark::InventedEquipment);
    }
    if of.air.fills.iter().any(|f| f.point.flags.estimated_power) {
        marks.push(PageMark::EstimatedEquipment);
    }
    if bin.remarks.0.iter().any(|remark| remark.code == job::provenance::DATA_OLD) {
        marks.push(PageMark::OutdatedEquipment);
    }
    if of.proof.partial {
        marks.push(PageMark::Partial);
    }
    TitleBlock {
        site: of.job.name.clone(),
        bin: bin.name.clone(),
        lot: lot.map_or(String::new(), |l| {
            // One measure that both sides of a sale know; the others stand among the capacities.
            let amount = match l.bushels {
                Some(bushels) => format!("{} legal bu", number(bushels, 0)),
                None => format!("{} t as filled", number(l.wet_mass / 1000.0, 0)),
            };
            format!("{}, {amount} at {:.1} % w.b.", advice::sentences::short_name(&bin.crop_name), 100.0 * l.moisture)
        }),
        outfit: format!("{}{burner}", outfit.join(" + ")),
        date: of.date.clone(),
        program: of.program.clone(),
        marks,
    }
}

fn capacities(bin: &BinJob) -> Vec<Capacity> {
    let s = &bin.survey;
    let volume = |v: f64| Quantity::new(v, Kind::GrainVolume);
    let mut list = vec![
        Capacity {
            what: "bin level to the eave".into(),
            values: vec![volume(s.volume_to_eave)],
            note: "volume bushels of 2,150.42 in³".into(),
        },
        Capacity {
            what: "filled".into(),
            values: vec![volume(s.volume()), Quantity::new(s.depth(), Kind::Length)],
            note: "volume as filled, level depth".into(),
        },
        Capacity {
            what: "mass as filled".into(),
            values: vec![Quantity::new(s.wet_mass(), Kind::Mass)],
            note: "wet".into(),
        },
        Capacity {
            what: "dry matter".into(),
            values: vec![Quantity::new(s.dry_matter(), Kind::Mass)],
            note: "kept through drying".into(),
        },
    ];
    for (k, lot) in s.lots.iter().enumerate() {
        let bushels =
            |b: Option<f64>| b.map_or("no legal bushel".to_string(), |b| format!("{} legal bu", number(b, 0)));
        list.push(Capacity {
            what: format!("lot {}", k + 1),
            values: vec![
                Quantity::new(lot.moisture, Kind::MoistureWetBasis),
                Quantity::new(lot.bulk_density, Kind::BulkDensity),
            ],
            note: format!(
                "{} by weight as filled, {} after shrink to base moisture, {} bu by volume",
                bushels(lot.bushels),
                bushels(lot.base_bushels),
                number(lot.volume / BUSHEL_M3, 0)
            ),
        });
    }
    list
}

fn section(of: &Results) -> BinSection {
    let bin = of.bin;
    let diameter = bin.template.bin.diameter;
    let (plenum, roof) = (job::survey::DRAWN_PLENUM, job::survey::drawn_roof(diameter));
    let burner = bin.template.burner.as_ref().map(|b| b.side == BurnerSide::Discharge);
    let fans = bin
        .template
        .system
        .outfit
        .fans()
        .iter()
        .map(|f| FanPlace { label: f.id.clone(), burner_after_fan: burner })
        .collect();
    BinSection {
        diameter_m: diameter,
        eave_m: bin.survey.eave + plenum,
        roof_rise_m: roof,
        floor_m: plenum,
        floor: advice::way::floor_words(bin).into(),
        fans,
        vents: String::new(),
        grain: of.season.as_ref().and_then(|(result, year, _)| grain(of, result, *year)),
    }
}

/// The grain on the day drying stopped (or the last day), coloured by moisture.
fn grain(of: &Results, result: &SeasonResult, year: i32) -> Option<GrainDrawing> {
    let day = result.stopped_at.unwrap_or(result.ended_at);
    let names = ["slow air", "middle", "fast air"];
    let mut outer = 0.0;
    let columns: Vec<ColumnDrawing> = result
        .columns
        .iter()
        .enumerate()
        .filter_map(|(k, column)| {
            let profile = column.profiles.iter().min_by_key(|p| (p.hour - day).abs())?;
            outer += column.area;
            let filled: Vec<f64> = profile.moisture.iter().copied().filter(|m| m.is_finite()).collect();
            let thickness = profile.depth / filled.len().max(1) as f64;
            Some(ColumnDrawing {
                name: if result.columns.len() == 1 { "even air".into() } else { names[k.min(2)].into() },
                outer: outer.sqrt().min(1.0),
                layers: filled.iter().map(|m| (thickness, wet_basis(*m))).collect(),
            })
        })
        .collect();
    (!columns.is_empty()).then(|| GrainDrawing {
        // One year of many, and not a forecast: the drawing says which.
        what: format!("moisture, season of {year}, on {}", written(day, year, of.job.place.utc_offset)),
        kind: Kind::MoistureWetBasis,
        range: None,
        peak_m: 0.0,
        columns,
    })
}

/// The local date of an hour, written out.
fn written(hour: i64, year: i32, offset: i32) -> String {
    let date = crate::calendar::date(year, years::day(hour, year, offset));
    date.map_or_else(|| job::clock::date(hour, offset), crate::calendar::Date::long)
}

fn cautions(bin: &BinJob) -> Vec<Phrase> {
    let mut list = vec![
        Phrase::new(
            "bin entry kills: never enter over flowing or crusted grain, lock out the unloading gear, work with a second person and a harness",
        ),
        Phrase::new("lock out fans before hands, tools or covers come near them; guards stay on"),
        Phrase::new("wiring and motor protection are the work of a licensed electrician under the local code"),
        Phrase::new(
            "blocked or iced roof vents put the fan's pressure on the roof: open them before starting, and ask the bin's maker what roof and floor may carry",
        ),
        Phrase::new("fans of this size are loud: wear hearing protection beside them"),
    ];
    if bin.template.burner.is_some() {
        list.push(Phrase::new("gas, burner and their controls are the work of a licensed fitter under the local code; keep the plenum clean of chaff, watch for fire"));
    }
    list
}

/// The record by its name; where it is built in, whose work it is and on what terms.
fn weather(job: &Job) -> String {
    let Some(origin) = &job.weather_origin else { return job.weather_name.clone() };
    format!(
        "{}: {}; {}. Licence: {}. Note: {}",
        job.weather_name, origin.place, origin.makers, origin.licence, origin.caution
    )
}

fn run(of: &Results) -> RunIdentity {
    let worst = |pick: fn(&SeasonResult) -> f64| of.proof.years.iter().map(|y| pick(&y.result)).fold(0.0, f64::max);
    let data = of.bin.pieces().into_iter().map(|piece| {
        let known = match piece.provenance.to_string() {
            known if !known.is_empty() => known,
            _ if piece.invented => "invented".into(),
            _ => "no source named".into(),
        };
        (format!("data of {} {}", piece.what, piece.id), known)
    });
    let mut identity = RunIdentity {
        entries: vec![
            ("run".into(), of.bin.identity("verdict")),
            ("model".into(), job::MODEL.to_string()),
            ("weather".into(), weather(of.job)),
            ("equilibrium set".into(), of.bin.relation.clone()),
            ("packing factor".into(), format!("{:.2}", of.bin.packing)),
            (
                "air shares".into(),
                match of.bin.filling {
                    Filling::Uniform => "even, as the site says".into(),
                    Filling::Spout => "spout-filled, not cored (judgement)".into(),
                    Filling::Levelled => "levelled, not cored (judgement)".into(),
                    Filling::Cored => "cored, not levelled (judgement)".into(),
                    Filling::LevelledAndCored => "levelled and cored (judgement)".into(),
                },
            ),
        ],
        balances: vec![
            Balance { what: "water".into(), residual: worst(|r| r.residual.0), allowed: 1e-9 },
            Balance { what: "energy".into(), residual: worst(|r| r.residual.1), allowed: 1e-9 },
        ],
    };
    identity.entries.extend(data);
    identity
}
