//! The headspace under a roof: its pressure against the vents, and what happens when they ice over.
//!
//! # Caution
//! Roofs have been lifted off by fans behind iced vents. What a roof bears is for its maker or a structural engineer to say.

use notice::{Kind, Phrase, Quantity, Remark, Source, Status};
use physics::opening;

/// Headspace pressure that vents are laid out for, Pa: 1/8 in. of water (memory).
pub const DESIGN_PRESSURE: f64 = 31.0;
/// Air through vents by the rule of the trade, m/s: 1 ft² for each 1,000 cfm.
///
/// # Source
/// Univ. Minnesota, "Wheat and Barley Drying", Wilcke and Hellevang 2002 (seen).
pub const VENT_VELOCITY: f64 = 5.08;

/// What a roof has to do with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoofCheck {
    /// Headspace pressure with open vents, Pa.
    pub pressure: f64,
    /// Air through the vents, m/s of open area.
    pub velocity: f64,
    /// Open area that keeps [`DESIGN_PRESSURE`], m².
    pub area_for_design: f64,
    /// Uplift with open vents, N.
    pub uplift: f64,
    /// Uplift if the vents are shut by ice and the fan stands against the roof at its highest pressure, N.
    pub iced_uplift: f64,
}

/// Checks a roof of a `diameter` (m) with vents of an open `area` (m²) for an airflow (m³/s).
///
/// `highest_pressure` Pa is the most the fans give (their shut-off or the peak of the curve).
pub fn check(
    airflow: f64,
    area: f64,
    discharge_coefficient: f64,
    density: f64,
    diameter: f64,
    highest_pressure: f64,
) -> RoofCheck {
    let pressure = opening::pressure(airflow, area, discharge_coefficient, density);
    RoofCheck {
        pressure,
        velocity: airflow / area,
        area_for_design: opening::area(airflow, DESIGN_PRESSURE, discharge_coefficient, density),
        uplift: opening::roof_uplift(pressure, diameter),
        iced_uplift: opening::roof_uplift(highest_pressure, diameter),
    }
}

impl RoofCheck {
    /// What a reader should know: vents too small, and always what ice would do.
    pub fn remarks(&self) -> Vec<Remark> {
        let mut all = Vec::new();
        let pressure = |v| Quantity::new(v, Kind::Pressure);
        if self.velocity > VENT_VELOCITY * (1.0 + 1e-9) {
            let says = Phrase::new("air leaves the vents at {velocity}, above the customary {limit}")
                .with("velocity", Quantity::new(self.velocity, Kind::Velocity))
                .with("limit", Quantity::new(VENT_VELOCITY, Kind::Velocity));
            let source = Source::new("Wilcke and Hellevang 2002, Wheat and Barley Drying", Status::Seen);
            all.push(Remark::new("vents-fast", says).from_source(source));
        }
        if self.pressure > DESIGN_PRESSURE {
            let says = Phrase::new(
                "the headspace stands at {pressure}, above the {design} that vents are laid out for; {area} of open vents keep it",
            )
            .with("pressure", pressure(self.pressure))
            .with("design", pressure(DESIGN_PRESSURE))
            .with("area", Quantity::new(self.area_for_design, Kind::Area));
            let source = Source::new("roof vents by pressure, common practice", Status::Memory);
            all.push(Remark::new("vents-small", says).from_source(source));
        }
        let says = Phrase::new(
            "vents shut by ice would lift the roof with {uplift}: never run a fan against closed or iced vents; the roof's maker or a \
             structural engineer says what it bears",
        )
        .with("uplift", Quantity::new(self.iced_uplift, Kind::Force));
        all.push(Remark::new("vents-iced", says));
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_vents_are_remarked() {
        let good = check(5.0, 1.2, 0.65, 1.2, 11.0, 1500.0);
        let small = check(5.0, 0.6, 0.65, 1.2, 11.0, 1500.0);
        assert_eq!(good.remarks().iter().map(|r| r.code.as_str()).collect::<Vec<_>>(), ["vents-iced"]);
        assert_eq!(small.remarks().len(), 3);
        assert!((small.pressure / good.pressure - 4.0).abs() < 1e-9);
        assert!(opening::pressure(5.0, good.area_for_design, 0.65, 1.2) - DESIGN_PRESSURE < 1e-9);
        assert!(small.iced_uplift > small.uplift);
    }
}
