//! Which reading, not taken yet, would tell the likeliest causes apart best, and what each of them predicts for it.

use super::Fitted;
use super::causes::{Cause, chance};
use super::channels::{CHANNELS, Channel, Measured, Read, SIGHTS, Sight, would_have};
use super::model::Model;

/// Causes less likely than this are left out of the question.
const HARDLY: f64 = 0.005;

/// Bits below which a reading is not worth the way to the bin (judgement).
const LEAST: f64 = 0.02;

/// What to read or look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// With an instrument.
    Read(Channel),
    /// With the eyes.
    Look(Sight),
}

/// What a cause foretells of the next reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foretold {
    /// The cause.
    pub cause: Cause,
    /// Value of the reading, in the unit of its channel, given what was read already; of a sight the chance to see it.
    pub value: f64,
    /// Standard uncertainty of the reading about it; 0 of a sight.
    pub standard: f64,
}

/// The next reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Next {
    /// What.
    pub what: What,
    /// What it is expected to tell, in bits: 1 halves the doubt between two causes.
    pub bits: f64,
    /// What the likeliest causes foretell, the likeliest first.
    pub foretold: Vec<Foretold>,
}

/// The reading worth most; none where no reading left would tell the likeliest causes apart. Of a channel: half the logarithm of the spread of its predictions over causes against what one
/// cause alone leaves (information of a normal variable); of a sight: its mutual information with the cause.
pub(super) fn best(model: &Model<'_>, measured: &Measured, fitted: &[Fitted]) -> Option<Next> {
    let lit = model.setup.full_fire > 0.0;
    let asked: Vec<Channel> = CHANNELS
        .iter()
        .copied()
        .filter(|c| !measured.has(*c))
        .filter(|c| match c {
            Channel::Fire | Channel::GasPressure | Channel::TankPressure | Channel::Panel => lit,
            Channel::MotorSpread => model.applies(Cause::FansUnequal),
            Channel::Rise => model.setup.blows(),
            _ => true,
        })
        .collect();
    let likely: Vec<&Fitted> = fitted.iter().filter(|f| f.posterior > HARDLY).collect();
    let whole: f64 = likely.iter().map(|f| f.posterior).sum();
    // What each cause foretells of every channel not read, once it knows what was read.
    let told: Vec<Vec<(f64, f64)>> =
        likely.iter().map(|f| foretell(model, measured, f, &asked)).collect::<Option<_>>()?;
    let reads = asked.iter().enumerate().map(|(k, &channel)| {
        let mean: f64 = likely.iter().zip(&told).map(|(f, t)| f.posterior * t[k].0).sum::<f64>() / whole;
        let between: f64 =
            likely.iter().zip(&told).map(|(f, t)| f.posterior * (t[k].0 - mean).powi(2)).sum::<f64>() / whole;
        let own: f64 = likely.iter().zip(&told).map(|(f, t)| f.posterior * t[k].1 * t[k].1).sum::<f64>() / whole;
        let foretold = likely
            .iter()
            .zip(&told)
            .map(|(f, t)| Foretold { cause: f.cause, value: t[k].0, standard: t[k].1 })
            .collect();
        Next { what: What::Read(channel), bits: 0.5 * (1.0 + between / own).log2(), foretold }
    });
    let looks = SIGHTS.iter().filter(|s| !measured.sights.iter().any(|(seen, _)| seen == *s)).filter(|s| match s {
        Sight::IceOnRegulator => lit && model.applies(Cause::RegulatorFreezing),
        Sight::Pulsing => model.applies(Cause::FanDown),
        _ => true,
    });
    let looks = looks.map(|&sight| {
        let entropy = |p: f64| if p <= 0.0 || p >= 1.0 { 0.0 } else { -p * p.log2() - (1.0 - p) * (1.0 - p).log2() };
        let yes: f64 = likely.iter().map(|f| f.posterior * chance(f.cause, sight, true)).sum::<f64>() / whole;
        let left: f64 = likely.iter().map(|f| f.posterior * entropy(chance(f.cause, sight, true))).sum::<f64>() / whole;
        let foretold = likely
            .iter()
            .map(|f| Foretold { cause: f.cause, value: chance(f.cause, sight, true), standard: 0.0 })
            .collect();
        Next { what: What::Look(sight), bits: entropy(yes) - left, foretold }
    });
    reads.chain(looks).filter(|next| next.bits > LEAST).max_by(|a, b| a.bits.total_cmp(&b.bits))
}

/// Mean and standard uncertainty of channels not read under a cause, given the readings: what is doubtful of the sound bin
/// moves both, so what was read tells something of what was not (conditional normal distribution).
fn foretell(model: &Model<'_>, measured: &Measured, fit: &Fitted, asked: &[Channel]) -> Option<Vec<(f64, f64)>> {
    let mut all = measured.clone();
    all.read.extend(asked.iter().map(|&channel| {
        let value = fit.all[channel as usize];
        Read { channel, value, standard: would_have(model.setup, channel, value) }
    }));
    let covariance = model.covariance(&all, fit.cause, fit.size.unwrap_or(0.0))?;
    let n = measured.read.len();
    let known: Vec<usize> = (0..n).collect();
    let factor = covariance.of(&known).cholesky()?;
    let misfit = measured.misfit(&fit.all);
    Some(
        (0..asked.len())
            .map(|k| {
                let with: Vec<f64> = (0..n).map(|i| covariance.get(i, n + k)).collect();
                let mean = fit.all[asked[k] as usize] + factor.product(&with, &misfit);
                let left = covariance.get(n + k, n + k) - factor.square(&with);
                (mean, left.max(1e-18).sqrt())
            })
            .collect(),
    )
}
