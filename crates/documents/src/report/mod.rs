//! What a report shows, as plain data: numbers in SI with a known kind, and text. The caller fills it in from results;
//! nothing here computes.
//!
//! Three conventions hold in all of it:
//!
//! * A value that was not reached is `NaN` (or an infinity); it is printed as "not reached", never as a number.
//! * A **day** is a time as days since 00:00 local standard time on 1 January of the season's calendar year, so that
//!   the autumns of all years lie over one another: 0.5 is noon on 1 January, 365 is the next New Year (366 after a
//!   leap year).
//! * **Depth** is measured from where the air enters the grain.

mod air;
mod season;
mod years;

pub use air::{AirReport, BudgetItem, FanCurve, OperatingPoint, SystemCurve};
pub use season::{DepthTimeMap, Limit, Running, SeasonReport, Strip, StripLine};
pub use years::{
    Band, Bands, ChanceInterval, LeftOut, Outcome, Tally, Uncertainty, Variant, YearLine, YearRow, YearsReport,
};

use crate::section::BinSection;
use notice::{Phrase, Quantity, Remark, Status};

/// Everything one report says about one bin in one outfit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ReportData {
    /// What the sheet is about.
    pub title: TitleBlock,
    /// What the tool says, with the sentences that carry it.
    pub verdict: Verdict,
    /// The bin drawn to scale; none leaves the drawing out.
    pub section: Option<BinSection>,
    /// What bin and lot hold, said back.
    pub capacities: Vec<Capacity>,
    /// Fans against the grain.
    pub air: AirReport,
    /// All weather years.
    pub years: YearsReport,
    /// One weather year by layer and hour; none leaves the part out.
    pub season: Option<SeasonReport>,
    /// The outfits that were weighed; none leaves the part out.
    pub weighing: Option<Box<advice::weigh::Answer>>,
    /// Sampling interval and model range.
    pub uncertainty: Uncertainty,
    /// Results outside their evidence.
    pub remarks: Vec<Remark>,
    /// Where the work can hurt someone.
    pub cautions: Vec<Phrase>,
    /// Every relation used.
    pub sources: Vec<SourceUse>,
    /// What makes the run repeatable.
    pub run: RunIdentity,
}

/// The corner of the drawing sheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TitleBlock {
    /// Name of the site.
    pub site: String,
    /// Name of the bin.
    pub bin: String,
    /// The lot in one line: "corn, 20 000 bu at 20 %".
    pub lot: String,
    /// The outfit in one line.
    pub outfit: String,
    /// Date of the report as it should be printed; the crate reads no clock.
    pub date: String,
    /// Program and version.
    pub program: String,
    /// Warnings that every page must carry.
    pub marks: Vec<PageMark>,
}

/// A warning that stands on every page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageMark {
    /// Equipment that exists nowhere.
    InventedEquipment,
    /// Equipment figures filled in by estimate.
    EstimatedEquipment,
    /// Equipment figures so old that their maker should be asked whether they still hold.
    OutdatedEquipment,
    /// The run was interrupted; only what was known by then is shown.
    Partial,
}

impl PageMark {
    /// The words printed.
    pub fn text(self) -> &'static str {
        match self {
            Self::InventedEquipment => "DEMO: invented equipment",
            Self::EstimatedEquipment => "ESTIMATED: figures filled in by estimate",
            Self::OutdatedEquipment => "OUTDATED: figures ten years old or older",
            Self::Partial => "PARTIAL: the run was interrupted",
        }
    }
}

/// Whether the stated goal is reached over all years.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum GoalState {
    /// It is.
    Met,
    /// It is not.
    Missed,
    /// No goal was stated, or something needed to judge it is missing.
    #[default]
    NotJudged,
}

impl GoalState {
    /// The words printed.
    pub fn text(self) -> &'static str {
        match self {
            Self::Met => "goal met",
            Self::Missed => "goal missed",
            Self::NotJudged => "goal not judged",
        }
    }
}

/// What the tool says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Verdict {
    /// Whether the goal is reached.
    pub goal: GoalState,
    /// The verdict in one sentence.
    pub headline: Option<Phrase>,
    /// The sentences that carry it.
    pub sentences: Vec<Phrase>,
}

/// One line of what bin and lot hold.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Capacity {
    /// What it is: "level full to the eave".
    pub what: String,
    /// The same amount in each way worth saying: bushels, tonnes, dry matter.
    pub values: Vec<Quantity>,
    /// Which bushel or tonne, at which density.
    pub note: String,
}

/// A relation or figure used, and how well it is known.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceUse {
    /// What it serves: "equilibrium moisture of corn".
    pub what: String,
    /// Citation.
    pub citation: String,
    /// How well the figure is confirmed.
    pub status: Status,
    /// Whether all of its use lay inside its range; none when it has no stated range.
    pub in_range: Option<bool>,
    /// What was met outside.
    pub outside: Vec<Phrase>,
}

/// What makes a run repeatable, and whether its books balance.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RunIdentity {
    /// Names and values: identity, model number, accuracy, seed, digests.
    pub entries: Vec<(String, String)>,
    /// Books that must balance.
    pub balances: Vec<Balance>,
}

/// One book of a conserved quantity.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Balance {
    /// What is conserved: "water", "energy".
    pub what: String,
    /// Largest residual of all cases, relative.
    pub residual: f64,
    /// The residual allowed.
    pub allowed: f64,
}
