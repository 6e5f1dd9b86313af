//! All weather years, and what is uncertain about them.

use notice::Phrase;

/// How one weather year ends.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Dry and sound by the date.
    #[default]
    Met,
    /// Not dry by the date, but cold and sound; finishes in spring.
    Held,
    /// Neither.
    Failed,
}

impl Outcome {
    /// The word printed beside its shape.
    pub fn word(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::Held => "held",
            Self::Failed => "failed",
        }
    }
}

/// The part on all years.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct YearsReport {
    /// Mean moisture aimed at, wet basis; `NaN` for none.
    pub target_wb: f64,
    /// Day by which; `NaN` for none. See [`crate::report`] for what a day is.
    pub by_day: f64,
    /// One row a year.
    pub rows: Vec<YearRow>,
    /// Mean moisture against the day, one line a year.
    pub lines: Vec<YearLine>,
    /// Percentiles over the years.
    pub bands: Option<Bands>,
    /// Years that could not be used.
    pub left_out: Vec<LeftOut>,
}

/// One weather year.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct YearRow {
    /// Calendar year of the first load.
    pub year: i32,
    /// How it ends.
    pub outcome: Outcome,
    /// Why it failed or was held; empty when met.
    pub cause: String,
    /// Day finished; `NaN` when not reached.
    pub finish_day: f64,
    /// Mean moisture at the end, wet basis.
    pub mean_wb: f64,
    /// Wettest tenth at the end, wet basis.
    pub wettest_wb: f64,
    /// Storage life used, 1 = spent; `NaN` when not judged.
    pub life_used: f64,
    /// Metered electricity, J.
    pub electricity_j: f64,
    /// Heat given to the air by a burner, J.
    pub burner_heat_j: f64,
    /// Money as it should be printed; empty for none.
    pub cost: String,
}

/// Mean moisture of one year.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct YearLine {
    /// Calendar year of the first load.
    pub year: i32,
    /// How it ends.
    pub outcome: Outcome,
    /// Day and mean moisture (wet basis).
    pub points: Vec<(f64, f64)>,
}

/// Percentiles of the mean moisture over the years.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Bands {
    /// Days, ascending.
    pub days: Vec<f64>,
    /// Median at each day, wet basis.
    pub median_wb: Vec<f64>,
    /// Bands, widest first.
    pub bands: Vec<Band>,
}

/// One band.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Band {
    /// Name on the plot: "8 years of 10".
    pub label: String,
    /// Lower edge at each day, wet basis.
    pub low_wb: Vec<f64>,
    /// Upper edge at each day, wet basis.
    pub high_wb: Vec<f64>,
}

/// A year that could not be used.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LeftOut {
    /// Calendar year.
    pub year: i32,
    /// Why.
    pub reason: String,
}

/// How many years ended how.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Years met.
    pub met: u32,
    /// Years held.
    pub held: u32,
    /// Years failed.
    pub failed: u32,
}

impl Tally {
    /// Years in all.
    pub fn of(self) -> u32 {
        self.met.saturating_add(self.held).saturating_add(self.failed)
    }
}

/// What is uncertain: the chance of the draw of years apart from the choice of model.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Uncertainty {
    /// The years as counted.
    pub tally: Tally,
    /// What that count says about the chance of a year to come.
    pub interval: Option<ChanceInterval>,
    /// The same years under other choices the evidence allows.
    pub variants: Vec<Variant>,
    /// The combination that changes the verdict most.
    pub worst: Option<Phrase>,
}

/// An interval of a chance.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ChanceInterval {
    /// What the chance is of: "the goal is met".
    pub of_what: String,
    /// Lower bound, 0 to 1.
    pub low: f64,
    /// Upper bound, 0 to 1.
    pub high: f64,
    /// Confidence, 0 to 1.
    pub level: f64,
    /// Name of the method.
    pub method: String,
}

/// The years under one other choice.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Variant {
    /// What differs: "published storage limits".
    pub name: String,
    /// The years as counted under it.
    pub tally: Tally,
    /// Anything to say of it.
    pub note: String,
}
