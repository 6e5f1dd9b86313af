//! What the answers on gas share: the fuel of a name, the place's pressure, the standing caution.

use super::{Faults, one, part};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Range, Remark, Remarks};
use physics::air::standard_pressure;
use physics::combustion::{Fuel, altitude_rating};
use physics::states::ELEVATION;

/// The fuel of a name.
pub(super) fn fuel(name: &str) -> Result<Fuel, Diagnostics> {
    Fuel::by_name(name).ok_or_else(|| {
        one(Diagnostic::error("unknown-fuel", format!("fuel {name:?}"), part("fuel"))
            .allowed("must be propane or natural gas"))
    })
}

/// Refuses a name that is no fuel.
pub(super) fn known(faults: &mut Faults, name: &str) {
    if let Err(unknown) = fuel(name) {
        unknown.0.into_iter().for_each(|d| faults.0.add(d));
    }
}

/// Refuses what is not above zero and up to a bound.
pub(super) fn above_zero(faults: &mut Faults, name: &str, value: f64, kind: Kind, high: f64) {
    if value <= 0.0 {
        let shown = notice::Quantity::new(value, kind).show(notice::UnitSystem::Si);
        let found = format!("{} of {shown}", name.replace('-', " "));
        faults.0.add(Diagnostic::error("impossible", found, part(name)).allowed("must be above zero"));
    } else {
        // What is smaller by so much is a slip of unit or sign, and its answer would be no number of this world.
        let low = if kind == Kind::Fraction { 0.01 } else { high * 1e-7 };
        faults.outside(name, value, kind, Range::new(low, high));
    }
}

/// Refuses an elevation that is no place.
pub(super) fn elevation(faults: &mut Faults, value: Option<f64>) {
    if let Some(height) = value {
        faults.outside("elevation", height, Kind::Length, ELEVATION);
    }
}

/// The barometric pressure of a place, Pa.
pub(super) fn barometric(elevation: Option<f64>) -> f64 {
    standard_pressure(elevation.unwrap_or(0.0))
}

/// The standing caution.
pub(super) fn caution(remarks: &mut Remarks) {
    let says = Phrase::new(
        "gas: an estimate that finds a misfit; a licensed gas fitter, the supplier and the local code decide",
    );
    remarks.add(Remark::new("gas-fitter-decides", says));
}

/// What the gas codes take off at altitude, as a warning.
pub(super) fn altitude(remarks: &mut Remarks, elevation: Option<f64>) {
    let share = altitude_rating(elevation.unwrap_or(0.0));
    if share < 1.0 {
        let says = Phrase::new(
            "at this elevation gas codes leave an appliance {share} of its rated input; a maker's own figure goes before it",
        )
        .with("share", notice::Quantity::new(share, Kind::Fraction));
        let source = notice::Source::new("NFPA 54 annex E as quoted in appliance manuals", notice::Status::Seen);
        remarks.add(Remark::new("altitude-rating", says).from_source(source));
    }
}
