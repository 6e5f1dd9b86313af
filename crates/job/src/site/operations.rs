//! What an outfit does beside blowing and warming air: `sensors`, `stop`, `stirring`; and `layers` of a bin.

use super::bin::MOISTURE;
use super::goal::or;
use crate::facts::LayersFacts;
use crate::library;
use notice::Kind;
use physics::grain::dry_basis;
use season::operations::Band;
use season::{Counterflow, FloorSensor, StirWhen, Stirring, StopRule};
use sheet::{Limits, Node};

const HUMIDITY: Limits = Limits::within(0.0, 0.20, "from 0 % to 20 %");
const TEMPERATURE: Limits = Limits::within(0.0, 5.0, "from 0 K to 5 K");
const PROBING: Limits = Limits::within(3600.0, 90.0 * 86_400.0, "from 1 h to 90 d");
const COMPARED: Limits = Limits::within(3600.0, 14.0 * 86_400.0, "from 1 h to 14 d");
const ROUND: Limits = Limits::within(3600.0, 30.0 * 86_400.0, "from 1 h to 30 d");
const CLEARANCE: Limits = Limits::within(0.0, 5.0, "from 0 m to 5 m (16 ft)");
const POWER: Limits = Limits::within(0.0, 1e5, "from 0 to 100 kW");
const FRONT: Limits = Limits::within(0.0, 10.0, "from 0 m to 10 m (33 ft)");
const WARM: Limits = Limits::within(0.0, 130.0, "from 0 °C to 130 °C (32 °F to 266 °F)");
const HEIGHT: Limits = Limits::within(0.0, 3.0, "from 0 m to 3 m (10 ft)");
const LAYER: Limits = Limits::within(0.02, 2.0, "from 0.02 m to 2 m (1 in. to 6.6 ft)");
const KEEP: Limits = Limits::within(0.3, 10.0, "from 0.3 m to 10 m (1 ft to 33 ft)");

/// Height that the augers leave when nothing is said, m: about 4 in. (judgement).
pub const CLEARANCE_ASSUMED: f64 = 0.1;

/// Reads `sensors`: the text "ideal", or a table. Default: ±4 % relative humidity and ±0.5 K.
pub(super) fn sensors(outfit: &Node<'_, '_>) -> Option<Option<Band>> {
    let key = "sensors";
    if outfit.is_text(key) {
        return outfit.choice(key, &[("ideal", None)]);
    }
    or(outfit, key, Some(Band::USUAL), |n, k| {
        let node = n.table(k)?;
        let humidity =
            or(&node, "humidity", Band::USUAL.humidity, |n, k| n.quantity(k, Kind::RelativeHumidity, HUMIDITY));
        let temperature = or(&node, "temperature", Band::USUAL.temperature, |n, k| {
            n.quantity(k, Kind::TemperatureDifference, TEMPERATURE)
        });
        node.close();
        Some(Some(Band { humidity: humidity?, temperature: temperature? }))
    })
}

#[derive(Clone, Copy)]
enum Stops {
    Ideal,
    Probe,
    Exhaust,
}

/// Reads `stop`. Defaults: the ideal rule; probing once a week at five depths; a week of air.
pub(super) fn stop(outfit: &Node<'_, '_>) -> Option<StopRule> {
    or(outfit, "stop", StopRule::Ideal, |n, k| {
        let node = n.table(k)?;
        let words = [("ideal", Stops::Ideal), ("probe", Stops::Probe), ("exhaust", Stops::Exhaust)];
        let hours = |key, default, limits| {
            or(&node, key, default, |n, k| n.quantity(k, Kind::Days, limits)).map(|seconds: f64| seconds / 3600.0)
        };
        let rule = match node.needed_choice("kind", &words)? {
            Stops::Ideal => Some(StopRule::Ideal),
            Stops::Probe => {
                let every = hours("every", 7.0 * 86_400.0, PROBING);
                let depths = or(&node, "depths", 5, |n, k| n.count(k, 1, 20));
                every.zip(depths).map(|(h, d)| StopRule::Probe { every: h.round() as i64, depths: d as usize })
            }
            Stops::Exhaust => {
                hours("over", 7.0 * 86_400.0, COMPARED).map(|h| StopRule::Exhaust { hours: h.round() as usize })
            }
        };
        node.close();
        rule
    })
}

/// Reads `stirring`. Defaults: one round a day that takes the day, 0.1 m of clearance, while the bin is filled and dried.
pub(super) fn stirring(outfit: &Node<'_, '_>) -> Option<Option<Stirring>> {
    or(outfit, "stirring", None, |n, k| {
        let node = n.table(k)?;
        let hours = |key, default: f64| {
            or(&node, key, default, |n, k| n.quantity(k, Kind::Hours, ROUND)).map(|s| (s / 3600.0).round() as i64)
        };
        let every = hours("every", 86_400.0);
        let round = hours("round", every.map_or(86_400.0, |h| h as f64 * 3600.0));
        if let (Some(every), Some(round)) = (every, round)
            && round > every
        {
            let found = format!("round of {round} h every {every} h");
            node.fault("round", "round-too-long", found, "a round must end before the next begins");
        }
        let clearance = or(&node, "clearance", CLEARANCE_ASSUMED, |n, k| n.quantity(k, Kind::Length, CLEARANCE));
        let power = node.needed_quantity("power", "2 hp", Kind::ElectricPower, POWER);
        let words = [("always", false), ("filling-then-front", true)];
        let waits = or(&node, "when", false, |n, k| n.choice(k, &words));
        let front = or(&node, "front", 0.6, |n, k| n.quantity(k, Kind::Length, FRONT));
        if waits == Some(false) && node.has("front") {
            node.fault("front", "front-unused", "front beside when = \"always\"", "belongs to \"filling-then-front\"");
        }
        node.close();
        let when = match waits? {
            true => StirWhen::FillingThenFront { below_surface: front? },
            false => StirWhen::Always,
        };
        Some(Some(Stirring { every: every?, round: round?, clearance: clearance?, power: power?, when }))
    })
}

/// Reads `counterflow`. Defaults: a sensor 0.3 m above the floor, 0.1 m drawn at once, 0.6 m kept (judgement).
pub(super) fn counterflow(outfit: &Node<'_, '_>) -> Option<Option<Counterflow>> {
    or(outfit, "counterflow", None, |n, k| {
        let node = n.table(k)?;
        let moisture = or(&node, "moisture", None, |n, k| n.quantity(k, Kind::MoistureWetBasis, MOISTURE).map(Some));
        let warm = or(&node, "temperature", None, |n, k| n.quantity(k, Kind::Temperature, WARM).map(Some));
        if node.has("moisture") == node.has("temperature") {
            let found =
                if node.has("moisture") { "moisture beside temperature" } else { "sensor that goes by nothing" };
            n.fault(
                k,
                "one-floor-sensor",
                found,
                "one of moisture = \"15 %\" and temperature = \"45 °C\" says when to draw",
            );
        }
        let height = or(&node, "height", 0.3, |n, k| n.quantity(k, Kind::Length, HEIGHT));
        let layer = or(&node, "layer", 0.1, |n, k| n.quantity(k, Kind::Length, LAYER));
        let keep = or(&node, "keep", 0.6, |n, k| n.quantity(k, Kind::Length, KEEP));
        let to = node.needed("to", "dry-bin", |text| library::check_name(text).map(|()| text.to_string()));
        if let (Some(height), Some(keep)) = (height, keep)
            && height >= keep
        {
            let found = "sensor as high as the grain that is kept, or higher";
            node.fault(
                if node.has("height") { "height" } else { "keep" },
                "sensor-above-grain",
                found,
                "height must be below keep",
            );
        }
        node.close();
        let sensor = match (moisture?, warm?) {
            (Some(wet), None) => FloorSensor::Moisture(dry_basis(wet)),
            (None, Some(warm)) => FloorSensor::Temperature(warm),
            _ => return None,
        };
        Some(Some(Counterflow { sensor, height: height?, layer: layer?, keep: keep?, to: to? }))
    })
}

/// Reads `layers` of a bin of so many lots.
pub(super) fn layers(bin: &Node<'_, '_>, lots: usize) -> Option<Option<LayersFacts>> {
    or(bin, "layers", None, |n, k| {
        let node = n.table(k)?;
        let dry = or(&node, "dry_enough", None, |n, k| n.quantity(k, Kind::MoistureWetBasis, MOISTURE).map(Some));
        if lots < 2 {
            let allowed = "each layer is a lot of its own, with the day from which it may come";
            n.fault(k, "one-layer", format!("filling in layers with {lots} lot"), allowed);
        }
        node.close();
        Some(Some(LayersFacts { dry_enough: dry? }))
    })
}
