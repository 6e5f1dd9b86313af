//! The whole way from text to cases, on the demo and on a plainer file.

use job::{BuiltIn, open};

#[test]
fn the_demo_resolves_to_a_case_for_every_complete_year() {
    let job = open(include_str!("../data/demo.toml"), "demo.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    assert!(job.warnings.0.is_empty(), "{}", job.warnings);
    let bin = &job.bins[0];
    assert!(bin.invented);
    // The bundled record holds the winters from 1995 to 2023, the last without its spring.
    assert_eq!(bin.years.len() + bin.left_out.len(), 29);
    assert!(bin.years.len() >= 27, "{:?}", bin.left_out.len());
}

#[test]
fn a_lot_larger_than_its_bin_is_refused_on_its_line() {
    let text = include_str!("data/plain.toml").replace("15000 bu", "40000 bu");
    let found = open(&text, "plain.toml", &BuiltIn::new()).unwrap_err();
    let line = text.lines().position(|line| line.starts_with("quantity")).unwrap() + 1;
    assert_eq!(found.0[0].code, "lot-too-large");
    assert_eq!(found.0[0].at.line, Some(line));
}

#[test]
fn grain_may_stand_heaped_where_nobody_levelled_it() {
    let amount = |bushels: &str, bin: &str| {
        let text = include_str!("data/plain.toml").replace("15000 bu", bushels);
        open(&text.replace("floor = \"full\"", bin), "plain.toml", &BuiltIn::new())
    };
    // 36 ft by 24 ft holds 19 631 volume bushels level, and the cone of corn about 2000 more.
    let heaped = amount("20000 bu", "").unwrap_or_else(|e| panic!("{e}"));
    assert!(heaped.bins[0].remarks.0.iter().any(|remark| remark.code == "heaped"));
    assert!(heaped.bins[0].survey.depth() > heaped.bins[0].survey.eave);
    let level = amount("15000 bu", "").unwrap_or_else(|e| panic!("{e}"));
    assert!(level.bins[0].remarks.0.iter().all(|remark| remark.code != "heaped"));
    for (bushels, bin) in
        [("22000 bu", ""), ("20000 bu", "fill = \"leveled\"\ncored = true"), ("20000 bu", "uniform = true")]
    {
        let found = amount(bushels, bin).unwrap_err();
        assert_eq!(found.0[0].code, "lot-too-large", "{bushels} {bin}");
        assert_eq!(found.0[0].at.field.as_deref(), Some("bins.north.lots[0].quantity"));
    }
    let deep = amount("30 ft", "").unwrap_err();
    assert_eq!((deep.0[0].code.as_str(), deep.0[0].at.line.is_some()), ("lot-too-large", true));
    let text = include_str!("data/plain.toml").replace("quantity = \"15000 bu\"", "depth = \"30 ft\"");
    let deep = open(&text, "plain.toml", &BuiltIn::new()).unwrap_err();
    assert_eq!(deep.0[0].at.field.as_deref(), Some("bins.north.lots[0].depth"));
    assert!(deep.0[0].at.line.is_some());
}

/// The example of the site format as its description prints it.
const EXAMPLE: &str = r#"binwright = 1
[place]
elevation = "213 m"
utc_offset = "-06:00"
time_zone = "America/Chicago"
weather = "champaign"
[goal]
mean_moisture = "15.5 %"
by = "12-15"
chance = "90 %"
hold_until = "06-01"
[prices]
currency = "USD"
electricity = "0.12 $/kWh"
[bins.north]
diameter = "36 ft"
eave = "24 ft"
floor = "full"
[[bins.north.lots]]
crop = "corn"
quantity = "20000 bu"
moisture = "20 %"
from = "10-10"
days = 4
[bins.north.outfit]
fans = ["demo-centrifugal-10hp", "demo-centrifugal-10hp"]
arrangement = "parallel"
control = { kind = "continuous" }
"#;

#[test]
fn the_example_of_the_format_resolves() {
    let job = open(EXAMPLE, "example.toml", &BuiltIn::new()).unwrap_or_else(|e| panic!("{e}"));
    assert!(job.bins[0].years.len() >= 27);
}

/// A year that spoils the grain would cost nothing if spoiled grain brought more than sound grain; prices per bushel and per tonne are
/// compared by the crop's bushel.
#[test]
fn spoiled_grain_that_brings_more_than_sound_grain_is_refused() {
    let with = |spoiled: &str| {
        let prices = "electricity = \"0.12 $/kWh\"\ngrain = \"4.00 $/bu\"";
        let text = include_str!("data/plain.toml").replace("electricity = \"0.12 $/kWh\"", prices);
        let remedy = format!(
            "[goal.remedy]\nkind = \"custom-drying\"\ncharge_per_point = \"0.05 $/bu\"\nspoiled = \"{spoiled}\"\n"
        );
        open(&text.replace("[prices]", &format!("{remedy}\n[prices]")), "plain.toml", &BuiltIn::new())
    };
    // 4.00 $ a bushel of 56 lb is 157.47 $ a tonne.
    assert!(with("157 $/t").is_ok() && with("2.00 $/bu").is_ok());
    for dearer in ["158 $/t", "4.01 $/bu"] {
        let found = with(dearer).unwrap_err();
        assert_eq!(found.0[0].code, "spoiled-dearer", "{dearer}");
        assert_eq!(found.0[0].at.field.as_deref(), Some("goal.remedy.spoiled"));
    }
}
