//! Density, heat capacity, conductivity and latent heat of grain.

use super::{Answer, Evidence, Faults, crop, refuse};
use crops::{Crop, MoistureLine};
use notice::{Diagnostics, Kind, Phrase, Remark, Remarks, Source};

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Crop or alias.
    pub crop: String,
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature, °C.
    pub temperature: f64,
}

/// Where one property comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct PropertySource {
    /// The property.
    pub property: String,
    /// Id of the row.
    pub relation: String,
    /// Where it comes from.
    pub source: Source,
}

/// The answer; what is not recorded is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct Grain {
    /// Crop after aliases.
    pub crop: String,
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Bulk density as filled, kg/m³.
    pub bulk_density: Option<f64>,
    /// Specific heat, J/(kg K) of wet grain.
    pub specific_heat: Option<f64>,
    /// Thermal conductivity of the bulk, W/(m K).
    pub conductivity: Option<f64>,
    /// Density of the kernels, kg/m³.
    pub kernel_density: Option<f64>,
    /// Share of air in the bulk.
    pub porosity: Option<f64>,
    /// Latent heat of the grain's water at this moisture and temperature, J/kg.
    pub latent_heat: Option<f64>,
    /// Mass of the legal bushel, kg.
    pub bushel: Option<f64>,
    /// Where each figure comes from.
    pub sources: Vec<PropertySource>,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        faults.moisture("moisture", self.moisture_wb);
        faults.temperature("temperature", self.temperature);
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question; a crop that is not recorded.
    pub fn answer(&self) -> Result<Answer<Grain>, Diagnostics> {
        refuse(self.faults())?;
        let mut remarks = Remarks::default();
        let crop = crop(&self.crop, &mut remarks)?;
        let mut sources = Vec::new();
        let mut line =
            |what: &str, lines: &[MoistureLine]| self.line(&crop.id, what, lines, &mut sources, &mut remarks);
        let mut bulk = line("bulk density", &crop.bulk_density);
        let specific_heat = line("specific heat", &crop.specific_heat);
        let conductivity = line("conductivity", &crop.conductivity);
        let mut kernel = line("kernel density", &crop.kernel_density);

        if bulk.is_none()
            && let Some(bushel) = &crop.bushel
        {
            bulk = Some(bushel.density());
            remarks.add(Remark::new(
                "density-of-bushel",
                Phrase::new("no line of bulk density is recorded: that of the legal bushel is given at every moisture"),
            ));
        }
        if kernel.is_none()
            && let Some(typical) = &crop.typical_kernel_density
        {
            kernel = Some(0.5 * (typical.range.low + typical.range.high));
            let says = Phrase::new("kernel density is the middle of a typical range, {low} to {high}")
                .text("low", format!("{:.0} kg/m³", typical.range.low))
                .text("high", format!("{:.0} kg/m³", typical.range.high));
            remarks.add(Remark::new("typical-range", says).from_source(typical.evidence.source.clone()));
        }
        let porosity = porosity(&crop, bulk, kernel, &mut remarks);
        let bushel = crop.bushel.as_ref();
        if let Some(bushel) = bushel {
            sources.push(PropertySource {
                property: "bushel".into(),
                relation: "legal or customary weight".into(),
                source: bushel.evidence.source.clone(),
            });
        }
        let result = Grain {
            crop: crop.id.clone(),
            moisture_wb: self.moisture_wb,
            temperature: self.temperature,
            bulk_density: bulk,
            specific_heat,
            conductivity,
            kernel_density: kernel,
            porosity,
            latent_heat: crop.latent_heat(self.moisture_wb, self.temperature),
            bushel: bushel.map(|b| b.mass),
            sources,
        };
        for (what, value) in [
            ("bulk density", result.bulk_density),
            ("specific heat", result.specific_heat),
            ("conductivity", result.conductivity),
            ("kernel density", result.kernel_density),
            ("latent heat", result.latent_heat),
            ("bushel", result.bushel),
        ] {
            if value.is_none() {
                let says = Phrase::new("no {what} is recorded for {crop}").text("what", what).text("crop", &crop.id);
                remarks.add(Remark::new("not-recorded", says));
            }
        }
        Ok(Answer { result, remarks })
    }

    /// The value of a property's first line, its source noted.
    fn line(
        &self,
        crop: &str,
        what: &str,
        lines: &[MoistureLine],
        sources: &mut Vec<PropertySource>,
        remarks: &mut Remarks,
    ) -> Option<f64> {
        let line = lines.first()?;
        let source = &line.evidence.source;
        // Lines bear the names of crops: alone they would not say of what.
        let relation = format!("the line of {what} ({})", line.id);
        Evidence { relation: &relation, range: line.range_wb(), source }.holds(
            remarks,
            "moisture",
            self.moisture_wb,
            Kind::MoistureWetBasis,
        );
        if let Some(from) = &line.evidence.lent_from {
            let says = Phrase::new("no {what} of {crop} alone is recorded: that of {from} is given")
                .text("what", what)
                .text("crop", crop)
                .text("from", from);
            remarks.add(Remark::new("crop-row-borrowed", says));
        }
        sources.push(PropertySource { property: what.into(), relation: line.id.clone(), source: source.clone() });
        Some(line.at(self.moisture_wb))
    }
}

/// Share of air from the two densities, else the middle of a typical range.
fn porosity(crop: &Crop, bulk: Option<f64>, kernel: Option<f64>, remarks: &mut Remarks) -> Option<f64> {
    if let (Some(bulk), Some(kernel)) = (bulk, kernel)
        && bulk < kernel
    {
        return Some(physics::grain::porosity(bulk, kernel));
    }
    let typical = crop.typical_porosity.as_ref()?;
    let says = Phrase::new("porosity is the middle of a typical range, {low} to {high}")
        .text("low", format!("{:.2}", typical.range.low))
        .text("high", format!("{:.2}", typical.range.high));
    remarks.add(Remark::new("typical-range", says).from_source(typical.evidence.source.clone()));
    Some(0.5 * (typical.range.low + typical.range.high))
}
