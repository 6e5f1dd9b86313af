//! All costs of an outfit, line by line, for each year and in the mean: what is paid whatever the year brings, what the season
//! used, what grain lost in weight, and the remedy of a year that failed.
//!
//! Costs are for a legal bushel at base moisture after shrink and handling, and for a tonne of the same grain.

use super::remedy::{self, RemedyCost, Worth, priced};
use super::{energy, overdrying, ownership, shrink};
use crate::verdict::Verdict;
use job::BinJob;
use job::costs::{Costs, Remedy};
use job::facts::Prices;
use notice::{Kind, Phrase, Quantity};
use physics::grain::wet_basis;
use season::SeasonResult;

/// One line of the costs of a year.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine {
    /// Stable name in kebab case.
    pub label: &'static str,
    /// Money a year.
    pub amount: f64,
    /// How it came about: the formula with what went into it.
    pub how: Phrase,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// What one year costs beside owning the outfit.
#[derive(Debug, Clone, PartialEq)]
pub struct YearCost {
    /// Energy by the slots of the tariff.
    pub electricity: f64,
    /// Charge on each month's highest power.
    pub demand: f64,
    /// Fuel; `None` when some was burnt and nobody says its price.
    pub fuel: Option<f64>,
    /// Labour.
    pub labour: f64,
    /// Weight lost in handling; zero without a price of grain.
    pub handling: f64,
    /// Weight dried off beyond the base; zero without a price of grain.
    pub overdrying: f64,
    /// Remedy, in a year that failed.
    pub remedy: Option<RemedyCost>,
}

impl YearCost {
    /// All but the remedy; fuel without a price counts as nothing and is said.
    pub fn season(&self) -> f64 {
        self.electricity + self.demand + self.fuel.unwrap_or(0.0) + self.labour + self.handling + self.overdrying
    }

    /// With the remedy, where it has a price.
    pub fn total(&self) -> f64 {
        self.season() + self.remedy.as_ref().and_then(|remedy| remedy.amount).unwrap_or(0.0)
    }

    /// Whether something that costs has no price.
    pub fn unpriced(&self) -> bool {
        self.fuel.is_none() || self.remedy.as_ref().is_some_and(|remedy| remedy.amount.is_none())
    }
}

/// Prices of a bin, ready to be asked.
#[derive(Debug, Clone)]
pub struct Ledger {
    /// ISO 4217 code.
    pub currency: String,
    electricity: Vec<f64>,
    fuel: Option<f64>,
    costs: Costs,
    remedy: Option<Remedy>,
    /// Base moisture, w.b.
    pub base: f64,
    bushel: Option<f64>,
    price: Option<f64>,
    /// Wet grain as filled, kg.
    pub wet_mass: f64,
    /// Grain at base moisture after shrink and handling, kg.
    pub base_mass: f64,
}

impl Ledger {
    /// The prices of a site for one of its bins. Base moisture is that of the price of grain, else that of the crop's bushel, else
    /// the goal's.
    pub fn of(bin: &BinJob, prices: &Prices, remedy: Option<&Remedy>) -> Self {
        let bushel = bin.bushel.as_ref().map(|bushel| bushel.mass);
        let costs = prices.costs.clone();
        let base = costs
            .base
            .or(bin.bushel.as_ref().and_then(|bushel| bushel.base_moisture_wb))
            .unwrap_or(wet_basis(bin.template.programme.target));
        let wet_mass = bin.survey.wet_mass();
        let base_mass = wet_mass * shrink::weight_left(bin.survey.moisture(), base, costs.handling_loss);
        Self {
            currency: prices.currency.clone(),
            electricity: std::iter::once(prices.electricity).chain(prices.slots.iter().map(|slot| slot.2)).collect(),
            fuel: prices.fuel,
            price: costs.grain.and_then(|grain| grain.per_kilogram(bushel)),
            costs,
            remedy: remedy.copied(),
            base,
            bushel,
            wet_mass,
            base_mass,
        }
    }

    /// What things cost beside energy.
    pub fn costs(&self) -> &Costs {
        &self.costs
    }

    /// Legal bushels at base moisture after shrink and handling; `None` for a crop without one.
    pub fn bushels(&self) -> Option<f64> {
        self.bushel.map(|mass| self.base_mass / mass)
    }

    /// Tonnes of the same.
    pub fn tonnes(&self) -> f64 {
        self.base_mass / 1000.0
    }

    /// What owning an outfit of a first cost is a year; nothing when nobody says how to spread it.
    pub fn owning(&self, first_cost: f64) -> f64 {
        self.costs.ownership.map_or(0.0, |how| ownership::OwnershipCost::of(first_cost, &how).total())
    }

    /// What a year costs that ended so.
    pub fn year(&self, result: &SeasonResult, verdict: Verdict) -> YearCost {
        let dry_matter = result.dry_matter;
        let (base_mass, price) = (dry_matter / (1.0 - self.base), self.price.unwrap_or(0.0));
        let end = wet_basis(result.mean_moisture);
        let worth = Worth {
            price: self.price,
            base: self.base,
            bushel: self.bushel,
            wet: self.costs.wet.as_ref(),
            damage: &self.costs.damage,
        };
        YearCost {
            electricity: energy::by_slot(&result.energy_by_slot, &self.electricity),
            demand: energy::demand(&result.monthly_peak, self.costs.demand.unwrap_or(0.0)),
            fuel: energy::fuel(result, self.fuel),
            labour: self.costs.labour.unwrap_or(0.0) * self.costs.labour_hours,
            handling: self.costs.handling_loss * self.wet_mass * price,
            overdrying: overdrying::lost_weight(end, self.base) * base_mass * price,
            remedy: match verdict {
                Verdict::Failed(cause) => Some(remedy::of(cause, dry_matter, end, self.remedy.as_ref(), &worth)),
                Verdict::Met | Verdict::Held => None,
            },
        }
    }

    /// The lines of a mean year: owning an outfit of a first cost, and the mean of so many years.
    pub fn lines(&self, first_cost: f64, years: &[YearCost]) -> Vec<CostLine> {
        let mut lines = Vec::new();
        let mut add = |label, amount: f64, how: Phrase, source| {
            if amount != 0.0 {
                lines.push(CostLine { label, amount, how, source });
            }
        };
        if let Some(how) = self.costs.ownership {
            let cost = ownership::OwnershipCost::of(first_cost, &how);
            let share = |rate: f64| Phrase::new(format!("{first_cost:.0} × {:.2} %", 100.0 * rate));
            add(
                "capital",
                cost.capital,
                Phrase::new(format!(
                    "{}: {first_cost:.0}{}, salvage {:.0} %, {:.2} % over {:.0} years",
                    ownership::form_name(how.form),
                    if how.grant > 0.0 {
                        format!(" less a grant of {:.0} %", 100.0 * how.grant)
                    } else {
                        String::new()
                    },
                    100.0 * how.salvage,
                    100.0 * how.interest,
                    how.years
                )),
                "annuity formula, Iowa State A3-29; straight line: ASAE EP496 as recalled",
            );
            add("taxes", cost.taxes, share(how.taxes), "a share of the price, as the site says");
            add("insurance", cost.insurance, share(how.insurance), "a share of the price, as the site says");
            add("repairs", cost.repairs, share(how.repairs), "a share of the price, as the site says");
        }
        let of = years.len().max(1) as f64;
        let mean = |pick: &dyn Fn(&YearCost) -> f64| years.iter().map(pick).sum::<f64>() / of;
        let n = years.len();
        let over = |what: &str| Phrase::new(format!("{what}, mean of {n} years"));
        add("electricity", mean(&|y| y.electricity), over("metered energy by slot × price"), "computed season");
        add("demand", mean(&|y| y.demand), over("each month's highest hourly power × charge"), "computed season");
        add("fuel", mean(&|y| y.fuel.unwrap_or(0.0)), over("fuel burnt × price"), "computed season");
        add(
            "labour",
            mean(&|y| y.labour),
            Phrase::new(format!("{:.0} h × {:.2}", self.costs.labour_hours, self.costs.labour.unwrap_or(0.0))),
            "as the site says",
        );
        let price = |phrase: Phrase| priced(phrase, "price", self.price.unwrap_or(0.0), self.bushel);
        add(
            "handling-loss",
            mean(&|y| y.handling),
            price(
                Phrase::new("{mass} wet × {loss} × {price}")
                    .with("mass", Quantity::new(self.wet_mass, Kind::Mass))
                    .text("loss", format!("{:.2} %", 100.0 * self.costs.handling_loss)),
            ),
            "Iowa State A2-32: less than 1 % is reasonable",
        );
        add(
            "over-drying",
            mean(&|y| y.overdrying),
            price(over(&format!("weight missing below {:.1} % × {{price}}", 100.0 * self.base))),
            "dry matter is kept",
        );
        let failed = years.iter().filter(|y| y.remedy.is_some()).count();
        add(
            "remedies",
            mean(&|y| y.remedy.as_ref().and_then(|r| r.amount).unwrap_or(0.0)),
            Phrase::new(format!("{failed} failed of {n} years, each at its remedy")),
            "as the goal names it",
        );
        lines
    }
}
