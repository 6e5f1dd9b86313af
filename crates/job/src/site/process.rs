//! What a bin is used for beside drying where the grain lies: `aeration`, `batches`, `discharge`, `conditioning`; and what
//! the grain is for: `use`.

use super::bin::MOISTURE;
use super::control::SENSORS;
use super::goal::{days_between, or};
use crate::facts::{
    BatchFacts, ConditioningFacts, DischargeFacts, LotFacts, MonthDay, OutfitFacts, ProcessFacts, StageFacts,
};
use crate::parse;
use equipment::{BurnerRule, Rule, SensorPlace, Towards};
use notice::Kind;
use season::StopRule;
use sheet::{Limits, Node};

const GRAIN: Limits = Limits::within(-30.0, 40.0, "from -30 °C to 40 °C (-22 °F to 104 °F)");
const AIR: Limits = Limits::within(-60.0, 60.0, "from -60 °C to 60 °C");
const MARGIN: Limits = Limits::within(0.0, 30.0, "from 0 K to 30 K");
const HUMIDITY: Limits = Limits::within(0.2, 1.0, "from 20 % to 100 %");
const FILL: Limits = Limits::within(0.0, 48.0 * 3600.0, "from 0 h to 48 h");
const TEMPERING: Limits = Limits::within(0.0, 72.0 * 3600.0, "from 0 h to 72 h");
const A_DAY: Limits = Limits::within(3600.0, 24.0 * 3600.0, "from 1 h to 24 h");
const WITHIN: Limits = Limits::within(1.0, 40.0, "from 1 K to 40 K");
/// Words for what grain is for, and the name that the limits of the crops have for it.
const PURPOSES: [(&str, &str); 4] =
    [("seed", "seed or malting"), ("malting", "seed or malting"), ("milling", "commercial"), ("feed", "feed")];
/// Most stages of a year.
const MOST_STAGES: usize = 12;
/// Coldest air used for cooling when nothing is said, °C, and warmest above the set point of warming, K (judgement).
const COLDEST: f64 = -20.0;
const WARMEST_ABOVE: f64 = 5.0;
/// Days before the first load from which a stage may hold already.
pub const STAGE_BEFORE: i32 = 35;

/// Reads what a bin says of them.
pub(super) fn read(
    bin: &Node<'_, '_>,
    lots: &[LotFacts],
    outfit: Option<&OutfitFacts>,
    rings: bool,
) -> Option<ProcessFacts> {
    let aeration = aeration(bin, lots);
    let batches = or(bin, "batches", None, |n, k| batches(n.table(k)?));
    let discharge = or(bin, "discharge", None, |n, k| discharge(n.table(k)?));
    let conditioning = or(bin, "conditioning", None, |n, k| conditioning(n.table(k)?));
    let purpose = or(bin, "use", None, |n, k| n.choice(k, &PURPOSES).map(Some));
    if rings && bin.has("batches") {
        let allowed = "rings are for grain that is held: leave still_air out";
        bin.fault("still_air", "processes-together", "still_air = \"rings\" beside batches", allowed);
    }
    together(bin, outfit);
    Some(ProcessFacts {
        aeration: aeration?,
        batches: batches?,
        discharge: discharge?,
        conditioning: conditioning?,
        purpose: purpose?,
    })
}

/// What does not go together.
fn together(bin: &Node<'_, '_>, outfit: Option<&OutfitFacts>) {
    let draws = outfit.is_some_and(|outfit| outfit.counterflow.is_some());
    for (key, others) in [
        ("batches", &["aeration", "discharge", "conditioning", "layers"][..]),
        ("conditioning", &["discharge", "layers"][..]),
        ("discharge", &["layers"][..]),
    ] {
        if !bin.has(key) {
            continue;
        }
        let other = others.iter().copied().find(|other| bin.has(other)).or(draws.then_some("counterflow"));
        if let Some(other) = other {
            let found = format!("{key} beside {other}");
            bin.fault(key, "processes-together", found, "one of them: what the one is for the other undoes");
        }
        if outfit.is_some_and(|outfit| matches!(outfit.stop, StopRule::Exhaust { .. })) && key != "discharge" {
            let found = format!("{key} that the exhaust stops");
            bin.fault(key, "stop-by-exhaust", found, "stop must be ideal or probe here");
        }
    }
    if bin.has("batches")
        && outfit.is_some_and(|outfit| outfit.burner.is_none() || outfit.control.burner == BurnerRule::Off)
    {
        let allowed = "the outfit needs a burner, and its control must say what the burner is asked";
        bin.fault("batches", "batches-without-heat", "batches in unheated air", allowed);
    }
}

/// Defaults of a stage: air 3 K colder (or warmer) than the grain; cooling with air from −20 °C up to the set point,
/// warming with air up to 5 K above it; any humidity; the sensor outside.
fn aeration(bin: &Node<'_, '_>, lots: &[LotFacts]) -> Option<Vec<StageFacts>> {
    let key = "aeration";
    let rows = bin.tables(key);
    if rows.len() > MOST_STAGES {
        bin.fault(key, "too-many-stages", format!("{} stages", rows.len()), format!("at most {MOST_STAGES}"));
    }
    let (mut stages, mut whole) = (Vec::new(), true);
    for row in rows {
        match stage(row) {
            Some(stage) => stages.push(stage),
            None => whole = false,
        }
    }
    if let Some(first) = lots.first() {
        let days: Vec<i32> = stages.iter().map(|stage: &StageFacts| after(first.from, stage.from)).collect();
        if days.windows(2).any(|pair| pair[0] >= pair[1]) {
            let allowed = format!(
                "days must rise, counted around the year from {STAGE_BEFORE} days before the first load ({:02}-{:02})",
                first.from.month, first.from.day
            );
            bin.fault(key, "stages-out-of-order", "stage that begins before the one above it", allowed);
        }
    }
    whole.then_some(stages)
}

/// Days from a little before the first load to a stage.
fn after(first: MonthDay, stage: MonthDay) -> i32 {
    (days_between(first, stage) + STAGE_BEFORE).rem_euclid(365)
}

fn stage(node: Node<'_, '_>) -> Option<StageFacts> {
    let from = node.needed("from", "10-20", parse::month_day);
    let words = [("cool", Towards::Colder), ("warm", Towards::Warmer)];
    let towards = or(&node, "kind", Towards::Colder, |n, k| n.choice(k, &words));
    let to = node.needed_quantity("to", "5 °C", Kind::Temperature, GRAIN);
    let margin = or(&node, "margin", 3.0, |n, k| n.quantity(k, Kind::TemperatureDifference, MARGIN));
    let low = or(&node, "low", COLDEST, |n, k| n.quantity(k, Kind::Temperature, AIR));
    let above = if towards == Some(Towards::Warmer) { WARMEST_ABOVE } else { 0.0 };
    let high = or(&node, "high", to.unwrap_or(0.0) + above, |n, k| n.quantity(k, Kind::Temperature, AIR));
    let humid = or(&node, "humidity", 1.0, |n, k| n.quantity(k, Kind::RelativeHumidity, HUMIDITY));
    let place = or(&node, "sensor", SensorPlace::Ambient, |n, k| n.choice(k, &SENSORS));
    if let (Some(low), Some(high)) = (low, high)
        && low >= high
    {
        let key = if node.has("low") { "low" } else { "to" };
        node.fault(
            key,
            "empty-window",
            "window of air whose low end is not below its high end",
            "low must be below high",
        );
    }
    node.close();
    let (towards, to) = (towards?, to?);
    let rule = Rule::AerationWindow { towards, margin: margin?, low: low?, high: high?, humid: humid?, place: place? };
    Some(StageFacts { from: from?, towards, to, rule })
}

/// Defaults: filled in 2 h, cooled to within 5 K of the air outside, unloaded in 2 h (judgement).
fn batches(node: Node<'_, '_>) -> Option<Option<BatchFacts>> {
    if !node.has("count") {
        node.missing("count", "count = 10");
    }
    let count = node.count("count", 1, 400);
    let hours = |key, limits| or(&node, key, 7200.0, |n, k| n.quantity(k, Kind::Hours, limits)).map(|s| s / 3600.0);
    let (fill, unload) = (hours("fill", FILL), hours("unload", FILL));
    let cools = or(&node, "cool", true, |n, k| n.flag(k));
    let within = or(&node, "cool_within", 5.0, |n, k| n.quantity(k, Kind::TemperatureDifference, WITHIN));
    if cools == Some(false) && node.has("cool_within") {
        node.fault("cool_within", "cools-not", "cool_within beside cool = false", "belongs to batches that are cooled");
    }
    let to = node.needed_text("to", "dry-bin");
    node.close();
    let within = within?;
    Some(Some(BatchFacts {
        count: count?,
        fill: fill?,
        cool_within: cools?.then_some(within),
        unload: unload?,
        to: to?,
    }))
}

/// Defaults: no tempering, the dryer runs day and night.
fn discharge(node: Node<'_, '_>) -> Option<Option<DischargeFacts>> {
    let hours = |key, default: f64, limits| {
        or(&node, key, default * 3600.0, |n, k| n.quantity(k, Kind::Hours, limits)).map(|s| s / 3600.0)
    };
    let tempering = hours("tempering", 0.0, TEMPERING);
    let hours_a_day = hours("hours_a_day", 24.0, A_DAY);
    node.close();
    Some(Some(DischargeFacts { tempering: tempering?, hours_a_day: hours_a_day? }))
}

/// Default: the wettest tenth may come to what the goal allows it.
fn conditioning(node: Node<'_, '_>) -> Option<Option<ConditioningFacts>> {
    let most = or(&node, "most", None, |n, k| n.quantity(k, Kind::MoistureWetBasis, MOISTURE).map(Some));
    node.close();
    Some(Some(ConditioningFacts { most: most? }))
}
