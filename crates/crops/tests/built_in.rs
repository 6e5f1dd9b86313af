//! The compiled-in data: complete, with sources, one default a crop, nothing borrowed silently.

use crops::{Confidence, Library, Need, SetUse};
use std::collections::BTreeSet;

/// The identifiers of the published equilibrium sets that the project holds.
const SETS: &str = "corn_mh_a corn_cp_a corn_mh_b corn_cp_b corn_os_b corn_thompson_f wheat_hard_mh_a wheat_hard_cp_a \
    wheat_hard_mh_b wheat_hard_cp_b wheat_hard_os_b wheat_soft_mh_a wheat_soft_cp_a wheat_durum_mh_a wheat_durum_cp_a \
    wheat_durum_os_b rice_mh_a rice_cp_a rice_long_mh_b rice_long_cp_b rice_long_os_b rice_med_mh_b rice_short_mh_b \
    sorghum_cp_b sorghum_mh_a sorghum_cp_a barley_mh_a barley_cp_a barley_cp_b barley_cp_b2 oats_cp_b oats_mh_b oats_os_b \
    soybean_ha_b soybean_mh_a soybean_cp_a canola_ha_b canola_ha_b2 canola_mh_b sunflower_mh_a peanut_kernel_mh_a \
    peanut_kernel_cp_a peanut_kernel_os_b peanut_kernel_ha_b bean_edible_mh_a bean_edible_cp_a generic_cromarty";

#[test]
fn every_published_set_serves_a_crop() {
    let library = Library::built_in();
    let used: BTreeSet<&str> =
        library.crops().iter().flat_map(|crop| crop.isotherms.iter().map(|set| set.id.as_str())).collect();
    let expected: BTreeSet<&str> = SETS.split_whitespace().collect();
    assert_eq!(used, expected);
    assert_eq!(expected.len(), 47);
}

#[test]
fn every_crop_with_sets_has_one_default_and_says_why() {
    for crop in Library::built_in().crops().iter().filter(|crop| !crop.isotherms.is_empty()) {
        let set = crop.isotherm(None).expect("a default");
        assert!(crop.default_isotherm_because.as_ref().is_some_and(|why| why.len() > 10), "{}", crop.id);
        assert_ne!(set.use_as, SetUse::Caution, "{}", crop.id);
    }
}

#[test]
fn every_crop_file_of_the_folder_is_compiled_in() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/data/crops");
    let files: BTreeSet<String> = std::fs::read_dir(folder)
        .expect("the data folder stands beside the manifest")
        .filter_map(|entry| entry.ok()?.file_name().to_str()?.strip_suffix(".toml").map(str::to_string))
        .collect();
    let crops: BTreeSet<String> = Library::built_in().crops().iter().map(|crop| crop.id.clone()).collect();
    assert_eq!(files, crops);
}

#[test]
fn aliases_lead_to_one_crop_and_are_remarked() {
    let library = Library::built_in();
    let mut seen = BTreeSet::new();
    for name in library.crops().iter().flat_map(|crop| crop.aliases.iter().chain([&crop.id])) {
        assert!(seen.insert(name.clone()), "{name} leads to two crops");
    }
    for (alias, id) in [
        ("wheat", "wheat-hard"),
        ("rice", "rice-long"),
        ("maize", "corn"),
        ("rapeseed", "canola"),
        ("Sunflower", "sunflower-oil"),
        ("milo", "sorghum"),
        ("beans", "bean"),
        ("grain sorghum", "sorghum"),
    ] {
        let (crop, remark) = library.find(alias).expect("an alias");
        assert_eq!(crop.id, id);
        assert_eq!(remark.expect("a remark").code, "crop-alias");
    }
    assert!(library.find("corn").expect("a crop").1.is_none());
    let unknown = library.find("shorgum").expect_err("no such crop");
    assert_eq!(unknown.help.as_deref(), Some("did you mean \"sorghum\"?"));
}

/// A spot check that cells hold what the design demands: a missing relation is missing, a borrowed one is low.
#[test]
fn the_matrix_says_what_is_missing() {
    let library = Library::built_in();
    let cell = |id: &str, need: Need| {
        let crop = library.find(id).expect("a crop").0;
        crop.capability().into_iter().find(|cell| cell.need == need).expect("five cells").confidence
    };
    assert_eq!(cell("corn", Need::Equilibrium), Confidence::High);
    assert_eq!(cell("corn", Need::Storability), Confidence::High);
    assert_eq!(cell("wheat-hard", Need::Equilibrium), Confidence::Medium);
    assert_eq!(cell("popcorn", Need::Equilibrium), Confidence::Low);
    assert_eq!(cell("flax", Need::Equilibrium), Confidence::Low);
    assert_eq!(cell("soybean", Need::Kinetics), Confidence::Low);
    assert_eq!(cell("rye", Need::Resistance), Confidence::Missing);
    assert_eq!(cell("lentil", Need::Storability), Confidence::Missing);
    assert_eq!(cell("chickpea", Need::Heat), Confidence::Missing);
    assert_eq!(cell("potatoes", Need::Equilibrium), Confidence::Missing);
    for crop in library.crops() {
        assert!(crop.capability().iter().any(|cell| cell.confidence > Confidence::Missing), "{} is empty", crop.id);
    }
}

#[test]
fn what_is_borrowed_is_remarked() {
    let library = Library::built_in();
    let (durum, _) = library.find("durum").expect("an alias");
    let said: Vec<String> =
        durum.remarks(&Need::ALL).iter().map(|remark| remark.says.render(notice::UnitSystem::Us)).collect();
    assert_eq!(
        said,
        [
            "bulk density of durum wheat is borrowed from hard red winter wheat",
            "specific heat of durum wheat is borrowed from soft white wheat",
            "conductivity of durum wheat is borrowed from soft white wheat",
        ]
    );
    let (lentil, _) = library.find("lentil").expect("a crop");
    let codes: Vec<String> = lentil.remarks(&Need::ALL).into_iter().map(|remark| remark.code).collect();
    assert_eq!(
        codes,
        [
            "crop-row-weak",
            "crop-kinetics-bounded",
            "crop-storage-not-judged",
            "crop-row-borrowed",
            "crop-row-borrowed",
            "crop-density-constant",
        ]
    );
}

#[test]
fn low_airflow_rows_come_only_by_name() {
    let library = Library::built_in();
    for (id, main, low) in
        [("corn", "corn-shelled", "corn-shelled-low-airflow"), ("wheat-hard", "wheat", "wheat-low-airflow")]
    {
        let crop = library.find(id).expect("a crop").0;
        assert_eq!(crop.resistance(None).expect("a row").id, main);
        assert!(crop.resistance(Some(low)).expect("a row").low_airflow);
    }
}

/// The strict reading may never promise more time than the published one, at any state a bin meets.
#[test]
fn strict_storage_is_never_longer_than_published() {
    for crop in Library::built_in().crops() {
        assert_eq!(crop.storage.published.is_empty(), crop.storage.strict.is_empty(), "{}", crop.id);
        for moisture in [0.12, 0.16, 0.20, 0.25] {
            for temperature in [0.0, 10.0, 20.0, 30.0] {
                let worst = |rows: &[crops::StorageRow]| {
                    rows.iter().map(|row| row.law.rate::<f64>(moisture, temperature)).fold(0.0, f64::max)
                };
                let (published, strict) = (worst(&crop.storage.published), worst(&crop.storage.strict));
                assert!(strict >= published, "{} at {moisture} d.b., {temperature} °C", crop.id);
            }
        }
    }
}

/// The constants of the kernel are those that the fit wrote.
#[test]
fn kernel_constants_are_those_of_the_fit() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/kinetics/fit.toml");
    let text = std::fs::read_to_string(path).expect("the fit stands in the repository");
    let fit: toml::Table = text.parse().expect("a TOML file");
    let library = Library::built_in();
    for (row, crop) in [("corn", "corn"), ("wheat", "wheat-hard"), ("barley", "barley"), ("rice", "rice-medium")] {
        let crops::Production::Fitted(ours) =
            &library.find(crop).expect("a crop").0.kinetics().expect("a rate").production
        else {
            panic!("{crop} is fitted");
        };
        let value = |key: &str| fit[row][key].as_float().expect("a number");
        assert_eq!(ours.constants.shell_share, value("shell_share"), "{row}");
        assert_eq!(ours.constants.shell.ln_a, value("shell_ln_a"), "{row}");
        assert_eq!(ours.constants.shell.b, value("shell_b_k"), "{row}");
        assert_eq!(ours.constants.core.ln_a, value("core_ln_a"), "{row}");
        assert_eq!(ours.constants.core.b, value("core_b_k"), "{row}");
        assert_eq!(ours.rms_misfit, value("rms_misfit"), "{row}");
        assert_eq!(Some(ours.fitted_to.as_str()), fit[row]["fitted_to"].as_str(), "{row}");
    }
}

/// Faults of a key that leads nowhere are found by the reader; this finds the works that nothing refers to.
#[test]
fn every_work_of_the_bibliography_is_referred_to() {
    let data = concat!(env!("CARGO_MANIFEST_DIR"), "/data");
    let mut text = String::new();
    for folder in [data.to_string(), format!("{data}/crops")] {
        for entry in std::fs::read_dir(folder).expect("the data folder").flatten() {
            if entry.path().extension().is_some_and(|ending| ending == "toml") {
                text.push_str(&std::fs::read_to_string(entry.path()).expect("a data file"));
            }
        }
    }
    let bibliography = std::fs::read_to_string(format!("{data}/bibliography.toml")).expect("the bibliography");
    let table: toml::Table = bibliography.parse().expect("a TOML file");
    for key in table["sources"].as_table().expect("a table").keys() {
        assert!(text.contains(&format!("source = \"{key}\"")), "{key} is referred to by no row");
    }
}

/// The whole matrix, for reading: a change of a cell is a change of what the program dares to say.
#[test]
fn the_whole_matrix() {
    let mut table = String::new();
    for crop in Library::built_in().crops() {
        table.push_str(&format!("{}\n", crop.id));
        for cell in crop.capability().iter().filter(|cell| cell.confidence > Confidence::Missing) {
            table.push_str(&format!("  {:<12}{:<8}{}\n", cell.need.word(), cell.confidence.word(), cell.says));
        }
    }
    insta::assert_snapshot!(table);
}
