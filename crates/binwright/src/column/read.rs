//! Case files: text to a column in SI. Everything wrong with a file is said at once.

use super::{
    ColumnCase, Exchange, InletStep, MOST_LAYERS, inlet,
    text::{Sheet, Table},
};
use crops::{Crop, Library, Production};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Range, Remark, Remarks};
use physics::{air, sorption::SorptionHeat, thin_layer::ThinLayer};

/// Layers where nothing is said.
const LAYERS: f64 = 400.0;
/// Shortest and longest step where nothing is said, s.
const STEP: Range = Range::new(10.0, 300.0);
/// Steps in which as much dry air passes as there is dry matter, where nothing is said: a front then moves by a few layers
/// a step, and halving the step moves no compared value of the reference beds out of its tolerance.
const STEPS_A_FILL: f64 = 120.0;
/// Damaged kernels of combine-shelled corn in the loss law's source, mass fraction.
const DAMAGE: f64 = 0.30;
/// Moisture (w.b.) at which a gap of wet-basis points is turned into one of dry basis.
const GAP_MOISTURE: f64 = 0.15;
/// Most steps of a run: half an hour of work.
const MOST_WORK: f64 = 2e10;

const KEYS: &[&str] = &[
    "crop",
    "relation",
    "kinetics",
    "kinetics_velocity",
    "rewetting",
    "humidity_cap",
    "depth",
    "dry_matter_density",
    "dry_matter_specific_heat",
    "water_specific_heat",
    "dry_air_flux",
    "velocity",
    "airflow",
    "pressure",
    "moisture",
    "grain_temperature",
    "sorption_heat",
    "respiration",
    "layers",
    "step",
    "hours",
    "depths",
    "inlet",
];
const INLET_KEYS: &[&str] = &["air", "relative_humidity", "humidity_ratio", "table"];

/// A case with the names it was made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// The column.
    pub case: ColumnCase,
    /// Crop after aliases.
    pub crop: String,
    /// Id of the equilibrium relation.
    pub relation: String,
    /// Law of exchange.
    pub kinetics: String,
    /// What was assumed.
    pub remarks: Remarks,
}

/// Reads a case. `open` gives the text of a file named in it.
pub fn read(name: &str, text: &str, open: &dyn Fn(&str) -> std::io::Result<String>) -> Result<Read, Diagnostics> {
    let sheet = Sheet::new(name, text);
    let parsed = sheet.parse();
    let broken = sheet.take();
    if broken.stop() {
        // What a broken text seems to say would only add misleading faults.
        return Err(broken);
    }
    let top = Table::top(&sheet, &parsed);
    top.only(KEYS);
    let read = resolve(&sheet, &top, open);
    let wrong = sheet.take();
    match read {
        Some(read) if !wrong.stop() => Ok(read),
        _ => Err(wrong),
    }
}

fn resolve(sheet: &Sheet<'_>, top: &Table<'_, '_>, open: &dyn Fn(&str) -> std::io::Result<String>) -> Option<Read> {
    let mut remarks = Remarks::default();
    let library = Library::built_in();
    let crop = find_crop(sheet, top, &library, &mut remarks);

    // Everything that needs no crop is read first, so that one missing name does not hide other faults.
    let pressure = top.quantity("pressure", Kind::Barometric, Range::new(6e4, 1.1e5)).unwrap_or(air::STANDARD_PRESSURE);
    let depth = needed(top, "depth", Kind::Length, Range::new(0.01, 60.0), "\"4 m\"");
    let moisture_wb = needed(top, "moisture", Kind::MoistureWetBasis, Range::new(0.01, 0.6), "\"17 %\"");
    let temperature = needed(top, "grain_temperature", Kind::Temperature, Range::new(-40.0, 100.0), "\"18 C\"");
    let layers = top.number("layers", Range::new(2.0, MOST_LAYERS as f64)).unwrap_or(LAYERS);
    if layers.fract() != 0.0 {
        top.wrong("layers", "impossible", format!("layers of {layers}"), "must be a whole number");
    }
    let step = top.quantity("step", Kind::Hours, Range::new(0.1, 86_400.0));
    let hours = hours(top);
    let air = inlet::read(top, pressure, depth, INLET_KEYS, open, sheet, &mut remarks);
    let depths = top.quantities("depths", Kind::Length, Range::new(0.0, 60.0)).unwrap_or_default();
    for beyond in depths.iter().filter(|d| **d > depth) {
        let found = format!("depth of {beyond} m in depths");
        top.wrong("depths", "impossible", found, format!("must lie in the column of {depth} m"));
    }
    let humidity_cap = top.number("humidity_cap", Range::new(0.5, 0.9999)).unwrap_or(0.98);
    let water_heat = top.quantity("water_specific_heat", Kind::SpecificHeat, Range::new(1000.0, 6000.0));
    let dry_heat = top.quantity("dry_matter_specific_heat", Kind::SpecificHeat, Range::new(100.0, 6000.0));
    let density = top.quantity("dry_matter_density", Kind::Density, Range::new(50.0, 2000.0));
    let velocity = top.quantity("kinetics_velocity", Kind::Velocity, Range::new(0.0, 10.0));
    let sorption_heat = top.truth("sorption_heat").unwrap_or(true);
    let respiration = top.truth("respiration");
    let rewetting = rewetting(top);

    let crop = crop?;
    let set = match crop.isotherm(top.text("relation")) {
        Ok(set) => set,
        Err(missing) => {
            sheet.add(missing.diagnostic(top.place("relation")));
            return None;
        }
    };
    let (exchange, kinetics) = exchange(sheet, top, crop, velocity, &mut remarks)?;
    let own = matches!(exchange, Exchange::Kernel(_));
    let lacking = |missing: crops::MissingCapability, key: &str| sheet.add(missing.diagnostic(top.place(key)));
    let dry_heat = dry_heat.or_else(|| crop.dry_heat().map(|h| h.value).map_err(|e| lacking(e, "crop")).ok())?;
    let dry_density = density.or_else(|| crop.dry_matter_density(moisture_wb).map_err(|e| lacking(e, "crop")).ok())?;
    let air = air?;
    let most = air.iter().map(|s| s.flux).fold(0.0, f64::max);
    let step = step.unwrap_or((depth * dry_density / (most * STEPS_A_FILL)).clamp(STEP.low, STEP.high));
    let judged = crop.storage.published.iter().chain(&crop.storage.strict);
    let loss_law = judged.clone().any(|r| matches!(r.law, physics::storability::StorageLaw::CornDryMatterLoss { .. }));
    let respires = respiration.unwrap_or(loss_law);
    if respires && !loss_law {
        let found = format!("respiration of {}", crop.id);
        top.wrong("respiration", "missing-capability", found, "must be false: no law of dry-matter loss is recorded");
    }
    if judged.count() == 0 {
        let says = Phrase::new("storage of {crop} is not judged: no relation is recorded").text("crop", &crop.id);
        remarks.add(Remark::new("crop-storage-not-judged", says));
    }
    let gap = crop.adsorption_offset_wb.value.value / (1.0 - GAP_MOISTURE).powi(2);
    let case = ColumnCase {
        isotherm: set.form,
        sorption: if sorption_heat { crop.sorption_heat(&set.form) } else { SorptionHeat::NONE },
        exchange,
        rewetting: rewetting.unwrap_or(1.0),
        // A stated rewetting speaks of one branch; so do literal laws and equilibrium.
        adsorption_gap: if own && rewetting.is_none() { gap } else { 0.0 },
        humidity_cap,
        depth,
        dry_density,
        shrink: if density.is_some() { 0.0 } else { 100.0 * crop.shrink_per_point.value.value },
        dry_specific_heat: dry_heat,
        water_specific_heat: water_heat.unwrap_or(air::SPECIFIC_HEAT_WATER),
        conductivity: crop.bulk_conductivity(moisture_wb).unwrap_or(0.15),
        pressure,
        moisture: moisture_wb / (1.0 - moisture_wb),
        temperature,
        respiration: respires.then_some(DAMAGE),
        published: crop.storage.published.iter().map(|row| row.law).collect(),
        strict: crop.storage.strict.iter().map(|row| row.law).collect(),
        layers: layers as usize,
        step,
        inlet: air,
        hours: hours?,
        depths,
    };
    let work = case.hours.last().copied().unwrap_or(0.0) * 3600.0 / step * layers;
    if work > MOST_WORK {
        let found = format!("{layers} layers at a step of {step} s over {} h", case.hours.last().unwrap_or(&0.0));
        top.wrong("step", "too-much", found, "must be at most 20 billion layer steps");
    }
    Some(Read { case, crop: crop.id.clone(), relation: set.id.clone(), kinetics, remarks })
}

/// A quantity that must be there; NaN stands in for what is missing.
fn needed(top: &Table<'_, '_>, key: &str, kind: Kind, range: Range, example: &str) -> f64 {
    if !top.has(key) {
        top.missing(key, example);
    }
    top.quantity(key, kind, range).unwrap_or(f64::NAN)
}

fn find_crop<'l>(
    sheet: &Sheet<'_>,
    top: &Table<'_, '_>,
    library: &'l Library,
    remarks: &mut Remarks,
) -> Option<&'l Crop> {
    if !top.has("crop") {
        top.missing("crop", "\"corn\"");
    }
    match library.find(top.text("crop")?) {
        Ok((crop, alias)) => {
            alias.into_iter().for_each(|remark| remarks.add(remark));
            Some(crop)
        }
        Err(mut diagnostic) => {
            diagnostic.at = top.place("crop");
            sheet.add(*diagnostic);
            None
        }
    }
}

fn hours(top: &Table<'_, '_>) -> Option<Vec<f64>> {
    if !top.has("hours") {
        top.missing("hours", "[24, 240]");
    }
    let hours = top.numbers("hours", Range::new(0.0, 1e5))?;
    if hours.is_empty() || hours.windows(2).any(|w| w[1] <= w[0]) {
        top.wrong(
            "hours",
            "impossible",
            format!("hours of {hours:?}"),
            "must be at least one, each later than the last",
        );
        return None;
    }
    Some(hours)
}

/// "same", "none" or a fraction of the drying rate.
fn rewetting(top: &Table<'_, '_>) -> Option<f64> {
    if !top.has("rewetting") {
        return None;
    }
    match top.peek_text("rewetting") {
        Some("same") => Some(1.0),
        Some("none") => Some(0.0),
        Some(text) => {
            let allowed = "must be \"same\", \"none\" or a fraction of the drying rate from 0 to 1";
            top.wrong("rewetting", "unknown-word", format!("rewetting of \"{text}\""), allowed);
            None
        }
        None => top.number("rewetting", Range::new(0.0, 1.0)),
    }
}

fn exchange(
    sheet: &Sheet<'_>,
    top: &Table<'_, '_>,
    crop: &Crop,
    velocity: Option<f64>,
    remarks: &mut Remarks,
) -> Option<(Exchange, String)> {
    let id = match top.text("kinetics") {
        Some("equilibrium") => return Some((Exchange::Equilibrium, "equilibrium".into())),
        Some(id) => id,
        None if top.has("kinetics") => return None,
        None => {
            let kinetics = crop.kinetics().map_err(|e| sheet.add(e.diagnostic(top.place("crop")))).ok()?;
            let fit = match &kinetics.production {
                Production::Fitted(fit) => fit,
                Production::Bounds { slow, .. } => {
                    let says = Phrase::new("no drying law of {crop} is recorded: run with the slower bound {slow}")
                        .text("crop", &crop.id)
                        .text("slow", &slow.id);
                    remarks.add(Remark::new("crop-kinetics-bounded", says));
                    slow
                }
            };
            return Some((Exchange::Kernel(fit.constants), format!("two-compartment-{}", fit.id)));
        }
    };
    let Some(law) = ThinLayer::from_id(id) else {
        let ids: Vec<&str> = ThinLayer::ALL.iter().map(|law| law.id()).collect();
        let allowed = format!("must be \"equilibrium\" or one of {}", ids.join(", "));
        top.wrong("kinetics", "unknown-law", format!("unknown thin-layer law \"{id}\""), allowed);
        return None;
    };
    if law.range().velocity.is_some() && velocity.is_none() {
        let at = top.place("kinetics_velocity");
        sheet.add(
            Diagnostic::error("missing-key", format!("{id} contains the velocity of the air"), at)
                .help("add kinetics_velocity = \"0.15 m/s\""),
        );
        return None;
    }
    if !crop.kinetics.iter().flat_map(|k| &k.laws).any(|row| row.id() == id) {
        let says = Phrase::new("{law} is not a law of {crop}: taken literally").text("law", id).text("crop", &crop.id);
        remarks.add(Remark::new("law-of-another-crop", says));
    }
    Some((Exchange::Literal(law, velocity.unwrap_or(0.0)), id.into()))
}

/// The flux of dry air that a case states, if it does: exactly one of the three ways.
pub(super) fn flux(top: &Table<'_, '_>, depth: f64, volume: impl Fn() -> f64) -> Option<f64> {
    let ways: Vec<&str> = ["dry_air_flux", "velocity", "airflow"].into_iter().filter(|key| top.has(key)).collect();
    match ways.as_slice() {
        [] => {
            top.missing("dry_air_flux", "\"0.065 kg/s/m2\", or velocity = \"0.1 m/s\", or airflow = \"1 cfm/bu\"");
            None
        }
        ["dry_air_flux"] => top.quantity("dry_air_flux", Kind::MassFlux, Range::new(0.0, 20.0)),
        ["velocity"] => top.quantity("velocity", Kind::Velocity, Range::new(0.0, 10.0)).map(|v| v / volume()),
        ["airflow"] => {
            top.quantity("airflow", Kind::SpecificAirflow, Range::new(0.0, 5.0)).map(|a| a * depth / volume())
        }
        [.., second] => {
            let found = format!("{} together", ways.join(" and "));
            top.wrong(second, "contradiction", found, "must be one of them");
            None
        }
    }
}

/// The step that holds from hour 0.
pub(super) fn constant(temperature: f64, humidity_ratio: f64, flux: f64) -> Vec<InletStep> {
    vec![InletStep { hour: 0.0, temperature, humidity_ratio, flux }]
}
