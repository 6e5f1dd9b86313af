//! What grain sets against air: the published law, and the published corrections that were asked for.

use super::{Answer, Evidence, Faults, crop, missing, one, part, refuse};
use crops::{Crop, ResistanceRow};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source};
use physics::grain::dry_basis;
use physics::resistance::{
    BedResistance, FINES_FRACTION, FINES_VELOCITY, Packing, WET_GRAIN_FACTOR, WET_GRAIN_HUMIDITY, fines_multiplier,
    fines_source, wet_grain_source,
};

/// Velocities served, m/s: up to well above any published row, below where another physics begins.
const VELOCITIES: Range = Range::new(0.0, 5.0);
/// Depths served, m.
const DEPTHS: Range = Range::new(0.0, 100.0);
/// Temperature at which moisture is judged wet or not, °C: that of the air the law stands for.
const REFERENCE_TEMPERATURE: f64 = 20.0;

/// Which way the air goes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Direction {
    /// Up or down, as the laws are measured.
    #[default]
    Vertical,
    /// Level.
    Horizontal,
}

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Crop or alias.
    pub crop: String,
    /// Velocity of the air through the empty cross-section, m/s.
    pub velocity: f64,
    /// Depth of grain along the path, m.
    pub depth: Option<f64>,
    /// Factor for packing; 1 is loose fill, as published.
    pub packing: f64,
    /// Fines by mass, fraction.
    pub fines: f64,
    /// Which way the air goes.
    pub direction: Direction,
    /// Moisture of the grain, fraction wet basis, where the correction for wet grain is wanted.
    pub moisture_wb: Option<f64>,
    /// A row of the table by its id; `None` for the crop's main row.
    pub relation: Option<String>,
}

/// A factor on the published law.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// What it corrects for: `fines`, `direction`, `moisture`.
    pub what: &'static str,
    /// The factor.
    pub factor: f64,
    /// Where it comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence; `None` where no range is stated.
    pub in_range: Option<bool>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Resistance {
    /// Crop after aliases.
    pub crop: String,
    /// Pressure gradient, Pa/m.
    pub gradient: f64,
    /// Superficial velocity, m/s.
    pub velocity: f64,
    /// Pressure over the depth, Pa.
    pub pressure: Option<f64>,
    /// Which way the air goes.
    pub direction: Direction,
    /// Moisture as asked, fraction wet basis.
    pub moisture_wb: Option<f64>,
    /// Packing factor used.
    pub packing: f64,
    /// Factor for fines used.
    pub fines_factor: f64,
    /// Corrections asked for, each with its source.
    pub corrections: Vec<Correction>,
    /// Row of the resistance table.
    pub relation: String,
    /// Where it comes from.
    pub source: Source,
    /// Whether velocity and corrections lie inside their evidence.
    pub in_range: bool,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        if let Some(depth) = self.depth {
            faults.outside("depth", depth, Kind::Length, DEPTHS);
        }
        faults.outside("velocity", self.velocity, Kind::Velocity, VELOCITIES);
        faults.outside("fines", self.fines, Kind::Fraction, Range::new(0.0, 1.0));
        if let Some(moisture) = self.moisture_wb {
            faults.moisture("moisture", moisture);
        }
        if let Err(error) = Packing::Factor(self.packing).multiplier() {
            faults.0.add(Diagnostic::error("impossible", error.to_string(), part("packing")));
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question; a crop, row or correction that is not recorded; packing counted twice.
    pub fn answer(&self) -> Result<Answer<Resistance>, Diagnostics> {
        refuse(self.faults())?;
        let mut remarks = Remarks::default();
        let crop = crop(&self.crop, &mut remarks)?;
        let row = crop.resistance(self.relation.as_deref()).map_err(|e| missing(&e))?;
        if row.low_airflow && self.packing != 1.0 {
            return Err(one(
                Diagnostic::error("packing-twice", format!("packing of {} on {}", self.packing, row.id), part("packing"))
                    .allowed("must be 1 with a row for low airflow")
                    .help(
                        "these rows come from other experiments, probably in grain that lay closer: a factor would count packing twice",
                    ),
            ));
        }
        let source = &row.evidence.source;
        let mut corrections = Vec::new();
        corrections.extend(self.fines(&crop, &mut remarks));
        if self.direction == Direction::Horizontal {
            corrections.push(self.direction(&crop, &mut remarks)?);
        }
        if let Some(moisture) = self.moisture_wb {
            corrections.push(self.moisture(&crop, moisture, &mut remarks)?);
        }
        let constant: f64 = corrections.iter().filter(|c| c.what != "fines").map(|c| c.factor).product();
        let bed = BedResistance { law: row.law, multiplier: self.packing * constant, fines: self.fines };
        let gradient = bed.gradient(self.velocity);
        let inside = Evidence { relation: &row.id, range: row.velocity, source }.holds(
            &mut remarks,
            "velocity",
            self.velocity,
            Kind::Velocity,
        );
        if let Some(from) = &row.evidence.lent_from {
            let says = Phrase::new("this row is that of {from}").text("from", from);
            remarks.add(Remark::new("crop-row-borrowed", says));
        }
        self.rows(&crop, row, &mut remarks);
        let result = Resistance {
            crop: crop.id.clone(),
            gradient,
            velocity: self.velocity,
            pressure: self.depth.map(|depth| gradient * depth),
            direction: self.direction,
            moisture_wb: self.moisture_wb,
            packing: self.packing,
            fines_factor: fines_multiplier(self.velocity, self.fines),
            relation: row.id.clone(),
            source: source.clone(),
            in_range: inside && corrections.iter().all(|c| c.in_range != Some(false)),
            corrections,
        };
        Ok(Answer { result, remarks })
    }

    /// What has to be said of the row that was taken.
    fn rows(&self, crop: &Crop, row: &ResistanceRow, remarks: &mut Remarks) {
        if row.low_airflow {
            let says = Phrase::new(
                "a row for the low airflow of aeration, which need not join the main row: a second opinion, as measured, \
                 without packing",
            );
            remarks.add(Remark::new("low-airflow-row", says));
            return;
        }
        if self.packing == 1.0 {
            let says = Phrase::new(
                "loose fill, as published; grain as it lies in bins sets more against air (packing above 1)",
            );
            remarks.add(Remark::new("loose-fill", says));
        }
        let low = crop.resistance.iter().find(|other| other.low_airflow && other.velocity.contains(self.velocity));
        if let Some(other) = low.filter(|_| self.relation.is_none()) {
            let says =
                Phrase::new("at so low an airflow {row} is a second opinion (relation by name)").text("row", &other.id);
            remarks.add(Remark::new("low-airflow-row-known", says));
        }
    }

    /// The factor for fines, where there are any.
    fn fines(&self, crop: &Crop, remarks: &mut Remarks) -> Option<Correction> {
        if self.fines <= 0.0 {
            return None;
        }
        let source = fines_source();
        let evidence = |range| Evidence { relation: "the factor for fines", range, source: &source };
        let few = evidence(FINES_FRACTION).holds(remarks, "fines", self.fines, Kind::Fraction);
        let fast = evidence(FINES_VELOCITY).holds(remarks, "velocity", self.velocity, Kind::Velocity);
        let own = crop.id == "corn";
        if !own {
            let says =
                Phrase::new("the factor for fines is that of corn; none is recorded for {crop}").text("crop", &crop.id);
            remarks.add(Remark::new("fines-of-corn", says));
        }
        let factor = fines_multiplier(self.velocity, self.fines);
        Some(Correction { what: "fines", factor, in_range: Some(few && fast && own), source })
    }

    /// The share that horizontal air meets.
    fn direction(&self, crop: &Crop, remarks: &mut Remarks) -> Result<Correction, Diagnostics> {
        let share = crop.horizontal_share().map_err(|e| one(e.diagnostic(part("direction"))))?;
        let source = share.source();
        let in_range = share.velocity().map(|range| {
            Evidence { relation: "the share for horizontal air", range, source: &source }.holds(
                remarks,
                "velocity",
                self.velocity,
                Kind::Velocity,
            )
        });
        let factor = share.at(self.velocity);
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        let says = match share.band() {
            Some(band) => Phrase::new(
                "horizontal air meets {low} to {high} of the resistance to rising air; the middle was taken",
            )
            .text("low", percent(band.low))
            .text("high", percent(band.high)),
            None => Phrase::new("horizontal air meets about {share} of the resistance to rising air")
                .text("share", percent(factor)),
        };
        remarks.add(Remark::new("horizontal-air", says).from_source(source.clone()));
        Ok(Correction { what: "direction", factor, source, in_range })
    }

    /// The factor for wet grain: 0.8 for loose clean grain in equilibrium with very humid air, 1 below.
    fn moisture(&self, crop: &Crop, moisture_wb: f64, remarks: &mut Remarks) -> Result<Correction, Diagnostics> {
        let set = crop.isotherm(None).map_err(|e| one(e.diagnostic(part("moisture"))))?;
        let humidity = set.form.humidity(dry_basis(moisture_wb), REFERENCE_TEMPERATURE);
        let wet = humidity > WET_GRAIN_HUMIDITY;
        let says = Phrase::new(match wet {
            true => {
                "grain at {moisture} is in equilibrium with {humidity} at {temperature} ({set}), above {limit}: 80 % of the \
                 resistance of dry grain"
            }
            false => {
                "grain at {moisture} is in equilibrium with {humidity} at {temperature} ({set}), not above {limit}: no \
                 correction for wet grain"
            }
        })
        .with("moisture", Quantity::new(moisture_wb, Kind::MoistureWetBasis))
        .with("humidity", Quantity::new(humidity, Kind::RelativeHumidity))
        .with("temperature", Quantity::new(REFERENCE_TEMPERATURE, Kind::Temperature))
        .text("set", &set.id)
        .with("limit", Quantity::new(WET_GRAIN_HUMIDITY, Kind::RelativeHumidity));
        remarks.add(Remark::new("wet-grain", says).from_source(wet_grain_source()));
        let plain = self.packing == 1.0 && self.fines <= 0.0;
        if wet && !plain {
            let says =
                Phrase::new("the correction for wet grain was found for loose clean grain, not for packing or fines");
            remarks.add(Remark::new("wet-grain-loose", says).from_source(wet_grain_source()));
        }
        Ok(Correction {
            what: "moisture",
            factor: if wet { WET_GRAIN_FACTOR } else { 1.0 },
            source: wet_grain_source(),
            in_range: Some(!wet || plain),
        })
    }
}
