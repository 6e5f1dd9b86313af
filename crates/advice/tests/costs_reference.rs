//! Published and recomputed examples of what drying and owning cost, each with its source.

use advice::money::{discount, energy, overdrying, ownership, shrink};
use job::costs::{GrainPrice, GrainUnit, Ownership, OwnershipForm, Steps, WetSale};

const CORN: f64 = 56.0 * 0.453_592_37;

fn near(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got} is not within {within} of {want}");
}

fn per_bushel(money: f64) -> GrainPrice {
    GrainPrice { money, per: GrainUnit::Bushel }
}

/// South Dakota State University, Corn Grain Moisture Discount (2020), and North Dakota State University, 2 Nov 2009: 25 to 15.5 %
/// loses 11.24 %; factors a point 1.18 (15.5), 1.18 (15), 1.16 (14), 1.15 (13), 1.14 (12), 1.11 (10). At 11 % 1.13 is printed, one
/// step above the exact 1.124: that one is held to the exact figure.
#[test]
fn water_shrink_is_that_of_extension_tables() {
    near(100.0 * shrink::water_shrink(0.25, 0.155), 11.24, 0.005);
    for (after, published) in [(0.155, 1.18), (0.15, 1.18), (0.14, 1.16), (0.13, 1.15), (0.12, 1.14), (0.10, 1.11)] {
        near(100.0 * shrink::water_shrink(after + 0.01, after), published, 0.005);
    }
    near(100.0 * shrink::water_shrink(0.12, 0.11), 1.1236, 5e-5);
    let exact = [(0.155, 1.1834), (0.15, 1.1765), (0.14, 1.1628), (0.13, 1.1494), (0.12, 1.1364), (0.10, 1.1111)];
    for (after, exact) in exact {
        near(100.0 * shrink::water_shrink(after + 0.01, after), exact, 5e-5);
    }
}

/// Seed company text (seen, recomputed): 1,000 lb from 25.5 to 15.5 % with 0.5 % of handling loss leaves 876.7 lb, 15.6 standard
/// bushels, a loss of 12.33 %.
#[test]
fn shrink_and_handling_loss_together() {
    let left = 1000.0 * shrink::weight_left(0.255, 0.155, 0.005);
    near(left, 876.7, 0.05);
    near(left / 56.0, 15.6, 0.06);
    near(100.0 * (1.0 - left / 1000.0), 12.33, 0.005);
}

/// Elevator schedule of 2023 (seen, recomputed): 1.5 % a point to 14.5 %: 0.0825 of a bushel at 20.0 %, 0.1650 at 25.5 %.
#[test]
fn factor_shrink_is_that_of_a_schedule() {
    near(shrink::factor_shrink(0.20, 0.145, 1.5), 0.0825, 1e-12);
    near(shrink::factor_shrink(0.255, 0.145, 1.5), 0.1650, 1e-12);
    assert_eq!(shrink::factor_shrink(0.14, 0.145, 1.5), 0.0, "drier grain is paid by weight alone");
}

/// Iowa State 2019 (seen): 56,000 lb at 20.5 % and 3.50 $, 2 % a point above 15 %: net 3,110 $ with the discount rounded to 0.39 $,
/// 3,115 $ without rounding.
#[test]
fn a_moisture_discount_on_wet_bushels() {
    let table = WetSale { base: 0.15, shrink: 0.0, discount: 2.0, charges: Steps::default() };
    let paid = discount::sale(1000.0 * CORN, 0.205, 3.50 / CORN, &table, Some(CORN)).unwrap();
    near(paid.net(), 3115.0, 1e-6);
}

/// The same grain with a drying charge of 0.048 $ a point on wet bushels, 264 $ (seen), and 1.4 % of shrink a point: 923 bushels,
/// 2,966.50 $ net (computed; the source hides its rate of shrink).
#[test]
fn a_drying_charge_and_shrink() {
    let charges = Steps(vec![(0.15, per_bushel(0.048 * 5.5))]);
    let table = WetSale { base: 0.15, shrink: 1.4, discount: 0.0, charges };
    let paid = discount::sale(1000.0 * CORN, 0.205, 3.50 / CORN, &table, Some(CORN)).unwrap();
    near(paid.charges, 264.0, 1e-6);
    near(paid.weight / CORN, 923.0, 1e-6);
    near(paid.net(), 2966.50, 1e-6);
}

/// An elevator of 2023 (seen): 0.06 $ from 15.1 % rising 0.01 $ a half point to 17.5, 0.12 $ at 17.6, then 0.02 $ a half point:
/// 0.20 $ at 20.0 %, 0.42 $ at 25.5 %.
#[test]
fn stepped_charges_need_a_table() {
    let mut steps: Vec<(f64, GrainPrice)> =
        (0..5).map(|k| (0.150 + 0.005 * f64::from(k), per_bushel(0.06 + 0.01 * f64::from(k)))).collect();
    steps.extend((0..17).map(|k| (0.175 + 0.005 * f64::from(k), per_bushel(0.12 + 0.02 * f64::from(k)))));
    let table = Steps(steps);
    let charge = |moisture: f64| table.at(moisture).map_or(0.0, |price| price.money);
    assert_eq!(charge(0.150), 0.0);
    for (moisture, want) in [(0.151, 0.06), (0.175, 0.10), (0.176, 0.12), (0.200, 0.20), (0.255, 0.42)] {
        near(charge(moisture), want, 1e-12);
    }
}

/// Missouri sheet of 2009 (seen; the slopes are an inference of 27.5 % at 25 %): 1.38 $ of dock on 5.00 $; less 0.62 $ for the water
/// that would be sold anyway, less 0.38 $ of variable cost (fuel 0.02 gal × 1.50 $ × 10, electricity 0.03, handling 0.05), a gain of
/// 0.38 $.
#[test]
fn drying_at_home_against_a_dock() {
    // 2.5 % of the price a point for five points, 3 % after.
    let dock: f64 = 5.0 * (5.0 * 0.025 + 5.0 * 0.03);
    near(dock, 1.375, 1e-12);
    let fuel = energy::fuel_rate(0.02, 10.0, 1.50);
    near(fuel, 0.30, 1e-12);
    near(1.38 - 0.62 - (fuel + 0.03 + 0.05), 0.38, 1e-9);
}

/// North Dakota State University (seen, recomputed): 1.90 $ × 0.022 gal is 4.2 cents a bushel and point, 42 cents from 25 to 15 %.
/// South Dakota State University: a drying cost of 0.32 $ on 2.50 $ is a break-even loss of yield of 12.8 %.
#[test]
fn fuel_for_a_bushel() {
    near(100.0 * energy::fuel_rate(0.022, 1.0, 1.90), 4.2, 0.05);
    near(100.0 * energy::fuel_rate(0.022, 10.0, 1.90), 42.0, 0.5);
    near(0.32_f64 / 2.50, 0.128, 1e-12);
}

/// Agronomy note of a seed company, 2015 (seen, recomputed): the rule of 1.2 % of the price a point is 10.5 cents for soybeans of
/// 8.75 $; exact from 13 to 12 % 1.136 %, 9.9 cents: the rule is 6 % high. Corn of 3.75 $: 4.5 cents. From 15 to 13 % 2.299 % is lost,
/// where a web article says about 2 %.
#[test]
fn over_drying_is_lost_weight() {
    near(100.0 * overdrying::lost_weight(0.12, 0.13), 1.136, 5e-4);
    near(875.0 * overdrying::lost_weight(0.12, 0.13), 9.9, 0.05);
    near(875.0 * 0.012, 10.5, 1e-9);
    near(375.0 * 0.012, 4.5, 1e-9);
    near(0.012 / overdrying::lost_weight(0.12, 0.13), 1.06, 0.005);
    near(100.0 * overdrying::lost_weight(0.13, 0.15), 2.299, 5e-4);
    assert_eq!(overdrying::lost_weight(0.16, 0.15), 0.0);
}

/// Capital recovery factors, recomputed from the annuity formula.
#[test]
fn capital_recovery_factors() {
    for (interest, years, factor) in [
        (0.05, 15.0, 0.09634),
        (0.08, 15.0, 0.11683),
        (0.05, 20.0, 0.08024),
        (0.06, 20.0, 0.08718),
        (0.07, 20.0, 0.09439),
        (0.08, 20.0, 0.10185),
        (0.06, 25.0, 0.07823),
        (0.08, 10.0, 0.14903),
    ] {
        near(ownership::capital_recovery_factor(interest, years), factor, 5.1e-6);
    }
    assert_eq!(ownership::capital_recovery_factor(0.0, 20.0), 0.05);
}

/// Iowa State A3-29, machinery example (inputs seen): 93,500 $, salvage 25,300 $, real interest 5 %, 15 years: 7,835.5 $, with the
/// factor rounded to .096 7,812 $. The exact real rate of 8 % at 3 % is 4.854 %.
#[test]
fn capital_recovery_of_a_machine() {
    near(ownership::capital_recovery(93_500.0, 25_300.0, 0.05, 15.0), 7835.5, 0.5);
    near(68_200.0 * 0.096 + 25_300.0 * 0.05, 7812.0, 0.5);
    near(100.0 * ownership::real_rate(0.08, 0.03), 4.854, 5e-4);
}

/// Both forms side by side (computed): 100,000 with 10 % of salvage, 20 years, 7 %, 2 % of taxes, housing and insurance: 10,350
/// straight line, 11,195 exact.
#[test]
fn the_two_forms_of_ownership_differ_by_eight_per_cent() {
    let how = |form| Ownership {
        form,
        interest: 0.07,
        years: 20.0,
        salvage: 0.10,
        taxes: 0.01,
        insurance: 0.01,
        repairs: 0.0,
        grant: 0.0,
    };
    let cost = |form| ownership::OwnershipCost::of(100_000.0, &how(form)).total();
    near(cost(OwnershipForm::StraightLine), 10_350.0, 0.5);
    near(cost(OwnershipForm::CapitalRecovery), 11_195.0, 0.5);
    near(cost(OwnershipForm::CapitalRecovery) / cost(OwnershipForm::StraightLine), 1.08, 0.005);
}
