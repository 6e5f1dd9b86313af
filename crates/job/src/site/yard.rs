//! `[yard]`: where bins and dwellings stand and how loud it may be there.

use super::goal::or;
use crate::facts::{BinFacts, Dwelling, DwellingPlace, YardBin, YardFacts};
use crate::parse;
use notice::Kind;
use physics::sound::Octaves;
use sheet::{Limits, Node};

const PLACE: Limits = Limits::within(-5000.0, 5000.0, "from -5000 m to 5000 m (16,400 ft)");
const DISTANCE: Limits =
    Limits::above(0.0, 10_000.0, "above 0 and at most 10 km: nothing can be said at the fan itself");
const HEIGHT: Limits = Limits::within(-100.0, 100.0, "from -100 m to 100 m");
const LEVEL: Limits = Limits::within(20.0, 120.0, "from 20 dB to 120 dB, A-weighted");
const BAND: Limits = Limits::within(0.0, 160.0, "from 0 dB to 160 dB");
/// Most dwellings.
const MOST_DWELLINGS: usize = 50;

/// Reads the table. Defaults: hard ground, the bin itself as a wall behind its fans, no limit.
pub(super) fn read(node: Node<'_, '_>, bins: &[BinFacts], named: &[String]) -> Option<YardFacts> {
    let ground = or(&node, "ground", true, |n, k| n.choice(k, &[("hard", true), ("soft", false)]));
    let day = or(&node, "limit_day", None, |n, k| n.quantity(k, Kind::SoundLevel, LEVEL).map(Some));
    let night = or(&node, "limit_night", None, |n, k| n.quantity(k, Kind::SoundLevel, LEVEL).map(Some));
    let mut places = Vec::new();
    let mut whole = true;
    if let Some(table) = node.needed_table("bins") {
        for name in table.names() {
            // A bin that could not be read is there all the same.
            if !named.contains(&name) {
                table.unknown_word(&name, &name, named.iter().map(String::as_str));
                whole = false;
                continue;
            }
            match table.named(&name).and_then(|row| place(&name, row)) {
                Some(place) => places.push(place),
                None => whole = false,
            }
        }
    }
    let rows = node.tables("dwellings");
    if rows.len() > MOST_DWELLINGS {
        let found = format!("{} dwellings", rows.len());
        node.fault(
            "dwellings",
            "too-many-dwellings",
            found,
            format!("at most {MOST_DWELLINGS}: leave out the far ones"),
        );
        return None;
    }
    let mut dwellings = Vec::new();
    for row in rows {
        match dwelling(&row, &places, bins) {
            Some(one) => dwellings.push(one),
            None => whole = false,
        }
        row.close();
    }
    node.close();
    if !whole {
        return None;
    }
    Some(YardFacts { hard_ground: ground?, limit_day: day?, limit_night: night?, bins: places, dwellings })
}

fn place(name: &str, node: Node<'_, '_>) -> Option<YardBin> {
    let east = or(&node, "east", 0.0, |n, k| n.quantity(k, Kind::Length, PLACE));
    let north = or(&node, "north", 0.0, |n, k| n.quantity(k, Kind::Length, PLACE));
    let wall = or(&node, "wall", true, |n, k| n.flag(k));
    let blades = or(&node, "blades", None, |n, k| n.count(k, 2, 100).map(Some));
    let maker = or(&node, "sound_power", None, |n, k| maker(n, k).map(Some));
    node.close();
    let at = (east?, north?);
    Some(YardBin { bin: name.to_string(), at, wall: wall?, blades: blades?, maker: maker? })
}

/// Eight levels of the maker.
fn maker(node: &Node<'_, '_>, key: &'static str) -> Option<Octaves> {
    let texts = node.texts(key)?;
    let Ok(texts) = <[String; 8]>::try_from(texts) else {
        node.fault(
            key,
            "eight-bands",
            "sound power in another number of bands than eight",
            "must be eight levels, at 63, 125, 250, 500, 1000, 2000, 4000 and 8000 Hz",
        );
        return None;
    };
    let mut bands = [0.0; 8];
    for (band, text) in bands.iter_mut().zip(&texts) {
        match parse::quantity(Kind::SoundLevel, text).and_then(|level| BAND.hold(text, level)) {
            Ok(level) => *band = level,
            Err(error) => {
                node.refuse(key, error);
                return None;
            }
        }
    }
    Some(Octaves(bands))
}

fn dwelling(node: &Node<'_, '_>, places: &[YardBin], bins: &[BinFacts]) -> Option<Dwelling> {
    let name = or(node, "name", "dwelling".to_string(), |n, k| n.text(k));
    let distance = node.quantity("distance", Kind::Length, DISTANCE);
    let (had, placed) = (node.has("distance"), node.has("east") || node.has("north"));
    let east = or(node, "east", 0.0, |n, k| n.quantity(k, Kind::Length, PLACE));
    let north = or(node, "north", 0.0, |n, k| n.quantity(k, Kind::Length, PLACE));
    let height = or(node, "height", 0.0, |n, k| n.quantity(k, Kind::Length, HEIGHT));
    match (had, placed) {
        (false, false) => {
            node.missing("distance", "distance = \"400 ft\" from the fans, or east and north as of the bins");
            return None;
        }
        (true, true) => {
            node.fault(
                "distance",
                "dwelling-twice",
                "distance beside east and north",
                "one of the two says where it is",
            );
            return None;
        }
        (true, false) => return Some(Dwelling { name: name?, at: DwellingPlace::Distance(distance?) }),
        (false, true) => {}
    }
    let (name, east, north, height) = (name?, east?, north?, height?);
    let inside = places.iter().find(|place| {
        let radius = bins.iter().find(|bin| bin.name == place.bin).map_or(0.0, |bin| 0.5 * bin.diameter);
        (place.at.0 - east).hypot(place.at.1 - north) < radius
    });
    if let Some(place) = inside {
        let key = if node.has("east") { "east" } else { "north" };
        node.fault(
            key,
            "dwelling-in-bin",
            format!("{name} stands inside bin {}", place.bin),
            "must stand clear of every bin: nothing can be said at the fan itself",
        );
        return None;
    }
    Some(Dwelling { name, at: DwellingPlace::Position(east, north, height) })
}
