//! `control` and `cooling` of an outfit: when fans run and what the burner is asked.
//!
//! The rule of `control` holds while the bin is filled and dried, the rule of `cooling` while dry (or waiting) grain is
//! cooled and held.

use super::goal::{hours_between, or};
use crate::parse;
use crops::MissingCapability;
use equipment::control::GrainReference;
use equipment::{BurnerRule, Control, Rule, SensorPlace, Timing};
use notice::Kind;
use physics::grain::dry_basis;
use physics::isotherm::IsothermForm;
use sheet::{Limits, Node};

const HUMIDITY: Limits = Limits::within(0.0, 1.0, "from 0 % to 100 %");
const MOISTURE: Limits = Limits::within(0.0, 0.45, "from 0 % to 45 % wet basis");
/// Moisture above which a window is overridden: less would run the fans always, unsaid.
const OVERRIDE: Limits = Limits::within(0.05, 0.45, "from 5 % to 45 % wet basis");
const BAND: Limits = Limits::within(0.0, 0.2, "from 0 to 20 points");
const BAND_KELVIN: Limits = Limits::within(0.0, 15.0, "from 0 K to 15 K");
const AVERAGING: Limits = Limits::within(0.0, 240.0 * 3600.0, "from 0 h to 240 h");
const LEAST: Limits = Limits::within(0.0, 48.0 * 3600.0, "from 0 h to 48 h");
const COLDER: Limits = Limits::within(0.0, 30.0, "from 0 K to 30 K");
const AIR: Limits = Limits::within(-60.0, 60.0, "from -60 °C to 60 °C");
const SET: Limits = Limits::within(0.0, 130.0, "from 0 °C to 130 °C (32 °F to 266 °F)");
const RISE: Limits = Limits::above(0.0, 110.0, "above 0 K and at most 110 K");

pub(super) const SENSORS: [(&str, SensorPlace); 4] = [
    ("ambient", SensorPlace::Ambient),
    ("after-fan", SensorPlace::AfterFan),
    ("after-burner", SensorPlace::AfterBurner),
    ("exhaust", SensorPlace::Exhaust),
];

/// Equilibrium of the first lot, where there is one and it is recorded.
pub(super) type Grain<'a> = Option<&'a Result<IsothermForm, MissingCapability>>;

#[derive(Clone, Copy, PartialEq)]
enum RuleKind {
    Continuous,
    Clock,
    Humidity,
    Equilibrium,
    Temperature,
    Off,
}

const DRYING: [(&str, RuleKind); 5] = [
    ("continuous", RuleKind::Continuous),
    ("clock", RuleKind::Clock),
    ("humidity-window", RuleKind::Humidity),
    ("equilibrium-window", RuleKind::Equilibrium),
    ("off", RuleKind::Off),
];
const COOLING: [(&str, RuleKind); 3] =
    [("temperature-window", RuleKind::Temperature), ("continuous", RuleKind::Continuous), ("off", RuleKind::Off)];

/// Cooling when none is said: fans run while outside air is 3 K colder than the mean of the grain and between −20 °C and
/// 10 °C (judgement: colder air is not needed, warmer air cools nothing that matters).
pub(crate) fn cooling_default() -> Rule {
    Rule::TemperatureWindow {
        colder_by: 3.0,
        reference: GrainReference::Warmest,
        low: -20.0,
        high: 10.0,
        place: SensorPlace::Ambient,
    }
}

/// Reads both tables of an outfit of `fans` fans. Without `control`, fans run all the time.
pub(super) fn read(outfit: &Node<'_, '_>, fans: usize, grain: Grain<'_>) -> Option<Control> {
    let default = Drying { rule: Rule::Continuous, timing: Timing::PROMPT, burner: BurnerRule::Off };
    let drying = or(outfit, "control", default, |n, k| drying(n.table(k)?, grain));
    let cooling = or(outfit, "cooling", cooling_default(), |n, k| cooling(n.table(k)?));
    let (drying, cooling) = (drying?, cooling?);
    Some(Control {
        filling: drying.rule,
        drying: drying.rule,
        cooling,
        // Cold grain rests with the fan off and covered; it goes back to cooling when it has warmed.
        holding: Rule::Off,
        timing: drying.timing,
        fans,
        burner: drying.burner,
    })
}

/// Reads a control that may be chosen: as `control` of an outfit, with the usual cooling; its fans are counted later.
pub(super) fn choice(node: Node<'_, '_>, grain: Grain<'_>) -> Option<Control> {
    let drying = drying(node, grain)?;
    Some(Control {
        filling: drying.rule,
        drying: drying.rule,
        cooling: cooling_default(),
        holding: Rule::Off,
        timing: drying.timing,
        fans: 1,
        burner: drying.burner,
    })
}

struct Drying {
    rule: Rule,
    timing: Timing,
    burner: BurnerRule,
}

fn drying(node: Node<'_, '_>, grain: Grain<'_>) -> Option<Drying> {
    let kind = node.needed_choice("kind", &DRYING);
    let rule = kind.and_then(|kind| rule(&node, kind, grain));
    let timing = timing(&node, kind, &rule);
    let burner = or(&node, "burner", BurnerRule::Off, |n, k| burner(n.table(k)?));
    // Faulty kinds leave the other keys unasked; naming them unknown would mislead.
    if kind.is_some() {
        node.close();
    }
    Some(Drying { rule: rule?, timing: timing?, burner: burner? })
}

fn rule(node: &Node<'_, '_>, kind: RuleKind, grain: Grain<'_>) -> Option<Rule> {
    let place = |node: &Node<'_, '_>| or(node, "sensor", SensorPlace::Ambient, |n, k| n.choice(k, &SENSORS));
    match kind {
        RuleKind::Off => Some(Rule::Off),
        RuleKind::Continuous => Some(Rule::Continuous),
        RuleKind::Clock => {
            let from = node.needed("from", "09:00", parse::clock_hour);
            let to = node.needed("to", "21:00", parse::clock_hour);
            let wet = wet_override(node);
            let hours = hours_between(from?, to?);
            if hours.is_empty() {
                node.fault("to", "empty-slot", "clock without an hour", "to must differ from from");
            }
            Some(Rule::Clock { hours: hours.iter().fold(0, |set, hour| set | 1 << hour), wet_override: wet? })
        }
        RuleKind::Humidity => {
            let low = or(node, "low", 0.0, |n, k| n.quantity(k, Kind::RelativeHumidity, HUMIDITY));
            let high = node.needed_quantity("high", "75 %", Kind::RelativeHumidity, HUMIDITY);
            let wet = wet_override(node);
            let place = place(node);
            let (low, high) = (low?, high?);
            window(node, low, high)?;
            Some(Rule::HumidityWindow { low, high, place: place?, wet_override: wet? })
        }
        RuleKind::Equilibrium => {
            let low = node.needed_quantity("low", "12 %", Kind::MoistureWetBasis, MOISTURE);
            let high = node.needed_quantity("high", "15 %", Kind::MoistureWetBasis, MOISTURE);
            let wet = wet_override(node);
            let place = place(node);
            let isotherm = isotherm(node, grain);
            let (low, high) = (low?, high?);
            window(node, low, high)?;
            let dry = dry_basis::<f64>;
            Some(Rule::EquilibriumWindow {
                low: dry(low),
                high: dry(high),
                place: place?,
                isotherm: isotherm?,
                wet_override: wet?,
            })
        }
        RuleKind::Temperature => {
            let colder = or(node, "colder_by", 3.0, |n, k| n.quantity(k, Kind::TemperatureDifference, COLDER));
            let low = or(node, "low", -20.0, |n, k| n.quantity(k, Kind::Temperature, AIR));
            let high = or(node, "high", 10.0, |n, k| n.quantity(k, Kind::Temperature, AIR));
            let place = place(node);
            let (low, high) = (low?, high?);
            window(node, low, high)?;
            Some(Rule::TemperatureWindow {
                colder_by: colder?,
                reference: GrainReference::Warmest,
                low,
                high,
                place: place?,
            })
        }
    }
}

fn window(node: &Node<'_, '_>, low: f64, high: f64) -> Option<()> {
    if low < high {
        return Some(());
    }
    let key = if node.has("low") { "low" } else { "high" };
    node.fault(key, "empty-window", "window whose low end is not below its high end", "low must be below high");
    None
}

/// Moisture of the wettest probe above which fans run regardless, dry basis.
fn wet_override(node: &Node<'_, '_>) -> Option<Option<f64>> {
    or(node, "wet_override", None, |n, k| {
        n.quantity(k, Kind::MoistureWetBasis, OVERRIDE).map(|wet| Some(dry_basis(wet)))
    })
}

/// The table in the control: the equilibrium set of the first lot.
fn isotherm(node: &Node<'_, '_>, grain: Grain<'_>) -> Option<IsothermForm> {
    // Without a lot there is nothing to go by; that is said where the lots are read.
    match grain? {
        Ok(form) => Some(*form),
        Err(missing) => {
            node.add(missing.diagnostic(node.place("kind")));
            None
        }
    }
}

/// Slowness. Defaults: none. The dead band is in points of humidity or moisture, in K for temperatures.
fn timing(node: &Node<'_, '_>, kind: Option<RuleKind>, rule: &Option<Rule>) -> Option<Timing> {
    let dead_band = match kind {
        Some(RuleKind::Humidity | RuleKind::Equilibrium) => {
            or(node, "dead_band", 0.0, |n, k| n.parsed(k, |t| BAND.hold(t, parse::points(t)?)))
        }
        Some(RuleKind::Temperature) => {
            or(node, "dead_band", 0.0, |n, k| n.quantity(k, Kind::TemperatureDifference, BAND_KELVIN))
        }
        _ => Some(0.0),
    };
    let hours =
        |key, limits| or(node, key, 0.0, |n, k| n.quantity(k, Kind::Hours, limits)).map(|seconds| seconds / 3600.0);
    let averaging = hours("averaging", AVERAGING);
    let (run, rest) = (hours("minimum_run", LEAST), hours("minimum_rest", LEAST));
    let mut dead_band = dead_band?;
    match rule {
        // Points wet basis at the middle of the window, as the rule compares dry-basis moistures.
        Some(Rule::EquilibriumWindow { low, high, .. }) => {
            let middle = 0.5 * (low + high);
            dead_band *= (1.0 + middle) * (1.0 + middle);
            if 2.0 * dead_band >= high - low {
                node.fault("dead_band", "dead-band", "dead band wider than half the window", "fans would never start");
            }
        }
        Some(Rule::HumidityWindow { low, high, .. }) if 2.0 * dead_band >= high - low => {
            node.fault("dead_band", "dead-band", "dead band wider than half the window", "fans would never start");
        }
        _ => {}
    }
    Some(Timing { dead_band, averaging_hours: averaging?, minimum_run_hours: run?, minimum_rest_hours: rest? })
}

#[derive(Clone, Copy)]
enum Asks {
    Off,
    Rise,
    Thermostat,
    Humidistat,
    Both,
}

fn burner(node: Node<'_, '_>) -> Option<BurnerRule> {
    let words = [
        ("rise", Asks::Rise),
        ("thermostat", Asks::Thermostat),
        ("humidistat", Asks::Humidistat),
        ("both", Asks::Both),
        ("off", Asks::Off),
    ];
    let humidity = |node: &Node<'_, '_>| node.needed_quantity("humidity", "60 %", Kind::RelativeHumidity, HUMIDITY);
    let temperature = |node: &Node<'_, '_>| node.needed_quantity("temperature", "40 °C", Kind::Temperature, SET);
    let kind = node.needed_choice("kind", &words)?;
    let rule = match kind {
        Asks::Off => Some(BurnerRule::Off),
        Asks::Rise => node.needed_quantity("rise", "3 K", Kind::TemperatureDifference, RISE).map(BurnerRule::FixedRise),
        Asks::Thermostat => temperature(&node).map(BurnerRule::Thermostat),
        Asks::Humidistat => humidity(&node).map(BurnerRule::Humidistat),
        Asks::Both => {
            let (humidity, temperature) = (humidity(&node), temperature(&node));
            humidity
                .zip(temperature)
                .map(|(humidity, temperature)| BurnerRule::HumidistatWithin { humidity, temperature })
        }
    };
    node.close();
    rule
}

fn cooling(node: Node<'_, '_>) -> Option<Rule> {
    let kind = node.needed_choice("kind", &COOLING)?;
    // No table of equilibrium is asked for by any rule of cooling.
    let rule = match kind {
        RuleKind::Continuous => Some(Rule::Continuous),
        RuleKind::Temperature => rule(&node, kind, None),
        _ => Some(Rule::Off),
    };
    node.close();
    rule
}
