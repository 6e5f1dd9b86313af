//! One year judged against the goal.

use season::{CarryOver, Process, Programme, SeasonResult, StepKind};

/// Which reading of the storage relations is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// As published.
    Published,
    /// Strict: what the verdict uses.
    Strict,
}

/// Why a year failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The fans stalled or were beyond their curve for most of the time.
    NoAirflow,
    /// More storage life was used than is allowed.
    StorageLife,
    /// The mean was reached in time but part of the grain stayed too wet.
    WetPart,
    /// The mean moisture was not reached in time.
    NotDry,
    /// Aerated grain was not as cold in time as the last stage of cooling wants.
    NotCold,
    /// Over-dry grain was not wetted to the goal in time, or part of it too far.
    NotWetted,
    /// Hotter air entered the grain than its use allows.
    TooHot,
}

impl Cause {
    /// All causes.
    pub const ALL: [Self; 7] =
        [Self::NoAirflow, Self::TooHot, Self::StorageLife, Self::WetPart, Self::NotDry, Self::NotCold, Self::NotWetted];
}

/// What became of a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Dry, even enough, by the date, with storage life left.
    Met,
    /// Cold and safe over winter, finished in spring.
    Held,
    /// Neither.
    Failed(Cause),
}

impl Verdict {
    /// Whether the year counts as a success: met or held.
    pub fn good(self) -> bool {
        !matches!(self, Self::Failed(_))
    }
}

/// Judges a finished season.
///
/// Storage life counts to the horizon; a crop without a relation is not judged on it ("not judged" is said beside the
/// verdict, it is never "safe").
pub fn judge(goal: &Programme, result: &SeasonResult, reading: Reading) -> Verdict {
    let life = match reading {
        Reading::Published => result.life_published,
        Reading::Strict => result.life_strict,
    };
    // Beyond the curve there is no airflow, left of the peak none to rely on.
    if result.air.beyond + result.air.unstable > 0.5 * result.air.running && result.air.running > 0.0 {
        return Verdict::Failed(Cause::NoAirflow);
    }
    if result.too_hot_hours > 0.0 {
        return Verdict::Failed(Cause::TooHot);
    }
    if life.is_some_and(|used| used > goal.life_allowed) {
        return Verdict::Failed(Cause::StorageLife);
    }
    let in_time = |hour: Option<i64>| hour.is_some_and(|h| h <= goal.by);
    // Grain that came dry is judged by the cold it was to be brought to; without a stage of cooling, by its life alone.
    let asked_to_cool = result.steps.iter().any(|step| step.kind == StepKind::Cooled);
    if result.process == Process::Aeration && asked_to_cool && !in_time(result.cooled_at) {
        return Verdict::Failed(Cause::NotCold);
    }
    if in_time(result.stopped_at) && result.dry_at_stop {
        return Verdict::Met;
    }
    let may_wait = goal.carry_over != CarryOver::Never;
    if may_wait && result.suspended_at.is_some() && result.stopped_at.is_some() && result.dry_at_stop {
        return Verdict::Held;
    }
    if result.process == Process::Conditioning {
        return Verdict::Failed(Cause::NotWetted);
    }
    // Of batches the last empty bin is what "finished" means: what is wrong is that some came wet, late or not at all.
    if result.process == Process::Batches {
        return Verdict::Failed(Cause::NotDry);
    }
    if in_time(result.finished_at) { Verdict::Failed(Cause::WetPart) } else { Verdict::Failed(Cause::NotDry) }
}
