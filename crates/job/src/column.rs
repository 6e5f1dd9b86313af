//! Case files of one even column: text to a column in SI. Everything wrong with a file is said at once.
//!
//! The keys are listed in [`KEYS`]; quantities are texts with a unit, counts, hours and ratios bare. What is left out
//! comes from the crop, and what was assumed is said in the remarks.

mod assumed;
mod exchange;
mod flux;
mod inlet;
mod plain;
mod ranges;
mod text;

use crops::{Crop, IsothermSet, Library, MissingCapability};
use exchange::Chosen;
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks};
use physics::{air, isotherm::HUMIDITY_CAP, sorption::SorptionHeat, storability::StorageLaw};
use plain::Plain;
use season::column::{ColumnCase, ColumnRun, Exchange};
use sheet::{Node, Sheet};

/// Most layers: a front is some ten layers wide at 400.
pub const MOST_LAYERS: usize = 5000;
/// Most layers times steps in the kernel: some minutes.
const MOST_KERNEL_WORK: f64 = 5e8;
/// Most layers times steps under a literal law, which is slower.
const MOST_LITERAL_WORK: f64 = 2e7;
/// Highest humidity for which a bare equilibrium or a law of one rate is asked, where nothing is said.
const NEARLY_SATURATED: f64 = 0.9999;
/// Conductivity where none is recorded, W/(m K): the middle of the recorded grains; matters with the fan off only.
const CONDUCTIVITY: f64 = 0.15;

/// Gives the text of a file that lies beside the case file, by its plain name.
pub type Open<'a> = &'a dyn Fn(&str) -> std::io::Result<String>;

/// The keys of a case file.
pub const KEYS: &[&str] = &[
    "crop",
    "relation",
    "kinetics",
    "kinetics_velocity",
    "rewetting",
    "humidity_cap",
    "air_sees",
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

/// A case with the names and the evidence it was made of.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnJob {
    /// The column.
    pub case: ColumnCase,
    /// Crop after aliases.
    pub crop: String,
    /// Equilibrium relation.
    pub relation: IsothermSet,
    /// Law of exchange: `equilibrium`, an id of a thin-layer law, or the crop's own kernel.
    pub kinetics: String,
    /// Temperatures that the law of exchange rests on, °C.
    pub kinetics_temperature: Option<Range>,
    /// What was assumed.
    pub remarks: Remarks,
}

impl ColumnJob {
    /// All there is to say beside a result: what was assumed, what the run met, what lies outside its evidence.
    pub fn remarks_on(&self, run: &ColumnRun) -> Remarks {
        let mut remarks = self.remarks.clone();
        remarks.extend(run.remarks.clone());
        remarks.extend(ranges::outside(self, run));
        remarks
    }
}

/// Reads a case file. `name` is used in messages; `open` gives a table that the file names.
///
/// # Errors
/// All that is wrong with the file and its table, in the order of the text.
pub fn read(name: &str, text: &str, open: Open<'_>) -> Result<ColumnJob, Diagnostics> {
    let sheet = Sheet::new(name, text);
    let parsed = sheet.parse();
    // What a broken text seems to say would only add misleading faults.
    let job = parsed.filter(|_| !sheet.stops()).and_then(|table| {
        let top = Node::top(&sheet, &table);
        top.only(KEYS);
        resolve(&sheet, &top, open)
    });
    let (wrong, _) = sheet.finish();
    match job {
        Some(job) if !wrong.stop() => Ok(job),
        _ => Err(wrong),
    }
}

fn resolve(sheet: &Sheet<'_>, top: &Node<'_, '_>, open: Open<'_>) -> Option<ColumnJob> {
    let mut remarks = Remarks::default();
    let library = Library::built_in();
    let crop = find_crop(sheet, top, &library, &mut remarks);
    // What needs no crop is read first, so that one missing name does not hide other faults.
    let plain = Plain::read(top);
    let bulk_density = bulk_density(top, crop, &plain, &mut remarks);
    let around = inlet::Around { pressure: plain.pressure, depth: plain.depth, bulk_density, open };
    let air = inlet::read(top, &around, sheet, &mut remarks);
    let start = air.as_ref().and_then(|steps| steps.iter().rev().find(|step| step.hour <= 0.0)).copied();
    let velocity = start.map(|s| s.flux * air::specific_volume(s.temperature, s.humidity_ratio, plain.pressure));
    let chosen = exchange::read(sheet, top, crop, velocity, &mut remarks);

    let crop = crop?;
    let lacks = |missing: MissingCapability, key: &str| sheet.add(missing.diagnostic(top.place(key)));
    let set = crop.isotherm(top.text("relation").as_deref()).map_err(|e| lacks(e, "relation")).ok();
    let dry_heat = plain.dry_heat.or_else(|| crop.dry_heat().map(|heat| heat.value).map_err(|e| lacks(e, "crop")).ok());
    let dry_density =
        plain.density.or_else(|| crop.dry_matter_density(plain.moisture_wb).map_err(|e| lacks(e, "crop")).ok());
    let damage = damage(crop);
    if plain.respiration == Some(true) && damage.is_none() {
        let found = format!("respiration of {}", crop.id);
        top.fault("respiration", "missing-capability", found, "must be false: no law of dry-matter loss is recorded");
    }
    let (set, chosen, dry_heat, dry_density) = (set?, chosen?, dry_heat?, dry_density?);

    let shrink = if plain.density.is_some() { 0.0 } else { 100.0 * crop.shrink_per_point.value.value };
    let mut case = ColumnCase {
        isotherm: set.form,
        sorption: if plain.sorption_heat { crop.sorption_heat(&set.form) } else { SorptionHeat::NONE },
        exchange: chosen.exchange,
        rewetting: plain.rewetting.unwrap_or(if chosen.exchange.is_literal() { 0.0 } else { 1.0 }),
        adsorption_gap: gap(crop, &plain, &chosen),
        humidity_cap: plain.humidity_cap.unwrap_or(default_cap(&chosen.exchange)),
        air_sees: plain.air_sees,
        depth: plain.depth,
        dry_density,
        shrink,
        dry_specific_heat: dry_heat,
        water_specific_heat: plain.water_heat,
        conductivity: crop.bulk_conductivity(plain.moisture_wb).unwrap_or(CONDUCTIVITY),
        pressure: plain.pressure,
        moisture: plain.moisture_wb / (1.0 - plain.moisture_wb),
        temperature: plain.temperature,
        respiration: damage.filter(|_| plain.respiration != Some(false)),
        published: crop.storage.published.iter().map(|row| row.law).collect(),
        strict: crop.storage.strict.iter().map(|row| row.law).collect(),
        layers: plain.layers,
        step: plain.step,
        inlet: air?,
        hours: plain.hours.clone(),
        depths: plain.depths.clone(),
    };
    assumed::say(crop, &plain, &mut case, &mut remarks);
    // Numbers that were refused stand as NaN: what such a case would cost is nonsense.
    if !sheet.stops() {
        check_work(top, &case);
    }
    Some(ColumnJob {
        case,
        crop: crop.id.clone(),
        relation: set.clone(),
        kinetics: chosen.name,
        kinetics_temperature: chosen.temperature,
        remarks,
    })
}

/// Bulk density as filled, for an airflow that is said per mass; NaN where it is not known, which is then said of the crop.
fn bulk_density(top: &Node<'_, '_>, crop: Option<&Crop>, plain: &Plain, remarks: &mut Remarks) -> f64 {
    let stated = plain.density.map(|dry| dry / (1.0 - plain.moisture_wb));
    let density = stated.or_else(|| crop?.bulk_density(plain.moisture_wb).ok()).unwrap_or(f64::NAN);
    let per_mass = top
        .peek_text("airflow")
        .is_some_and(|text| matches!(crate::parse::grain_airflow(text), Ok(crate::parse::GrainAirflow::PerMass(_))));
    if per_mass && density.is_finite() {
        remarks.add(airflow_per_mass(density));
    }
    density
}

/// Says by which bulk density (kg/m³ of moist grain) an airflow per mass became one per volume.
pub fn airflow_per_mass(bulk_density: f64) -> Remark {
    Remark::new(
        "airflow-per-mass",
        Phrase::new("the airflow per mass is that of grain as filled, at {density}")
            .with("density", Quantity::new(bulk_density, Kind::BulkDensity)),
    )
}

fn find_crop<'l>(
    sheet: &Sheet<'_>,
    top: &Node<'_, '_>,
    library: &'l Library,
    remarks: &mut Remarks,
) -> Option<&'l Crop> {
    if !top.has("crop") {
        top.missing("crop", "crop = \"corn\"");
    }
    match library.find(&top.text("crop")?) {
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

/// Damaged kernels (mass fraction) of the crop's law of dry-matter loss, where it has one.
fn damage(crop: &Crop) -> Option<f64> {
    crop.storage.published.iter().chain(&crop.storage.strict).find_map(|row| match row.law {
        StorageLaw::CornDryMatterLoss { damage, .. } => Some(damage),
        _ => None,
    })
}

/// Gap between the drying and the wetting branch, d.b.
///
/// A law or a rewetting that the file names speaks of one branch. Else the crop's offset, from wet-basis points at the
/// case's moisture.
fn gap(crop: &Crop, plain: &Plain, chosen: &Chosen) -> f64 {
    if chosen.named || plain.rewetting.is_some() {
        return 0.0;
    }
    crop.adsorption_offset_wb.value.value / (1.0 - plain.moisture_wb).powi(2)
}

/// Highest humidity for which equilibrium is asked, where the file says nothing.
fn default_cap(exchange: &Exchange) -> f64 {
    match exchange {
        Exchange::Kernel(_) => HUMIDITY_CAP,
        _ if exchange.is_literal() => HUMIDITY_CAP,
        _ => NEARLY_SATURATED,
    }
}

/// Refuses runs that would take longer than anybody waits.
fn check_work(top: &Node<'_, '_>, case: &ColumnCase) {
    let most = if case.exchange.is_literal() { MOST_LITERAL_WORK } else { MOST_KERNEL_WORK };
    let work = case.layer_steps();
    if work > most {
        let key = if case.step.is_some() { "step" } else { "layers" };
        let found = format!("{} layers times {:.0} steps", case.layers, work / case.layers as f64);
        let wrong = Diagnostic::error("too-much-work", found, top.place(key))
            .allowed(format!("must be {:.0} million layer steps at most", most / 1e6))
            .help("take fewer layers, longer steps or fewer hours");
        top.add(wrong);
    }
}
