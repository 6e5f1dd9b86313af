//! Moisture of grain in equilibrium with air, or the humidity over grain.

use super::{Answer, Evidence, Faults, Spread, crop, missing, refuse};
use notice::{Diagnostics, Kind, Phrase, Quantity, Remark, Remarks, Source};
use physics::grain::{dry_basis, wet_basis};
use physics::isotherm::{HUMIDITY_CAP, HUMIDITY_FLOOR, IsothermForm};

/// What is known beside the temperature, and so what is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// Relative humidity of the air, fraction: the moisture is asked.
    Humidity(f64),
    /// Moisture of the grain, fraction wet basis: the humidity is asked.
    Moisture(f64),
}

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Crop or alias.
    pub crop: String,
    /// Temperature of air and grain, °C.
    pub air: f64,
    /// What is known beside it.
    pub given: Given,
    /// A published relation by its id; `None` for the crop's default.
    pub relation: Option<String>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Equilibrium {
    /// Crop after aliases.
    pub crop: String,
    /// Temperature, °C.
    pub air: f64,
    /// What was given.
    pub given: Given,
    /// Moisture, d.b.
    pub moisture: f64,
    /// Relative humidity, fraction, over liquid water.
    pub humidity: f64,
    /// Id of the relation used.
    pub relation: String,
    /// Where it comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence.
    pub in_range: bool,
    /// Spread of what was asked (moisture wet basis, or humidity) between the published sets of the crop.
    pub spread: Spread,
    /// Ids of the sets compared.
    pub spread_of: Vec<String>,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        faults.temperature("air", self.air);
        match self.given {
            Given::Humidity(humidity) => faults.humidity("relative-humidity", humidity),
            Given::Moisture(moisture) => faults.moisture("moisture", moisture),
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question; a crop or relation that is not recorded.
    pub fn answer(&self) -> Result<Answer<Equilibrium>, Diagnostics> {
        refuse(self.faults())?;
        let mut remarks = Remarks::default();
        let crop = crop(&self.crop, &mut remarks)?;
        let set = crop.isotherm(self.relation.as_deref()).map_err(|e| missing(&e))?;
        let source = &set.evidence.source;
        let sets = crop.spread_sets();
        let band = |values: Vec<f64>| Spread {
            low: values.iter().copied().fold(f64::INFINITY, f64::min),
            high: values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        };
        let air = self.air;
        let (moisture, humidity, spread) = match self.given {
            Given::Moisture(moisture_wb) => {
                let m = dry_basis(moisture_wb);
                (m, set.form.humidity(m, air), band(sets.iter().map(|s| s.form.humidity(m, air)).collect()))
            }
            Given::Humidity(humidity) => {
                let held = humidity.clamp(HUMIDITY_FLOOR, HUMIDITY_CAP);
                if held != humidity {
                    let says =
                        Phrase::new("equilibrium is worked out at {held}, not at {asked}: published sets end there")
                            .with("held", Quantity::new(held, Kind::RelativeHumidity))
                            .with("asked", Quantity::new(humidity, Kind::RelativeHumidity));
                    remarks.add(Remark::new("humidity-held", says));
                }
                let at = |form: &IsothermForm| form.equilibrium(held, air).moisture;
                (at(&set.form), humidity, band(sets.iter().map(|s| wet_basis(at(&s.form))).collect()))
            }
        };
        let evidence = |range| Evidence { relation: &set.id, range, source };
        let warm = evidence(set.temperature).holds(&mut remarks, "temperature", air, Kind::Temperature);
        let humid = evidence(set.humidity).holds(&mut remarks, "air", humidity, Kind::RelativeHumidity);
        if sets.len() < 2 {
            remarks.add(Remark::new(
                "one-set",
                Phrase::new("only one set is recorded for {crop}: the spread is not known").text("crop", &crop.id),
            ));
        }
        if let Some(from) = &set.evidence.lent_from {
            let says = Phrase::new("this set is that of {from}").text("from", from);
            remarks.add(Remark::new("crop-row-borrowed", says));
        }
        let result = Equilibrium {
            crop: crop.id.clone(),
            air,
            given: self.given,
            moisture,
            humidity,
            relation: set.id.clone(),
            source: source.clone(),
            in_range: warm && humid,
            spread,
            spread_of: sets.iter().map(|s| s.id.clone()).collect(),
        };
        Ok(Answer { result, remarks })
    }
}
