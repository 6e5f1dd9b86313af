//! Handbook answers: one question, one answer, its source and whether it lies inside its evidence.

mod air;
mod combustion;
mod crop_list;
mod drying;
mod equilibrium;
mod fuel;
mod grain;
mod motor;
mod orifice;
mod pipe;
mod resistance;
mod sound;
mod storage;
mod tank;

use crate::{
    args::Lookup,
    exit::{Ending, Failure},
    output::Out,
};
use advice::lookup::Answer;
use contract::Document;
use serde::Serialize;

/// Answers one question.
pub fn run(which: &Lookup, out: &mut Out) -> Result<Ending, Failure> {
    match which {
        Lookup::Air(args) => give(out, "lookup-air/1", air::answer(args)?, air::view),
        Lookup::Equilibrium(args) => give(out, "lookup-equilibrium/1", equilibrium::answer(args)?, equilibrium::view),
        Lookup::Resistance(args) => give(out, "lookup-resistance/1", resistance::answer(args)?, resistance::view),
        Lookup::Storage(args) => give(out, "lookup-storage/1", storage::answer(args)?, storage::view),
        Lookup::Drying(args) => give(out, "lookup-drying/1", drying::answer(args)?, drying::view),
        Lookup::Grain(args) => give(out, "lookup-grain/1", grain::answer(args)?, grain::view),
        Lookup::Crops => give(out, "lookup-crops/1", crop_list::answer(), crop_list::view),
        Lookup::Orifice(args) => give(out, "lookup-orifice/1", orifice::answer(args)?, orifice::view),
        Lookup::Pipe(args) => give(out, "lookup-pipe/1", pipe::answer(args)?, pipe::view),
        Lookup::Tank(args) => give(out, "lookup-tank/1", tank::answer(args)?, tank::view),
        Lookup::Fuel(args) => give(out, "lookup-fuel/1", fuel::answer(args)?, fuel::view),
        Lookup::Combustion(args) => give(out, "lookup-combustion/1", combustion::answer(args)?, combustion::view),
        Lookup::Motor(args) => give(out, "lookup-motor/1", motor::answer(args)?, motor::view),
        Lookup::Sound(args) => give(out, "lookup-sound/1", sound::answer(args)?, sound::view),
    }
}

/// Writes an answer as JSON or as text in the reader's units; remarks belong to the result in both.
fn give<T: Serialize>(
    out: &mut Out,
    schema: &str,
    answer: Answer<T>,
    view: impl Fn(&T, &Out) -> String,
) -> Result<Ending, Failure> {
    if out.json {
        out.json(&Document::new(schema, &answer.result, &answer.remarks))?;
    } else {
        let mut text = view(&answer.result, out);
        for remark in &answer.remarks.0 {
            text.push_str(&format!("note: {}\n", remark.says.render(out.units)));
        }
        out.text(&text)?;
    }
    Ok(Ending::Done)
}
