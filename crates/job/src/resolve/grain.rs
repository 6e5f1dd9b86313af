//! The grain of a bin as bed and air see it.

use crate::facts::BinFacts;
use crate::job::Kernel;
use crate::survey::Survey;
use bed::{ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use crops::{Crop, IsothermSet, MissingCapability, Production, ResistanceRow};
use notice::{Phrase, Remark, Remarks};
use physics::grain::dry_basis;
use physics::kinetics::TwoCompartment;
use physics::resistance::BedResistance;
use physics::storability::StorageLaw;
use season::GrainSpec;

/// Loss to the wall per volume over k/R² times the excess of the mean (effective, one node).
///
/// The conduction of a long cylinder has no single rate: the slowest mode is 5.783 (2.4048²), but its mean follows the wall
/// faster. Against the Bessel solution for 11 m and 1e-7 m²/s (computed): amplitude of the mean under the annual wave 0.25,
/// met by 14.5; share of an excess left in the mean after 130 days 0.60, met by 13.8. One node lags 75 d instead of 43.
const WALL_RATE: f64 = 14.0;
/// Layers before an accuracy is chosen; the proof sets its own.
const LAYERS: usize = 32;
/// Conductivity of the bulk where none is recorded, W/(m K): the middle of the cereals (judgement).
const ASSUMED_CONDUCTIVITY: f64 = 0.14;

/// The grain, and what was chosen on the way.
pub(super) struct Grain<'c> {
    pub spec: GrainSpec,
    pub set: &'c IsothermSet,
    pub row: &'c ResistanceRow,
    /// Other drying rates it might have.
    pub other_kernels: Vec<Kernel>,
}

/// Resolves the grain of a bin, at its mean moisture as filled (w.b.) and with the target (d.b.) around which the branches
/// are parted.
///
/// # Errors
/// When the crop lacks a relation that a season needs.
pub(super) fn of<'c>(
    crop: &'c Crop,
    bin: &BinFacts,
    surveyed: &Survey,
    (moisture_wb, target): (f64, f64),
    remarks: &mut Remarks,
) -> Result<Grain<'c>, MissingCapability> {
    let lot = &bin.lots[0];
    let set = crop.isotherm(lot.relation.as_deref())?;
    let radius = bin.diameter / 2.0;
    let conductivity = match crop.bulk_conductivity(moisture_wb) {
        Ok(value) => value,
        Err(_) => {
            remarks.add(Remark::new(
                "conductivity-assumed",
                Phrase::new(
                    "no conductivity is recorded for {crop}: {value} W/(m·K), the middle of the cereals, is used",
                )
                .text("crop", crop.name.clone())
                .text("value", ASSUMED_CONDUCTIVITY.to_string()),
            ));
            ASSUMED_CONDUCTIVITY
        }
    };
    let kinetics = crop.kinetics()?;
    let (kernel, other_kernels) = kernels(&kinetics.production, remarks);
    let offset = &crop.adsorption_offset_wb.value;
    let dry_density = surveyed.dry_matter() / surveyed.volume();
    let column = ColumnParams {
        isotherm: set.form,
        sorption: crop.sorption_heat(&set.form),
        kinetics: Some(kernel),
        adsorption_gap: branch_gap(offset.value, target),
        rewetting: 1.0,
        dry_specific_heat: crop.dry_heat()?.value,
        water_specific_heat: physics::air::SPECIFIC_HEAT_WATER,
        humidity_cap: physics::isotherm::HUMIDITY_CAP,
        air_sees: ColumnParams::AIR_SEES,
        conductivity,
        wall_conductance: WALL_RATE * conductivity / (radius * radius),
        dry_density,
    };
    let laws = |rows: &[crops::StorageRow]| -> Vec<StorageLaw> {
        rows.iter().map(|r| with_damage(r.law, lot.damage)).collect()
    };
    let published = laws(&crop.storage.published);
    let corn_law = published.iter().any(|l| matches!(l, StorageLaw::CornDryMatterLoss { .. }));
    let group = GroupParams {
        layers: LAYERS,
        family: IsothermFamily::of(&set.form).0,
        direction: if bin.outfit.suction { Direction::Down } else { Direction::Up },
        respiration: if corn_law { Respiration::Corn { damage: lot.damage } } else { Respiration::None },
        published,
        strict: laws(&crop.storage.strict),
    };
    if group.strict.is_empty() {
        remarks.add(Remark::new(
            "storage-not-judged",
            Phrase::new(
                "no storage relation is published for {crop}: spoilage is not judged, which does not mean safe",
            )
            .text("crop", crop.name.clone()),
        ));
    }
    let row = crop.resistance(None)?;
    let packing = bin.packing.unwrap_or_else(|| {
        let (customary, remark) = crop.customary_packing();
        remark.into_iter().for_each(|r| remarks.add(r));
        customary
    });
    let resistance = BedResistance { law: row.law, multiplier: packing, fines: bin.fines };
    let spec = GrainSpec {
        column,
        group,
        resistance,
        dry_density,
        density_moisture: dry_basis(moisture_wb),
        shrink: 100.0 * crop.shrink_per_point.value.value,
    };
    Ok(Grain { spec, set, row, other_kernels })
}

/// Gap between the branches as a fraction dry basis, from one wet basis: d(M_db) = (1 + M_db)² d(M_wb).
pub(super) fn branch_gap(offset_wb: f64, target: f64) -> f64 {
    offset_wb * (1.0 + target) * (1.0 + target)
}

/// The kernel of production and the other values it might have.
fn kernels(production: &Production, remarks: &mut Remarks) -> (TwoCompartment, Vec<Kernel>) {
    match production {
        Production::Fitted(fit) => {
            let halved = TwoCompartment {
                shell: physics::kinetics::Arrhenius {
                    ln_a: fit.constants.shell.ln_a - 2f64.ln(),
                    ..fit.constants.shell
                },
                core: physics::kinetics::Arrhenius { ln_a: fit.constants.core.ln_a - 2f64.ln(), ..fit.constants.core },
                ..fit.constants
            };
            (
                fit.constants,
                vec![("kernels at once in equilibrium".into(), None), ("kernels half as fast".into(), Some(halved))],
            )
        }
        Production::Bounds { slow, fast } => {
            remarks.add(Remark::new(
                "kinetics-bounds",
                Phrase::new("no drying law is published for this crop: the slowest known cereal stands in, the fastest in the range"),
            ));
            (
                slow.constants,
                vec![
                    ("fastest known cereal".into(), Some(fast.constants)),
                    ("kernels at once in equilibrium".into(), None),
                ],
            )
        }
    }
}

/// A law with the lot's own damage.
fn with_damage(law: StorageLaw, damage: f64) -> StorageLaw {
    match law {
        StorageLaw::CornDryMatterLoss { loss, .. } => StorageLaw::CornDryMatterLoss { loss, damage },
        other => other,
    }
}
