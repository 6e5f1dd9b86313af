//! The farm as it was said: what is harvested, and by which rule bins take it.

use super::LotFacts;

/// Which bin takes a load when several may.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LoadOrder {
    /// The one whose grain has most storage life left; of those alike, the one that is filled least.
    #[default]
    MostLife,
    /// The first of the file.
    AsListed,
}

/// The bins of a site as one farm.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmFacts {
    /// Which bin takes a load.
    pub order: LoadOrder,
    /// A bin takes no further load once its grain has used this much of its storage life (strict reading).
    pub most_life_used: f64,
    /// Days that a load waits in the field before it is sold wet.
    pub wait: u32,
    /// What is harvested; empty where the lots of the bins are.
    pub harvest: Vec<LotFacts>,
}

impl Default for FarmFacts {
    /// Half of the storage life, ten days in the field (judgement).
    fn default() -> Self {
        Self { order: LoadOrder::MostLife, most_life_used: 0.5, wait: 10, harvest: Vec::new() }
    }
}
