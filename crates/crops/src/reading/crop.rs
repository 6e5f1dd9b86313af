//! Reads one crop: its own figures, and which shared rows it uses.

use super::rows::Shared;
use crate::bulk::Bushel;
use crate::crop::Crop;
use crate::evidence::{Evidence, Sourced};
use crate::isotherm::IsothermSet;
use crate::kinetics::{CompartmentFit, Kinetics, Production};
use crate::library::Library;
use crate::limits::{AirLimit, SafeMoisture};
use crate::line::MoistureLine;
use crate::resistance::ResistanceRow;
use crate::storage::{Storage, StorageRow};
use notice::Range;
use notice::quantity::POUND_KG;
use physics::dry_down::{Band, DryDown};
use physics::isotherm::IsothermForm;
use physics::kinetics::ThinLayer;
use sheet::Node;
use std::collections::BTreeMap;

/// The crop that a user's file builds on, when it names one.
pub(super) fn base(top: &Node<'_, '_>, library: &Library) -> Option<Crop> {
    let name = top.text("based_on")?;
    match library.find(&name) {
        Ok((crop, _)) => Some(crop.clone()),
        Err(_) => {
            top.unknown_word("based_on", &name, library.crops.iter().map(|crop| crop.id.as_str()));
            None
        }
    }
}

/// Reads a crop; rows that the file does not mention are those of `base`.
pub(super) fn read(top: &Node<'_, '_>, shared: &Shared, base: Option<Crop>) -> Option<Crop> {
    let id = top.needed_text("id", "my-corn");
    let name = if top.has("based_on") { top.text("name") } else { top.needed_text("name", "my corn") };
    let aliases = top.texts("aliases").unwrap_or_default();
    let grain = top.flag("grain");
    let offset = match top.table("adsorption_offset") {
        Some(row) => shared.points(row),
        None => base.as_ref().map(|b| b.adsorption_offset_wb.clone()).or_else(|| shared.adsorption_offset.clone()),
    };
    let shrink = match top.table("shrink") {
        Some(row) => shared.percent_of_depth(row),
        None => base.as_ref().map(|b| b.shrink_per_point.clone()).or_else(|| shared.shrink.clone()),
    };
    let mut crop = base.unwrap_or_else(|| Crop {
        id: String::new(),
        name: String::new(),
        aliases: Vec::new(),
        grain: true,
        oil: None,
        isotherms: Vec::new(),
        default_isotherm: None,
        default_isotherm_because: None,
        // Replaced below; a crop without them is not returned.
        adsorption_offset_wb: Sourced { value: crate::Banded { value: 0.0, low: 0.0, high: 0.0 }, evidence: nobody() },
        bulk_density: Vec::new(),
        kernel_density: Vec::new(),
        typical_kernel_density: None,
        typical_porosity: None,
        bushel: None,
        shrink_per_point: Sourced { value: crate::Banded { value: 0.0, low: 0.0, high: 0.0 }, evidence: nobody() },
        specific_heat: Vec::new(),
        conductivity: Vec::new(),
        repose_deg: None,
        resistance: Vec::new(),
        kinetics: None,
        storage: Storage::default(),
        air_limits: Vec::new(),
        safe_moistures: Vec::new(),
        dry_down: None,
    });
    crop.aliases = aliases;
    crop.grain = grain.unwrap_or(crop.grain);
    read_figures(top, shared, &mut crop);
    read_limits(top, shared, &mut crop);
    if let Some(row) = top.table("field_dry_down") {
        crop.dry_down = dry_down(row, shared);
    }
    if let Some(uses) = top.table("uses") {
        let lent = top.table("lent");
        read_uses(&uses, lent.as_ref(), shared, &mut crop);
        uses.close();
        lent.iter().for_each(Node::close);
    }
    crop.id = id?;
    crop.name = name.unwrap_or(crop.name);
    crop.adsorption_offset_wb = offset?;
    crop.shrink_per_point = shrink?;
    Some(crop)
}

fn nobody() -> Evidence {
    let source = notice::Source::new("", notice::Status::Judgement);
    Evidence { key: String::new(), source, lent_from: None, note: None }
}

fn read_figures(top: &Node<'_, '_>, shared: &Shared, crop: &mut Crop) {
    if let Some(row) = top.table("oil") {
        let value = row.needed_number("percent_of_dry_matter", 0.0, 80.0);
        crop.oil = sourced(row, shared, value.map(|p| p / 100.0));
        fill_oil(crop);
    }
    if let Some(row) = top.table("repose") {
        let value = row.needed_number("angle_deg", 0.0, 60.0);
        crop.repose_deg = sourced(row, shared, value);
    }
    if let Some(row) = top.table("bushel") {
        let mass = row.needed_number("mass_lb", 1.0, 200.0);
        let moisture = row.number("base_moisture_percent_wb", 0.0, 50.0);
        let evidence = shared.evidence(&row);
        row.close();
        crop.bushel = mass.zip(evidence).map(|(pounds, evidence)| Bushel {
            mass: pounds * POUND_KG,
            base_moisture_wb: moisture.map(|p| p / 100.0),
            evidence,
        });
    }
    if let Some(row) = top.table("typical_kernel_density") {
        crop.typical_kernel_density = shared.typical(row, "range_kg_m3", 3000.0);
    }
    if let Some(row) = top.table("typical_porosity") {
        crop.typical_porosity = shared.typical(row, "range", 1.0);
    }
}

fn sourced(row: Node<'_, '_>, shared: &Shared, value: Option<f64>) -> Option<Sourced<f64>> {
    let evidence = shared.evidence(&row);
    row.close();
    Some(Sourced { value: value?, evidence: evidence? })
}

fn read_limits(top: &Node<'_, '_>, shared: &Shared, crop: &mut Crop) {
    if top.has("air_limits") {
        crop.air_limits.clear();
    }
    for row in top.tables("air_limits") {
        let purpose = row.needed_text("purpose", "seed");
        let temperature = row.needed_number("temperature_c", 0.0, 200.0);
        let evidence = shared.evidence(&row);
        row.close();
        if let (Some(purpose), Some(temperature), Some(evidence)) = (purpose, temperature, evidence) {
            crop.air_limits.push(AirLimit { purpose, temperature, evidence });
        }
    }
    if top.has("safe_moistures") {
        crop.safe_moistures.clear();
    }
    for row in top.tables("safe_moistures") {
        let period = row.needed_text("period", "winter");
        let percent = row.needed_number("percent_wb", 0.0, 50.0);
        let evidence = shared.evidence(&row);
        row.close();
        if let (Some(period), Some(percent), Some(evidence)) = (period, percent, evidence) {
            crop.safe_moistures.push(SafeMoisture { period, moisture_wb: percent / 100.0, evidence });
        }
    }
}

/// Reads a rule of degree-days: bounds in °F and bands of moisture with the degree-days (°F·d) of a point in each.
fn dry_down(row: Node<'_, '_>, shared: &Shared) -> Option<Sourced<DryDown>> {
    let bounds = row.needed_range("count_between_f", 0.0, 130.0);
    let moistures = row.needed_numbers("percent_wb");
    let points = row.needed_numbers("degree_days_f_per_point");
    let evidence = shared.evidence(&row);
    let (moistures, points) = (moistures?, points?);
    let falling = moistures.windows(2).all(|pair| pair[0] > pair[1]);
    let inside =
        moistures.iter().all(|m| (5.0..=60.0).contains(m)) && points.iter().all(|d| (1.0..=1000.0).contains(d));
    if !falling || !inside || points.is_empty() || moistures.len() != points.len() + 1 {
        row.fault(
            "percent_wb",
            "out-of-bounds",
            format!("bands between {moistures:?} with {points:?} degree-days a point"),
            "must be falling moistures from 60 to 5 and one number of degree-days (1 to 1000) for each band between two",
        );
        row.close();
        return None;
    }
    row.close();
    let celsius = |f: f64| (f - 32.0) / 1.8;
    let bands = moistures.windows(2).zip(&points).map(|(ends, per_point)| Band {
        moisture_wb: Range::new(ends[1] / 100.0, ends[0] / 100.0),
        degree_days: per_point / 1.8 * 100.0,
    });
    let bounds = bounds?;
    let value = DryDown { base: celsius(bounds.low), ceiling: celsius(bounds.high), bands: bands.collect() };
    Some(Sourced { value, evidence: evidence? })
}

/// A row whose evidence can be marked as borrowed.
trait Row: Clone {
    fn evidence_mut(&mut self) -> &mut Evidence;
}

macro_rules! rows {
    ($($row:ty),*) => { $(impl Row for $row {
        fn evidence_mut(&mut self) -> &mut Evidence { &mut self.evidence }
    })* };
}
rows!(IsothermSet, ResistanceRow, MoistureLine, StorageRow, CompartmentFit);

/// The named rows in the order of the list, marked as borrowed where the file says so; `None` when not mentioned.
fn pick<T: Row>(
    uses: &Node<'_, '_>,
    lent: Option<&Node<'_, '_>>,
    key: &'static str,
    rows: &BTreeMap<String, T>,
    shared: &Shared,
) -> Option<Vec<T>> {
    let lender = lent.and_then(|lent| lent.text(key));
    let ids = uses.texts(key)?;
    let find = |id: &String| {
        let found = rows.get(id).cloned();
        if found.is_none() && !shared.faulty.contains(id) {
            uses.unknown_word(key, id, rows.keys().map(String::as_str));
        }
        found.map(|mut row| {
            row.evidence_mut().lent_from.clone_from(&lender);
            row
        })
    };
    Some(ids.iter().filter_map(find).collect())
}

fn read_uses(uses: &Node<'_, '_>, lent: Option<&Node<'_, '_>>, shared: &Shared, crop: &mut Crop) {
    let replace = |slot: &mut Vec<MoistureLine>, key, rows| {
        if let Some(found) = pick(uses, lent, key, rows, shared) {
            *slot = found;
        }
    };
    replace(&mut crop.bulk_density, "bulk_density", &shared.bulk_density);
    replace(&mut crop.kernel_density, "kernel_density", &shared.kernel_density);
    replace(&mut crop.specific_heat, "specific_heat", &shared.specific_heat);
    replace(&mut crop.conductivity, "conductivity", &shared.conductivity);
    if let Some(rows) = pick(uses, lent, "resistance", &shared.resistance, shared) {
        crop.resistance = rows;
    }
    for (key, slot) in [
        ("storage_published", &mut crop.storage.published),
        ("storage_strict", &mut crop.storage.strict),
        ("storage_offered", &mut crop.storage.offered),
    ] {
        if let Some(rows) = pick(uses, lent, key, &shared.storage, shared) {
            *slot = rows;
        }
    }
    read_isotherms(uses, lent, shared, crop);
    read_kinetics(uses, lent, shared, crop);
}

fn read_isotherms(uses: &Node<'_, '_>, lent: Option<&Node<'_, '_>>, shared: &Shared, crop: &mut Crop) {
    let listed = pick(uses, lent, "isotherms", &shared.isotherms, shared);
    let default = uses.text("default_isotherm");
    let because = uses.text("default_isotherm_because");
    if listed.is_none() && default.is_none() {
        return;
    }
    crop.isotherms = listed.unwrap_or_else(|| std::mem::take(&mut crop.isotherms));
    fill_oil(crop);
    if crop.oil.is_none() && crop.isotherms.iter().any(|s| matches!(s.form, IsothermForm::Cromarty { .. })) {
        uses.fault("isotherms", "missing-key", "the oil-content equation is used", "needs an [oil] table");
    }
    let Some(default) = default else {
        uses.missing("default_isotherm", "the id of one of the isotherms");
        return;
    };
    crop.default_isotherm = crop.isotherms.iter().position(|set| set.id == default);
    crop.default_isotherm_because = because;
    if crop.default_isotherm.is_none() && !crop.isotherms.is_empty() && !shared.faulty.contains(&default) {
        uses.unknown_word("default_isotherm", &default, crop.isotherms.iter().map(|set| set.id.as_str()));
    }
}

/// Gives the crop's own oil content to its oil-content equation.
fn fill_oil(crop: &mut Crop) {
    let Some(oil) = crop.oil.as_ref().map(|oil| oil.value) else { return };
    for set in &mut crop.isotherms {
        if let IsothermForm::Cromarty { oil: slot } = &mut set.form {
            *slot = oil;
        }
    }
}

fn read_kinetics(uses: &Node<'_, '_>, lent: Option<&Node<'_, '_>>, shared: &Shared, crop: &mut Crop) {
    let fitted = pick(uses, lent, "kinetics", &shared.fits, shared);
    let bounds = pick(uses, None, "kinetics_bounds", &shared.fits, shared);
    let laws = uses.texts("thin_layer_laws");
    let production = match (fitted.map(|f| f.into_iter().next()), bounds.as_deref()) {
        (Some(Some(fit)), _) => Some(Production::Fitted(Box::new(fit))),
        (_, Some([slow, fast])) => {
            Some(Production::Bounds { slow: Box::new(slow.clone()), fast: Box::new(fast.clone()) })
        }
        (None, None) => crop.kinetics.as_ref().map(|k| k.production.clone()),
        _ => {
            uses.fault("kinetics_bounds", "out-of-bounds", "kinetics are incomplete", "must be a slow and a fast row");
            None
        }
    };
    let named = |id: &String| {
        let law = ThinLayer::from_id(id);
        if law.is_none() {
            uses.unknown_word("thin_layer_laws", id, ThinLayer::ALL.iter().map(|law| law.id()));
        }
        law
    };
    let laws = match laws {
        Some(ids) => ids.iter().filter_map(named).collect(),
        None => crop.kinetics.as_ref().map(|k| k.laws.clone()).unwrap_or_default(),
    };
    crop.kinetics = production.map(|production| Kinetics { laws, production });
}
