//! `air`: fans against the grain. Without a site file the bin is described by options.

use super::site;
use crate::{
    args::AirArgs,
    exit::{Ending, Failure},
    output::Out,
    quantities::Reader,
    table::Table,
};
use advice::lookup::Answer;
use advice::sizing::{self, ESTIMATED_EFFICIENCY, Question, Wanted};
use contract::{
    Document,
    sizing::{FanChoice, Sizing},
};
use notice::{Diagnostic, Kind, Place, Remarks, UnitSystem};

/// The bin of the options against the catalogue.
pub fn without_site(args: &AirArgs, out: &mut Out) -> Result<Ending, Failure> {
    let Answer { result: (wanted, crop), remarks } = question(args)?;
    let catalogue = equipment::demo::demo_catalogue();
    let choices = wanted.choices(&catalogue);
    let answer = Sizing::of(&wanted, crop, &choices);
    let met = answer.fans_that_reach > 0;
    if out.json {
        out.json(&Document::new("air-sizing/1", &answer, &remarks))?;
    } else {
        let mut text = view(&answer, out);
        for remark in &remarks.0 {
            text.push_str(&format!("note: {}\n", remark.says.render(out.units)));
        }
        text.push_str(&format!("{}\n", site::MACHINES));
        out.text(&text)?;
    }
    Ok(if met { Ending::Done } else { Ending::GoalMissed })
}

/// Reads the options; everything missing or impossible is said at once.
fn question(args: &AirArgs) -> Result<Answer<(Wanted, String)>, Failure> {
    let mut reader = Reader::default();
    let need = |reader: &mut Reader, name: &'static str, text: Option<&String>, kind: Kind, example: &str| match text {
        Some(text) => reader.quantity(name, text, kind),
        None => {
            let wrong =
                Diagnostic::error("missing-option", format!("--{name} is missing"), Place::file("command line"))
                    .help(format!("name a site file, or add --{name} \"{example}\""));
            reader.refuse(wrong);
            f64::NAN
        }
    };
    let diameter = need(&mut reader, "diameter", args.diameter.as_ref(), Kind::Length, "36 ft");
    let depth = need(&mut reader, "depth", args.depth.as_ref(), Kind::Length, "18 ft");
    let mut said = Remarks::default();
    let specific_airflow = match &args.airflow {
        Some(text) => reader.airflow(text, args.bulk_density.as_ref(), &mut said),
        None => need(&mut reader, "airflow", None, Kind::SpecificAirflow, "1 cfm/bu"),
    };
    if args.crop.is_none() {
        let wrong = Diagnostic::error("missing-option", "--crop is missing", Place::file("command line"))
            .help("`binwright lookup crops` lists them");
        reader.refuse(wrong);
    }
    let question = Question {
        diameter,
        depth,
        crop: args.crop.clone().unwrap_or_default(),
        specific_airflow,
        packing: args.packing,
        elevation: reader.optional("elevation", args.elevation.as_ref(), Kind::Length).unwrap_or(0.0),
    };
    let mut answer: Answer<(Wanted, String)> = reader.answer(question.faults(), || question.answer())?;
    answer.remarks.extend(said);
    Ok(answer)
}

/// An estimate with no more digits than it deserves.
fn about(value: f64) -> String {
    if value < 1.0 { format!("{value:.2}") } else { format!("{value:.1}") }
}

/// The answer as text.
fn view(answer: &Sizing, out: &Out) -> String {
    let mut text = format!(
        "{}{} of {} as filled, {} deep in a bin {} across: {} asks for {}\n\n",
        out.show(answer.grain_m3, Kind::GrainVolume),
        if out.units == UnitSystem::Us { " by volume" } else { "" },
        answer.crop,
        out.show(answer.depth_m, Kind::Length),
        out.show(answer.diameter_m, Kind::Length),
        out.show(answer.specific_airflow_1_s, Kind::SpecificAirflow),
        answer.required.last().map(|r| out.show(r.airflow_m3_s, Kind::Airflow)).unwrap_or_default(),
    );
    let mut table = Table::measured(&[
        ("depth", out.unit(Kind::Length)),
        ("grain", out.unit(Kind::GrainVolume)),
        ("airflow", out.unit(Kind::Airflow)),
        ("velocity", out.unit(Kind::Velocity)),
        ("static pressure", out.unit(Kind::Pressure)),
        ("shaft power, about", out.unit(Kind::ShaftPower)),
    ]);
    for r in &answer.required {
        table.row([
            out.number(r.depth_m, Kind::Length),
            out.number(r.grain_m3, Kind::GrainVolume),
            out.number(r.airflow_m3_s, Kind::Airflow),
            out.number(r.velocity_m_s, Kind::Velocity),
            out.number(r.static_pressure_pa, Kind::Pressure),
            about(r.shaft_power_estimate_w * Kind::ShaftPower.shown(out.units).factor),
        ]);
    }
    text.push_str(&table.render());
    text.push_str(&format!(
        "shaft power at {:.0} % static efficiency, before a fan is chosen (common practice, no source)\n\n",
        100.0 * ESTIMATED_EFFICIENCY
    ));
    let reach: Vec<&FanChoice> = answer.fans.iter().filter(|f| f.reaches).collect();
    if reach.is_empty() {
        text.push_str("DEMO catalogue: no fan, alone or two alike in parallel, gives this airflow at this depth\n");
    } else {
        text.push_str(&format!(
            "DEMO catalogue: {} choices give it, single fans first, then two alike in parallel\n",
            reach.len()
        ));
        text.push_str(&fans(&reach, out));
    }
    let short: Vec<&FanChoice> = answer.fans.iter().filter(|f| !f.reaches && f.deepest_m.is_some()).collect();
    if !short.is_empty() {
        text.push_str("\nnot at this depth (too little air, or an unstable fan), but enough for less grain\n");
        text.push_str(&fans(&short, out));
    }
    text
}

fn fans(choices: &[&FanChoice], out: &Out) -> String {
    let mut table = Table::measured(&[
        ("fan", ""),
        ("airflow", out.unit(Kind::Airflow)),
        ("per grain", out.unit(Kind::SpecificAirflow)),
        ("static pressure", out.unit(Kind::Pressure)),
        ("electric input", out.unit(Kind::ElectricPower)),
        ("enough up to", out.unit(Kind::Length)),
        ("", ""),
    ]);
    for f in choices {
        let show = |value: Option<f64>, kind: Kind| value.map_or("-".into(), |v| out.number(v, kind));
        let deepest = match f.deepest_m {
            Some(d) if d >= sizing::DEEPEST => format!("over {}", out.number(d, Kind::Length)),
            other => show(other, Kind::Length),
        };
        let mut notes = Vec::new();
        if f.outcome != "works" {
            notes.push(f.outcome.replace('-', " "));
        }
        if f.overload {
            notes.push("motor overloaded".into());
        }
        table.row([
            if f.count == 1 { f.fan.clone() } else { format!("{} × {}", f.count, f.fan) },
            show(f.airflow_m3_s, Kind::Airflow),
            show(f.specific_airflow_1_s, Kind::SpecificAirflow),
            show(f.static_pressure_pa, Kind::Pressure),
            f.input_power_w.map_or("-".into(), |w| format!("{:.1}", w / 1000.0)),
            deepest,
            notes.join(", "),
        ]);
    }
    table.render()
}
