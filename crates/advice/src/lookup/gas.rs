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

/// Refuses what is not above zero, and what lies outside what the trade can mean: beyond it stands a slip of unit or sign.
pub(super) fn above_zero(faults: &mut Faults, name: &str, value: f64, kind: Kind, range: Range) {
    if value <= 0.0 {
        let shown = notice::Quantity::new(value, kind).show(notice::UnitSystem::Si);
        let found = format!("{} of {shown}", name.replace('-', " "));
        faults.0.add(Diagnostic::error("impossible", found, part(name)).allowed("must be above zero"));
    } else {
        faults.outside(name, value, kind, range);
    }
}

/// Efficiencies of an indirect heater on the lower heating value: below, no heater that is sold; above, no heat is left.
pub(super) const HEATER_EFFICIENCIES: Range = Range::new(0.30, 1.0);
/// Heats of burners, W: some 3,000 Btu/h to 170 million.
pub(super) const HEATS: Range = Range::new(1e3, 5e7);

/// Refuses a number of things that is no whole number.
pub(super) fn whole(faults: &mut Faults, name: &str, value: f64, range: Range) {
    if value.fract() != 0.0 && range.contains(value) {
        let found = format!("{} of {value}", name.replace('-', " "));
        faults.0.add(Diagnostic::error("impossible", found, part(name)).allowed("must be a whole number"));
    } else {
        faults.outside(name, value, Kind::Number, range);
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
