//! Runs: what was computed, from what, by which model. Job and result are opaque here.

use crate::{Digest, Moment, SiteId};

/// The version of a site a run was asked for. Several can share one run, for a run's identity follows from the resolved job:
/// a comment added to the text or a duplicate of the site asks for the same run.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct RunUse {
    /// The site.
    pub site: SiteId,
    /// Digest of the site text it was asked for.
    pub version: Digest,
}

/// A finished run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// Hash of all that decides the result.
    pub identity: Digest,
    /// Number of the model that computed it.
    pub model: u32,
    /// What was asked: "prove", "season".
    pub kind: String,
    /// How accurately: "verdict".
    pub accuracy: String,
    /// The resolved job.
    pub job: Vec<u8>,
    /// The result, as JSON bytes of the caller.
    pub result: Vec<u8>,
    /// When it was finished.
    pub finished_at: Moment,
    /// For which versions of which sites, in order.
    pub uses: Vec<RunUse>,
}

/// A run in a site's list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunLine {
    /// Its identity.
    pub identity: Digest,
    /// Number of the model that computed it.
    pub model: u32,
    /// What was asked.
    pub kind: String,
    /// How accurately.
    pub accuracy: String,
    /// Digest of the site text it was asked for.
    pub version: Digest,
    /// Length of job and result together, in bytes.
    pub bytes: u64,
    /// When it was finished.
    pub finished_at: Moment,
}

/// Which runs to let go; a run is let go when either says so.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PruneRuns {
    /// Those finished before this instant.
    pub finished_before: Option<Moment>,
    /// The oldest, until jobs and results together take no more than this many bytes.
    pub keep_bytes: Option<u64>,
}
