//! A thin layer in constant air.

use super::{Answer, Evidence, Faults, Spread, crop, impossible, missing, one, part, refuse};
use crops::{CompartmentFit, Crop, Production};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Range, Remark, Remarks, Source, Status};
use physics::grain::{dry_basis, wet_basis};
use physics::thin_layer::{DryingConditions, ThinLayer, checked_moisture_ratio};

/// Fastest air served, m/s.
const VELOCITIES: Range = Range::new(0.0, 10.0);
/// Times served, s: three years.
const TIMES: Range = Range::new(0.0, 1e8);

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Crop or alias.
    pub crop: String,
    /// Moisture at the start, fraction wet basis.
    pub initial_wb: f64,
    /// Temperature of the air, °C.
    pub air: f64,
    /// Relative humidity of the air, fraction.
    pub humidity: f64,
    /// Velocity of the air, m/s, for laws that contain it.
    pub velocity: Option<f64>,
    /// Time in that air, s.
    pub seconds: f64,
    /// A published law by its id, or `equilibrium`; `None` for the crop's own kernel.
    pub kinetics: Option<String>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Drying {
    /// Crop after aliases.
    pub crop: String,
    /// Moisture at the end, fraction wet basis.
    pub moisture_wb: f64,
    /// (M − Me)/(M0 − Me), dry basis.
    pub ratio: f64,
    /// Id of the law used.
    pub relation: String,
    /// Equilibrium moisture used, fraction wet basis.
    pub equilibrium_wb: f64,
    /// Id of the isotherm it comes from.
    pub equilibrium_relation: String,
    /// Moistures (wet basis) that the slowest and the fastest known law give, where the crop has none of its own.
    pub bounds: Option<Spread>,
    /// Where the law comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence.
    pub in_range: bool,
}

/// A law, applied.
struct Applied {
    relation: String,
    ratio: f64,
    /// Where two laws bound the answer: the ratio of the faster one.
    fast: Option<f64>,
    source: Source,
    in_range: bool,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        faults.moisture("initial", self.initial_wb);
        faults.temperature("air", self.air);
        faults.humidity("relative-humidity", self.humidity);
        if let Some(velocity) = self.velocity {
            faults.outside("velocity", velocity, Kind::Velocity, VELOCITIES);
        }
        faults.outside("time", self.seconds, Kind::Hours, TIMES);
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question; a crop or law that is not recorded; a law that wants a velocity.
    pub fn answer(&self) -> Result<Answer<Drying>, Diagnostics> {
        refuse(self.faults())?;
        let mut remarks = Remarks::default();
        let crop = crop(&self.crop, &mut remarks)?;
        let initial = dry_basis(self.initial_wb);
        let set = crop.isotherm(None).map_err(|e| missing(&e))?;
        let equilibrium = set.form.equilibrium(self.humidity, self.air).moisture;
        let applied = match self.kinetics.as_deref() {
            None => self.own(&crop, &mut remarks)?,
            Some("equilibrium") => Applied {
                relation: "equilibrium".into(),
                ratio: 0.0,
                fast: None,
                source: Source::new(
                    "no resistance inside the kernel: a limit, not a law of any grain",
                    Status::Computed,
                ),
                in_range: true,
            },
            Some(id) => self.literal(id, &crop, &mut remarks)?,
        };
        // The moisture tended to is part of the answer: where its set is stretched, so is the answer.
        let evidence = |range| Evidence { relation: &set.id, range, source: &set.evidence.source };
        let warm = evidence(set.temperature).holds(&mut remarks, "temperature", self.air, Kind::Temperature);
        let humid = evidence(set.humidity).holds(&mut remarks, "air", self.humidity, Kind::RelativeHumidity);
        if equilibrium > initial {
            let says = Phrase::new(
                "the air is more humid than the grain: it takes up water, and laws of drying are stretched",
            );
            remarks.add(Remark::new("rewetting", says));
        }
        let moisture = |ratio: f64| wet_basis(equilibrium + ratio * (initial - equilibrium));
        let result = Drying {
            crop: crop.id.clone(),
            moisture_wb: moisture(applied.ratio),
            ratio: applied.ratio,
            relation: applied.relation,
            equilibrium_wb: wet_basis(equilibrium),
            equilibrium_relation: set.id.clone(),
            bounds: applied.fast.map(|fast| {
                let (a, b) = (moisture(applied.ratio), moisture(fast));
                Spread { low: a.min(b), high: a.max(b) }
            }),
            source: applied.source,
            in_range: applied.in_range && warm && humid,
        };
        Ok(Answer { result, remarks })
    }

    /// The crop's own kernel, or the slower of the two that bound it.
    fn own(&self, crop: &Crop, remarks: &mut Remarks) -> Result<Applied, Diagnostics> {
        let kinetics = crop.kinetics().map_err(|e| missing(&e))?;
        let ratio = |fit: &CompartmentFit| fit.constants.moisture_ratio(self.air, self.seconds);
        let (fit, fast): (&CompartmentFit, Option<f64>) = match &kinetics.production {
            Production::Fitted(fit) => (fit, None),
            Production::Bounds { slow, fast } => {
                let says = Phrase::new(
                    "no drying law of {crop} is recorded: the answer is that of {slow}, the slowest known; {fast}, the fastest, \
                     bounds it from the other side",
                )
                .text("crop", &crop.id)
                .text("slow", format!("two-compartment-{}", slow.id))
                .text("fast", format!("two-compartment-{}", fast.id));
                remarks.add(Remark::new("crop-kinetics-bounded", says));
                (slow, Some(ratio(fast)))
            }
        };
        let relation = format!("two-compartment-{}", fit.id);
        let source = &fit.evidence.source;
        let in_range = Evidence { relation: &relation, range: fit.temperature, source }.holds(
            remarks,
            "air temperature",
            self.air,
            Kind::Temperature,
        );
        let says = Phrase::new(
            "{fit} stands for the published law {law}, from which it differs by {misfit} in moisture ratio (root mean square)",
        )
        .text("fit", &relation)
        .text("law", &fit.fitted_to)
        .text("misfit", format!("{:.3}", fit.rms_misfit));
        remarks.add(Remark::new("kinetics-fitted", says));
        Ok(Applied { relation, ratio: ratio(fit), fast, source: source.clone(), in_range: in_range && fast.is_none() })
    }

    /// A published law taken literally.
    fn literal(&self, id: &str, crop: &Crop, remarks: &mut Remarks) -> Result<Applied, Diagnostics> {
        let Some(law) = ThinLayer::from_id(id) else {
            let ids: Vec<&str> = ThinLayer::ALL.iter().map(|law| law.id()).collect();
            let found = format!("unknown thin-layer law \"{id}\"");
            return Err(one(Diagnostic::error("unknown-law", found, part("kinetics"))
                .allowed(format!("must be \"equilibrium\" or one of {}", ids.join(", ")))));
        };
        let (range, source) = (law.range(), law.source());
        if range.velocity.is_some() && self.velocity.is_none() {
            return Err(one(Diagnostic::error(
                "missing-option",
                format!("{id} contains the velocity of the air"),
                part("velocity"),
            )
            .help("add the velocity, as \"0.2 m/s\"")));
        }
        if !crop.kinetics.iter().flat_map(|k| &k.laws).any(|row| row.id() == id) {
            let says =
                Phrase::new("{law} is not a law of {crop}: taken literally").text("law", id).text("crop", &crop.id);
            remarks.add(Remark::new("law-of-another-crop", says));
        }
        let at = DryingConditions {
            temperature: self.air,
            relative_humidity: self.humidity,
            initial_moisture: dry_basis(self.initial_wb),
            velocity: self.velocity.unwrap_or(0.0),
        };
        let ratio = checked_moisture_ratio(law, at, self.seconds).map_err(|e| impossible(&e))?;
        let checks = [
            ("air", at.temperature, Kind::Temperature, Some(range.temperature)),
            ("air", at.relative_humidity, Kind::RelativeHumidity, range.relative_humidity),
            ("initial moisture", at.initial_moisture, Kind::MoistureDryBasis, range.initial_moisture),
            ("air", at.velocity, Kind::Velocity, range.velocity),
        ];
        let mut in_range = true;
        for (what, value, kind, range) in checks {
            if let Some(range) = range {
                in_range &= Evidence { relation: id, range, source: &source }.holds(remarks, what, value, kind);
            }
        }
        Ok(Applied { relation: id.into(), ratio, fast: None, source, in_range })
    }
}
