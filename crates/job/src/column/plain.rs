//! What a case says without its crop: geometry, grid, times, and what overrides the crop.

use super::{MOST_LAYERS, NEARLY_SATURATED, text::Fields};
use bed::ColumnParams;
use notice::{Kind, Range};
use physics::air;
use season::column::LAYERS;
use sheet::Node;

/// Most hours, and most depths, to show.
const MOST_SHOWN: usize = 10_000;
/// Most hours times depths.
const MOST_POINTS: usize = 1_000_000;
/// Share of a layer's change that its air sees, as it may be chosen: below a half the sweep rings.
const AIR_SEES: Range = Range::new(0.5, 1.0);
/// The plain part of a case in SI; NaN stands for what was refused.
pub struct Plain {
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Depth as filled, m.
    pub depth: f64,
    /// Moisture as filled, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature as filled, °C.
    pub temperature: f64,
    /// Layers.
    pub layers: usize,
    /// Step, s, when stated.
    pub step: Option<f64>,
    /// Hours to show, rising.
    pub hours: Vec<f64>,
    /// Depths to show, m.
    pub depths: Vec<f64>,
    /// Highest humidity for which equilibrium is asked, when stated.
    pub humidity_cap: Option<f64>,
    /// Share of a layer's change that its air sees.
    pub air_sees: f64,
    /// Dry matter, kg/m³, when stated.
    pub density: Option<f64>,
    /// Specific heat of dry matter, J/(kg K), when stated.
    pub dry_heat: Option<f64>,
    /// Specific heat of the grain's water, J/(kg K).
    pub water_heat: f64,
    /// Whether the heat of sorption counts.
    pub sorption_heat: bool,
    /// Whether respiration counts, when stated.
    pub respiration: Option<bool>,
    /// Share of the drying rate at which grain rewets, when stated.
    pub rewetting: Option<f64>,
}

impl Plain {
    /// Reads it; what is wrong is noted.
    pub fn read(top: &Node<'_, '_>) -> Self {
        let depth = needed(top, "depth", Kind::Length, Range::new(0.01, 60.0), "\"4 m\"");
        let hours = hours(top);
        let depths = depths(top, depth);
        if hours.len() * depths.len() > MOST_POINTS {
            let found = format!("{} hours times {} depths", hours.len(), depths.len());
            top.fault("depths", "too-many", found, format!("must be {MOST_POINTS} points at most"));
        }
        Self {
            pressure: top
                .quantity_in("pressure", Kind::Barometric, Range::new(6e4, 1.1e5))
                .unwrap_or(air::STANDARD_PRESSURE),
            depth,
            moisture_wb: needed(top, "moisture", Kind::MoistureWetBasis, Range::new(0.01, 0.6), "\"17 %\""),
            temperature: needed(top, "grain_temperature", Kind::Temperature, Range::new(-40.0, 100.0), "\"18 C\""),
            layers: layers(top),
            step: top.quantity_in("step", Kind::Hours, Range::new(0.1, 86_400.0)),
            hours,
            depths,
            // At saturation itself several relations give no finite moisture.
            humidity_cap: top.number("humidity_cap", 0.5, 1.0).map(|cap| cap.min(NEARLY_SATURATED)),
            // Laws named for verification are published for plain upwind layers; production uses the sharper scheme.
            air_sees: top.number("air_sees", AIR_SEES.low, AIR_SEES.high).unwrap_or(if top.has("kinetics") {
                1.0
            } else {
                ColumnParams::AIR_SEES
            }),
            density: top.quantity_in("dry_matter_density", Kind::Density, Range::new(50.0, 2000.0)),
            dry_heat: top.quantity_in("dry_matter_specific_heat", Kind::SpecificHeat, Range::new(100.0, 6000.0)),
            water_heat: top
                .quantity_in("water_specific_heat", Kind::SpecificHeat, Range::new(1000.0, 6000.0))
                .unwrap_or(air::SPECIFIC_HEAT_WATER),
            sorption_heat: top.flag("sorption_heat").unwrap_or(true),
            respiration: top.flag("respiration"),
            rewetting: rewetting(top),
        }
    }
}

/// A quantity that must be there.
fn needed(top: &Node<'_, '_>, key: &'static str, kind: Kind, range: Range, example: &str) -> f64 {
    if !top.has(key) {
        top.missing(key, &format!("{key} = {example}"));
    }
    top.quantity_in(key, kind, range).unwrap_or(f64::NAN)
}

fn layers(top: &Node<'_, '_>) -> usize {
    top.count("layers", 1, MOST_LAYERS as u32).map_or(LAYERS, |layers| layers as usize)
}

fn hours(top: &Node<'_, '_>) -> Vec<f64> {
    if !top.has("hours") {
        top.missing("hours", "hours = [24, 240]");
    }
    let Some(hours) = top.numbers_in("hours", Range::new(0.0, 1e5)) else { return Vec::new() };
    if hours.is_empty() {
        top.fault("hours", "empty-list", "hours without an hour", "must hold at least one");
    }
    too_many(top, "hours", hours.len());
    if let Some(pair) = hours.windows(2).find(|pair| pair[1] <= pair[0]) {
        let found = format!("hour {} after hour {}", pair[1], pair[0]);
        top.fault("hours", "not-rising", found, "must each be later than the one before");
    }
    hours
}

fn depths(top: &Node<'_, '_>, depth: f64) -> Vec<f64> {
    let depths = top.quantities_in("depths", Kind::Length, Range::new(0.0, 60.0)).unwrap_or_default();
    too_many(top, "depths", depths.len());
    for beyond in depths.iter().filter(|d| **d > depth * (1.0 + 1e-9)) {
        let found = format!("depth of {beyond} m in depths");
        top.fault("depths", "impossible", found, format!("must lie in the column of {depth} m"));
    }
    depths
}

fn too_many(top: &Node<'_, '_>, key: &str, count: usize) {
    if count > MOST_SHOWN {
        top.fault(key, "too-many", format!("{count} {key}"), format!("must be {MOST_SHOWN} at most"));
    }
}

/// "same", "none" or a fraction of the drying rate.
fn rewetting(top: &Node<'_, '_>) -> Option<f64> {
    match top.peek_text("rewetting") {
        Some("same") => Some(1.0),
        Some("none") => Some(0.0),
        Some(text) => {
            let allowed = "must be \"same\", \"none\" or a fraction of the drying rate from 0 to 1";
            top.fault("rewetting", "unknown-word", format!("rewetting of \"{text}\""), allowed);
            None
        }
        None => top.number("rewetting", 0.0, 1.0),
    }
}
