//! What things cost beside energy, and what is done with a year that failed: facts of a site, in SI where they have a unit.
//!
//! Prices of grain keep the measure they were said in, because a bushel is a weight only once the crop is known.

/// The measure of grain that a price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainUnit {
    /// Legal bushel of the crop, by weight.
    Bushel,
    /// Kilogram.
    Kilogram,
}

/// Money for a measure of grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrainPrice {
    /// Money.
    pub money: f64,
    /// For what.
    pub per: GrainUnit,
}

impl GrainPrice {
    /// Money per kg of grain whose legal bushel weighs `bushel` kg; `None` for a price per bushel of a crop without one.
    pub fn per_kilogram(&self, bushel: Option<f64>) -> Option<f64> {
        match self.per {
            GrainUnit::Kilogram => Some(self.money),
            GrainUnit::Bushel => bushel.map(|mass| self.money / mass),
        }
    }
}

/// Steps of a table: each holds for values above its first number, up to the next step.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Steps(pub Vec<(f64, GrainPrice)>);

impl Steps {
    /// The step that holds at a value; `None` at or below the first number.
    pub fn at(&self, value: f64) -> Option<GrainPrice> {
        self.0.iter().rev().find(|(above, _)| value > *above + 1e-9).map(|(_, price)| *price)
    }
}

/// How the price of equipment is spread over its years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OwnershipForm {
    /// Exact: an equal payment each year.
    CapitalRecovery,
    /// Straight-line depreciation, and interest on the mean of price and salvage.
    StraightLine,
}

/// What owning equipment costs each year, as fractions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ownership {
    /// Form used.
    pub form: OwnershipForm,
    /// Interest a year (real, where prices are said to stay).
    pub interest: f64,
    /// Years of life.
    pub years: f64,
    /// Salvage, share of the price.
    pub salvage: f64,
    /// Taxes, share of the price each year.
    pub taxes: f64,
    /// Insurance, likewise.
    pub insurance: f64,
    /// Repairs, likewise.
    pub repairs: f64,
    /// Share of the price that a grant pays.
    pub grant: f64,
}

/// How a buyer takes wet grain.
#[derive(Debug, Clone, PartialEq)]
pub struct WetSale {
    /// Base moisture, w.b.
    pub base: f64,
    /// Weight taken off for each unit of moisture above the base: 1.4 means 1.4 % a point.
    pub shrink: f64,
    /// Part of the price taken off, for each unit of moisture above the base: 2 means 2 % a point.
    pub discount: f64,
    /// Charge on wet grain by its moisture.
    pub charges: Steps,
}

/// What is done with a year that failed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RemedyKind {
    /// Dried elsewhere for pay: a charge for each point on wet grain, and the way there.
    CustomDrying {
        /// Charge for one point (0.01 w.b.) on a measure of wet grain.
        per_point: GrainPrice,
    },
    /// Sold wet, at the table of `[prices.wet]`.
    SaleWet,
    /// Held and finished in spring.
    SpringFinish {
        /// What that costs for a measure of wet grain.
        charge: GrainPrice,
    },
}

/// Remedy of failed years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remedy {
    /// What is done with grain that is sound but wet.
    pub kind: RemedyKind,
    /// Hauling, for a measure of wet grain; none with a finish in spring.
    pub hauling: Option<GrainPrice>,
    /// What spoiled grain still brings, for a measure at base moisture.
    pub spoiled: Option<GrainPrice>,
    /// Damaged kernels of grain that used up its storage life, mass fraction, for the table of `[prices.damage]`.
    pub damage: Option<f64>,
}

/// What things cost beside energy.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Costs {
    /// Demand, money per W of the month's highest power.
    pub demand: Option<f64>,
    /// Labour, money per hour.
    pub labour: Option<f64>,
    /// Hours of labour in a season.
    pub labour_hours: f64,
    /// Grain at base moisture.
    pub grain: Option<GrainPrice>,
    /// Base moisture of that price, w.b.; `None` for that of the crop.
    pub base: Option<f64>,
    /// Weight lost in handling, share of the wet weight.
    pub handling_loss: f64,
    /// Ownership.
    pub ownership: Option<Ownership>,
    /// Price of a piece of equipment by name, bought and put up.
    pub equipment: Vec<(String, f64)>,
    /// Price of a stirring machine, bought and put up.
    pub stirring: Option<f64>,
    /// Sale of wet grain.
    pub wet: Option<WetSale>,
    /// Discount on damaged grain (mass fraction of damaged kernels), for a measure at base moisture.
    pub damage: Steps,
}

impl Costs {
    /// Price of a piece of equipment.
    pub fn of(&self, id: &str) -> Option<f64> {
        self.equipment.iter().find(|(name, _)| name == id).map(|(_, price)| *price)
    }
}
