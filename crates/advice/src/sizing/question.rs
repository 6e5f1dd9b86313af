//! The question behind a sizing: a bin, a crop and an airflow, and what is taken where nothing was said.

use super::{AIR_TEMPERATURE, DEEPEST, OPEN_FRACTION, Wanted};
use crate::lookup::{Answer, Evidence, Faults, crop, missing, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks};
use physics::{air, states::ELEVATION};

/// Diameters served, m.
const DIAMETERS: Range = Range::new(1.0, 100.0);
/// Depths served, m.
const DEPTHS: Range = Range::new(0.1, DEEPEST);
/// Airflows served, 1/s: from a hundredth of what aeration uses to ten times what a batch dryer does.
const AIRFLOWS: Range = Range::new(1e-4, 2.0);
/// Factors for packing served.
const PACKINGS: Range = Range::new(0.5, 5.0);

/// What is asked, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Diameter, m.
    pub diameter: f64,
    /// Depth of grain, m.
    pub depth: f64,
    /// Crop or alias.
    pub crop: String,
    /// Airflow at the fan inlet over grain volume, 1/s.
    pub specific_airflow: f64,
    /// Factor for packing; `None` for the crop's customary one.
    pub packing: Option<f64>,
    /// Height above the sea, m.
    pub elevation: f64,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        faults.outside("diameter", self.diameter, Kind::Length, DIAMETERS);
        faults.outside("depth", self.depth, Kind::Length, DEPTHS);
        faults.outside("airflow", self.specific_airflow, Kind::SpecificAirflow, AIRFLOWS);
        faults.outside("elevation", self.elevation, Kind::Length, ELEVATION);
        if let Some(packing) = self.packing
            && !PACKINGS.contains(packing)
        {
            faults.0.add(
                Diagnostic::error("impossible", format!("packing factor of {packing:?}"), part("packing"))
                    .allowed("must be from 0.5 to 5"),
            );
        }
        faults.0
    }

    /// The bin and what is wanted of it, and the crop after aliases.
    ///
    /// # Errors
    /// What is impossible about the question; a crop that is not recorded or has no resistance.
    pub fn answer(&self) -> Result<Answer<(Wanted, String)>, Diagnostics> {
        refuse(self.faults())?;
        let mut remarks = Remarks::default();
        let crop = crop(&self.crop, &mut remarks)?;
        let row = crop.resistance(None).map_err(|e| missing(&e))?;
        let (usual, unusual) = crop.customary_packing();
        let (porosity, assumed) = crop.porosity();
        assumed.into_iter().for_each(|remark| remarks.add(remark));
        let wanted = Wanted {
            diameter: self.diameter,
            depth: self.depth,
            specific_airflow: self.specific_airflow,
            law: row.law,
            velocity_range: row.velocity,
            packing: self.packing.unwrap_or(usual),
            porosity,
            pressure: air::standard_pressure(self.elevation),
        };
        if self.packing.is_none() {
            unusual.into_iter().for_each(|remark| remarks.add(remark));
            let says = Phrase::new("customary packing {factor} taken for {crop}; loose fill is 1");
            remarks.add(Remark::new("packing-taken", says.text("factor", usual.to_string()).text("crop", &crop.id)));
        }
        Evidence { relation: &row.id, range: row.velocity, source: &row.evidence.source }.holds(
            &mut remarks,
            "velocity",
            self.specific_airflow * self.depth,
            Kind::Velocity,
        );
        remarks.add(Remark::new(
            "bin-taken",
            Phrase::new("level grain on a full perforated floor of {open} open area, no leakage, no losses in transition and vents, outside air at {air}")
                .with("open", Quantity::new(OPEN_FRACTION, Kind::Fraction))
                .with("air", Quantity::new(AIR_TEMPERATURE, Kind::Temperature)),
        ));
        remarks.add(Remark::new(
            "demo-catalogue",
            Phrase::new("DEMO: the fans are invented, of no maker; choose real ones by the maker's own tables"),
        ));
        Ok(Answer { result: (wanted, crop.id), remarks })
    }
}
