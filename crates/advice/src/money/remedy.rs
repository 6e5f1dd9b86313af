//! What a failed year costs beyond its season: the remedy that the goal names.
//!
//! Grain that used up its storage life counts as spoiled or damaged as a whole, because a buyer takes what comes out of the bin
//! mixed; what is only wet is dried elsewhere, sold wet or finished in spring.

use super::discount;
use crate::verdict::Cause;
use job::costs::{Remedy, RemedyKind, Steps, WetSale};
use notice::{Kind, Phrase, Quantity};

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
    pub how: Phrase,
}

impl RemedyCost {
    fn of(amount: f64, how: Phrase) -> Self {
        Self { amount: Some(amount), how }
    }

    fn missing(what: &str) -> Self {
        Self { amount: None, how: Phrase::new("{what} is not said").text("what", what) }
    }
}

fn mass(kilograms: f64) -> Quantity {
    Quantity::new(kilograms, Kind::Mass)
}

/// A price of grain (money per kg) filled into a phrase: a bushel or a tonne, as the reader counts.
pub(super) fn priced(phrase: Phrase, name: &str, per_kilogram: f64, bushel: Option<f64>) -> Phrase {
    let tonne = format!("{:.2} a tonne", 1e3 * per_kilogram);
    let other = bushel.map_or_else(|| tonne.clone(), |mass| format!("{:.3} a bushel", mass * per_kilogram));
    phrase.either(name, other, tonne)
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
        // Spoiled grain that brings more than sound grain is refused where the site is read.
        let how = Phrase::new("spoiled: {mass} at base moisture, worth {brings} in place of {price}")
            .with("mass", mass(base_mass));
        let how = priced(priced(how, "brings", brings, worth.bushel), "price", price, worth.bushel);
        return RemedyCost::of((price - brings).max(0.0) * base_mass, how);
    }
    let Some(share) = remedy.damage else { return RemedyCost::missing("the price of spoiled grain, or its damage") };
    if worth.damage.0.is_empty() {
        return RemedyCost::missing("the discounts for damaged grain");
    }
    match discount::damage(share, worth.damage, worth.bushel) {
        Some(dock) => {
            let how = Phrase::new("damaged: {mass} at base moisture × {dock}").with("mass", mass(base_mass));
            RemedyCost::of(dock * base_mass, priced(how, "dock", dock, worth.bushel))
        }
        None => RemedyCost::missing("a bushel of this crop"),
    }
}

fn wet(dry_matter: f64, moisture: f64, remedy: &Remedy, worth: &Worth<'_>) -> RemedyCost {
    let wet_mass = dry_matter / (1.0 - moisture);
    let above = (moisture - worth.base).max(0.0);
    let hauling = match remedy.hauling.map(|price| price.per_kilogram(worth.bushel)) {
        Some(None) => return RemedyCost::missing("a bushel of this crop"),
        Some(Some(price)) => price,
        None => 0.0,
    };
    let shown = |moisture: f64| Quantity::new(moisture, Kind::MoistureWetBasis);
    match remedy.kind {
        RemedyKind::CustomDrying { per_point } => match per_point.per_kilogram(worth.bushel) {
            // Points are counted on the mean: a wet part costs none, which must not read as if the year had cost nothing.
            Some(_) if above <= 0.0 => {
                let how = Phrase::new(
                    "custom drying: the mean of {moisture} is not above the base of {base}, so there are no points to pay: only a part \
                     is too wet; hauling of {mass} at {hauling}",
                )
                .with("moisture", shown(moisture))
                .with("base", shown(worth.base))
                .with("mass", mass(wet_mass));
                RemedyCost::of(wet_mass * hauling, priced(how, "hauling", hauling, worth.bushel))
            }
            Some(charge) => {
                let how = Phrase::new("custom drying: {mass} wet × ({points} points × {charge} + hauling {hauling})")
                    .with("mass", mass(wet_mass))
                    .text("points", format!("{:.1}", 100.0 * above));
                let how = priced(priced(how, "charge", charge, worth.bushel), "hauling", hauling, worth.bushel);
                RemedyCost::of(wet_mass * (charge * 100.0 * above + hauling), how)
            }
            None => RemedyCost::missing("a bushel of this crop"),
        },
        RemedyKind::SpringFinish { charge } => match charge.per_kilogram(worth.bushel) {
            Some(charge) => {
                let how = Phrase::new("finish in spring: {mass} wet × {charge}").with("mass", mass(wet_mass));
                RemedyCost::of(wet_mass * charge, priced(how, "charge", charge, worth.bushel))
            }
            None => RemedyCost::missing("a bushel of this crop"),
        },
        RemedyKind::SaleWet => {
            let (Some(price), Some(table)) = (worth.price, worth.wet) else {
                return RemedyCost::missing("the price of grain or the buyer's table ([prices.wet])");
            };
            let Some(paid) = discount::sale(wet_mass, moisture, price, table, worth.bushel) else {
                return RemedyCost::missing("a bushel of this crop");
            };
            let dry = price * dry_matter / (1.0 - worth.base);
            let how =
                Phrase::new("sold wet: {dry} at base moisture less {paid} for {mass} at {moisture}, hauling {hauling}")
                    .text("dry", format!("{dry:.0}"))
                    .text("paid", format!("{:.0}", paid.net()))
                    .with("mass", mass(wet_mass))
                    .with("moisture", shown(moisture));
            let how = priced(how, "hauling", hauling, worth.bushel);
            RemedyCost::of((dry - paid.net()).max(0.0) + hauling * wet_mass, how)
        }
    }
}
