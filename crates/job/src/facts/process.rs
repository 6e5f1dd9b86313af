//! What a bin is used for beside drying where the grain lies.

use super::MonthDay;
use equipment::{Rule, Towards};

/// Processes of a bin; the default is none.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProcessFacts {
    /// Stages of temperature, in the order of their days.
    pub aeration: Vec<StageFacts>,
    /// Batches in the bin.
    pub batches: Option<BatchFacts>,
    /// The lots come from a dryer.
    pub discharge: Option<DischargeFacts>,
    /// The grain is rewetted.
    pub conditioning: Option<ConditioningFacts>,
    /// What the grain is for, as the rows of the crop name it; `None` when nothing is said.
    pub purpose: Option<&'static str>,
}

/// One stage of aeration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageFacts {
    /// Day from which it holds.
    pub from: MonthDay,
    /// Which way the grain is to go.
    pub towards: Towards,
    /// Temperature to reach, °C.
    pub to: f64,
    /// When fans run.
    pub rule: Rule,
}

/// Batches; the lots of the bin are one of them.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchFacts {
    /// How many.
    pub count: u32,
    /// Hours from the first load of a batch to its last.
    pub fill: f64,
    /// Cooled to within this of the outside air, K; `None` for grain that leaves hot.
    pub cool_within: Option<f64>,
    /// Hours of unloading.
    pub unload: f64,
    /// Where it goes.
    pub to: String,
}

/// Discharge of a dryer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DischargeFacts {
    /// Hours without air after the last load.
    pub tempering: f64,
    /// Hours a day that the dryer runs.
    pub hours_a_day: f64,
}

/// Rewetting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConditioningFacts {
    /// Most moisture of the wettest tenth, fraction w.b.; `None` for what the goal allows it.
    pub most: Option<f64>,
}
