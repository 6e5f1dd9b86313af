//! `[bins.NAME.outfit.firing]`: how many burners there are, how they switch, and what their plate says of the gas.

use super::goal::or;
use crate::facts::FiringFacts;
use equipment::arrangement::MAX_FANS;
use equipment::firing::Sharing;
use notice::Kind;
use sheet::{Limits, Node};

const DEAD_BAND: Limits = Limits::within(0.1, 20.0, "from 0.1 K to 20 K (0.2 °F to 36 °F)");
const HUMIDITY_BAND: Limits = Limits::within(0.002, 0.30, "from 0.2 % to 30 %");
const IGNITION: Limits = Limits::within(0.0, 300.0, "from 0 s to 5 min");
const STEEL: Limits = Limits::within(0.0, 1e5, "from 0 to 100 t (220,000 lb)");
const GAS_PRESSURE: Limits = Limits::within(10.0, 700e3, "from 10 Pa (0.04 in wc) to 700 kPa (100 psi)");
const ORIFICE: Limits = Limits::within(1e-4, 0.1, "from 0.1 mm (0.004 in) to 100 mm (4 in)");

/// Reads `firing` of an outfit with so many fans. Defaults: [`FiringFacts::USUAL`].
pub(super) fn read(outfit: &Node<'_, '_>, fans: usize) -> Option<FiringFacts> {
    or(outfit, "firing", FiringFacts::USUAL, |n, k| {
        let usual = FiringFacts::USUAL;
        let node = n.table(k)?;
        let burners =
            or(&node, "burners", usual.burners, |n, k| n.count(k, 1, MAX_FANS as u32).map(|count| count as usize));
        if burners.is_some_and(|count| count > fans) {
            let found = format!("{} burners on {fans} fan{}", burners.unwrap_or(0), if fans == 1 { "" } else { "s" });
            node.fault("burners", "more-burners-than-fans", found, "each burner stands at a fan of its own");
        }
        let words =
            [("in-step", Sharing::InStep), ("in-sequence", Sharing::InSequence), ("on-their-own", Sharing::OnTheirOwn)];
        let sharing = or(&node, "sharing", usual.sharing, |n, k| n.choice(k, &words));
        let dead_band =
            or(&node, "dead_band", usual.dead_band, |n, k| n.quantity(k, Kind::TemperatureDifference, DEAD_BAND));
        let humidity_band = or(&node, "humidity_band", usual.humidity_band, |n, k| {
            n.quantity(k, Kind::RelativeHumidity, HUMIDITY_BAND)
        });
        let ignition = or(&node, "ignition", usual.ignition, |n, k| n.quantity(k, Kind::Hours, IGNITION));
        let steel = or(&node, "steel", None, |n, k| n.quantity(k, Kind::Mass, STEEL).map(Some));
        let gas = or(&node, "gas_pressure", None, |n, k| n.quantity(k, Kind::GasPressure, GAS_PRESSURE).map(Some));
        let orifice = or(&node, "orifice", None, |n, k| n.quantity(k, Kind::Bore, ORIFICE).map(Some));
        node.close();
        Some(FiringFacts {
            burners: burners?,
            sharing: sharing?,
            dead_band: dead_band?,
            humidity_band: humidity_band?,
            ignition: ignition?,
            steel: steel?,
            gas_pressure: gas?,
            orifice: orifice?,
        })
    })
}
