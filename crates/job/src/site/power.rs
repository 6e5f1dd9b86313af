//! `[power]`: the electric supply of the site.

use super::goal::or;
use crate::facts::{FeederFacts, PowerFacts};
use crate::parse::{QuantityError, shown};
use equipment::wiring::{self, CONDUCTORS, Metal};
use notice::Kind;
use physics::electric::{self, Phases};
use sheet::{Limits, Node};

const VOLTS: Limits = Limits::within(100.0, 1000.0, "from 100 V to 1000 V");
const SERVICE: Limits = Limits::within(10.0, 5000.0, "from 10 A to 5000 A");
const LENGTH: Limits = Limits::above(0.0, 5000.0, "above 0 and at most 5000 m (16,400 ft)");
const OTHER: Limits = Limits::within(0.0, 1e6, "from 0 to 1000 kW");
const GENERATOR: Limits = Limits::within(100.0, 1e7, "from 100 W to 10 MW");

/// Reads the table. Defaults: nothing known of service, feeder, generator and other load.
pub(super) fn read(node: Node<'_, '_>) -> Option<PowerFacts> {
    let phases = node.needed_choice("phases", &[("single", Phases::Single), ("three", Phases::Three)]);
    let volts = node.needed_quantity("volts", "240 V", Kind::Voltage, VOLTS);
    let service = or(&node, "service", None, |n, k| n.quantity(k, Kind::Current, SERVICE).map(Some));
    let feeder = or(&node, "feeder", None, |n, k| feeder(n.table(k)?).map(Some));
    let other = or(&node, "other", 0.0, |n, k| n.quantity(k, Kind::ElectricPower, OTHER));
    let generator = or(&node, "generator", None, |n, k| n.quantity(k, Kind::ElectricPower, GENERATOR).map(Some));
    let letter = or(&node, "code_letter", None, |n, k| n.parsed(k, code_letter).map(Some));
    node.close();
    Some(PowerFacts {
        phases: phases?,
        volts: volts?,
        service: service?,
        feeder: feeder?,
        other: other?,
        generator: generator?,
        code_letter: letter?,
    })
}

fn code_letter(text: &str) -> Result<char, QuantityError> {
    let mut letters = text.trim().chars();
    match (letters.next(), letters.next()) {
        (Some(letter), None) if electric::code_letter(letter).is_some() => Ok(letter.to_ascii_uppercase()),
        _ => Err(QuantityError::new("code-letter", format!("code letter {:?}", shown(text)))
            .allowed("must be one letter from A to V without I, O and Q, as on the plate of the motor")),
    }
}

/// Defaults: copper.
fn feeder(node: Node<'_, '_>) -> Option<FeederFacts> {
    let length = node.needed_quantity("length", "250 ft", Kind::Length, LENGTH);
    let conductor = node.needed("conductor", "4/0", |text| {
        wiring::conductor(text).ok_or_else(|| {
            let names = CONDUCTORS.map(|c| c.name).join(", ");
            QuantityError::new("unknown-conductor", format!("conductor {:?}", shown(text)))
                .allowed(format!("must be one of {names} (American wire gauge)"))
        })
    });
    let metals = [("copper", Metal::Copper), ("aluminum", Metal::Aluminium)];
    let metal = or(&node, "metal", Metal::Copper, |n, k| n.choice(k, &metals));
    node.close();
    let (conductor, metal) = (conductor?, metal?);
    Some(FeederFacts { length: length?, conductor: conductor.name, resistance: conductor.resistance(metal) })
}
