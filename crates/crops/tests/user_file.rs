//! Crop files of the user: a new crop, a variety, and every fault named at once.

use crops::{Library, Need, TestWeight};
use notice::quantity::{BUSHEL_M3, POUND_KG};

fn faults(text: &str) -> String {
    Library::built_in().with_user_file("mine.toml", text).expect_err("a faulty file").to_string()
}

#[test]
fn a_variety_overrides_some_rows_and_keeps_the_rest() {
    let text = r#"
id = "corn-waxy"
name = "waxy corn"
based_on = "maize"
aliases = ["waxy"]

[sources.our-laboratory]
citation = "laboratory of the cooperative, 2024"

[isotherms.waxy-2024]
form = "modified-chung-pfost"
material = "waxy corn"
a = 330.0
b = 0.17
c = 31.0
temperature_c = [5, 40]
relative_humidity = [0.2, 0.9]
use = "primary"
source = "our-laboratory"
status = "seen"

[uses]
isotherms = ["waxy-2024", "corn_mh_a"]
default_isotherm = "waxy-2024"

[bushel]
mass_lb = 58
base_moisture_percent_wb = 15
source = "our-laboratory"
status = "common-practice"
"#;
    let library = Library::built_in().with_user_file("mine.toml", text).unwrap_or_else(|found| panic!("{found}"));
    let (waxy, remark) = library.find("waxy").expect("an alias");
    assert!(remark.is_some());
    assert_eq!(waxy.isotherm(None).expect("a default").id, "waxy-2024");
    assert_eq!(waxy.spread_sets().len(), 2);
    let bushel = waxy.bushel.as_ref().expect("a bushel");
    assert!((bushel.mass / POUND_KG - 58.0).abs() < 1e-9);
    assert_eq!(bushel.evidence.source.citation, "laboratory of the cooperative, 2024");
    let (corn, _) = library.find("corn").expect("a crop");
    assert_eq!(waxy.resistance, corn.resistance);
    assert_eq!(waxy.storage, corn.storage);
    assert_eq!(corn.isotherm(None).expect("a default").id, "corn_mh_a");
}

#[test]
fn a_new_crop_needs_only_what_is_known() {
    let text = r#"
id = "teff"
name = "teff"
[oil]
percent_of_dry_matter = 3
source = "oil-contents"
status = "judgement"
[uses]
isotherms = ["generic_cromarty"]
default_isotherm = "generic_cromarty"
"#;
    let library = Library::built_in().with_user_file("teff.toml", text).unwrap_or_else(|found| panic!("{found}"));
    let (teff, _) = library.find("teff").expect("a crop");
    let wheat = library.find("wheat-hard").expect("a crop").0.isotherm(Some("generic_cromarty")).expect("a set").form;
    let ours = teff.isotherm(None).expect("a default").form;
    // Oil takes no water: moistures of the two differ as their shares without oil.
    let ratio = ours.equilibrium(0.6, 20.0).moisture / wheat.equilibrium(0.6, 20.0).moisture;
    assert!((ratio - 0.97 / 0.98).abs() < 1e-12);
    let missing = teff.bulk_density(0.12).expect_err("no density");
    assert_eq!(missing.need, Need::Heat);
    let measured = TestWeight { density: 60.0 * POUND_KG / BUSHEL_M3, moisture_wb: 0.12 };
    assert!((teff.bulk_density_scaled(0.14, Some(measured)).expect("as measured") - measured.density).abs() < 1e-9);
}

#[test]
fn all_faults_are_named_at_once() {
    let text = r#"
id = "corn-2"
based_on = "korn"
nmae = "a slip"

[isotherms.first]
form = "modified-henderso"
material = "corn"
temperature_c = [40, 5]
relative_humidity = [0.1, 0.9]
source = "nobody"
status = "certain"

[uses]
isotherms = ["first", "corn_mh_aa"]
default_isotherm = "corn_mh_a"
resistance = "corn-shelled"

[bushel]
mass_lb = 5600
source = "bushel-lists"
"#;
    insta::assert_snapshot!(faults(text));
}

#[test]
fn a_broken_grammar_is_named_by_its_line() {
    insta::assert_snapshot!(faults("id = \"x\"\nname = \n[uses\n"));
}

#[test]
fn impossible_lines_are_refused() {
    let text = r#"
id = "x"
based_on = "corn"
[bulk_density.mine]
moisture = "percent-wb"
coefficients_kg_m3 = [700, -50]
range = [10, 30]
source = "binwright"
status = "judgement"
[specific_heat.mine]
moisture = "percent-wb"
coefficients_j_kg_k = [1, 2, 3, 4, 5]
range = [10, 30]
source = "binwright"
status = "judgement"
"#;
    insta::assert_snapshot!(faults(text));
}

#[test]
fn a_dry_down_of_ones_own_is_read_and_a_senseless_one_refused() {
    let text = |moistures: &str, points: &str| {
        format!(
            "id = \"mine\"\nname = \"mine\"\nbased_on = \"soybean\"\n[sources.us]\ncitation = \"our fields\"\n\
             [field_dry_down]\ncount_between_f = [50, 86]\npercent_wb = {moistures}\n\
             degree_days_f_per_point = {points}\nsource = \"us\"\nstatus = \"seen\"\n"
        )
    };
    let library = Library::built_in().with_user_file("mine.toml", &text("[28, 18]", "[20]")).unwrap();
    let (mine, _) = library.find("mine").unwrap();
    let rule = &mine.dry_down.as_ref().expect("a rule").value;
    assert!((rule.after(0.28, 200.0 / 1.8) - 0.18).abs() < 1e-12);
    assert!(Library::built_in().find("soybean").unwrap().0.dry_down.is_none(), "nobody lends a rule");
    for (moistures, points) in [("[18, 28]", "[20]"), ("[28, 18]", "[20, 30]"), ("[28]", "[]"), ("[28, 18]", "[0]")] {
        let found = faults(&text(moistures, points));
        assert!(found.contains("falling moistures"), "{found}");
    }
}
