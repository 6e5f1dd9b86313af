//! `[goal]` and `[prices]`: what is wanted of every bin and what energy costs.

use super::costs::{self, Money};
use crate::facts::{Goal, MonthDay, Prices};
use crate::library::Library;
use crate::{parse, prices};
use equipment::Fuel;
use notice::{Diagnostic, Kind};
use season::{CarryOver, TARIFF_SLOTS};
use sheet::{Limits, Node};

const TARGET: Limits = Limits::within(0.03, 0.30, "from 3 % to 30 % wet basis");
const EXCESS: Limits = Limits::within(0.0, 0.10, "from 0 to 10 points");
const CHANCE: Limits = Limits::within(0.01, 0.999, "from 1 % to 99.9 %");
const DESIGN_HOUR: Limits = Limits::within(0.5, 1.0, "from 50 % to 100 %");
const LIFE: Limits = Limits::within(0.01, 1.0, "from 1 % to 100 %");
const COOL_TO: Limits = Limits::within(-20.0, 30.0, "from -20 °C to 30 °C");

/// Allowed excess of the wettest tenth when none is said: 1.5 points, a judgement.
pub const WETTEST_EXCESS: f64 = 0.015;
/// Wanted chance when none is said: nine years in ten.
pub const CHANCE_WANTED: f64 = 0.90;
/// Share of the hours whose heat must be met when none is said: all but one in a hundred (judgement).
pub const DESIGN_HOUR_WANTED: f64 = 0.99;
/// Temperature to which dry grain is cooled when none is said, °C.
pub const COOL_TO_C: f64 = 0.0;

/// Reads `[goal]`. Defaults: the wettest tenth within 1.5 points of the mean, chance 90 %, a burner that meets 99 % of the hours,
/// all of the storage life may be used, drying goes on through winter (`carry_over = "never"`), dry grain is cooled to 0 °C, no
/// remedy is named.
pub(super) fn read(node: Node<'_, '_>, money: Money<'_>) -> Option<Goal> {
    let mean = node.needed_quantity("mean_moisture", "15.5 %", Kind::MoistureWetBasis, TARGET);
    let excess = or(&node, "wettest_excess", WETTEST_EXCESS, |n, k| n.parsed(k, |t| EXCESS.hold(t, parse::points(t)?)));
    let by = node.needed("by", "12-15", parse::month_day);
    let chance = or(&node, "chance", CHANCE_WANTED, |n, k| n.quantity(k, Kind::Fraction, CHANCE));
    let design_hour = or(&node, "design_hour", DESIGN_HOUR_WANTED, |n, k| n.quantity(k, Kind::Fraction, DESIGN_HOUR));
    let life = or(&node, "storage_life", 1.0, |n, k| n.quantity(k, Kind::Fraction, LIFE));
    let words = [("never", CarryOver::Never), ("cool-and-hold-then-spring", CarryOver::USUAL)];
    let carry_over = or(&node, "carry_over", CarryOver::Never, |n, k| n.choice(k, &words));
    let hold = node.needed("hold_until", "06-01", parse::month_day);
    let cool_to = or(&node, "cool_to", COOL_TO_C, |n, k| n.quantity(k, Kind::Temperature, COOL_TO));
    let remedy = or(&node, "remedy", None, |n, k| costs::remedy(n.table(k)?, money).map(Some));
    node.close();
    Some(Goal {
        mean_moisture: mean?,
        wettest_excess: excess?,
        by: by?,
        life_allowed: life?,
        chance: chance?,
        design_hour: design_hour?,
        carry_over: carry_over?,
        hold_until: hold?,
        cool_to: cool_to?,
        remedy: remedy?,
    })
}

/// The value of a key, its default when it is left out, nothing when it is faulty.
pub(super) fn or<T>(
    node: &Node<'_, '_>,
    key: &'static str,
    default: T,
    read: impl FnOnce(&Node<'_, '_>, &'static str) -> Option<T>,
) -> Option<T> {
    let given = node.has(key);
    let value = read(node, key);
    if given { value } else { Some(default) }
}

/// Days from one day of the year to the next such day as another, 0 to 364; 29 February counts as 28.
pub(super) fn days_between(from: MonthDay, to: MonthDay) -> i32 {
    const BEFORE: [i32; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
    let of_year = |day: MonthDay| {
        let date = if (day.month, day.day) == (2, 29) { 28 } else { i32::from(day.day) };
        BEFORE.get(usize::from(day.month).wrapping_sub(1)).copied().unwrap_or(0) + date
    };
    (of_year(to) - of_year(from)).rem_euclid(365)
}

/// Reads `[prices]`. The currency is the one named, else the one of the sign in the price of electricity. Prices of fuel
/// per volume or heat are turned into money per kg of the fuel the burners of the file burn, propane where there is none.
pub(super) fn prices(node: Node<'_, '_>, fuels: &[Fuel], library: &dyn Library) -> Option<Prices> {
    let currency = currency(&node);
    let money = currency.clone().unwrap_or_default();
    let known = currency.is_some();
    // Without a currency the prices cannot be judged; that is already said.
    let price = |text: &str| match known {
        true => prices::electricity_price(text, &money),
        false => Ok(0.0),
    };
    let electricity = node.needed("electricity", "0.12 $/kWh", price);
    let burned: Vec<_> = fuels.iter().filter_map(|fuel| fuel.combustion()).collect();
    let fuel = burned.first().copied().unwrap_or(physics::combustion::PROPANE);
    if node.has("fuel") && burned.iter().any(|other| other.name != fuel.name) {
        let other = burned.iter().find(|other| other.name != fuel.name).map_or("", |other| other.name);
        let found = format!("one price of fuel for {} and {other}", fuel.name);
        node.add(
            Diagnostic::error("several-fuels", found, node.place("fuel"))
                .allowed("the burners of a file must burn one fuel")
                .help("put the bins into two files"),
        );
    }
    let per_kg = node.parsed("fuel", |text| match known {
        true => prices::fuel_price(text, &money, &fuel),
        false => Ok(0.0),
    });
    let had_fuel = node.has("fuel");
    let rows = node.tables("tariff");
    if rows.len() >= TARIFF_SLOTS {
        let found = format!("tariff of {} slots", rows.len());
        node.fault("tariff", "too-many-slots", found, format!("at most {} are kept apart", TARIFF_SLOTS - 1));
    }
    let mut slots = Vec::new();
    let (mut whole, mut taken) = (true, [false; 24]);
    for row in rows {
        let from = row.needed("from", "07:00", parse::clock_hour);
        let to = row.needed("to", "21:00", parse::clock_hour);
        let price = row.needed("electricity", "0.18 $/kWh", price);
        if let (Some(from), Some(to)) = (from, to) {
            let hours: Vec<u8> = hours_between(from, to);
            if hours.is_empty() {
                row.fault("to", "empty-slot", format!("slot from {from:02}:00 to {to:02}:00"), "must hold an hour");
            }
            if hours.iter().any(|hour| taken[usize::from(*hour)]) {
                row.fault(
                    "from",
                    "slots-overlap",
                    format!("slot from {from:02}:00 to {to:02}:00"),
                    "must not overlap the slots above it",
                );
            }
            hours.iter().for_each(|hour| taken[usize::from(*hour)] = true);
        }
        row.close();
        match (from, to, price) {
            (Some(from), Some(to), Some(price)) => slots.push((from, to, price)),
            _ => whole = false,
        }
    }
    let costs = costs::read(&node, Money(currency.as_deref()), library);
    node.close();
    if !whole || (had_fuel && per_kg.is_none()) {
        return None;
    }
    Some(Prices { currency: currency?, electricity: electricity?, slots, fuel: per_kg, costs: costs? })
}

/// Hours of the day from one hour to before another, over midnight where the first is the later.
pub(super) fn hours_between(from: u8, to: u8) -> Vec<u8> {
    match from <= to {
        true => (from..to.min(24)).collect(),
        false => (from..24).chain(0..to).collect(),
    }
}

/// The currency that `[prices]` says, for readers of other tables; what is wrong with it is said where prices are read.
pub(super) fn currency_said(node: &Node<'_, '_>) -> Option<String> {
    let text = |key| if node.is_text(key) { node.text(key) } else { None };
    match text("currency") {
        Some(code) => prices::is_code(&code).then_some(code),
        None => text("electricity").and_then(|text| prices::currency_of(&text)),
    }
}

fn currency(node: &Node<'_, '_>) -> Option<String> {
    let given = node.has("currency");
    let code = node.text("currency");
    if given {
        let code = code?;
        if !prices::is_code(&code) {
            let found = format!("currency is {:?}", parse::shown(&code));
            node.fault("currency", "not-a-currency", found, "must be a code of three capital letters, as \"USD\"");
            return None;
        }
        return Some(code);
    }
    let named = node.text("electricity").and_then(|text| prices::currency_of(&text));
    if named.is_none() {
        node.missing("currency", "currency = \"USD\"");
    }
    named
}
