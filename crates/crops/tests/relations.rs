//! What the crop works out from its rows: spread, density, heat, missing cells.

use crops::{Library, Need, TestWeight};
use notice::Place;
use notice::quantity::{BUSHEL_M3, POUND_KG};
use physics::air::SPECIFIC_HEAT_WATER;

/// Corn at 60 °F and 80 % RH, percent w.b. by each set: 17.2, 16.8, 17.7, 16.1, 17.8 (the disagreement as published).
#[test]
fn spread_of_corn() {
    let library = Library::built_in();
    let (corn, _) = library.find("corn").expect("a crop");
    let celsius = (60.0 - 32.0) / 1.8;
    let wet = |dry: f64| 100.0 * dry / (1.0 + dry);
    for (id, published) in
        [("corn_mh_a", 17.2), ("corn_cp_a", 16.8), ("corn_mh_b", 17.7), ("corn_cp_b", 16.1), ("corn_os_b", 17.8)]
    {
        let form = corn.isotherm(Some(id)).expect("a set").form;
        assert!((wet(form.equilibrium(0.80, celsius).moisture) - published).abs() <= 0.0501, "{id}");
    }
    let spread = corn.spread(0.80, celsius).expect("sets");
    assert_eq!(spread.ids.len(), 6);
    assert!(!spread.ids.contains(&"generic_cromarty".into()));
    assert!((wet(spread.low) - 16.1).abs() <= 0.0501 && (wet(spread.high) - 17.8).abs() <= 0.0501);
}

/// Sets marked with caution stay out of the spread, except where a crop would be left with one set.
#[test]
fn caution_sets_in_the_spread() {
    let library = Library::built_in();
    let ids = |name: &str| -> Vec<String> {
        let crop = library.find(name).expect("a crop").0;
        crop.spread_sets().iter().map(|set| set.id.clone()).collect()
    };
    assert_eq!(ids("barley"), ["barley_mh_a", "barley_cp_a"]);
    assert_eq!(ids("sunflower-oil"), ["generic_cromarty", "sunflower_mh_a"]);
    assert_eq!(ids("flax"), ["generic_cromarty"]);
    let barley = library.find("barley").expect("a crop").0;
    assert!(barley.isotherm(Some("barley_cp_b")).is_ok());
    assert!(barley.isotherm(Some("corn_mh_a")).is_err());
}

#[test]
fn bulk_density_follows_the_measured_test_weight() {
    let library = Library::built_in();
    let (corn, _) = library.find("corn").expect("a crop");
    let light = TestWeight { density: 52.0 * POUND_KG / BUSHEL_M3, moisture_wb: 0.155 };
    let at = |m: f64| corn.bulk_density_scaled(m, Some(light)).expect("a line");
    assert!((at(0.155) - light.density).abs() < 1e-9);
    let slope = |f: &dyn Fn(f64) -> f64| f(0.20) / f(0.155);
    assert!((slope(&at) - slope(&|m| corn.bulk_density(m).expect("a line"))).abs() < 1e-12);
    assert!(
        (corn.dry_matter_density(0.20).expect("a line") - 0.8 * corn.bulk_density(0.20).expect("a line")).abs() < 1e-9
    );
    // Test weight of Wisconsin corn: 2 lb/bu lower at 20 % than at 15.5 % (Rankin); the line gives 2.1.
    let pounds = |m: f64| corn.bulk_density(m).expect("a line") * BUSHEL_M3 / POUND_KG;
    assert!((pounds(0.155) - pounds(0.20) - 2.0).abs() < 0.2, "{}", pounds(0.155) - pounds(0.20));
}

/// The additive form meets the published line in mid-range; elsewhere it is off by no more than the misfit it states.
#[test]
fn dry_heat_stays_within_its_misfit() {
    let library = Library::built_in();
    for crop in library.crops().iter().filter(|crop| crop.grain) {
        let dry = crop.dry_heat().expect("every grain has a line, borrowed or not");
        for m in [0.12, 0.15, 0.17] {
            let additive = (1.0 - m) * dry.value + m * SPECIFIC_HEAT_WATER;
            let published = crop.heat_capacity(m).expect("a line");
            assert!((additive / published - 1.0).abs() <= dry.misfit + 1e-9, "{} {m}", crop.id);
        }
        // 2 to 6 %; medium rough rice 9 %, whose line is twice as steep as addition of water makes it.
        assert!(dry.misfit < if crop.id == "rice-medium" { 0.09 } else { 0.07 }, "{} {}", crop.id, dry.misfit);
        assert!(dry.value > 900.0 && dry.value < 1800.0, "{} {}", crop.id, dry.value);
    }
}

/// Wheat 17 % w.b. and all else finite: a sorption heat exists for each default.
#[test]
fn sorption_heat_of_every_default_is_positive_where_grain_is_dry() {
    for crop in Library::built_in().crops().iter().filter(|crop| !crop.isotherms.is_empty()) {
        let set = crop.isotherm(None).expect("a default");
        let heat = crop.sorption_heat(&set.form);
        assert!(heat.net(0.10) > 0.0, "{}", crop.id);
    }
}

#[test]
fn a_missing_cell_is_a_diagnostic() {
    let library = Library::built_in();
    let (rye, _) = library.find("rye").expect("a crop");
    let missing = rye.resistance(None).expect_err("none is published");
    assert_eq!(missing.need, Need::Resistance);
    let place = Place { field: Some("bins.north.lots[0].crop".into()), ..Place::line("north.toml", 12) };
    insta::assert_snapshot!(missing.diagnostic(place).render());
}
