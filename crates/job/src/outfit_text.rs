//! An outfit said as a site file says it, so that what was found by searching can be written down: controls, and the changes that
//! make a bin's outfit another one.

use crate::change::Change;
use crate::choose::FillChoice;
use crate::facts::{Amount, BinFacts};
use equipment::{Arrangement, Burner, BurnerRule, Control, Fan, Rule, SensorPlace};
use physics::grain::wet_basis;
use season::{StirWhen, Stirring};

/// Rounded so that what comes of counting in fractions reads as it was said: at most six digits after the point.
fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".into() } else { short.into() }
}

fn percent(share: f64) -> String {
    format!("\"{} %\"", number(100.0 * share))
}

fn moisture(dry_basis: f64) -> String {
    percent(wet_basis(dry_basis))
}

fn sensor(place: SensorPlace) -> Option<String> {
    let word = match place {
        SensorPlace::Ambient => return None,
        SensorPlace::AfterFan => "after-fan",
        SensorPlace::AfterBurner => "after-burner",
        SensorPlace::Exhaust => "exhaust",
    };
    Some(format!("sensor = \"{word}\""))
}

/// A clock's hours as one stretch, over midnight where need be; nothing where they are several.
fn stretch(hours: u32) -> Option<(u32, u32)> {
    let on = |hour: u32| hours & (1 << (hour % 24)) != 0;
    let count = (0..24).filter(|hour| on(*hour)).count() as u32;
    if count == 24 {
        return Some((0, 24));
    }
    let from = (0..24).find(|hour| on(*hour) && !on(hour + 23))?;
    (from..from + count).all(on).then_some((from, (from + count - 1) % 24 + 1))
}

/// A control of drying as the table `control` of a site file; nothing for what no file can say. The moisture table of a window of
/// equilibrium is that of the bin's first lot, as the reader of the file takes it.
pub fn control(control: &Control) -> Option<String> {
    let mut parts: Vec<String> = Vec::new();
    let wet = |wet: Option<f64>| wet.map(|wet| format!("wet_override = {}", moisture(wet)));
    let mut band = 1.0;
    match control.drying {
        Rule::Off => parts.push("kind = \"off\"".into()),
        Rule::Continuous => parts.push("kind = \"continuous\"".into()),
        Rule::Clock { hours, wet_override } => {
            let (from, to) = stretch(hours)?;
            parts.push(format!("kind = \"clock\", from = \"{from:02}:00\", to = \"{to:02}:00\""));
            parts.extend(wet(wet_override));
        }
        Rule::HumidityWindow { low, high, place, wet_override } => {
            parts.push(format!("kind = \"humidity-window\", low = {}, high = {}", percent(low), percent(high)));
            parts.extend(wet(wet_override).into_iter().chain(sensor(place)));
        }
        Rule::EquilibriumWindow { low, high, place, wet_override, .. } => {
            parts.push(format!("kind = \"equilibrium-window\", low = {}, high = {}", moisture(low), moisture(high)));
            parts.extend(wet(wet_override).into_iter().chain(sensor(place)));
            // The reader turns points wet basis into dry basis at the middle of the window.
            let middle = 0.5 * (low + high);
            band = 1.0 / ((1.0 + middle) * (1.0 + middle));
        }
        Rule::TemperatureWindow { .. } | Rule::AerationWindow { .. } => return None,
    }
    let timing = control.timing;
    if timing.dead_band > 0.0 {
        parts.push(format!("dead_band = \"{} points\"", number(100.0 * band * timing.dead_band)));
    }
    for (key, hours) in [
        ("averaging", timing.averaging_hours),
        ("minimum_run", timing.minimum_run_hours),
        ("minimum_rest", timing.minimum_rest_hours),
    ] {
        if hours > 0.0 {
            parts.push(format!("{key} = \"{} h\"", number(hours)));
        }
    }
    let burner = match control.burner {
        BurnerRule::Off => None,
        BurnerRule::FixedRise(rise) => Some(format!("kind = \"rise\", rise = \"{} K\"", number(rise))),
        BurnerRule::Thermostat(set) => Some(format!("kind = \"thermostat\", temperature = \"{} °C\"", number(set))),
        BurnerRule::Humidistat(set) => Some(format!("kind = \"humidistat\", humidity = {}", percent(set))),
        BurnerRule::HumidistatWithin { humidity, temperature } => Some(format!(
            "kind = \"both\", humidity = {}, temperature = \"{} °C\"",
            percent(humidity),
            number(temperature)
        )),
    };
    parts.extend(burner.map(|burner| format!("burner = {{ {burner} }}")));
    Some(format!("{{ {} }}", parts.join(", ")))
}

/// An outfit to be written down for a bin.
pub struct Written<'a> {
    /// Fans.
    pub fans: &'a [Fan],
    /// How they stand.
    pub arrangement: Arrangement,
    /// Burner.
    pub burner: Option<&'a Burner>,
    /// Control of drying; the cooling in the file stays.
    pub control: &'a Control,
    /// Stirring machine.
    pub stirring: Option<&'a Stirring>,
    /// How the bin is filled.
    pub filling: FillChoice,
}

/// The changes that make a bin's outfit another one; nothing for filling in layers, which makes other lots, and for what no file
/// can say.
pub fn changes(bin: &BinFacts, outfit: &Written<'_>) -> Option<Vec<Change>> {
    if outfit.filling.layers > 1 {
        return None;
    }
    let mut list = Vec::new();
    let mut put = |path: String, value_text: String| list.push(Change { path, value_text });
    let at = |key: &str| format!("bins.{}.outfit.{key}", bin.name);
    let ids: Vec<String> = outfit.fans.iter().map(|fan| format!("\"{}\"", fan.id)).collect();
    put(at("fans"), format!("[{}]", ids.join(", ")));
    if outfit.arrangement != bin.outfit.arrangement {
        let word = if outfit.arrangement == Arrangement::Series { "series" } else { "parallel" };
        put(at("arrangement"), word.into());
    }
    if outfit.burner != bin.outfit.burner.as_ref() {
        put(at("burner"), outfit.burner.map_or(String::new(), |burner| burner.id.clone()));
        // What was said of several burners and how they switch belongs to the one before.
        put(at("firing"), String::new());
    }
    // A table is taken away whole before another one takes its place.
    put(at("control"), String::new());
    put(at("control"), control(outfit.control)?);
    if outfit.stirring != bin.outfit.stirring.as_ref() {
        put(at("stirring"), String::new());
        if let Some(machine) = outfit.stirring {
            put(at("stirring"), stirring(machine));
        }
    }
    if outfit.filling != FillChoice::AS_IT_STANDS {
        for (k, lot) in bin.lots.iter().enumerate() {
            let (share, lot_at) = (outfit.filling.share, |key: &str| format!("bins.{}.lots[{k}].{key}", bin.name));
            match lot.amount {
                Amount::WetMass(kg) => put(lot_at("quantity"), format!("{} kg", number(kg * share))),
                Amount::Bushels(n) => put(lot_at("quantity"), format!("{} bu", number(n * share))),
                Amount::Depth(m) => put(lot_at("depth"), format!("{} m", number(m * share))),
            }
            if let Some(days) = outfit.filling.days {
                put(lot_at("days"), days.to_string());
            }
        }
    }
    Some(list)
}

fn stirring(machine: &Stirring) -> String {
    let mut text = format!(
        "{{ power = \"{} W\", every = \"{} h\", round = \"{} h\", clearance = \"{} m\"",
        number(machine.power),
        machine.every,
        machine.round,
        number(machine.clearance)
    );
    if let StirWhen::FillingThenFront { below_surface } = machine.when {
        text.push_str(&format!(", when = \"filling-then-front\", front = \"{} m\"", number(below_surface)));
    }
    text + " }"
}
