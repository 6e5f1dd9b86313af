//! The dry-air flux that a case states in one of three ways.

use super::{inlet::FLUXES, text::Fields};
use notice::{Kind, Range};
use sheet::Node;

/// The keys that state it.
pub const WAYS: [&str; 3] = ["dry_air_flux", "velocity", "airflow"];

/// The flux in kg/(s m²), from air of a specific volume (m³ per kg of dry air); none when something was wrong. An airflow
/// per mass of grain is that of its bulk density as filled (kg/m³).
pub fn read(top: &Node<'_, '_>, depth: f64, volume: f64, bulk_density: f64) -> Option<f64> {
    let stated: Vec<&str> = WAYS.into_iter().filter(|key| top.has(key)).collect();
    match stated.as_slice() {
        [] => {
            top.missing(
                "dry_air_flux",
                "dry_air_flux = \"0.065 kg/s/m2\", or velocity = \"0.1 m/s\", or airflow = \"1 cfm/bu\"",
            );
            None
        }
        ["dry_air_flux"] => top.quantity_in("dry_air_flux", Kind::MassFlux, FLUXES),
        ["velocity"] => top.quantity_in("velocity", Kind::Velocity, Range::new(0.0, 10.0)).map(|v| v / volume),
        ["airflow"] => top.airflow_in("airflow", bulk_density, Range::new(0.0, 5.0)).map(|a| a * depth / volume),
        [.., last] => {
            top.fault(last, "contradiction", format!("{} together", stated.join(" and ")), "must be one of them");
            None
        }
    }
}
