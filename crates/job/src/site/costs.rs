//! What `[prices]` says beside energy, and `[goal.remedy]`.

use super::goal::or;
use crate::costs::{Costs, GrainPrice, Ownership, OwnershipForm, Remedy, RemedyKind, Steps, WetSale};
use crate::library::Library;
use crate::parse::{self, QuantityError};
use crate::{library, prices};
use notice::Kind;
use sheet::{Limits, Node};

const BASE: Limits = Limits::within(0.03, 0.30, "from 3 % to 30 % wet basis");
const LOSS: Limits = Limits::within(0.0, 0.10, "from 0 % to 10 %");
const RATE: Limits = Limits::within(0.0, 0.50, "from 0 % to 50 %");
const SHARE: Limits = Limits::within(0.0, 1.0, "from 0 % to 100 %");
const YEARLY: Limits = Limits::within(0.0, 0.30, "from 0 % to 30 % of the price");
/// Most steps of a table.
const MOST_STEPS: usize = 60;

/// The currency in which a node's money is read; without one it cannot be judged, which is said elsewhere.
#[derive(Clone, Copy)]
pub(super) struct Money<'a>(pub Option<&'a str>);

impl Money<'_> {
    fn grain(self, node: &Node<'_, '_>, key: &'static str) -> Option<GrainPrice> {
        node.parsed(key, |text| self.grain_text(text))
    }

    fn grain_text(self, text: &str) -> Result<GrainPrice, QuantityError> {
        prices::grain_price(text, self.0.unwrap_or("USD"))
    }

    /// An amount of money.
    pub fn amount(self, node: &Node<'_, '_>, key: &'static str) -> Option<f64> {
        node.parsed(key, |text| prices::money(text, self.0.unwrap_or("USD")))
    }

    /// Money for a mass of grain or a bushel that must be there.
    fn needed_grain(self, node: &Node<'_, '_>, key: &'static str, example: &str) -> Option<GrainPrice> {
        node.needed(key, example, |text| self.grain_text(text))
    }
}

/// Reads what `[prices]` says beside energy; the node is closed by its owner. Defaults: nothing costs anything, no labour,
/// no loss in handling.
pub(super) fn read(node: &Node<'_, '_>, money: Money<'_>, library: &dyn Library) -> Option<Costs> {
    let currency = money.0.unwrap_or("USD");
    let demand = or(node, "demand", None, |n, k| n.parsed(k, |t| prices::demand_price(t, currency)).map(Some));
    let labour = or(node, "labour", None, |n, k| n.parsed(k, |t| prices::hourly_price(t, currency)).map(Some));
    let hours = or(node, "labour_hours", 0.0, |n, k| n.number(k, 0.0, 10_000.0));
    let grain = or(node, "grain", None, |n, k| money.grain(n, k).map(Some));
    let base = or(node, "grain_moisture", None, |n, k| n.quantity(k, Kind::MoistureWetBasis, BASE).map(Some));
    let loss = or(node, "handling_loss", 0.0, |n, k| n.quantity(k, Kind::Fraction, LOSS));
    let ownership = or(node, "ownership", None, |n, k| ownership(n.table(k)?).map(Some));
    let stirring = or(node, "stirring", None, |n, k| money.amount(n, k).map(Some));
    let equipment = or(node, "equipment", Vec::new(), |n, k| equipment(&n.table(k)?, money, library));
    let wet = or(node, "wet", None, |n, k| wet(n.table(k)?, money).map(Some));
    let damage = or(node, "damage", Steps::default(), |n, k| steps(n, k, money, Kind::Fraction));
    if node.has("labour_hours") && !node.has("labour") {
        node.missing("labour", "labour = \"22 $/h\"");
    }
    Some(Costs {
        demand: demand?,
        labour: labour?,
        labour_hours: hours?,
        grain: grain?,
        base: base?,
        handling_loss: loss?,
        ownership: ownership?,
        equipment: equipment?,
        stirring: stirring?,
        wet: wet?,
        damage: damage?,
    })
}

/// Reads `ownership`. Defaults: capital recovery; no taxes, insurance, repairs, salvage or grant.
fn ownership(node: Node<'_, '_>) -> Option<Ownership> {
    let words = [("capital-recovery", OwnershipForm::CapitalRecovery), ("straight-line", OwnershipForm::StraightLine)];
    let form = or(&node, "form", OwnershipForm::CapitalRecovery, |n, k| n.choice(k, &words));
    let interest = node.needed_quantity("interest", "6 %", Kind::Fraction, RATE);
    if !node.has("years") {
        node.missing("years", "years = 20");
    }
    let years = node.count("years", 1, 60);
    let part = |key, limits| or(&node, key, 0.0, |n, k| n.quantity(k, Kind::Fraction, limits));
    let (salvage, grant) = (part("salvage", SHARE), part("grant", SHARE));
    let (taxes, insurance, repairs) = (part("taxes", YEARLY), part("insurance", YEARLY), part("repairs", YEARLY));
    node.close();
    Some(Ownership {
        form: form?,
        interest: interest?,
        years: f64::from(years?),
        salvage: salvage?,
        taxes: taxes?,
        insurance: insurance?,
        repairs: repairs?,
        grant: grant?,
    })
}

/// Reads a table of prices by the name of a piece of the catalogue: a price for a name that is none would be kept for nothing, and
/// the piece that was meant would have none.
fn equipment(node: &Node<'_, '_>, money: Money<'_>, library: &dyn Library) -> Option<Vec<(String, f64)>> {
    let known = || {
        let (fans, burners) = (library.fans().iter(), library.burners().iter());
        fans.map(|fan| fan.id.as_str()).chain(burners.map(|burner| burner.id.as_str()))
    };
    let (mut list, mut whole) = (Vec::new(), true);
    for name in node.names() {
        library::check_name(&name).map_err(|error| node.refuse(&name, error)).ok()?;
        let price = node.parsed_at(&name, |text| prices::money(text, money.0.unwrap_or("USD")));
        if !known().any(|other| other == name) {
            node.unknown_word(&name, &name, known());
            whole = false;
        }
        match price {
            Some(price) => list.push((name, price)),
            None => whole = false,
        }
    }
    whole.then_some(list)
}

/// Reads `wet`: how a buyer takes wet grain. Defaults: exact shrink, no discount, no charge.
fn wet(node: Node<'_, '_>, money: Money<'_>) -> Option<WetSale> {
    let base = node.needed_quantity("base", "15 %", Kind::MoistureWetBasis, BASE);
    let per_point = |key, default: f64| or(&node, key, default, |n, k| n.number(k, 0.0, 10.0));
    let exact = base.map_or(0.0, |base| 1.0 / (1.0 - base));
    let shrink = per_point("shrink_percent_per_point", exact);
    let discount = per_point("discount_percent_per_point", 0.0);
    let charges = or(&node, "charges", Steps::default(), |n, k| steps(n, k, money, Kind::MoistureWetBasis));
    node.close();
    Some(WetSale { base: base?, shrink: shrink?, discount: discount?, charges: charges? })
}

/// Reads steps: rows of what a step holds above, and its price.
fn steps(node: &Node<'_, '_>, key: &'static str, money: Money<'_>, kind: Kind) -> Option<Steps> {
    let rows = node.rows(key)?;
    let example = "rows of two, as [[\"15 %\", \"0.06 $/bu\"], [\"16 %\", \"0.08 $/bu\"]]";
    if rows.is_empty() || rows.len() > MOST_STEPS || rows.iter().any(|row| row.len() != 2) {
        node.fault(key, "steps", format!("{} rows that are no steps", rows.len()), format!("must be {example}"));
        return None;
    }
    let mut list: Vec<(f64, GrainPrice)> = Vec::new();
    for row in rows {
        // A moisture is held to what is possible by its reader.
        let whole = if kind == Kind::Fraction { SHARE } else { Limits::within(0.0, f64::INFINITY, "above zero") };
        let above = parse::quantity(kind, &row[0]).and_then(|above| whole.hold(&row[0], above));
        let step = above.and_then(|above| Ok((above, money.grain_text(&row[1])?)));
        match step {
            Ok(step) if list.last().is_none_or(|before| before.0 < step.0) => list.push(step),
            Ok(_) => {
                node.fault(key, "steps", format!("step {:?} not above the one before", row[0]), "steps must rise");
                return None;
            }
            Err(error) => {
                node.refuse(key, error);
                return None;
            }
        }
    }
    Some(Steps(list))
}

#[derive(Clone, Copy)]
enum Word {
    Custom,
    Sale,
    Spring,
}

/// Reads `[goal.remedy]`.
pub(super) fn remedy(node: Node<'_, '_>, money: Money<'_>) -> Option<Remedy> {
    let words = [("custom-drying", Word::Custom), ("sale-wet", Word::Sale), ("spring-finish", Word::Spring)];
    let kind = node.needed_choice("kind", &words);
    let kind = kind.and_then(|kind| {
        Some(match kind {
            Word::Custom => {
                RemedyKind::CustomDrying { per_point: money.needed_grain(&node, "charge_per_point", "0.05 $/bu")? }
            }
            Word::Spring => RemedyKind::SpringFinish { charge: money.needed_grain(&node, "charge", "0.10 $/bu")? },
            Word::Sale => RemedyKind::SaleWet,
        })
    });
    let hauling = or(&node, "hauling", None, |n, k| money.grain(n, k).map(Some));
    let spoiled = or(&node, "spoiled", None, |n, k| money.grain(n, k).map(Some));
    let damage = or(&node, "damage", None, |n, k| n.quantity(k, Kind::Fraction, SHARE).map(Some));
    if kind.is_some() {
        node.close();
    }
    Some(Remedy { kind: kind?, hauling: hauling?, spoiled: spoiled?, damage: damage? })
}
