//! `lookup drying`: a thin layer in constant air.

use super::{Answer, common};
use crate::{args::DryingLookup, exit::Failure, output::Out, quantities::Reader, table::Table};
use contract::lookup::{Drying, Spread};
use crops::{CompartmentFit, Crop, Production};
use notice::{Diagnostic, Kind, Phrase, Range, Remark, Remarks, Source, Status};
use physics::grain::{dry_basis, wet_basis};
use physics::thin_layer::{DryingConditions, ThinLayer, checked_moisture_ratio};

/// A law, applied.
struct Applied {
    relation: String,
    ratio: f64,
    /// Where two laws bound the answer: the ratio of the faster one.
    fast: Option<f64>,
    source: Source,
    in_range: bool,
}

/// The question in SI.
struct Question {
    at: DryingConditions,
    velocity_given: bool,
    seconds: f64,
}

/// Answers the question.
pub fn answer(args: &DryingLookup) -> Result<Answer<Drying>, Failure> {
    let mut reader = Reader::default();
    let initial_wb = common::moisture(&mut reader, "initial", &args.initial);
    let temperature = common::temperature(&mut reader, "air", &args.air);
    let relative_humidity = common::humidity(&mut reader, "relative-humidity", &args.relative_humidity);
    let velocity = reader.optional("velocity", args.velocity.as_ref(), Kind::Velocity);
    if let Some(velocity) = velocity {
        common::possible(&mut reader, "velocity", velocity, Kind::Velocity, Range::new(0.0, 10.0));
    }
    let seconds = reader.quantity("time", &args.time, Kind::Hours);
    common::possible(&mut reader, "time", seconds, Kind::Hours, Range::new(0.0, 1e8));
    reader.done()?;

    let mut remarks = Remarks::default();
    let crop = common::crop(&args.crop, &mut remarks)?;
    let initial = dry_basis(initial_wb);
    let set = crop.isotherm(None).map_err(|e| common::missing(&e))?;
    let equilibrium = set.form.equilibrium(relative_humidity, temperature).moisture;
    let question = Question {
        at: DryingConditions {
            temperature,
            relative_humidity,
            initial_moisture: initial,
            velocity: velocity.unwrap_or(0.0),
        },
        velocity_given: velocity.is_some(),
        seconds,
    };
    let applied = match args.kinetics.as_deref() {
        None => own(&crop, &question, &mut remarks)?,
        Some("equilibrium") => Applied {
            relation: "equilibrium".into(),
            ratio: 0.0,
            fast: None,
            source: Source::new("no resistance inside the kernel: a limit, not a law of any grain", Status::Computed),
            in_range: true,
        },
        Some(id) => literal(id, &crop, &question, &mut remarks)?,
    };
    // The moisture tended to is part of the answer: where its set is stretched, so is the answer.
    let (set_source, id) = (&set.evidence.source, &set.id);
    let warm =
        common::inside(&mut remarks, "temperature", temperature, Kind::Temperature, set.temperature, id, set_source);
    let humid = common::inside(
        &mut remarks,
        "relative humidity",
        relative_humidity,
        Kind::RelativeHumidity,
        set.humidity,
        id,
        set_source,
    );
    if equilibrium > initial {
        let says =
            Phrase::new("the air is more humid than the grain: it takes up water, and laws of drying are stretched");
        remarks.add(Remark::new("rewetting", says));
    }
    let moisture = |ratio: f64| wet_basis(equilibrium + ratio * (initial - equilibrium));
    let result = Drying {
        crop: crop.id.clone(),
        moisture_wb: moisture(applied.ratio),
        moisture_ratio: applied.ratio,
        relation: applied.relation,
        equilibrium_wb: wet_basis(equilibrium),
        equilibrium_relation: set.id.clone(),
        moisture_wb_bounds: applied.fast.map(|fast| {
            let (a, b) = (moisture(applied.ratio), moisture(fast));
            Spread { low: a.min(b), high: a.max(b) }
        }),
        source: applied.source.citation,
        source_status: applied.source.status,
        in_range: Some(applied.in_range && warm && humid),
    };
    Ok(Answer { result, remarks })
}

/// The crop's own kernel, or the slower of the two that bound it.
fn own(crop: &Crop, question: &Question, remarks: &mut Remarks) -> Result<Applied, Failure> {
    let kinetics = crop.kinetics().map_err(|e| common::missing(&e))?;
    let t = question.at.temperature;
    let ratio = |fit: &CompartmentFit| fit.constants.moisture_ratio(t, question.seconds);
    let (fit, fast): (&CompartmentFit, Option<f64>) = match &kinetics.production {
        Production::Fitted(fit) => (fit, None),
        Production::Bounds { slow, fast } => {
            let says =
                Phrase::new("no drying law of {crop} is recorded: the answer is that of {slow}, {fast} bounds it")
                    .text("crop", &crop.id)
                    .text("slow", format!("two-compartment-{}", slow.id))
                    .text("fast", format!("two-compartment-{}", fast.id));
            remarks.add(Remark::new("crop-kinetics-bounded", says));
            (slow, Some(ratio(fast)))
        }
    };
    let source = &fit.evidence.source;
    let in_range = common::inside(remarks, "air temperature", t, Kind::Temperature, fit.temperature, &fit.id, source);
    let says = Phrase::new("{fit} stands for the published law {law}, from which it differs by {misfit} in moisture ratio (root mean square)")
        .text("fit", format!("two-compartment-{}", fit.id))
        .text("law", &fit.fitted_to)
        .text("misfit", format!("{:.3}", fit.rms_misfit));
    remarks.add(Remark::new("kinetics-fitted", says));
    Ok(Applied {
        relation: format!("two-compartment-{}", fit.id),
        ratio: ratio(fit),
        fast,
        source: source.clone(),
        in_range: in_range && fast.is_none(),
    })
}

/// A published law taken literally.
fn literal(id: &str, crop: &Crop, question: &Question, remarks: &mut Remarks) -> Result<Applied, Failure> {
    let Some(law) = ThinLayer::from_id(id) else {
        let ids: Vec<&str> = ThinLayer::ALL.iter().map(|law| law.id()).collect();
        let wrong =
            Diagnostic::error("unknown-law", format!("unknown thin-layer law \"{id}\""), common::option("kinetics"))
                .allowed(format!("must be \"equilibrium\" or one of {}", ids.join(", ")));
        return Err(wrong.into());
    };
    let (at, range, source) = (&question.at, law.range(), law.source());
    if range.velocity.is_some() && !question.velocity_given {
        let wrong = Diagnostic::error(
            "missing-option",
            format!("{id} contains the velocity of the air"),
            common::option("velocity"),
        )
        .help("add --velocity \"0.2 m/s\"");
        return Err(wrong.into());
    }
    if !crop.kinetics.iter().flat_map(|k| &k.laws).any(|row| row.id() == id) {
        let says = Phrase::new("{law} is not a law of {crop}: taken literally").text("law", id).text("crop", &crop.id);
        remarks.add(Remark::new("law-of-another-crop", says));
    }
    let ratio = checked_moisture_ratio(law, *at, question.seconds).map_err(|e| common::impossible(&e))?;
    let checks = [
        ("air temperature", at.temperature, Kind::Temperature, Some(range.temperature)),
        ("relative humidity", at.relative_humidity, Kind::RelativeHumidity, range.relative_humidity),
        ("initial moisture", at.initial_moisture, Kind::MoistureDryBasis, range.initial_moisture),
        ("air velocity", at.velocity, Kind::Velocity, range.velocity),
    ];
    let mut in_range = true;
    for (what, value, kind, range) in checks {
        if let Some(range) = range {
            in_range &= common::inside(remarks, what, value, kind, range, id, &source);
        }
    }
    Ok(Applied { relation: id.into(), ratio, fast: None, source, in_range })
}

/// The answer as text.
pub fn view(answer: &Drying, _out: &Out) -> String {
    let percent = |v: f64| format!("{:.2} % wet basis", 100.0 * v);
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["moisture at the end", &percent(answer.moisture_wb)]);
    if let Some(bounds) = &answer.moisture_wb_bounds {
        table.row(["between", &format!("{} and {}", percent(bounds.low), percent(bounds.high))]);
    }
    table.row(["moisture ratio", &format!("{:.4}", answer.moisture_ratio)]);
    table.row(["equilibrium", &format!("{} ({})", percent(answer.equilibrium_wb), answer.equilibrium_relation)]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", common::status(answer.source_status)]);
    table.row(["range", common::range_word(answer.in_range)]);
    table.render()
}
