//! Which reading, not taken yet, would tell the likeliest causes apart best.

use super::Fitted;
use super::causes::{Cause, chance};
use super::channels::{CHANNELS, Channel, Measured, SIGHTS, Sight, would_have};
use super::model::Model;

/// What to read or look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// With an instrument.
    Read(Channel),
    /// With the eyes.
    Look(Sight),
}

/// The next reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Next {
    /// What.
    pub what: What,
    /// What it is expected to tell, in bits: 1 halves the doubt between two causes.
    pub bits: f64,
}

/// The reading worth most. Of a channel: half the logarithm of the spread of its predictions over causes against what one
/// cause alone leaves (information of a normal variable); of a sight: its mutual information with the cause.
pub(super) fn best(model: &Model<'_>, measured: &Measured, fitted: &[Fitted]) -> Option<Next> {
    let lit = model.setup.full_fire > 0.0;
    let channels = CHANNELS.iter().filter(|c| !measured.has(**c)).filter(|c| match c {
        Channel::Fire | Channel::GasPressure | Channel::TankPressure | Channel::Panel => lit,
        Channel::Headspace => model.applies(Cause::BlockedVents),
        Channel::Rise => model.setup.blows(),
        _ => true,
    });
    let reads = channels.map(|&channel| {
        let i = channel as usize;
        let mean: f64 = fitted.iter().map(|f| f.posterior * f.all[i]).sum();
        let between: f64 = fitted.iter().map(|f| f.posterior * (f.all[i] - mean).powi(2)).sum();
        let own = would_have(model.setup, channel, mean);
        Next { what: What::Read(channel), bits: 0.5 * (1.0 + between / (own * own)).log2() }
    });
    let looks = SIGHTS.iter().filter(|s| !measured.sights.iter().any(|(seen, _)| seen == *s)).filter(|s| match s {
        Sight::IceOnRegulator => lit && model.applies(Cause::RegulatorFreezing),
        Sight::Pulsing => model.applies(Cause::FanDown),
        Sight::VentsBlocked => model.applies(Cause::BlockedVents),
        _ => true,
    });
    let looks = looks.map(|&sight| {
        let entropy = |p: f64| if p <= 0.0 || p >= 1.0 { 0.0 } else { -p * p.log2() - (1.0 - p) * (1.0 - p).log2() };
        let yes: f64 = fitted.iter().map(|f| f.posterior * chance(f.cause, sight, true)).sum();
        let left: f64 = fitted.iter().map(|f| f.posterior * entropy(chance(f.cause, sight, true))).sum();
        Next { what: What::Look(sight), bits: entropy(yes) - left }
    });
    reads.chain(looks).max_by(|a, b| a.bits.total_cmp(&b.bits))
}
