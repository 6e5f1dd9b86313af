//! What a failed year costs beyond its season: the remedy that the goal names.
//!
//! Grain that used up its storage life counts as spoiled or damaged as a whole, because a buyer takes what comes out of the bin
//! mixed; what is only wet is dried elsewhere, sold wet or finished in spring.

use super::discount;
use crate::verdict::Cause;
use job::costs::{Remedy, RemedyKind, Steps, WetSale};

/// What prices of grain rest on.
#[derive(Debug, Clone, Copy)]
pub struct Worth<'a> {
    /// Price, per kg at base moisture; `None` when nobody says.
    pub price: Option<f64>,
    /// Base moisture, w.b.
    pub base: f64,
    /// Mass of a legal bushel, kg.
    pub bushel: Option<f64>,
    /// Table for wet grain.
    pub wet: Option<&'a WetSale>,
    /// Table for damaged grain.
    pub damage: &'a Steps,
}

/// The remedy of one year.
#[derive(Debug, Clone, PartialEq)]
pub struct RemedyCost {
    /// Money; `None` when a price is missing.
    pub amount: Option<f64>,
    /// How it came about, or which price is missing.
    pub how: String,
}

impl RemedyCost {
    fn of(amount: f64, how: String) -> Self {
        Self { amount: Some(amount), how }
    }

    fn missing(what: &str) -> Self {
        Self { amount: None, how: format!("{what} is not said") }
    }
}

/// The remedy of a year that failed for a cause, of `dry_matter` kg at a moisture (w.b.).
pub fn of(cause: Cause, dry_matter: f64, moisture: f64, remedy: Option<&Remedy>, worth: &Worth<'_>) -> RemedyCost {
    let Some(remedy) = remedy else { return RemedyCost::missing("a remedy of failed years ([goal.remedy])") };
    match cause {
        // What too hot air took (germination, milling quality) makes it another grain for the buyer.
        Cause::StorageLife | Cause::TooHot => spoiled(dry_matter, remedy, worth),
        Cause::NoAirflow | Cause::WetPart | Cause::NotDry => wet(dry_matter, moisture, remedy, worth),
        Cause::NotCold | Cause::NotWetted => {
            RemedyCost::missing("what is done about grain that did not get cold or moist enough")
        }
    }
}

fn spoiled(dry_matter: f64, remedy: &Remedy, worth: &Worth<'_>) -> RemedyCost {
    let base_mass = dry_matter / (1.0 - worth.base);
    if let Some(brings) = remedy.spoiled {
        let Some(price) = worth.price else { return RemedyCost::missing("the price of grain") };
        let Some(brings) = brings.per_kilogram(worth.bushel) else {
            return RemedyCost::missing("a bushel of this crop");
        };
        let loss = (price - brings).max(0.0) * base_mass;
        return RemedyCost::of(
            loss,
            format!(
                "spoiled: {:.1} t at base moisture × ({:.2} − {:.2} a tonne)",
                base_mass / 1e3,
                1e3 * price,
                1e3 * brings
            ),
        );
    }
    let Some(share) = remedy.damage else { return RemedyCost::missing("the price of spoiled grain, or its damage") };
    if worth.damage.0.is_empty() {
        return RemedyCost::missing("the discounts for damaged grain");
    }
    match discount::damage(share, worth.damage, worth.bushel) {
        Some(dock) => RemedyCost::of(
            dock * base_mass,
            format!("damaged: {:.1} t at base moisture × {:.2} a tonne", base_mass / 1e3, 1e3 * dock),
        ),
        None => RemedyCost::missing("a bushel of this crop"),
    }
}

fn wet(dry_matter: f64, moisture: f64, remedy: &Remedy, worth: &Worth<'_>) -> RemedyCost {
    let mass = dry_matter / (1.0 - moisture);
    let points = 100.0 * (moisture - worth.base).max(0.0);
    let hauling = match remedy.hauling.map(|price| price.per_kilogram(worth.bushel)) {
        Some(None) => return RemedyCost::missing("a bushel of this crop"),
        Some(Some(price)) => price,
        None => 0.0,
    };
    match remedy.kind {
        RemedyKind::CustomDrying { per_point } => match per_point.per_kilogram(worth.bushel) {
            Some(charge) => RemedyCost::of(
                mass * (charge * points + hauling),
                format!(
                    "custom drying: {:.1} t wet × ({points:.1} points × {:.2} + hauling {:.2} a tonne)",
                    mass / 1e3,
                    1e3 * charge,
                    1e3 * hauling
                ),
            ),
            None => RemedyCost::missing("a bushel of this crop"),
        },
        RemedyKind::SpringFinish { charge } => match charge.per_kilogram(worth.bushel) {
            Some(charge) => RemedyCost::of(
                mass * charge,
                format!("finish in spring: {:.1} t wet × {:.2} a tonne", mass / 1e3, 1e3 * charge),
            ),
            None => RemedyCost::missing("a bushel of this crop"),
        },
        RemedyKind::SaleWet => {
            let (Some(price), Some(table)) = (worth.price, worth.wet) else {
                return RemedyCost::missing("the price of grain or the buyer's table ([prices.wet])");
            };
            let Some(paid) = discount::sale(mass, moisture, price, table, worth.bushel) else {
                return RemedyCost::missing("a bushel of this crop");
            };
            let dry = price * dry_matter / (1.0 - worth.base);
            RemedyCost::of(
                (dry - paid.net()).max(0.0) + hauling * mass,
                format!(
                    "sold wet: {:.0} at base moisture less {:.0} for {:.1} t at {:.1} %, hauling {:.2} a tonne",
                    dry,
                    paid.net(),
                    mass / 1e3,
                    100.0 * moisture,
                    1e3 * hauling
                ),
            )
        }
    }
}
