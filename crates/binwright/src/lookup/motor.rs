//! `lookup motor`: currents of a motor, its load, its feeder.

use super::Answer;
use crate::args::{MetalArg, MotorLookup, PhasesArg};
use crate::{exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::motor::{Feeder, Question};
use contract::lookup::power::{Judged, Motor};
use equipment::wiring::Metal;
use notice::Kind;
use physics::electric::Phases;

/// Answers the question.
pub fn answer(args: &MotorLookup) -> Result<Answer<Motor>, Failure> {
    let mut reader = Reader::default();
    let length = reader.optional("feeder", args.feeder.as_ref(), Kind::Length);
    let question = Question {
        rated: reader.quantity("power", &args.power, Kind::ShaftPower),
        volts: reader.quantity("volts", &args.volts, Kind::Voltage),
        phases: match args.phases {
            PhasesArg::One => Phases::Single,
            PhasesArg::Three => Phases::Three,
        },
        shaft: reader.optional("shaft", args.shaft.as_ref(), Kind::ShaftPower),
        efficiency: reader.optional("efficiency", args.efficiency.as_ref(), Kind::Fraction),
        power_factor: reader.optional("power-factor", args.power_factor.as_ref(), Kind::Fraction),
        service_factor: reader.optional("service-factor", args.service_factor.as_ref(), Kind::Number),
        code_letter: args.code_letter,
        feeder: length.zip(args.conductor.clone()).map(|(length, conductor)| Feeder {
            length,
            conductor,
            metal: match args.metal {
                MetalArg::Copper => Metal::Copper,
                MetalArg::Aluminium => Metal::Aluminium,
            },
        }),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Motor, out: &Out) -> String {
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let ampere = |current: Option<f64>| current.map_or("none in the table".into(), |a| out.about(a, Kind::Current, 3));
    let mut table = Table::facts();
    table.row(["rated power", &out.show(answer.rated_w, Kind::ShaftPower)]);
    table.row(["power at the shaft", &out.show(answer.shaft_w, Kind::ShaftPower)]);
    let judged = match answer.judged {
        Judged::Within => "within the rating",
        Judged::InServiceFactor => "inside the service factor",
        Judged::Over => "BEYOND the service factor",
    };
    table.row(["load", &format!("{}, {judged} (service factor {:.2})", percent(answer.load), answer.service_factor)]);
    table.row([
        "efficiency, power factor there",
        &format!("{}, {}", percent(answer.efficiency), percent(answer.power_factor)),
    ]);
    table.row(["electric power", &out.about(answer.input_w, Kind::ElectricPower, 3)]);
    table.row(["running current", &out.about(answer.running_current_a, Kind::Current, 3)]);
    table.row(["code's full-load current", &ampere(answer.code_current_a)]);
    table.row(["conductor at least (code × 1.25)", &ampere(answer.conductor_current_a)]);
    let to = answer.locked_rotor_high_a.map_or("more".into(), |a| out.about(a, Kind::Current, 2));
    table.row([
        "locked rotor",
        &format!(
            "{} to {to}, code letter {}",
            out.about(answer.locked_rotor_low_a, Kind::Current, 2),
            answer.code_letter
        ),
    ]);
    table.row(["generator: at start", &out.about(answer.starting_va, Kind::ApparentPower, 2)]);
    let engine = format!(
        "{} to {}",
        out.about(answer.engine_low_w, Kind::ShaftPower, 2),
        out.about(answer.engine_high_w, Kind::ShaftPower, 2)
    );
    table.row(["generator: engine, running", &engine]);
    if let Some(feeder) = &answer.feeder {
        table.row([
            "feeder loses",
            &format!("{}, {}", out.about(feeder.drop_v, Kind::Voltage, 2), percent(feeder.share)),
        ]);
        table.row(["and at start", &percent(feeder.share_at_start)]);
    }
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.render()
}
