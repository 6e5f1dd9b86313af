//! What of a control's advantage survives its sensors: the same years with fans that run all the time, with the control and
//! perfect sensors, and with the control and the sensors it has.

use crate::proof::on_rung;
use crate::verdict::{Reading, judge};
use ensemble::{Batch, Engine, Observer, Priority};
use equipment::{BurnerRule, Control, Rule};
use job::BinJob;
use notice::{Kind, Phrase, Quantity};
use numerics::quantile::quantile;
use physics::grain::wet_basis;
use season::{CaseSpec, Record, SeasonResult, SensorErrors};
use std::sync::Arc;

/// The years of one of the three.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Years met or held.
    pub good: usize,
    /// Median of metered electricity and heat of the burner, J.
    pub energy: f64,
    /// Median of the fan hours until drying stopped.
    pub fan_hours: f64,
    /// Median of how far the mean lay from the target when drying stopped, fraction w.b.
    pub off_target: f64,
    /// Median of the difference between wettest and driest tenth then, fraction w.b.
    pub spread: f64,
}

/// The three beside each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advantage {
    /// Years of each.
    pub of: usize,
    /// Fans that run all the time, without the control's rule.
    pub continuous: Side,
    /// The control with perfect sensors.
    pub perfect: Side,
    /// The control with the sensors of the site.
    pub own: Side,
}

impl Advantage {
    /// Share of the energy saved with perfect sensors that is saved with the site's too; `None` where perfect sensors save
    /// less than a hundredth.
    pub fn survives(&self) -> Option<f64> {
        let saved = self.continuous.energy - self.perfect.energy;
        (saved > 0.01 * self.continuous.energy).then(|| (self.continuous.energy - self.own.energy) / saved)
    }
}

/// Whether drying by this control depends on what a sensor shows.
fn reads(control: &Control) -> bool {
    matches!(control.drying, Rule::HumidityWindow { .. } | Rule::EquilibriumWindow { .. })
        || matches!(
            control.burner,
            BurnerRule::Thermostat(_) | BurnerRule::Humidistat(_) | BurnerRule::HumidistatWithin { .. }
        )
}

/// The same bin with fans that run all the time: the burner as it was, or off where only its rule is the control.
fn without_rule(control: &Control) -> Control {
    let windows = matches!(control.drying, Rule::HumidityWindow { .. } | Rule::EquilibriumWindow { .. });
    Control {
        filling: Rule::Continuous,
        drying: Rule::Continuous,
        burner: if windows { control.burner } else { BurnerRule::Off },
        ..*control
    }
}

/// Runs the three over all years; `None` when the control reads nothing while it dries, its sensors are perfect, a batch needs
/// its heat, or the run was cut short.
///
/// `layers` gives the grid of each year: that of its verdict, so that the control as it is counts the years good that the proof does.
pub fn advantage(
    engine: &Engine,
    bin: &BinJob,
    layers: &dyn Fn(i32) -> usize,
    observer: &Arc<dyn Observer>,
) -> Option<Advantage> {
    let errs = bin.years.iter().any(|(_, case)| case.operations.sensors != SensorErrors::default());
    if !errs || !reads(&bin.template.control) || bin.template.operations.batches.is_some() {
        return None;
    }
    let of = |change: &dyn Fn(&mut CaseSpec)| -> Option<Side> {
        let case = |(year, case): &(i32, Arc<CaseSpec>)| {
            let mut case = on_rung(case, layers(*year));
            change(&mut case);
            Arc::new(case)
        };
        let cases: Vec<Arc<CaseSpec>> = bin.years.iter().map(case).collect();
        let batch = Batch {
            cases: cases.clone(),
            record: Record::Summary,
            priority: Priority::Ordinary,
            observer: Arc::clone(observer),
        };
        let outcome = engine.run(batch);
        let results: Option<Vec<SeasonResult>> = outcome.results.into_iter().collect();
        (!outcome.cancelled).then_some(())?;
        side(&cases, &results?)
    };
    Some(Advantage {
        of: bin.years.len(),
        continuous: of(&|case| case.control = without_rule(&case.control))?,
        perfect: of(&|case| case.operations.sensors = SensorErrors::default())?,
        own: of(&|_| {})?,
    })
}

fn side(cases: &[Arc<CaseSpec>], results: &[SeasonResult]) -> Option<Side> {
    let median = |pick: &dyn Fn(&SeasonResult) -> f64| {
        let values: Vec<f64> = results.iter().map(pick).collect();
        quantile(&values, 0.5)
    };
    let target = wet_basis(cases.first()?.programme.target);
    let good = cases.iter().zip(results).filter(|(case, r)| judge(&case.programme, r, Reading::Strict).good()).count();
    Some(Side {
        good,
        energy: median(&|r| r.electricity() + r.burner_energy)?,
        fan_hours: median(&|r| r.drying_fan_hours)?,
        off_target: median(&|r| (wet_basis(r.moisture_at_stop) - target).abs())?,
        spread: median(&|r| wet_basis(r.wettest_at_stop) - wet_basis(r.driest_at_stop))?,
    })
}

/// The comparison in sentences.
pub fn says(found: &Advantage) -> Vec<Phrase> {
    let side = |name: &str, side: &Side| {
        Phrase::new(
            "{name}: {good} of {of} years good; half of them take less than {energy} (electricity and heat) and {hours} of fan; \
             the mean ends {off} of moisture off the goal, wettest and driest tenth {spread} apart",
        )
        .text("name", name)
        .text("good", side.good.to_string())
        .text("of", found.of.to_string())
        .with("energy", Quantity::new(side.energy, Kind::Heat))
        .with("hours", Quantity::new(side.fan_hours * 3600.0, Kind::Hours))
        .with("off", Quantity::new(side.off_target, Kind::Fraction))
        .with("spread", Quantity::new(side.spread, Kind::Fraction))
    };
    let mut all = vec![
        side("fans running all the time", &found.continuous),
        side("the control with perfect sensors", &found.perfect),
        side("the control with its own sensors", &found.own),
    ];
    all.push(match found.survives() {
        Some(share) => {
            Phrase::new("of the energy that the control saves with perfect sensors, {share} survives its own")
                .with("share", Quantity::new(share, Kind::Fraction))
        }
        None => {
            Phrase::new("the control saves no energy against fans that run all the time, even with perfect sensors")
        }
    });
    all.push(Phrase::new("each year was run three times on the grid of its verdict"));
    all
}
