//! Why does a bin not do what was promised? Every cause is a change in the bin's own mechanics; its size is fitted to the
//! readings, and causes are ranked by how likely they make the readings, weighed by a printed prior.
//!
//! # Caution
//! A ranking is no finding: it says where to look first. Looking is done with power locked out and gas shut by those whose
//! trade it is, and nobody enters the bin.

mod calibrate;
mod causes;
mod channels;
mod fits;
mod matrix;
mod model;
mod next;

pub use causes::{CAUSES, Cause, Info, Sizing};
pub use channels::{CHANNELS, Channel, SIGHTS, Sight};
pub use fits::Goodness;
pub use model::Known;
pub use next::{Foretold, Next, What};

use crate::field::{Setup, Urgent, urgent};
use channels::Measured;
use model::Model;

/// Sizes tried over the range of a cause.
const SIZES: usize = 17;
/// Largest squared distance, in standard uncertainties, of two causes that no available reading separates.
const SAME: f64 = 1.0;

/// One cause fitted to the readings.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// The cause.
    pub cause: Cause,
    /// Its size, in the meaning of [`Sizing`]; `None` for causes without one.
    pub size: Option<f64>,
    /// Name of the size where it is one of a list: the other crop.
    pub named: Option<String>,
    /// Prior, of all causes that apply here 1.
    pub prior: f64,
    /// Posterior, of all causes 1.
    pub posterior: f64,
    /// Sum of squares of the misfit, in combined standard uncertainties.
    pub misfit: f64,
    /// Readings as this cause predicts them, in the order of [`Diagnosis::measured`].
    pub predicted: Vec<f64>,
    /// The same of every channel, read or not.
    all: Vec<f64>,
}

/// Causes that no available reading separates, the likeliest first.
#[derive(Debug, Clone)]
pub struct Class {
    /// The causes.
    pub causes: Vec<Fitted>,
    /// Posterior of all of them.
    pub posterior: f64,
}

/// A reading as the diagnosis uses it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredLine {
    /// What was read.
    pub channel: Channel,
    /// Value, in the unit of the channel.
    pub value: f64,
    /// Its combined standard uncertainty: instrument and what is doubtful of the sound bin.
    pub standard: f64,
    /// As the sound bin would give it.
    pub sound: f64,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct Diagnosis {
    /// Classes of causes, the likeliest first.
    pub classes: Vec<Class>,
    /// The readings used.
    pub measured: Vec<MeasuredLine>,
    /// Whether any cause explains the readings at all.
    pub goodness: Goodness,
    /// The reading that would tell the likeliest causes apart best, and what it is worth.
    pub next: Option<Next>,
    /// Whether a baseline narrowed what is doubtful of the sound bin.
    pub baseline: bool,
    /// What must be acted on at once.
    pub urgent: Vec<Urgent>,
}

impl Diagnosis {
    /// Rank (from 1) of the class that holds a cause.
    pub fn rank_of(&self, cause: Cause) -> Option<usize> {
        self.classes.iter().position(|class| class.causes.iter().any(|f| f.cause == cause)).map(|i| i + 1)
    }
}

/// Ranks the causes of readings; a baseline taken when the bin was sound narrows what is doubtful of it.
///
/// `None` when nothing was read that the mechanics can predict, or the plan itself has no working point.
pub fn diagnose(setup: &Setup<'_>, baseline: Option<&Setup<'_>>) -> Option<Diagnosis> {
    let known = match baseline {
        Some(baseline) => {
            calibrate::from_baseline(baseline, crate::field::dates::is_of_another_filling(setup, baseline))?
        }
        None => Known::planned(setup),
    };
    let model = Model::new(setup, known);
    let measured = Measured::of(setup);
    if measured.read.is_empty() {
        return None;
    }
    let sound = model.predict(Cause::Sound, 0.0)?;
    let sight = model.sight(&sound)?;
    let sound_doubt = model.covariance(&measured, Cause::Sound, 0.0)?;
    let mut fitted: Vec<Fitted> = Vec::new();
    let applicable: Vec<_> = CAUSES.iter().filter(|info| model.applies(info.cause)).collect();
    let weights: f64 = applicable.iter().map(|info| model.prior(info)).sum();
    let mut evidences = Vec::new();
    for info in applicable {
        let prior = model.prior(info) / weights;
        if let Some((fit, log_evidence)) = fit(&model, &measured, info, prior, (&sound, &sight)) {
            fitted.push(fit);
            evidences.push(log_evidence + prior.ln());
        }
    }
    let most = evidences.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = evidences.iter().map(|e| (e - most).exp()).sum();
    fitted.iter_mut().zip(&evidences).for_each(|(f, e)| f.posterior = (e - most).exp() / sum);
    fitted.sort_by(|a, b| b.posterior.total_cmp(&a.posterior));
    let goodness = fits::goodness(&model, &measured, &fitted)?;
    let next = next::best(&model, &measured, &fitted);
    let lines = measured
        .read
        .iter()
        .enumerate()
        .map(|(i, r)| MeasuredLine {
            channel: r.channel,
            value: r.value,
            standard: sound_doubt.get(i, i).sqrt(),
            sound: sound[r.channel as usize],
        })
        .collect();
    let classes = classes(&model, &measured, fitted);
    Some(Diagnosis { classes, measured: lines, goodness, next, baseline: baseline.is_some(), urgent: urgent(setup) })
}

/// Best size of a cause and the logarithm of its evidence: the mean likelihood over its sizes, so that a cause which can be
/// anything pays for it.
fn fit(
    model: &Model<'_>,
    measured: &Measured,
    info: &causes::Info,
    prior: f64,
    (sound, sight): (&[f64], &matrix::Cholesky),
) -> Option<(Fitted, f64)> {
    let sizes = model.sizes(info);
    let first = model.covariance(measured, Cause::Sound, 0.0)?.cholesky()?;
    let tried: Vec<(f64, Vec<f64>)> = sizes
        .iter()
        .filter_map(|&s| model.predict(info.cause, s).map(|p| (s, p)))
        .filter(|(_, p)| info.cause == Cause::Sound || Model::shows(sight, sound, p))
        .collect();
    let best = |factor: &matrix::Cholesky| {
        tried.iter().map(|(s, p)| (*s, factor.square(&measured.misfit(p)))).min_by(|a, b| a.1.total_cmp(&b.1))
    };
    let rough = best(&first)?;
    // What is doubtful weighs differently in the changed bin: its covariance is taken there.
    let there = model.covariance(measured, info.cause, rough.0).and_then(|c| c.cholesky()).unwrap_or(first);
    let squares: Vec<f64> = tried.iter().map(|(_, p)| there.square(&measured.misfit(p))).collect();
    let least = squares.iter().copied().fold(f64::INFINITY, f64::min);
    let mean: f64 = squares.iter().map(|q| (-0.5 * (q - least)).exp()).sum::<f64>() / squares.len() as f64;
    let seen = measured.sights.iter().map(|(sight, yes)| causes::chance(info.cause, *sight, *yes).ln()).sum::<f64>();
    let evidence = mean.ln() - 0.5 * least - 0.5 * there.log_determinant() + seen;
    let at = squares.iter().position(|q| *q == least)?;
    let (mut size, mut all) = (tried[at].0, tried[at].1.clone());
    let mut misfit = least;
    if !matches!(info.sizing, Sizing::None | Sizing::OtherCrop) {
        // A finer look between the neighbours of the best size, within its own range: between two ranges lies the size that is
        // no fault at all.
        let range = info.ranges.iter().find(|(low, high)| (*low..=*high).contains(&size));
        let inside = |i: usize| range.is_some_and(|(low, high)| (*low..=*high).contains(&tried[i].0));
        let low = tried[if at > 0 && inside(at - 1) { at - 1 } else { at }].0;
        let high = tried[if at + 1 < tried.len() && inside(at + 1) { at + 1 } else { at }].0;
        for i in 1..8 {
            let s = low + (high - low) * f64::from(i) / 8.0;
            if let Some(p) = model.predict(info.cause, s) {
                let square = there.square(&measured.misfit(&p));
                if square < misfit {
                    (misfit, size, all) = (square, s, p);
                }
            }
        }
    }
    let predicted = measured.read.iter().map(|r| all[r.channel as usize]).collect();
    let named = (info.sizing == Sizing::OtherCrop).then(|| model.crop_name(size)).flatten();
    let size = (info.sizing != Sizing::None).then_some(size);
    Some((Fitted { cause: info.cause, size, named, prior, posterior: 0.0, misfit, predicted, all }, evidence))
}

/// Puts causes together that the readings do not separate: each joins the likeliest one that it can imitate within
/// [`SAME`] and that it fits nearly as well as. The sound bin stays alone.
fn classes(model: &Model<'_>, measured: &Measured, fitted: Vec<Fitted>) -> Vec<Class> {
    let mut classes: Vec<Class> = Vec::new();
    for one in fitted {
        let home = classes.iter_mut().find(|class| {
            let head = &class.causes[0];
            let sights_alike = measured.sights.iter().all(|(sight, yes)| {
                let ratio = causes::chance(head.cause, *sight, *yes) / causes::chance(one.cause, *sight, *yes);
                (0.33..3.0).contains(&ratio)
            });
            head.cause != Cause::Sound
                && one.cause != Cause::Sound
                && sights_alike
                && one.misfit - head.misfit < SAME
                && model
                    .covariance(measured, head.cause, head.size.unwrap_or(0.0))
                    .and_then(|c| c.cholesky())
                    .is_some_and(|c| {
                        let apart: Vec<f64> = head.predicted.iter().zip(&one.predicted).map(|(a, b)| a - b).collect();
                        c.square(&apart) < SAME
                    })
        });
        match home {
            Some(class) => {
                class.posterior += one.posterior;
                class.causes.push(one);
            }
            None => classes.push(Class { posterior: one.posterior, causes: vec![one] }),
        }
    }
    classes.sort_by(|a, b| b.posterior.total_cmp(&a.posterior));
    classes
}
