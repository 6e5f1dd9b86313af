//! Load sheets: what the electrician, the gas fitter and the structural engineer are asked to decide on.

mod electric;
mod fuel;
mod structure;

use super::Desk;
use crate::paper::{Block, Paper, PaperKind};

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut paper = desk.begin(PaperKind::Loads, desk.facts());
    let blocks = &mut paper.blocks;
    blocks.push(Block::text(
        "These sheets say what the outfit asks of wires, gas and structure. They size nothing: who decides stands at the head of each \
         sheet, and the local code always goes before it.",
    ));
    blocks.push(Block::Table(desk.who_decides(&[
        (
            "motors, wires, breakers, drives, generator",
            "shaft and electric power, running and code currents, voltage lost",
            "licensed electrician, utility, electrical code",
        ),
        (
            "gas pipe, regulators, vaporizers, tanks, burner",
            "heat, fuel, pressures along the line, what the tanks boil off",
            "licensed gas fitter, fuel supplier, gas code",
        ),
        (
            "floor, walls, roof, fan pads, snow and wind",
            "pressure of the air, weight of the grain",
            "structural engineer or the bin’s maker, building code",
        ),
        ("sound at a neighbour’s", "an estimated level", "noise rules of the place"),
        ("entry and rescue", "cautions", "trained people, fire service"),
    ])));
    blocks.push(desk.cautions(&[]));
    let burner = desk.of.bin.template.burner.is_some();
    if !burner {
        blocks.push(Block::heading("Fuel"));
        blocks.extend(desk.fuel());
    }
    // A sheet for each of those who decide.
    blocks.push(Block::NewPage);
    blocks.push(Block::heading("Electric"));
    blocks.push(Block::text("Decided by a licensed electrician, the utility and the electrical code."));
    blocks.extend(desk.electric());
    if burner {
        blocks.push(Block::NewPage);
        blocks.push(Block::heading("Fuel"));
        blocks.push(Block::text("Decided by a licensed gas fitter, the fuel supplier and the gas code."));
        blocks.extend(desk.fuel());
    }
    blocks.push(Block::NewPage);
    blocks.push(Block::heading("Structure and roof"));
    blocks.push(Block::text("Decided by a structural engineer or the bin’s maker and the building code."));
    blocks.extend(desk.structure());
    blocks.push(Block::heading("Sound"));
    blocks.push(Block::text("Decided by the noise rules of the place, measured on the spot."));
    blocks.extend(desk.sound_sheet());
    paper
}
